"""Every kind of part does what it does on a vehicle: against books, ngspice and hand sums."""

import numpy as np
import pytest

from networks.every_kind import BODY, alternator, every_kind, selector, solenoid
from networks.made_circuits import battery, circuit, fuse, lamp, relay, resistor, state, switch
from networks.made_circuits import two_ends as part
from networks.made_circuits import wire as plain_wire
from networks.ngspice import agree
from witnessmark.errors import BenchError
from witnessmark.networks import (
    FORMS,
    Kind,
    fault_modes,
    make_part,
    parse_fault,
    solve,
    with_lamp,
)
from witnessmark.networks.battery import inner_resistance
from witnessmark.networks.fuses import BANDS, link_melts_a, opens_at
from witnessmark.networks.solver import NODAL


def test_one_circuit_holds_every_kind_of_part_but_two_that_have_their_own():
    kinds = {one.kind for one in every_kind().parts}
    assert kinds | {Kind.SOLENOID, Kind.LAMP, Kind.SWITCH} == set(FORMS)


@pytest.mark.second_way("ngspice, the same netlist")
def test_every_kind_with_every_fault_agrees_with_ngspice(tmp_path):
    made = every_kind()
    faults = [(fault,) for mode in fault_modes(made) for fault in mode.faults[:2]]
    assert len(faults) > 50
    agree(made, [(), *faults], tmp_path)


@pytest.mark.second_way("the nodal equations solved whole")
def test_pairs_of_faults_by_ports_are_as_solved_whole():
    made = every_kind()
    singles = [mode.faults[-1] for mode in fault_modes(made)]
    pairs = [(one, other) for one in singles[::3] for other in singles[1::4] if one != other]
    by_ports, whole = solve(made, pairs), solve(made, pairs, way=NODAL)
    assert np.array_equal(by_ports.contacts, whole.contacts)
    assert np.array_equal(by_ports.blown, whole.blown)
    apart = np.abs(by_ports.volts - whole.volts)
    assert apart[~whole.floating].max() < 1e-6
    assert apart[whole.floating].max() < 1e-4


@pytest.mark.second_way("the lamp drawn into the circuit; the nodal equations solved whole")
def test_a_test_lamp_held_somewhere_is_as_one_drawn_into_the_circuit():
    made = every_kind()
    singles = [(mode.faults[-1],) for mode in fault_modes(made)][::4]
    spots = [("D", BODY), ("F", "A"), ("U", BODY), ("X", "A")]
    faults = [fault for fault in singles for _ in spots]
    held = spots * len(singles)
    by_ports = solve(made, faults, lamps=held)
    whole = solve(made, faults, way=NODAL, lamps=held)
    assert np.array_equal(by_ports.contacts, whole.contacts)
    tied = ~by_ports.floating
    assert np.abs(by_ports.volts - whole.volts)[tied].max() < 1e-6
    for number, spot in enumerate(spots):
        drawn = solve(with_lamp(made, *spot), singles)
        apart = np.abs(drawn.volts - by_ports.volts[number :: len(spots)])
        assert apart[tied[number :: len(spots)]].max() < 1e-6


def test_only_the_states_asked_for_are_worked_out_and_those_they_follow():
    made = circuit(
        battery(12, ohm=0.02),
        switch("S1", "A", "B"),
        resistor("R1", "B", BODY, 10),
        states=(state("first", "S1"), state("second", "S1", after="first"), state("other", "S1")),
    )
    only = np.array([[False, True, False], [True, False, True]])
    found = solve(made, [(), ()], only=only)
    solved = found.volts[:, :, 1] > 11
    assert solved.tolist() == [[True, True, False], [True, False, True]]


def test_more_parts_than_a_sheet_holds_are_refused():
    parts = [resistor(f"R{number}", "A", BODY, 1000) for number in range(2000)]
    with pytest.raises(BenchError, match="has 2001 parts"):
        solve(circuit(battery(12, ohm=0.02), *parts))


@pytest.mark.reference(
    "diode problem: 5 V, 1 kΩ, 0.7 V at 1 mA, 0.1 V a decade (seen); 4.237 mA, 0.762 V from memory"
)
def test_a_diode_behind_a_resistor():
    found = solve(
        circuit(
            battery(5.0),
            resistor("R", "A", "B", 1000.0),
            part(Kind.DIODE, "D", "B", "0", drop=0.7, at=1e-3, per_decade=0.1),
        )
    )
    assert found.current("D", "on") == pytest.approx(4.237e-3, abs=0.0005e-3)
    assert found.voltage("B", "on") == pytest.approx(0.762, abs=0.001)


