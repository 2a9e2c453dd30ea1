"""One verdict on the drop: the size is chosen by the sums that the whole way is judged by."""

import pytest

from networks.made_circuits import battery, circuit, resistor, sheet, two_ends
from witnessmark.diagnosis.path import way_of
from witnessmark.networks import Kind, solve
from witnessmark.wiring.budget import TOGETHER, budget
from witnessmark.wiring.drop import drop_limits, own_limits
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.renewed import held_of, with_new_wire
from witnessmark.wiring.sizing import Run, size_wire


def lost(made, load, where, limits):
    way = way_of(made, load, where)
    return budget(
        made,
        solve(made),
        load=load,
        state=where,
        points=way.main.points,
        pieces=way.main.pieces,
        limits=limits,
    )


def sized(found, renewed, limits, current_a, length_m):
    return size_wire(
        Run(
            current_a=current_a,
            length_m=length_m,
            limits=limits,
            cover=insulation("pvc-105"),
            held=held_of(found, renewed),
        )
    )


def three(rest_ohm):
    """12 V over a joint, a wire of 2.5 mm² and 5 m, and a load of 2 Ω."""
    return circuit(
        battery(12.0),
        two_ends(Kind.CONNECTOR, "C1", "A", "B", ohms=rest_ohm),
        two_ends(Kind.WIRE, "W1", "B", "C", size=2.5, length=5.0),
        resistor("R1", "C", "0", 2.0),
    )


@pytest.mark.second_way("Ohm's law by hand: 12 V over 0.02, 0.0345 and 2 Ω, 5.84 A")
def test_a_limit_is_split_between_the_wire_and_the_rest_of_its_way():
    (held,) = held_of(lost(three(0.02), "R1", "on", own_limits(0.5)), ("W1",))
    assert (held.words, held.allowed_v) == (TOGETHER, 0.5)
    assert held.rest_v == pytest.approx(5.84 * 0.02, abs=0.001)
    assert held.was_v == pytest.approx(5.84 * 5 / 58 / 2.5, abs=0.001)
    assert not held.is_past


@pytest.mark.parametrize("limits", [own_limits(0.5), own_limits(0.3), drop_limits("classroom")])
@pytest.mark.parametrize("name", ["fan", "headlamps", "rear-heater", "horn"])
def test_what_the_size_is_told_and_what_the_way_is_told_never_differ(name, limits):
    """The test of each size has the verdict of the whole way with that size in it."""
    made = sheet(name)
    load = {"fan": "Fan", "headlamps": "L1", "rear-heater": "H1", "horn": "H1"}[name]
    where = {"fan": "run", "headlamps": "head", "rear-heater": "heat", "horn": "press"}[name]
    wire = {"fan": "W1", "headlamps": "W3", "rear-heater": "W1", "horn": "W1"}[name]
    found = lost(made, load, where, limits)
    current_a = abs(solve(made).current(wire, where))
    for row in sized(found, (wire,), limits, current_a, 2.0).rows:
        whole = with_new_wire(found, (wire,), row.drop_v, limits)
        sums = [line for line in whole.lines if wire in line.pieces]
        past = any(held.is_past for held in held_of(found, (wire,)))
        check = next(one for one in row.checks if one.name == "Drop")
        if not past:
            assert check.passed == all(line.passed for line in sums), row.size.label
        assert sum(one.drop_v for one in whole.losses) == pytest.approx(found.supply_v, abs=1e-6)


def test_the_volts_are_the_same_in_both_places():
    made, limits = three(0.02), own_limits(0.5)
    found = lost(made, "R1", "on", limits)
    row = sized(found, ("W1",), limits, found.current_a, 5.0).answer
    check = next(one for one in row.checks if one.name == "Drop")
    whole = with_new_wire(found, ("W1",), row.drop_v, limits)
    said = whole.lines[0].sentence.removeprefix(f"{TOGETHER}: ").removesuffix(".")
    assert f"with {row.size.label}: {said}." in check.sentence


def test_where_the_healthy_circuit_is_past_the_limit_the_old_size_is_what_counts():
    limits = own_limits(0.3)
    found = lost(three(0.1), "R1", "on", limits)
    (held,) = held_of(found, ("W1",))
    assert held.is_past
    answer = sized(found, ("W1",), limits, found.current_a, 5.0).answer
    assert answer.size.label == "2.5 mm²"
    check = next(one for one in answer.checks if one.name == "Drop")
    assert "no size of this wire is judged by that limit" in check.sentence
    assert "held to the wire that was there" in check.sentence


def test_a_wire_that_is_not_on_the_way_is_held_to_nothing_of_it():
    found = lost(sheet("headlamps"), "L1", "head", own_limits(0.5))
    assert held_of(found, ("W4",)) == ()
    assert with_new_wire(found, ("W4",), 1.0, own_limits(0.5)) == found
