"""A vehicle with a known fault that answers tests, and crews that choose tests in their own way."""

import numpy as np

from witnessmark.diagnosis import observations as o
from witnessmark.diagnosis.advice import minutes_of
from witnessmark.diagnosis.belief import meter_uncertainty
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.find import dictionary_of, find_run
from witnessmark.diagnosis.observations import Observation, parse_test_key
from witnessmark.networks.circuit import Circuit, Look
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.solver import solve
from witnessmark.networks.test_lamp import TEST_LAMP, with_lamp
from witnessmark.quantities import parse

MOST_TESTS = 12


class Vehicle:
    """One vehicle with one fault; its meter is noisy as the belief expects."""

    def __init__(self, circuit: Circuit, fault, seed: int) -> None:
        self.circuit, self.fault = circuit, fault
        self.random = np.random.default_rng(seed)
        self.solved = solve(circuit, [(fault,)])

    def answer(self, test) -> o.TestReading:
        """Do one test."""
        if test.kind == "lamp":
            reference = test.reference or "0"
            lit = solve(with_lamp(self.circuit, test.point, reference), [(self.fault,)])
            across = lit.voltage(test.point, test.state) - lit.voltage(reference, test.state)
            assert TEST_LAMP in lit.pieces
            word = "lit" if abs(across) > 8 else "dim" if abs(across) > 2.5 else "dark"
            return o.TestReading(
                id=test.key, kind="lamp", point=test.point, state=test.state,
                reference=test.reference, text=word, outcome=word,
            )  # fmt: skip
        true_v = self.solved.voltage(test.point, test.state)
        u_v = float(meter_uncertainty(true_v, 0.01))
        text = f"{self.random.normal(true_v, u_v):.2f} V"
        return o.TestReading(
            id=test.key, kind="volts", point=test.point, state=test.state, text=text,
            quantity=parse(text, "V"),
        )  # fmt: skip


def complaints_of(circuit: Circuit, fault) -> list[Observation]:
    """The complaint that a true fault would bring: the first of the sheet that it causes."""
    solved = solve(circuit, [(), (fault,)])
    for complaint in circuit.complaints:
        part = circuit.part(complaint.load)
        ends = [solved.point_place[part.first], solved.point_place[part.second]]
        piece = solved.piece_place[complaint.load]
        across = solved.volts[:, :, ends[0]] - solved.volts[:, :, ends[1]]
        power = np.abs(across * solved.currents[:, :, piece])
        healthy_w, now_w = power[:, solved.state_place[complaint.state]]
        most_w = power[0].max()
        caused = {
            Look.DEAD: healthy_w > 0.05 * most_w and now_w < 0.07 * healthy_w,
            Look.WEAK: healthy_w > 0.05 * most_w and 0.13 < now_w / healthy_w < 0.8,
            Look.ON: healthy_w < 0.05 * most_w and now_w > 0.4 * most_w,
        }
        if caused[complaint.looks]:
            return [Observation(complaint=complaint.key, source="here")]
    return []


def ours(found, circuit, complaints, readings):
    """The advised test."""
    return None if found.next_test is None else parse_test_key(found.next_test.key)


def half_splitting(found, circuit, complaints, readings):
    """Measure volts in the complained state where half the suspects left read one way."""
    book = dictionary_of(circuit)
    weighed = weigh(book, complaints, readings)
    left = np.flatnonzero(weighed.suspects[:-1] > 0.01)
    wanted = next(t for t in book.troubles if t.key == complaints[0].complaint).state
    done = {reading.key for reading in readings}
    best = None
    for number, place in enumerate(book.places):
        test = o.Test(kind="volts", point=place.letter, state=wanted)
        if test.key in done:
            continue
        state = book.state(wanted)
        healthy_v = book.healthy_v[state, number]
        near_v = 3.0 * float(meter_uncertainty(healthy_v, 0.01))
        off = 0
        for suspect in left:
            own = book.suspect == suspect
            mean_v = np.average(book.volts[own, state, number], weights=weighed.belief[own] + 1e-12)
            off += abs(mean_v - healthy_v) > near_v
        unevenness = abs(off - len(left) / 2)
        if 0 < off < len(left) and (best is None or unevenness < best[0]):
            best = (unevenness, test)
    return None if best is None else best[1]


def play(circuit, fault, crew, seed=0):
    """Play one vehicle to its end; return the run, the minutes and the number of tests."""
    complaints = complaints_of(circuit, fault)
    vehicle = Vehicle(circuit, fault, seed)
    book = dictionary_of(circuit)
    readings, minutes = [], 0.0
    last = None
    found = find_run(circuit, complaints, readings)
    while found.stop.kind != "cause" and len(readings) < MOST_TESTS:
        # A crew that has nothing left to split follows the advice.
        test = crew(found, circuit, complaints, readings) or ours(found, circuit, (), ())
        if test is None:
            break
        minutes += minutes_of(book, test, last)
        readings.append(vehicle.answer(test))
        last = test
        found = find_run(circuit, complaints, readings)
    return found, minutes, len(readings)


def faults_with_a_complaint(circuit):
    """Every single fault, at its middle severity, that brings one of the sheet's complaints."""
    for mode in fault_modes(circuit):
        fault = mode.faults[len(mode.faults) // 2]
        if complaints_of(circuit, fault):
            yield mode, fault