@pytest.mark.reference(
    "diode exercise Q2 (seen): 1 V, 1 kΩ, Is 1e-15 A, n 1; 0.31551 mA and 0.68449 V by ngspice"
)
def test_a_diode_by_its_saturation_current():
    per_decade = 0.025852 * np.log(10.0)  # thermal voltage at 26.85 °C
    drop = per_decade * np.log10(1e-3 / 1e-15 + 1.0)
    found = solve(
        circuit(
            battery(1.0),
            resistor("R", "A", "B", 1000.0),
            part(Kind.DIODE, "D", "B", "0", drop=drop, at=1e-3, per_decade=per_decade),
        )
    )
    assert found.current("D", "on") == pytest.approx(0.31551e-3, rel=1e-4)
    assert found.voltage("B", "on") == pytest.approx(0.68449, abs=2e-5)


@pytest.mark.second_way("a closed loop without a way back, by hand")
def test_a_diode_the_wrong_way_round_lets_nothing_through():
    found = solve(
        circuit(battery(12.0), part(Kind.DIODE, "D", "0", "B"), resistor("R", "A", "B", 10.0))
    )
    assert abs(found.current("R", "on")) < 1e-3


@pytest.mark.second_way("armature resistance, back-EMF and torque by hand")
@pytest.mark.parametrize("load", ["fan", "steady"])
def test_a_motor_draws_what_its_sheet_says_and_more_when_jammed(load):
    made = circuit(
        battery(13.0),
        part(Kind.MOTOR, "M", "A", "0", armature=0.5, volts=13.0, amps=8.0, load=load),
    )
    found = solve(made, [(), (parse_fault("M:jammed", made),)])
    assert found.current("M", "on") == pytest.approx(8.0, rel=1e-4)
    assert found.current("M", "on", 1) == pytest.approx(13.0 / 0.5, rel=1e-4)


@pytest.mark.second_way("the fan's torque goes with the square of its speed, by hand")
def test_a_fan_at_half_volts_draws_far_less_than_half_and_a_steady_load_hardly_less():
    def amps(load, volts):
        ends = ("A", "0") if volts > 0 else ("0", "A")
        one = part(Kind.MOTOR, "M", *ends, armature=0.5, volts=13.0, amps=8.0, load=load)
        return solve(circuit(battery(abs(volts)), one)).current("M", "on")

    assert amps("fan", 6.5) < 0.4 * amps("fan", 13.0)
    assert amps("steady", 6.5) > 0.9 * amps("steady", 13.0)
    assert amps("fan", -6.5) == pytest.approx(-amps("fan", 6.5))


@pytest.mark.second_way(
    "both ends at one potential, or the supply over it either way round, by hand"
)
def test_a_window_motor_reverses_between_two_switches_that_rest_to_ground():
    def rocker(name, common):
        ends = {"M": common, "B": "A", "G": BODY}
        return selector(name, ends, {"rest": ("M-G",), "pressed": ("M-B",)})

    made = circuit(
        battery(12.6, ohm=0.02),
        rocker("UP", "U"),
        rocker("DOWN", "D"),
        part(Kind.MOTOR, "M", "U", "D", armature=0.6, volts=12.0, amps=6.0),
        states=(
            state("rest"),
            state("up", positions=(("UP", "pressed"),)),
            state("down", positions=(("DOWN", "pressed"),)),
            state("both", positions=(("UP", "pressed"), ("DOWN", "pressed"))),
        ),
    )
    found = solve(made)
    assert found.current("M", "up") > 5
    assert found.current("M", "down") == pytest.approx(-found.current("M", "up"))
    assert abs(found.current("M", "rest")) < 1e-6
    assert abs(found.current("M", "both")) < 1e-6


def test_a_changeover_relay_rests_on_one_contact_and_pulls_to_the_other():
    made = circuit(
        battery(12.6),
        switch("S1", "A", "C"),
        relay("K1", "A", "B", coil=("C", "0"), rest="D"),
        resistor("R1", "B", "0", 10.0),
        resistor("R2", "D", "0", 10.0),
        states=(state("rest"), state("on", "S1")),
    )
    found = solve(
        made, [(), *((parse_fault(f"K1:stuck-{how}", made),) for how in ("open", "closed"))]
    )
    on = [
        [found.current(name, where, row) > 1 for name in ("R1", "R2")]
        for row in range(3)
        for where in ("rest", "on")
    ]
    assert on == [
        [False, True],
        [True, False],
        [False, True],
        [False, True],
        [True, False],
        [True, False],
    ]


