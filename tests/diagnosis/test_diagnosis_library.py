"""Every circuit of the library: a hidden likely fault of a complaint is found by the advice."""

import numpy as np
import pytest

from diagnosis.bench_play import Vehicle, every_complaint
from diagnosis.sheets_shipped import ALL, circuit
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.observations import Observation, parse_test_key
from witnessmark.networks import parse_fault

MOST_TESTS = 8
# Faults that a teacher may set, one or two a circuit, and the complaint they bring; by hand.
HIDDEN = [
    ("blower-pack", "weak", "G1:high=0.3"),
    ("blower-pack", "no-first", "S2.B-1:stuck-open"),
    ("blower-relay", "no-top", "K2:coil-open"),
    ("body-front", "left-dim", "W3:high=0.8"),
    ("body-front", "left-dim", "G1:high=1.8"),  # a stud that the fan, of 18 A, shares
    ("brake-lamps", "trailer", "C3:open"),
    ("charging", "weak", "ALT:no-output"),
    ("charging", "lamp-on", "ALT:no-output"),
    ("charging", "lamp-dead", "L1:open"),
    ("cooling-fan", "no-low", "S2:stuck-open"),
    ("fuel-gauge", "empty", "RF:open"),
    ("fuel-gauge", "reads-low", "G1:high=60"),
    ("fuel-pump", "weak", "C2:high=0.6"),
    ("headlamps-changeover", "left-high-dim", "G1:high=0.8"),
    ("ignition-feed", "no-spark", "F2:blown"),
    ("ignition-feed", "instruments", "F4:blown"),
    ("interior-lamp", "stays-on", "S2:stuck-closed"),
    ("rear-heater", "weak", "G1:high=0.3"),
    ("rear-heater", "stays-on", "K1:stuck-closed"),
    ("trailer-socket", "tail-dim", "C5:high=3"),
    ("turn-hazard", "rear-dim", "C2:high=2"),
    ("window", "no-up", "SU.M-B:stuck-open"),
    ("window", "slow", "G1:high=0.6"),
    ("wiper-park", "no-park", "W3:open"),
]


class _Truth:
    """Answers without noise: what is likeliest, and what the solver says."""

    def normal(self, true, _):
        return true

    def choice(self, outcomes, p):
        return outcomes[int(np.argmax(p))]

    def random(self):
        return 0.5


def _find(name, complaint, fault):
    sheet = circuit(f"{name}.toml")
    hidden = parse_fault(fault, sheet)
    said = [Observation(complaint=complaint, source="here")]
    assert complaint in [one.complaint for one in every_complaint(sheet, (hidden,))]
    vehicle = Vehicle(sheet, hidden, seed=0, complaints=said)
    vehicle.random = _Truth()
    readings = []
    found = find_run(sheet, said, readings)
    while found.next_test is not None and len(readings) < MOST_TESTS:
        readings.append(vehicle.answer(parse_test_key(found.next_test.key)))
        found = find_run(sheet, said, readings)
    return hidden, found


def test_every_circuit_has_a_fault_to_find():
    four = {"fan", "headlamps", "horn", "starting"}  # played whole in the tests of Find
    assert {name for name, _, _ in HIDDEN} | four == {name.removesuffix(".toml") for name in ALL}


def test_a_plug_and_its_wire_that_nothing_parts_are_both_named():
    """The joint between them lies in the loom: the sheet asks for a point there."""
    _, found = _find("rear-heater", "weak", "C1:high=0.3")

    assert found.stop.kind == "no test"
    assert "would not tell a bad feed, C1 or W1 apart" in found.stop.sentence


@pytest.mark.parametrize(("name", "complaint", "fault"), HIDDEN)
def test_a_hidden_fault_is_found_by_the_advised_tests(name, complaint, fault):
    hidden, found = _find(name, complaint, fault)

    assert found.stop.kind == "cause", found.stop.sentence
    assert hidden.part in found.stop.parts
    assert found.questioned == ()
