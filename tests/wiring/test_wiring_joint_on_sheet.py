"""A bad joint in the circuit of its sheet: its ohms, its current, its heat."""

import pytest

from networks.made_circuits import battery, circuit, resistor, sheet, two_ends, wire
from witnessmark.errors import BenchError
from witnessmark.networks import BATTERY_MINUS, Fault, Kind, solve
from witnessmark.networks.solver import NODAL
from witnessmark.wiring.joint_heat import JointKind, joint_sentences
from witnessmark.wiring.joint_on_sheet import joint_on_sheet

SUPPLY_V, LOAD_OHM, OTHER_OHM, GOOD_OHM = 12.0, 2.0, 3.0, 0.004


def two_ways():
    """A load with a ground joint, and another way from there to the battery."""
    return circuit(
        battery(SUPPLY_V),
        resistor("R1", "A", "B", LOAD_OHM),
        two_ends(Kind.GROUND, "G1", "B", BATTERY_MINUS, ohms=GOOD_OHM),
        resistor("R2", "B", BATTERY_MINUS, OTHER_OHM),
    )


def found_in(whole, part, state, drop_v):
    return joint_on_sheet(whole, whole.part(part), state, drop_v)


@pytest.mark.second_way("Thévenin by hand: 12 V over 2 Ω and 3 Ω is 7.2 V behind 1.2 Ω")
def test_the_other_way_of_the_current_counts():
    whole = two_ways()
    found = found_in(whole, "G1", whole.states[0].name, 2.6)
    open_v = SUPPLY_V * OTHER_OHM / (LOAD_OHM + OTHER_OHM)
    behind_ohm = LOAD_OHM * OTHER_OHM / (LOAD_OHM + OTHER_OHM)
    now_a = (open_v - 2.6) / behind_ohm
    assert found.current_a == pytest.approx(now_a, rel=1e-3)
    assert found.joint_ohm == pytest.approx(2.6 / now_a, rel=1e-3)
    assert found.heat_w == pytest.approx(2.6 * now_a, rel=1e-3)
    assert found.good_current_a == pytest.approx(open_v / (behind_ohm + GOOD_OHM), rel=1e-3)
    assert found.good_heat_w == pytest.approx(found.good_current_a**2 * GOOD_OHM)
    assert found.worst_w == pytest.approx(open_v**2 / (4 * behind_ohm), rel=0.01)
    assert found.worst_ohm == pytest.approx(behind_ohm, rel=0.1)


@pytest.mark.second_way("the plain nodal solver with the found ohms shows the volts that were read")
@pytest.mark.parametrize(("part", "drop_v"), [("G1", 1.4), ("C1", 0.5), ("W4", 2.6)])
def test_the_circuit_with_these_ohms_shows_what_was_read(part, drop_v):
    lamps = sheet("headlamps")
    found = found_in(lamps, part, "head", drop_v)
    own_ohm = found.good_ohm if found.is_good_by_sheet else 0.0
    bad = Fault(part=part, mode="high", value=found.joint_ohm - own_ohm)
    again = solve(lamps, [(bad,)], ["head"], NODAL)
    now_a = abs(again.current(part, "head"))
    assert now_a * found.joint_ohm == pytest.approx(drop_v, rel=1e-3)
    assert now_a == pytest.approx(found.current_a, rel=1e-3)
    assert now_a < found.good_current_a


@pytest.mark.parametrize("drop_v", [-1.0, 0.0, 0.01, 7.3, 12.0])
def test_volts_that_no_joint_shows_there_are_refused_with_the_most(drop_v):
    whole = two_ways()
    with pytest.raises(BenchError, match=r"0\.024 V .* when it is good, and at most 7\.20 V"):
        found_in(whole, "G1", whole.states[0].name, drop_v)


def test_a_joint_without_current_does_not_heat():
    whole = circuit(
        battery(SUPPLY_V),
        resistor("R1", "A", BATTERY_MINUS, LOAD_OHM),
        wire("W1", "A", "B", 0.01),
    )
    with pytest.raises(BenchError, match="no current flows through W1"):
        found_in(whole, "W1", whole.states[0].name, 1.0)


def test_the_sentences_name_the_state_and_what_the_sheet_has():
    lamps = sheet("headlamps")
    found = found_in(lamps, "G1", "head", 1.4)
    heat, _, _, fuse = joint_sentences(found, None, JointKind.STUD)
    assert "worked out with headlamps and side lamp on in the whole circuit of the sheet" in heat
    assert "A good one has 3 mΩ by the sheet" in heat
    assert "taken as typed" not in heat
    assert "no greater than the usual 9.6" in fuse