class TestAStarterSolenoid:
    """Two windings: both pull, one holds, and one against the other lets go."""

    made = circuit(
        battery(12.6, ohm=0.006),
        switch("S1", "A", "S"),
        solenoid(),
        part(Kind.MOTOR, "M1", "M", BODY, ohms=0.06),
        states=(state("rest"), state("crank", "S1"), state("released", after="crank")),
    )

    @pytest.mark.second_way("ampere-turns of two equal windings in series cancel, by hand")
    def test_it_pulls_in_and_lets_go_when_the_key_is_released(self):
        found = solve(self.made)
        assert found.current("M1", "crank") > 100
        assert abs(found.current("M1", "released")) < 1e-6
        assert not found.chatter.any()

    @pytest.mark.second_way("both ends of the pull-in winding at one potential, by hand")
    def test_while_it_holds_its_pull_in_winding_carries_next_to_nothing(self):
        found = solve(self.made)
        assert abs(found.current("Y1.pull", "crank")) < 1.0
        assert found.current("Y1.hold", "crank") > 7

    def test_with_the_hold_in_winding_open_it_chatters(self):
        found = solve(self.made, [(parse_fault("Y1:hold-open", self.made),)])
        assert found.chatter[0, found.state_place["crank"]]

    @pytest.mark.second_way(
        "the hold-in winding alone makes less than a quarter of the ampere-turns"
    )
    def test_with_the_pull_in_winding_open_it_does_not_move(self):
        found = solve(self.made, [(parse_fault("Y1:pull-open", self.made),)])
        assert abs(found.current("M1", "crank")) < 1e-3


class TestAnAlternator:
    made = circuit(
        battery(12.4, ohm=0.02),
        switch("KEY", "A", "K"),
        alternator(lamp="L"),
        lamp("CHG", "K", "L", 2),
        resistor("R1", "A", BODY, 1.0),
        states=(
            state("rest"),
            state("key", "KEY"),
            state("run", "KEY", positions=(("G1", "turning"),)),
        ),
    )

    @pytest.mark.second_way(
        "the limit, and the regulated volts less what its inner resistance takes, by hand"
    )
    def test_it_charges_at_its_regulated_volts_or_gives_its_limit(self):
        found = solve(self.made)
        assert -found.current("BAT", "rest") > 10
        assert 13.0 < found.voltage("A", "run") < 14.2
        assert found.current("G1.output", "run") == pytest.approx(70.0, rel=0.05)
        small = circuit(
            battery(14.0, ohm=0.01),
            alternator(),
            states=(state("run", positions=(("G1", "turning"),)),),
        )
        assert solve(small).voltage("A", "run") == pytest.approx(14.1, abs=0.02)

    @pytest.mark.reference("common practice, no published source")
    def test_no_current_flows_back_into_it(self):
        high = circuit(
            battery(14.8, ohm=0.01),
            alternator(),
            states=(state("run", positions=(("G1", "turning"),)),),
        )
        assert abs(solve(high).current("G1.output", "run")) < 0.1

    @pytest.mark.reference("common practice, no published source")
    def test_the_charge_lamp_is_lit_with_the_key_and_out_when_it_charges(self):
        found = solve(self.made)
        assert found.current("CHG", "key") > 0.1
        assert abs(found.current("CHG", "run")) < 0.02

    @pytest.mark.reference(
        "charging bands of a class handout: 13.2 to 14.7 V normal, above 15.5 V over; seen"
    )
    def test_one_that_overcharges_stands_above_what_it_should(self):
        made = circuit(
            battery(12.6, ohm=0.2),
            alternator(),
            resistor("R1", "A", BODY, 1.0),
            states=(state("run", positions=(("G1", "turning"),)),),
        )
        found = solve(
            made, [(), (parse_fault("G1:overcharges", made),), (parse_fault("G1:no-output", made),)]
        )
        volts = [found.voltage("A", "run", row) for row in range(3)]
        assert volts[1] > 15.5 > 14.3 > volts[0] > 13.5 > 12.7 > volts[2]


