"""Find for a circuit: its dictionary, worked out once, and the run for complaints and readings."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Final

from witnessmark.diagnosis.building import dictionary_of, with_jumpers
from witnessmark.diagnosis.dictionary import HEALTHY
from witnessmark.diagnosis.evidence import trouble
from witnessmark.diagnosis.facts import hazard_words
from witnessmark.diagnosis.kinds import JUMPER, KINDS, METER_AND_LAMP, Means
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.pair_grid import with_pairs
from witnessmark.diagnosis.path import Way, way_of
from witnessmark.diagnosis.run import FindRun, run
from witnessmark.diagnosis.twins import parted
from witnessmark.networks import LOADS, Circuit, Kind
from witnessmark.networks.circuit import Look
from witnessmark.quantities import listed

TURNS_W: Final = 1.0  # W: a motor that gets more than this may turn


def find_run(
    circuit: Circuit,
    complaints: Sequence[Observation] = (),
    readings: Sequence[TestReading] = (),
    out_of_reach: Collection[str] = (),
    means: Means = METER_AND_LAMP,
    rates: Mapping[str, float] | None = None,
    qualified: str = "",
) -> FindRun:
    """Return the Find run: belief, next test, whether to stop, what proves the repair.

    Parameters
    ----------
    circuit
        The circuit.
    complaints
        What was reported.
    readings
        The readings that stand, in the order in which they were taken. A corrected reading is
        given in its corrected form only.
    out_of_reach
        Letters of points, and names of parts, that the crew cannot reach.
    means
        Tools and permits of the crew.
    rates
        The shop's own weights of faults by kind and mode, "connector/high".
    qualified
        Who takes over a restraint circuit or one above 60 V DC, by name.

    Returns
    -------
    FindRun
        A value: the same arguments give the same run.

    Raises
    ------
    BenchError
        If a complaint, point or state is not on the sheet, or a reading cannot be.
    """
    own = tuple(sorted((rates or {}).items()))
    bridges = means.allow(KINDS[JUMPER]) or any(one.kind == JUMPER for one in readings)
    book = with_jumpers(circuit, own) if bridges else dictionary_of(circuit, rates)
    book = with_pairs(circuit, own, book, complaints, readings)
    way = way_of_complaint(circuit, complaints, rates)
    found = run(
        book,
        complaints,
        readings,
        way.sides if way else {},
        out_of_reach,
        means,
        hazard_words(circuit, qualified),
    )
    return replace(found, twins=parted(circuit, [twins.parts for twins in found.twins]))


def way_of_complaint(
    circuit: Circuit,
    complaints: Sequence[Observation],
    rates: Mapping[str, float] | None = None,
) -> Way | None:
    """Return the way of the first complained load, or of the sheet's first load.

    Parameters
    ----------
    circuit
        The circuit.
    complaints
        What was reported.
    rates
        The shop's own weights of faults.
    """
    if complaints:
        found = trouble(dictionary_of(circuit, rates), complaints[0].complaint)
        return way_of(circuit, found.load, found.state)
    for complaint in circuit.complaints:
        return way_of(circuit, complaint.load, complaint.state)
    for part in circuit.parts:
        if part.kind in LOADS:
            return way_of(circuit, part.name, circuit.states[-1].name)
    return None


def caution(
    circuit: Circuit,
    state: str,
    rates: Mapping[str, float] | None = None,
    complaints: Sequence[Observation] = (),
) -> str:
    """Return what to keep clear of while testing in a state; empty where nothing turns.

    Parameters
    ----------
    circuit
        The circuit.
    state
        Name of the operating state; empty where the circuit is off.
    rates
        The shop's own weights of faults.
    complaints
        What was reported: a motor that is said to run though it should not may do so.
    """
    if not state:
        return ""
    told = {one.complaint for one in complaints}
    unasked = [
        one.load
        for one in circuit.complaints
        if one.key in told
        and (one.state, one.looks) == (state, Look.ON)
        and circuit.part(one.load).kind is Kind.MOTOR
    ]
    turning = list(dict.fromkeys([*_turning(circuit, [state], rates), *unasked]))
    return f"{_runs(turning)} in this state, {_CLEAR}" if turning else ""


def caution_of_all(circuit: Circuit, rates: Mapping[str, float] | None = None) -> str:
    """Return what to keep clear of in some state; empty where nothing ever turns.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights of faults.
    """
    turning = _turning(circuit, [state.name for state in circuit.states], rates)
    return f"{_runs(turning)} in some states, {_CLEAR}" if turning else ""


_CLEAR: Final = "or may start at any moment. Keep hands, hair, sleeves and meter leads clear."


def _turning(
    circuit: Circuit, states: Sequence[str], rates: Mapping[str, float] | None
) -> list[str]:
    """Return the motors that turn in one of some states of the healthy circuit."""
    book = dictionary_of(circuit, rates)
    rows = [book.state(state) for state in states]
    power_w = book.solved.power[HEALTHY, rows].max(axis=0)
    return [
        name
        for name, watts in zip(book.loads, power_w.tolist(), strict=True)
        if watts > TURNS_W and circuit.part(name).kind is Kind.MOTOR
    ]


def _runs(turning: Sequence[str]) -> str:
    return f"{listed(turning, 'and')} {'runs' if len(turning) == 1 else 'run'}"
