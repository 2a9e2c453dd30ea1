"""A vehicle with a known fault that answers tests, and crews that choose tests in their own way."""

from dataclasses import replace

import numpy as np

from witnessmark.diagnosis import observations as o
from witnessmark.diagnosis.belief import METERS, lamp_chances, meter_uncertainty
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import Trouble
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.facts import JOINTS, own_ohm
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.kinds import KINDS, LAMPS
from witnessmark.diagnosis.observations import Observation, parse_test_key
from witnessmark.diagnosis.offers import minutes_of
from witnessmark.diagnosis.outcomes import (
    FALSE_SIGN,
    HOT_W,
    LOOSE_MODES,
    MOVES,
    MOVES_INSIDE,
    OLD_SIGN,
    SEEN,
    SEEN_BY_KIND,
    SEEN_BY_MODE,
)
from witnessmark.diagnosis.predicting import powers
from witnessmark.diagnosis.reports import ATTENTIVE, LOOKS
from witnessmark.diagnosis.watching import load_looks
from witnessmark.networks import make_part
from witnessmark.networks.circuit import Circuit, Look
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.kinds import Kind
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import solve
from witnessmark.networks.test_lamp import TEST_LAMP, with_lamp
from witnessmark.quantities import parse

MOST_TESTS = 12


class Vehicle:
    """One vehicle with one fault or more; its meter is noisy as the belief expects."""

    def __init__(self, circuit: Circuit, fault, seed: int, complaints=()) -> None:
        self.circuit = circuit
        self.faults = fault if isinstance(fault, tuple) else (fault,)
        self.random = np.random.default_rng(seed)
        self.solved = solve(circuit, [self.faults])
        self.complaints = complaints

    def answer(self, test) -> o.TestReading:
        """Do one test."""
        kind = KINDS[test.kind]
        asked = {
            "id": test.key, "kind": test.kind, "point": test.point, "state": test.state,
            "reference": test.reference, "part": test.part, "present": True,
        }  # fmt: skip
        if test.kind in LAMPS or not kind.unit:
            word = self.lamp(test) if test.kind in LAMPS else self.sign(test)
            return o.TestReading(text=word, outcome=word, **asked)
        true = self.size(test)
        if np.isinf(true):
            return o.TestReading(text="open", outcome="open", **asked)
        u = float(meter_uncertainty(true, 0.01, METERS[test.kind]))
        text = f"{self.random.normal(true, u):.2f} {kind.unit}"
        return o.TestReading(text=text, quantity=parse(text, kind.unit), **asked)

    def size(self, test) -> float:
        """What the meter would show without noise."""
        if test.kind == "ohms":
            if self.blew(test.part):
                return float("inf")
            mine = [fault for fault in self.faults if fault.part == test.part]
            return own_ohm(self.circuit.part(test.part), mine[0] if mine else None)
        if test.kind == "clamp":
            return abs(self.solved.current(test.part, test.state))
        volts = self.solved.voltage(test.point, test.state)
        return volts - (self.solved.voltage(test.reference, test.state) if test.reference else 0)

    def blew(self, part) -> bool:
        """Whether another fault has blown a fuse."""
        own = [at for name, at in self.solved.piece_place.items() if name.split(".")[0] == part]
        return bool(self.solved.blown[:, :, own].any())

    def lamp(self, test) -> str:
        """A test lamp, drawn into the circuit."""
        reference = test.reference or "0"
        lit = solve(with_lamp(self.circuit, test.point, reference), [self.faults])
        across = lit.voltage(test.point, test.state) - lit.voltage(reference, test.state)
        assert TEST_LAMP in lit.pieces
        chances = lamp_chances(np.array([across]))[0]
        return str(self.random.choice(KINDS["lamp"].outcomes, p=chances))

    def cured(self, test) -> str:
        """Whether the first complaint is gone with a good part in place, or over a jumper."""
        sheet, faults = self.circuit, self.faults
        if test.kind == "swap":
            faults = tuple(fault for fault in faults if fault.part != test.part)
        else:
            part = sheet.part(test.part)
            lead = make_part(
                "lead", Kind.WIRE, {"from": part.first, "to": part.second}, {"ohms": 0.02}
            )
            sheet = replace(sheet, parts=(*sheet.parts, lead))
        still = any(
            seen.complaint == asked.complaint
            for asked in self.complaints[:1]
            for seen in every_complaint(sheet, faults)
        )
        yes, no = KINDS[test.kind].outcomes
        return no if still else yes

    def watched(self, test) -> str:
        """Whether a load is seen to do what it should."""
        book = dictionary_of(self.circuit)
        power = powers(self.circuit, self.solved)[0, book.state(test.state)]
        asked = Trouble(key="", words="", load=test.part, state=test.state, look="")
        looks = load_looks(book, asked, power[[book.loads.index(test.part)]])[0]
        true = self.random.choice(len(LOOKS), p=looks / looks.sum())
        seen = self.random.choice(LOOKS, p=ATTENTIVE["here"][true])
        wrong, right = KINDS[test.kind].outcomes
        return right if seen == "works" else wrong

    def sign(self, test) -> str:
        """What eyes, fingers and wiggling find, as often as shop habit says."""
        mine = [fault for fault in self.faults if fault.part == test.part]
        part = self.circuit.part(test.part)
        if test.kind == "watch":
            return self.watched(test)
        if test.kind == "look":
            seen = SEEN_BY_MODE.get(mine[0].mode, SEEN_BY_KIND.get(part.kind, SEEN)) if mine else 0
            chance = SEEN_BY_MODE["blown"] if self.blew(test.part) else max(seen, OLD_SIGN)
        elif test.kind == "wiggle":
            moves = MOVES if part.kind in JOINTS else MOVES_INSIDE
            chance = moves if mine and mine[0].mode in LOOSE_MODES else FALSE_SIGN
        else:
            if test.kind in ("swap", "jumper"):
                return self.cured(test)
            assert test.kind == "heat", "not simulated"
            ends = {
                p.name: (p.first, p.second) for p in pieces_of(self.circuit) if p.part == test.part
            }
            watts = sum(
                abs(
                    (self.solved.voltage(ends[p][0], test.state)
                     - self.solved.voltage(ends[p][1], test.state))
                    * self.solved.current(p, test.state)
                )
                for p in ends
            )  # fmt: skip
            chance = 1 - FALSE_SIGN if watts > HOT_W[0] else FALSE_SIGN
        yes, no = KINDS[test.kind].outcomes
        return yes if self.random.random() < chance else no


def complaints_of(circuit: Circuit, fault) -> list[Observation]:
    """The complaint that a true fault would bring: the first of the sheet that it causes."""
    solved = solve(circuit, [(), fault if isinstance(fault, tuple) else (fault,)])
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


def every_complaint(circuit: Circuit, faults) -> list[Observation]:
    """Every complaint of the sheet that some faults bring, seen here."""
    alone = [replace(circuit, complaints=(complaint,)) for complaint in circuit.complaints]
    return [seen for sheet in alone for seen in complaints_of(sheet, faults)]


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
        healthy_v = book.solved.volts[0, state, number]
        near_v = 3.0 * float(meter_uncertainty(healthy_v, 0.01))
        off = 0
        for suspect in left:
            own = book.suspect == suspect
            column = book.mix.of(book.solved.volts[:, state, number])
            mean_v = np.average(column[own], weights=weighed.belief[own] + 1e-12)
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
