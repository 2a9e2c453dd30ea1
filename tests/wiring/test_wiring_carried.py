"""What runs together through one part: sums of loads, in the worst state of the sheet."""

import pytest

from networks.made_circuits import (
    battery,
    circuit,
    fuse,
    lamp,
    resistor,
    sheet,
    state,
    switch,
    wire,
)
from witnessmark.networks import solve
from witnessmark.wiring.carried import fuses_before, wires_behind, worst_carried

LADDER = "Ladder Networks, 240 V over 5, 6, 4, 6, 1 and 2 Ω: 30 A in all, 10 A in the last; seen"


def carried(made, part):
    return worst_carried(made, solve(made), part)


def two_lamps(*states):
    """A fuse, a shared feed, and two lamps of 24 W at 12 V, each on its own switch and wire."""
    return circuit(
        battery(12.0),
        fuse("F1", "A", "B", 10.0, ohm=1e-5),
        wire("W1", "B", "C", 1e-5),
        switch("S1", "C", "D", 1e-5),
        wire("W2", "D", "E", 1e-5),
        lamp("L1", "E", "0", 24.0),
        switch("S2", "C", "F", 1e-5),
        wire("W3", "F", "G", 1e-5),
        lamp("L2", "G", "0", 24.0),
        states=states,
    )


@pytest.mark.reference(LADDER)
def test_the_feed_of_a_ladder_carries_the_sum_of_what_its_rungs_take():
    made = circuit(
        battery(240.0),
        fuse("F1", "A", "B", 60.0, ohm=1e-5),
        wire("R1", "B", "C", 5.0),
        resistor("R2", "C", "0", 6.0),
        wire("R3", "C", "D", 4.0),
        resistor("R4", "D", "0", 6.0),
        wire("R5", "D", "E", 1.0),
        resistor("R6", "E", "0", 2.0),
    )
    fed = carried(made, "F1")
    assert fed.current_a == pytest.approx(30.0, abs=0.01)
    # 90 V over 6 Ω, 30 V over 6 Ω, and the 10 A of the last rung: printed node volts
    assert {one.words: round(one.current_a, 2) for one in fed.counted} == {
        "R2": 15.0,
        "R6": 10.0,
        "R4": 5.0,
    }
    assert carried(made, "R5").current_a == pytest.approx(10.0, abs=0.01)


@pytest.mark.second_way("Ohm's law by hand: 24 W at 12 V take 2 A")
def test_the_fuse_carries_both_lamps_and_each_wire_its_own():
    made = two_lamps(state("left", "S1"), state("both", "S1", "S2"), state("off"))
    for part in ("F1", "W1"):
        fed = carried(made, part)
        assert fed.state == "both" and fed.is_shared
        assert fed.current_a == pytest.approx(4.0, abs=0.01)
        assert [one.words for one in fed.counted] == ["L1", "L2"]
    own = carried(made, "W3")
    assert own.current_a == pytest.approx(2.0, abs=0.01)
    assert own.sentence == "W3 carries 2 A with both: L2 2 A."
    assert not own.is_shared


@pytest.mark.second_way("Ohm's law by hand: 24 W at 12 V take 2 A")
def test_loads_that_no_state_switches_on_together_are_not_added():
    made = two_lamps(state("left", "S1"), state("right", "S2"))
    assert carried(made, "F1").current_a == pytest.approx(2.0, abs=0.01)


def test_the_sentence_names_every_load_that_was_counted():
    horn = carried(sheet("horn"), "F9")
    assert horn.state == "press"
    assert [one.words for one in horn.counted] == [
        "H1 low horn",
        "H2 high horn",
        "coil of K2 horn relay",
    ]
    assert horn.sentence.startswith("F9 20 A carries ")
    assert " A with the button pressed: H1 low horn 5." in horn.sentence


@pytest.mark.second_way("Kirchhoff's current law: the loads' own currents, added up")
@pytest.mark.parametrize("name", ["horn", "headlamps", "rear-heater", "brake-lamps", "body-front"])
def test_what_is_counted_adds_up_to_what_flows(name):
    made = sheet(name)
    solved = solve(made)
    for part in made.parts:
        fed = worst_carried(made, solved, part.name)
        if fed is None or part.kind.value == "battery" or not fed.counted:
            continue
        assert sum(one.current_a for one in fed.counted) == pytest.approx(
            fed.current_a, rel=0.02, abs=0.1
        ), part.name


def test_a_shared_ground_carries_the_loads_before_it():
    ground = carried(sheet("headlamps"), "G1")
    assert ground.state == "head"
    assert [one.words for one in ground.counted] == [
        "L1 left headlamp",
        "L2 right headlamp",
        "L3 side lamp",
    ]


@pytest.mark.second_way("Ohm's law by hand: 12.6 V over 85 Ω")
def test_a_fuse_of_a_coil_does_not_carry_the_lamps_that_the_coil_switches():
    coil = carried(sheet("headlamps"), "F2")
    assert [one.words for one in coil.counted] == ["coil of K5 headlamp relay"]
    assert coil.current_a == pytest.approx(12.6 / 85, rel=0.02)


def test_a_load_counts_itself_and_what_carries_nothing_is_none():
    made = sheet("horn")
    assert [one.words for one in carried(made, "H1").counted] == ["H1 low horn"]
    assert carried(two_lamps(state("left", "S1")), "W3") is None


def test_the_fuse_before_a_part_and_the_wires_behind_a_fuse():
    made = sheet("rear-heater")
    solved = solve(made)
    assert fuses_before(made, solved, "W1") == ("F1",)
    assert fuses_before(made, solved, "W3") == ("F2",)
    assert fuses_before(made, solved, "F2") == ("F2",)
    # behind the 30 A fuse the mirrors have a fuse of their own
    assert wires_behind(made, solved, "F1") == ("W1",)
    assert set(wires_behind(made, solved, "F2")) == {"W3", "W4"}
    lamps = sheet("headlamps")
    assert set(fuses_before(lamps, solve(lamps), "G1")) == {"F4", "F6"}
