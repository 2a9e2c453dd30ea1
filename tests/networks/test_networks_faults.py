"""Faults as a person writes them, and every way in which the parts of a circuit fail."""

import math
from itertools import pairwise

import pytest

from networks.made_circuits import (
    SHEETS,
    battery,
    circuit,
    resistor,
    sheet,
    state,
    switch,
    two_ends,
)
from witnessmark.errors import BenchError
from witnessmark.networks import BATTERY_MINUS, Fault, Kind, fault_modes, parse_fault, solve
from witnessmark.networks.fault_rates import mode_words

LEAST_SEEN_V = 1e-5
# A wiper that is not braked runs past its place: no steady voltage shows it.
ONLY_IN_MOTION = {("wiper-park", "S3.31b-31")}


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("G7:high=0.8", Fault(part="G7", mode="high", value=0.8)),
        ("G7:high=800 mΩ", Fault(part="G7", mode="high", value=0.8)),
        ("F12:blown", Fault(part="F12", mode="blown")),
        ("K3:coil-open", Fault(part="K3", mode="coil-open")),
        ("BAT:weak=40 %", Fault(part="BAT", mode="weak", value=40)),
        (" S2 : stuck-open ", Fault(part="S2", mode="stuck-open")),
    ],
)
def test_a_fault_is_read_as_it_is_written(text, fault):
    assert parse_fault(text, sheet("fan")) == fault


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("G7", "is not a fault"),
        ("G9:open", "has no part 'G9'"),
        ("G7:bent", "G7 cannot be 'bent'"),
        ("F12:blown=3", "takes no value"),
        ("G7:high", "does not say how much"),
        ("G7:high=0", "must be more than 0"),
        ("G7:high=-1", "must be more than 0"),
        ("G7:high=", "Nothing was entered"),
        ("G7:high=12 V", "is a voltage"),
        ("G7:high=nan", "is not one number"),
        ("BAT:weak=120", "at most 100"),
    ],
)
def test_what_is_no_fault_is_refused(text, said):
    with pytest.raises(BenchError, match=said) as caught:
        parse_fault(text, sheet("fan"))
    assert caught.value.do


@pytest.mark.parametrize("value", [2.5e-6, 0.8, 6.3e6])
def test_a_fault_of_any_size_is_written_so_that_it_can_be_read(value):
    fault = Fault(part="G7", mode="high", value=value)
    assert parse_fault(str(fault), sheet("fan")) == fault


@pytest.mark.parametrize("name", [path.stem for path in SHEETS])
def test_every_single_fault_can_be_written_read_back_and_solved(name):
    made = sheet(name)
    modes = fault_modes(made)
    assert {mode.part for mode in modes} == {part.name for part in made.parts}
    assert len({mode.key for mode in modes}) == len(modes)
    for mode in modes:
        assert mode.weight > 0
        assert mode.repair.endswith(mode.part)
        for fault in mode.faults:
            again = parse_fault(str(fault), made)
            assert again.key == fault.key
            assert math.isclose(again.value or 0, fault.value or 0, rel_tol=1e-5)


@pytest.mark.parametrize("name", [path.stem for path in SHEETS])
def test_every_single_fault_changes_something(name):
    made = sheet(name)
    faults = [(fault,) for mode in fault_modes(made) for fault in mode.faults]
    healthy, faulty = solve(made), solve(made, faults)
    for number, (fault,) in enumerate(faults):
        if (name, str(fault).partition(":")[0]) in ONLY_IN_MOTION:
            continue
        moved = abs(faulty.volts[number] - healthy.volts[0]).max()
        assert moved > LEAST_SEEN_V, f"{fault} cannot be seen anywhere"


def test_the_modes_of_one_part_that_one_repair_mends_share_it():
    repairs = {mode.repair for mode in fault_modes(sheet("fan")) if mode.part == "G7"}
    assert repairs == {"clean ground joint G7"}


@pytest.mark.second_way("supply over the healthy current, times the shares, by hand")
def test_a_joint_is_tried_bad_by_the_current_it_carries():
    (mode,) = [m for m in fault_modes(sheet("fan")) if (m.part, m.mode) == ("G7", "high")]
    seen_ohm = 12.6 / 7.97
    expected = [share * seen_ohm for share in (0.1, 0.16, 0.25, 0.4, 0.6, 0.8)]
    assert mode.severities == pytest.approx(expected, rel=0.001)