@pytest.mark.second_way("Ohm's law, by hand")
def test_an_output_cuts_out_above_its_limit():
    def amps(ohm):
        made = circuit(
            battery(12.0),
            part(Kind.OUTPUT, "OUT", "A", "B", ohms=0.1, limit=2.0),
            resistor("R1", "B", "0", ohm),
            states=(state("on", positions=(("OUT", "on"),)),),
        )
        return solve(made).current("R1", "on")

    assert amps(10.0) == pytest.approx(12.0 / 10.1, rel=1e-6)
    assert abs(amps(3.0)) < 1e-6


@pytest.mark.second_way("the divider of 5 V over 2.2 kΩ, by hand")
def test_a_sender_reads_as_the_state_sets_it():
    found = solve(every_kind())
    full, empty = found.voltage("CC", "rest"), found.voltage("CC", "empty")
    assert full == pytest.approx(5.0 * 300 / 2500, rel=1e-6)
    assert empty == pytest.approx(5.0 * 33 / 2233, rel=1e-6)


@pytest.mark.second_way("nothing flows behind an open fuse")
def test_a_wire_that_rubs_through_blows_its_fuse_and_it_stays_blown():
    made = circuit(
        battery(12.6, ohm=0.02),
        fuse("F1", "A", "B", 10),
        switch("S1", "B", "C"),
        plain_wire("W1", "C", "D", 0.02),
        resistor("R1", "D", BODY, 3.0),
        states=(state("rest"), state("on", "S1"), state("after", after="on")),
    )
    found = solve(made, [(), (parse_fault("W1:short-to-ground", made),)])
    assert not found.blown[0].any()
    assert found.blown[1].any(axis=1).tolist() == [False, True, True]
    assert abs(found.current("R1", "on", 1)) < 1e-6


@pytest.mark.second_way("12.6 V over 3 Ω, by hand")
def test_a_wire_shorted_to_a_live_one_feeds_its_load_with_the_switch_open():
    made = circuit(
        battery(12.6, ohm=0.02),
        switch("S1", "A", "C"),
        plain_wire("W1", "C", "D", 0.02),
        resistor("R1", "D", BODY, 3.0),
        states=(state("rest"), state("on", "S1")),
    )
    found = solve(made, [(parse_fault("W1:short-to-supply", made),)])
    assert found.current("R1", "rest") > 4
    modes = {mode.key for mode in fault_modes(made)}
    assert {"W1:short-to-ground", "W1:short-to-supply"} <= modes


def test_a_shorted_lamp_blows_the_fuse_before_it():
    made = circuit(battery(12.6, ohm=0.02), fuse("F1", "A", "B", 10), lamp("L1", "B", "0", 21))
    assert solve(made, [(parse_fault("L1:short", made),)]).blown.any()


@pytest.mark.reference("ISO 8820-3 points as transcribed from fuse makers' sheets; seen there")
@pytest.mark.parametrize("band", sorted(BANDS))
def test_a_fuse_opens_in_the_middle_of_its_band(band):
    for multiple, least_s, most_s in BANDS[band]:
        assert opens_at(band, np.sqrt(least_s * most_s)) == pytest.approx(multiple)
    assert opens_at(band, 360_000.0) == pytest.approx(1.1)
    times = np.geomspace(0.05, 1e6, 50)
    assert (np.diff([opens_at(band, time) for time in times]) <= 1e-12).all()


@pytest.mark.reference("Preece, published inverse table for copper: 40 A 0.0248 in; seen")
def test_a_link_held_for_long_melts_at_preeces_current():
    area_mm2 = np.pi / 4 * (0.0248 * 25.4) ** 2
    assert link_melts_a(area_mm2, 600.0) == pytest.approx(40.0, rel=0.005)


@pytest.mark.reference("SAE J537 as quoted on two pages: at -18 °C at least 7.2 V at the CCA")
def test_a_full_battery_at_minus_18_holds_its_cranking_test():
    made = circuit(
        make_part(
            "BAT",
            Kind.BATTERY,
            {"plus": "A", "minus": "0"},
            {"charge": 100.0, "cca": 600.0, "temperature": -18.0},
        ),
        resistor("R", "A", "0", 7.2 / 600.0),
    )
    found = solve(made)
    assert found.voltage("A", "on") == pytest.approx(7.2, abs=0.02)
    assert inner_resistance(600.0, temperature_c=20.0) < inner_resistance(600.0, temperature_c=0.0)
