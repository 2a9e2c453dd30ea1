"""Where a repaired circuit loses its volts, from the solver, against a set of limits."""

import re
from decimal import Decimal

import pytest

from networks.made_circuits import battery, circuit, resistor, sheet, state, switch, two_ends
from witnessmark.diagnosis.path import way_of
from witnessmark.errors import BenchError
from witnessmark.networks import Fault, Kind, solve
from witnessmark.wiring.budget import Side, budget, loads_of
from witnessmark.wiring.drop import drop_limits, own_limits


def losses(made, load, where, limits, faults=()):
    way = way_of(made, load, where)
    return budget(
        made,
        solve(made, [faults], [where]),
        load=load,
        state=where,
        points=way.main.points,
        pieces=way.main.pieces,
        limits=limits,
    )


@pytest.mark.second_way("Ohm's law around the loop, by hand, 7.97 A")
def test_the_fan_loses_what_its_points_say():
    found = losses(sheet("fan"), "Fan", "run", drop_limits("accessory"))
    # A to F: 12.44 12.40 12.32 12.14 0.18 0.02 V, to two digits
    assert found.current_a == pytest.approx(7.97, abs=0.01)
    assert found.supply_v == pytest.approx(12.44, abs=0.005)
    assert found.lost_v(Side.FEED) == pytest.approx(12.44 - 12.14, abs=0.01)
    assert found.lost_v(Side.GROUND) == pytest.approx(0.18, abs=0.005)
    assert found.lost_v(Side.LOAD) == pytest.approx(12.14 - 0.18, abs=0.01)


def test_the_three_volts_of_the_sentence_add_up_as_printed():
    for name in ("fan", "headlamps", "horn", "starting", "rear-heater"):
        made = sheet(name)
        for one in loads_of(made, solve(made)):
            found = losses(made, one.load, one.state, drop_limits("accessory"))
            gets, supply, lost = map(Decimal, re.findall(r"(\d+\.\d\d) V", found.sentence))
            assert gets + lost == supply, found.sentence
            assert abs(gets - Decimal(found.lost_v(Side.LOAD))) < Decimal("0.011")


def test_the_drops_add_up_to_the_volts_between_the_posts():
    for name in ("fan", "headlamps", "horn", "starting"):
        made = sheet(name)
        one = loads_of(made, solve(made))[0]
        found = losses(made, one.load, one.state, drop_limits("accessory"))
        assert sum(loss.drop_v for loss in found.losses) == pytest.approx(found.supply_v, abs=1e-6)
        assert all(loss.drop_v >= 0 for loss in found.losses)


def test_a_bad_ground_joint_fails_the_ground_side_and_is_named():
    bad = (Fault(part="G7", mode="high", value=0.5),)
    found = losses(sheet("fan"), "Fan", "run", drop_limits("classroom"), bad)
    assert not found.is_within
    failed = {line.name: line.sentence for line in found.lines if not line.passed}
    assert "Ground side" in failed and "G7 ground joint" in failed
    assert "Most of it in G7 ground joint" in failed["Ground side"]
    assert "outside the limits" in found.sentence


def test_each_group_of_parts_is_told_from_the_others():
    found = losses(sheet("fan"), "Fan", "run", drop_limits("classroom"))
    groups = {loss.piece: (loss.side, loss.group) for loss in found.losses}
    assert groups["F12"] == (Side.FEED, "fuse")
    assert groups["K3.contact"] == (Side.FEED, "switch")
    assert groups["W1"] == (Side.FEED, "wire")
    assert groups["C4"] == (Side.FEED, "connection")
    assert groups["Fan"] == (Side.LOAD, "load")
    assert groups["S9"] == groups["G7"] == (Side.GROUND, "connection")


@pytest.mark.reference("load-tester manual, starter draw test: feed 0.5 V, ground 0.3 V; seen")
def test_a_healthy_starter_keeps_the_limits_of_its_own_set():
    made = sheet("starting")
    where = next(one.state for one in loads_of(made, solve(made)) if one.load == "M1")
    found = losses(made, "M1", where, drop_limits("starter"))
    limits = {line.name: line.allowed_v for line in found.lines}
    assert limits == {"Feed and ground together": 0.8, "Feed": 0.5, "Ground side": 0.3}
    assert found.is_within, found.lines


@pytest.mark.second_way("Ohm's law by hand: 12 V over 1, 4 and 1 Ω")
def test_a_circuit_of_three_resistors_by_hand():
    made = circuit(
        battery(12.0),
        resistor("R1", "A", "B", 1.0),
        two_ends(Kind.MOTOR, "M", "B", "C", ohms=4.0),
        switch("S", "C", "0", 1.0),
        states=(state("on", "S"), state("off")),
    )
    found = losses(made, "M", "on", own_limits(5))
    assert [loss.drop_v for loss in found.losses] == pytest.approx([2, 8, 2], abs=1e-4)
    assert found.is_within
    assert found.sentence == (
        "M gets 8.00 V of 12.00 V at 2 A; 4.00 V is lost on the way, within the limits."
    )


def test_loads_are_offered_with_their_current_in_the_states_in_which_they_are_on():
    made = sheet("headlamps")
    found = loads_of(made, solve(made))
    assert {(one.load, one.state) for one in found} == {
        ("L1", "head"),
        ("L2", "head"),
        ("L3", "side"),
        ("L3", "head"),
    }
    assert all(one.current_a > 0 for one in found)


def test_a_load_that_is_off_has_no_budget():
    with pytest.raises(BenchError, match="takes no current with everything switched off"):
        losses(sheet("fan"), "Fan", "off", drop_limits("accessory"))


def test_a_lamp_through_which_a_fan_s_ground_current_strays_is_not_on():
    """The fan's drop on the shared stud drives hundredths of an ampere through the dark lamps."""
    made = sheet("body-front")
    on = {(one.load, one.state) for one in loads_of(made, solve(made))}

    assert ("FM", "fan") in on and ("LL", "low") in on and ("SL", "side") in on
    assert not {load for load, state in on if state == "fan"} & {"LL", "LR", "FL", "FR"}
