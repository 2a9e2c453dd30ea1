"""The healthy check: what it says of a right sheet, and that each slip of a sheet is named."""

from dataclasses import replace

import pytest

from networks.made_circuits import (
    SHEETS,
    battery,
    circuit,
    fuse,
    lamp,
    relay,
    resistor,
    sheet,
    state,
    switch,
    two_ends,
)
from witnessmark.diagnosis.healthy import check_healthy
from witnessmark.networks import Complaint, Kind, Look, State, make_part


def said(*parts, **more):
    """Return the sentences of each state, and the notices, of a made circuit."""
    healthy = check_healthy(circuit(*parts, **more))
    return {one.state: " ".join(one.sentences) for one in healthy.states}, [
        notice.sentence for notice in healthy.notices
    ]


def wire(name, first, second, size, length, standard="mm²"):
    sizes = {"size": size, "length": length}
    return make_part(
        name, Kind.WIRE, {"from": first, "to": second}, sizes, choices={"standard": standard}
    )


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_the_sheets_that_ship_have_nothing_to_look_at(path):
    assert check_healthy(sheet(path.stem)).notices == ()


@pytest.mark.second_way("Ohm's law by hand: 12 V over 0.5 + 5.5 ohm is 2 A, and 11 V at the heater")
def test_a_load_gets_what_ohm_s_law_leaves_it():
    parts = (battery(12.0), resistor("R1", "A", "B", 0.5), resistor("Heater", "B", "0", 5.5))
    told, notices = said(*parts)
    assert told["on"].startswith("R1 gets 1.0 V of 12.0 V, behind Heater, and draws 2.0 A. ")
    assert told["on"].endswith("Heater gets 11.0 V of 12.0 V and draws 2.0 A.")
    assert notices == []


@pytest.mark.second_way("Ohm's law by hand: 12 V over 2 + 4 ohm leaves 8 V, 67 %, at the heater")
def test_a_thin_wire_is_named_with_the_volts_it_takes():
    poor = two_ends(Kind.WIRE, "W1", "A", "B", ohms=2.0)
    told, notices = said(battery(12.0), poor, resistor("Heater", "B", "0", 4.0))
    assert told["on"] == ("Heater gets 8.0 V of 12.0 V and draws 2.0 A; 4.00 V is lost on the way.")
    assert notices == [
        "Heater gets only 67 % of the volts at BAT in the state “on”; W1 takes 4.0 V. Look at the "
        "size of W1."
    ]


@pytest.mark.reference("IEC 60228 gives 7.41 ohm/km for 2.5 mm² and 4.61 for 4 mm², at 20 °C")
def test_a_thicker_wire_is_seen_in_hundredths_where_tenths_do_not_move():
    def lost(size):
        parts = (
            battery(12.0),
            wire("W1", "A", "B", size, 1.0),
            resistor("R1", "B", "0", 4.0),
        )
        told, _ = said(*parts)
        before, _, after = told["on"].partition("; ")
        assert before == "R1 gets 12.0 V of 12.0 V and draws 3.0 A"
        return after

    for size, ohm_per_m in ((2.5, 7.41e-3), (4.0, 4.61e-3)):
        by_hand = 12.0 * ohm_per_m / (4.0 + ohm_per_m)
        assert lost(size) == f"{by_hand:.2f} V is lost on the way."


def test_what_another_load_takes_is_not_lost_and_what_a_diode_takes_is():
    told, _ = said(battery(12.0), resistor("R1", "A", "B", 6.0), resistor("R2", "B", "0", 6.0))
    assert "lost" not in told["on"]
    sizes = {"drop": 0.7, "at": 1.0, "per_decade": 0.1}
    diode = make_part("D1", Kind.DIODE, {"from": "B", "to": "0"}, sizes)
    told, _ = said(battery(12.0), resistor("R1", "A", "B", 11.3), diode)
    assert told["on"] == "R1 gets 11.3 V of 12.0 V and draws 1.0 A; 0.70 V is lost on the way."


def heater(**sizes):
    return two_ends(Kind.HEATER, "Heater", "A", "0", **sizes)