@pytest.mark.second_way("a two-lamp circuit, its currents and shares by hand")
def test_a_ground_that_two_loads_share_is_tried_bad_for_the_lesser_load_too():
    made = circuit(
        battery(12.0),
        switch("S1", "A", "B"),
        switch("S2", "A", "C"),
        resistor("HEATER", "B", "D", 1.0),
        resistor("LAMP", "C", "D", 4.0),
        two_ends(Kind.GROUND, "G1", "D", BATTERY_MINUS, ohms=0.002),
        states=(state("warm", "S1"), state("lit", "S2")),
    )

    (mode,) = [m for m in fault_modes(made) if (m.part, m.mode) == ("G1", "high")]

    # 12 A with the heater: 0.1 to 0.8 of 1 ohm. 3 A with the lamp: up to 0.8 of 4 ohm.
    assert mode.severities[0] == pytest.approx(0.1, rel=0.03)
    assert mode.severities[5] == pytest.approx(0.8, rel=0.03)
    assert mode.severities[-1] == pytest.approx(3.2, rel=0.03)
    steps = [after / before for before, after in pairwise(mode.severities)]
    assert max(steps) < 2.5


def test_a_part_of_rate_zero_is_never_suspected():
    from dataclasses import replace

    made = sheet("fan")
    spared = tuple(replace(p, rate=0.0) if p.name == "Fan" else p for p in made.parts)
    modes = fault_modes(replace(made, parts=spared))
    assert "Fan" not in {mode.part for mode in modes}


@pytest.mark.reference("rested voltage by state of charge, a page crediting the BCI; seen")
def test_a_weak_battery_rests_at_the_volts_of_its_charge():
    made = circuit(battery(12.65, ohm=0.006), resistor("R", "A", "0", 1e6))
    for charge, volts in ((75, 12.45), (50, 12.24), (25, 12.06)):
        found = solve(made, [(Fault(part="BAT", mode="weak", value=charge),)])
        assert found.voltage("A", "on") == pytest.approx(volts, abs=1e-3)


@pytest.mark.second_way("Ohm's law over the shorted sender, by hand")
@pytest.mark.parametrize("name", ["RF", "RT"])
def test_a_shorted_sender_is_short_wherever_it_stands(name):
    made = sheet("fuel-gauge")
    found = solve(made, [(parse_fault(f"{name}:short", made),)])
    sender = made.part(name)
    for setting in ("full", "half", "low"):
        across = found.voltage(sender.first, setting) - found.voltage(sender.second, setting)
        assert across == pytest.approx(0.02 * found.current(name, setting), rel=1e-6)
        assert found.current(name, setting) > 0.01


def test_a_stuck_contact_does_not_ask_its_coil():
    made = sheet("fan")
    stuck = solve(made, [(parse_fault("K3:stuck-closed", made),)])
    assert stuck.contacts[0, :, 0].tolist() == [True, True]
    assert stuck.current("Fan", "off") > 7
    never = solve(made, [(parse_fault("K3:stuck-open", made),)])
    assert never.contacts[0, :, 0].tolist() == [False, False]


@pytest.mark.parametrize("name", [path.stem for path in SHEETS])
def test_each_contact_is_named_once_by_where_it_is_closed(name):
    made = sheet(name)
    for mode in fault_modes(made):
        assert mode.words.count("contact ") == (1 if mode.piece else 0), mode.words
        assert "()" not in mode.words
        where = mode.words.partition("(")[2].partition(")")[0].split(", ")
        for position, pairs in made.part(mode.part).positions:
            assert (position in where) == (mode.piece in pairs), mode.words


@pytest.mark.parametrize(
    ("kind", "mode", "words"),
    [
        (Kind.RELAY, "stuck-open", "contacts do not close"),
        (Kind.SWITCH, "stuck-closed", "contacts do not open"),
        (Kind.SELECTOR, "stuck-open", "does not close"),
        (Kind.OUTPUT, "stuck-open", "does not switch on"),
        (Kind.BATTERY, "weak", "low charge"),
        (Kind.LAMP, "open", "burnt out"),
        (Kind.ALTERNATOR, "no-output", "no output"),
    ],
)
def test_a_way_to_fail_is_said_as_a_shop_says_it(kind, mode, words):
    """common practice, no published source"""
    assert mode_words(kind, mode) == words


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_a_ground_or_splice_of_a_general_circuit_says_what_it_is(path):
    """Read aloud after its name: "G3, ground of both rear lamps"."""
    for part in sheet(path.stem).parts:
        if part.kind in (Kind.GROUND, Kind.SPLICE) and part.words:
            assert {"ground", "splice", "strap"} & set(part.words.split()), part
            assert "here" not in part.words.split()