@pytest.mark.second_way("Ohm's law by hand: 12² / 120 is 1.2 ohm, and 12.6 V over it are 10.5 A")
def test_a_heater_told_by_its_power_is_its_ohms_at_those_volts():
    told, notices = said(battery(12.6, 1e-6), heater(power=120.0, volts=12.0))
    assert told["on"] == "Heater gets 12.6 V of 12.6 V and draws 10.5 A."
    assert notices == []


def test_a_heater_that_warms_nothing_is_asked_whether_ohms_or_watts_are_meant():
    _, notices = said(battery(12.6, 1e-6), heater(ohms=120.0))
    assert notices == [
        "Heater of 120 Ω uses only 1.3 W at 12.6 V, too little to warm anything. Ohms or watts? "
        "Watts are typed as its power."
    ]
    _, notices = said(battery(12.6, 1e-6), heater(power=1.2, volts=12.0))
    assert notices == [
        "Heater of 1.2 W uses only 1.3 W at 12.6 V, too little to warm anything. Watts or ohms? "
        "Ohms are typed as its resistance."
    ]


@pytest.mark.second_way("by hand: 12.6² / (240² / 120) is 0.33 W, and 12.6² / 48 is 3.3 W")
def test_one_yardstick_for_heaters_however_they_are_told():
    _, notices = said(battery(12.6, 1e-6), heater(power=120.0, volts=240.0))
    assert notices[0].startswith("Heater of 120 W uses only 0.33 W at 12.6 V")
    assert said(battery(12.6, 1e-6), heater(ohms=48.0))[1] == []


@pytest.mark.parametrize("sizes", [{"ohms": 28.8}, {"power": 5.0, "volts": 12.0}])
def test_the_small_heater_of_a_washer_nozzle_and_two_in_a_row_are_not_asked(sizes):
    assert said(battery(12.6, 1e-6), heater(**sizes))[1] == []
    row = [two_ends(Kind.HEATER, *ends, ohms=20.0) for ends in (("H1", "A", "B"), ("H2", "B", "0"))]
    assert said(battery(12.6), *row)[1] == []


def test_what_the_check_cannot_tell_is_said_with_and_without_a_notice():
    whole = check_healthy(circuit(battery(12.0), resistor("R1", "A", "0", 6.0)))
    assert whole.closing.startswith(
        "Nothing looks wrong. The check can only tell what is impossible. "
    )
    odd = check_healthy(circuit(battery(12.0), heater(ohms=120.0)))
    assert odd.closing.startswith("The check can only tell what is impossible. Compare ")


def test_a_relay_says_that_it_pulls_in_and_the_load_in_which_states():
    parts = (
        battery(12.6, 0.02),
        switch("S1", "A", "G"),
        relay("K3", "A", "C", ("G", "0")),
        resistor("Fan", "C", "0", 1.5),
    )
    told, notices = said(*parts, states=(state("off"), state("run", "S1")))
    assert told["off"] == "Fan gets nothing."
    assert told["run"].endswith("Relay K3 pulls in.")
    assert notices == []


def test_a_load_that_no_state_runs_and_what_lies_before_it_are_named():
    parts = (
        battery(12.0),
        *(switch("S1", "A", "B"), lamp("L1", "B", "0", 21.0)),
        *(two_ends(Kind.WIRE, "W1", "A", "C", ohms=0.01), switch("S2", "C", "D")),
        *(two_ends(Kind.WIRE, "W2", "D", "E", ohms=0.01), lamp("L2", "E", "0", 21.0)),
    )
    _, notices = said(*parts, states=(state("off"), state("run", "S1")))
    assert notices == [
        "L2 runs in no state. Add the state in which it runs, or look at its ends.",
        "No state moves S2, and no current flows through it. Add the state that uses it, or look "
        "at its ends.",
        "No current flows through W1 and W2 in any state. Add the state that uses them, or look at "
        "their ends.",
    ]


@pytest.mark.second_way("Ohm's law by hand: 12 V over 1 ohm is 12 A, more than 10 A")
def test_a_fuse_above_its_rating_is_named():
    _, notices = said(
        battery(12.0), fuse("F1", "A", "B", 10.0, ohm=1e-6), resistor("R1", "B", "0", 1.0)
    )
    assert notices == [
        "F1 carries 12.0 A in the state “on”, more than its rating of 10 A. Look at its rating and "
        "at the loads behind it."
    ]


@pytest.mark.reference("AC 43.13-1B 11-47: a protector opens before the wire is hurt; seen")
def test_a_fuse_that_opens_too_late_for_the_thinnest_wire_behind_it_is_named():
    def behind(rating_a, *sizes):
        points = ["B", *(f"P{at}" for at in range(1, len(sizes))), "C"]
        wires = [
            wire(f"W{at}", points[at], points[at + 1], size, 1.0) for at, size in enumerate(sizes)
        ]
        load = resistor("R1", "C", "0", 12.0)
        return said(battery(12.0), fuse("F1", "A", "B", rating_a), *wires, load)[1]

    assert behind(25.0, 2.5, 0.5) == [
        "F1 does not save W1 of 0.50 mm² behind it: with a short there, the wire would be hurt "
        "before the fuse opens. Look at its rating and at that size."
    ]
    assert behind(7.5, 2.5, 0.5) == behind(25.0, 4.0) == []


def test_a_fuse_that_is_called_by_another_rating_than_its_own_is_named():
    def called(words):
        named = replace(fuse("F1", "A", "B", 25.0), words=words)
        return said(battery(12.0), named, resistor("R1", "B", "0", 1.0))[1]

    assert called("low beam, 20 A") == [
        "F1 is called “low beam, 20 A”, and its rating is 25 A. Look which one is right, and "
        "change the other."
    ]
    assert called("7,5 A")
    for words in ("low beam, 25 A", "25A", "25.0 A", "low beam", "fuse 4 of block A", ""):
        assert called(words) == []


def test_a_fuse_that_blows_is_named_and_its_load_gets_nothing():
    told, notices = said(battery(12.0), fuse("F1", "A", "B", 5.0), resistor("R1", "B", "0", 0.5))
    assert told["on"] == "R1 gets nothing. Fuse F1 blows."
    assert notices == ["F1 blows in the state “on”. Look at its rating and at what it feeds."]


def work_lamp(rating_a, lamp_w, *states, complaints=()):
    """Return the notices of a lamp behind a fuse and a switch."""
    parts = (
        battery(12.6, 0.02),
        fuse("F1", "A", "B", rating_a),
        two_ends(Kind.WIRE, "W1", "B", "C", ohms=0.005),
        switch("S1", "C", "D"),
        two_ends(Kind.WIRE, "W2", "D", "E", ohms=0.005),
        lamp("L1", "E", "F", lamp_w),
        two_ends(Kind.GROUND, "G1", "F", "0", ohms=0.003),
    )
    return said(*parts, states=states, complaints=complaints)[1]


OFF = State(name="off", words="everything switched off")
ON = State(name="on", words="the work lamp on", closed=frozenset({"S1"}))
DIM = Complaint(key="dim", words="The lamp is dim", load="L1", state="on", looks=Look.WEAK)


@pytest.mark.parametrize(("rating_a", "lamp_w"), [(15.0, 550.0), (3.0, 55.0)])
def test_what_follows_from_a_fuse_that_blows_is_no_mistake_of_its_own(rating_a, lamp_w):
    assert work_lamp(rating_a, lamp_w, OFF, ON, complaints=(DIM,)) == [
        "F1 blows with the work lamp on. Look at its rating and at what it feeds."
    ]
    assert work_lamp(15.0, 55.0, OFF, ON, complaints=(DIM,)) == []


def test_a_part_that_is_idle_for_another_reason_is_named_beside_a_fuse_that_blows():
    parts = (
        battery(12.0),
        fuse("F1", "A", "B", 5.0),
        resistor("R1", "B", "0", 0.5),
        *(switch("S2", "A", "C"), lamp("L2", "C", "0", 21.0)),
    )
    _, notices = said(*parts, states=(State(name="on", words="all on"),))
    assert notices[0].startswith("F1 blows with all on. ")
    assert notices[1:] == ["No state switches anything on yet. Add the state in which S2 is on."]


def test_that_no_state_switches_anything_on_is_said_once():
    one = ["No state switches anything on yet. Add the state in which S1 is on."]
    assert work_lamp(15.0, 55.0, OFF) == one
    dim_at_rest = replace(DIM, state="off")
    assert work_lamp(15.0, 55.0, OFF, complaints=(dim_at_rest,)) == one


def test_two_states_are_named_by_their_words():
    more = State(name="more", words="the key at start", closed=frozenset({"S1"}))
    notices = work_lamp(3.0, 55.0, OFF, ON, more)
    assert notices[0].startswith("F1 blows with the work lamp on and with the key at start. ")


def test_a_short_circuit_is_named_with_its_way_and_its_states():
    parts = (
        battery(12.0, 0.02),
        resistor("R1", "A", "0", 6.0),
        switch("S1", "A", "B"),
        two_ends(Kind.WIRE, "W1", "B", "0", ohms=0.01),
    )
    _, notices = said(*parts, states=(state("off"), state("run", "S1"), state("more", "S1")))
    assert notices[0] == (
        "A short circuit in the state “run” and in the state “more”: S1 and W1 join both posts of "
        "BAT, and nothing on that way uses the current. Look at their ends."
    )


def test_a_short_circuit_behind_a_fuse_is_named_though_the_fuse_has_blown():
    parts = (
        battery(12.0, 0.02),
        resistor("R1", "A", "0", 6.0),
        fuse("F1", "A", "B", 10.0),
        two_ends(Kind.WIRE, "W1", "B", "0", ohms=0.01),
    )
    _, notices = said(*parts)
    assert notices[0].startswith(
        "A short circuit in the state “on”: F1 and W1 join both posts of BAT"
    )
    assert notices[1].startswith("F1 blows in the state “on”.")


@pytest.mark.reference("33 CFR 183.425 table 5, public law: 18 AWG, 60 °C, carries 10 A")
def test_a_wire_above_its_amps_is_named_and_one_below_is_not():
    area = 0.8231  # mm² of 18 AWG
    for amps, is_named in ((9.9, False), (10.2, True)):
        parts = (
            battery(12.0),
            wire("W1", "A", "B", area, 0.01, "AWG"),
            resistor("R1", "B", "0", 12.0 / amps),
        )
        _, notices = said(*parts)
        assert any("a wire of 18 AWG bears 10 A" in one for one in notices) is is_named


def test_a_starter_cable_may_carry_twice_its_amps_while_it_cranks():
    def notices(ohm):
        cable = wire("W1", "A", "B", 35.0, 1.0)
        return said(battery(12.0), cable, two_ends(Kind.MOTOR, "M1", "B", "0", ohms=ohm))[1]

    assert notices(0.06) == []
    assert "Look at its size" in notices(0.02)[0]


def test_a_buzzing_relay_is_named():
    parts = (
        battery(12.0),
        relay("K1", "A", "B", ("B", "0"), closes_at_rest=True),
        resistor("R1", "A", "0", 10.0),
    )
    told, notices = said(*parts)
    assert "finds no rest and chatters" in told["on"]
    assert notices[0].startswith("A relay chatters in the state “on”: its own contact takes")
    assert notices[0].endswith("Look at the ends of its coil and its contact.")


def test_a_complaint_of_what_the_healthy_circuit_does_too_is_named():
    parts = (battery(12.0), switch("S1", "A", "B"), lamp("L1", "B", "0", 21.0))
    complaints = (
        Complaint(key="dead", words="No light", load="L1", state="off", looks=Look.DEAD),
        Complaint(key="on", words="Stays on", load="L1", state="run", looks=Look.ON),
        Complaint(key="dim", words="Dim", load="L1", state="run", looks=Look.WEAK),
    )
    _, notices = said(*parts, states=(state("off"), state("run", "S1")), complaints=complaints)
    assert notices == [
        "The complaint 'No light' has L1 dead in the state “off”, where it gets nothing in the "
        "healthy circuit either. Look at its state.",
        "The complaint 'Stays on' has L1 on in the state “run”, where it is on in the healthy "
        "circuit too. Look at its state.",
    ]


@pytest.mark.second_way("Ohm's law by hand: 6 V between the two batteries over 0.2 ohm is 30 A")
def test_two_batteries_of_different_volts_side_by_side_are_named():
    parts = (
        battery(12.0, 0.1),
        battery(18.0, 0.1, name="BAT2"),
        resistor("R1", "A", "0", 1e4),
    )
    _, notices = said(*parts)
    assert notices == [
        "BAT2 pushes 30 A into BAT in the state “on”. Look at their posts and at their volts at "
        "rest."
    ]
