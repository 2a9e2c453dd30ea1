"""Find for a circuit: its dictionary, worked out once, and the run for complaints and readings."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from witnessmark.diagnosis.belief import Floats, Indices, meter_uncertainty
from witnessmark.diagnosis.dictionary import (
    SOMETHING_ELSE,
    Dictionary,
    Place,
    Setting,
    Suspect,
    Trouble,
)
from witnessmark.diagnosis.evidence import trouble
from witnessmark.diagnosis.observations import GROUND, Observation, TestReading
from witnessmark.diagnosis.path import Way, way_of
from witnessmark.diagnosis.run import FindRun, run
from witnessmark.diagnosis.sentences import listed
from witnessmark.networks import LOADS, Circuit, Kind, Look
from witnessmark.networks.fault_modes import FaultMode, fault_modes
from witnessmark.networks.faults import Fault
from witnessmark.networks.solver import Solution, solve
from witnessmark.networks.test_lamp import with_lamp

ELSE_SHARE: Final = 0.03  # of all suspects' weight: 'something else'; the program's own choice
TURNS_W: Final = 1.0  # W: a motor that gets more than this may turn
STEP_IN_U: Final = 1.2  # between two samples, over the meter's uncertainty
_LOOK: Final = {Look.DEAD: "dead", Look.WEAK: "weak", Look.ON: "on"}


def find_run(
    circuit: Circuit,
    complaints: Sequence[Observation] = (),
    readings: Sequence[TestReading] = (),
    out_of_reach: Collection[str] = (),
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
        Letters of points that the crew cannot reach.

    Returns
    -------
    FindRun
        A value: the same arguments give the same run.

    Raises
    ------
    BenchError
        If a complaint, point or state is not on the sheet, or a reading cannot be.
    """
    book = dictionary_of(circuit)
    way = way_of_complaint(circuit, complaints)
    return run(book, complaints, readings, way.sides if way else {}, out_of_reach)


def way_of_complaint(circuit: Circuit, complaints: Sequence[Observation]) -> Way | None:
    """Return the way of the first complained load, or of the sheet's first load.

    Parameters
    ----------
    circuit
        The circuit.
    complaints
        What was reported.
    """
    if complaints:
        found = trouble(dictionary_of(circuit), complaints[0].complaint)
        return way_of(circuit, found.load, found.state)
    for complaint in circuit.complaints:
        return way_of(circuit, complaint.load, complaint.state)
    for part in circuit.parts:
        if part.kind in LOADS:
            return way_of(circuit, part.name, circuit.states[-1].name)
    return None


def caution(circuit: Circuit, state: str) -> str:
    """Return what to keep clear of while testing in a state; empty where nothing turns.

    Parameters
    ----------
    circuit
        The circuit.
    state
        Name of the operating state.
    """
    book = dictionary_of(circuit)
    power_w = book.healthy_power[book.state(state)]
    turning = [
        name
        for name, watts in zip(book.loads, power_w.tolist(), strict=True)
        if watts > TURNS_W and circuit.part(name).kind is Kind.MOTOR
    ]
    if not turning:
        return ""
    runs = "runs" if len(turning) == 1 else "run"
    return (
        f"{listed(turning, 'and')} {runs} in this state, or may start at any moment. Keep hands, "
        "hair, sleeves and meter leads clear."
    )


@lru_cache(maxsize=32)
def dictionary_of(circuit: Circuit) -> Dictionary:
    """Return what every test would show for every single fault of a circuit.

    Parameters
    ----------
    circuit
        The circuit; equal circuits share one dictionary.

    Returns
    -------
    Dictionary
        The predictions. The test lamp is solved in the circuit, point by point.
    """
    modes = fault_modes(circuit)
    scenarios: list[tuple[Fault, ...]] = [()]
    scenarios += [(fault,) for mode in modes for fault in mode.faults]
    letters = [point.letter for point in circuit.lettered]
    loads = [part.name for part in circuit.parts if part.kind in LOADS]
    solved = solve(circuit, scenarios)
    places = [solved.point_place[letter] for letter in letters]
    volts = solved.volts[:, :, places]
    unsteady = np.broadcast_to(solved.chatter[:, :, None], volts.shape)
    power = _powers(circuit, solved, loads)
    lamps = {GROUND: _lamp_volts(circuit, scenarios, letters, "")}
    plus = next(part.first for part in circuit.parts if part.kind is Kind.BATTERY)
    if plus in letters:
        lamps[plus] = _lamp_volts(circuit, scenarios, letters, plus)
    mixed = _mixed(modes, solved)
    return Dictionary(
        suspects=_suspects(circuit, modes),
        suspect=mixed.suspect,
        value=mixed.value,
        log_prior=np.log(mixed.weight),
        supply_v=circuit.supply_v,
        settings=tuple(
            Setting(name=state.name, words=state.words, minutes=state.setup_min)
            for state in circuit.states
        ),
        places=tuple(
            Place(letter=point.letter, words=point.words, minutes=point.access_min)
            for point in circuit.lettered
        ),
        troubles=tuple(
            Trouble(key=c.key, words=c.words, load=c.load, state=c.state, look=_LOOK[c.looks])
            for c in circuit.complaints
        ),
        loads=tuple(loads),
        volts=mixed.of(volts),
        unsteady=mixed.of(unsteady) > 0.5,
        lamp={letter: mixed.of(lamp_v) for letter, lamp_v in lamps.items()},
        power=mixed.of(power),
        healthy_v=volts[0],
        healthy_lamp={letter: lamp_v[0] for letter, lamp_v in lamps.items()},
        healthy_power=power[0],
        node_v={
            state: dict(zip(solved.points, solved.volts[0, number].tolist(), strict=True))
            for number, state in enumerate(solved.states)
        },
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mixed:
    """Samples between the severities that were solved, so that none falls into a gap.

    Changing one resistance moves all voltages of a linear circuit along a straight line, so a
    sample between two solved severities is their mixture; a lamp bends the line a little.
    """

    suspect: Indices
    value: tuple[str, ...]
    weight: Floats
    lower: Indices  # scenario
    upper: Indices  # scenario
    share: Floats  # of the upper one

    def of(self, solved: NDArray[Any]) -> Floats:
        """Return what was solved by scenario, by sample; all 0 for 'something else'."""
        share = self.share.reshape(-1, *([1] * (solved.ndim - 1)))
        mixed = (1.0 - share) * solved[self.lower] + share * solved[self.upper]
        return np.concatenate([mixed, np.zeros((1, *solved.shape[1:]))])


def _mixed(modes: Sequence[FaultMode], solved: Solution) -> _Mixed:
    """Return the samples; something else comes last."""
    suspect, value, weight = [], [], []
    lower, upper, share = [], [], []

    def add(number: int, low: int, high: int, at: float, each: float, text: str) -> None:
        suspect.append(number)
        value.append(text)
        weight.append(each)
        lower.append(low)
        upper.append(high)
        share.append(at)

    first = 1  # scenario 0 is the healthy circuit
    for number, mode in enumerate(modes):
        last = first + len(mode.severities) - 1
        if first == last:
            text = "" if mode.severities[0] is None else f"{mode.severities[0]:g}"
            add(number, first, first, 0.0, mode.weight, text)
        for low in range(first, last):
            steps = _steps(solved, low)
            sizes = [float(mode.severities[at - first] or 0.0) for at in (low, low + 1)]
            for step in range(steps):
                at = (step + 0.5) / steps
                each = mode.weight / (last - first) / steps
                size = (1.0 - at) * sizes[0] + at * sizes[1]
                add(number, low, low + 1, at, each, f"{size:.3g}")
        first = last + 1
    return _Mixed(
        suspect=np.array([*suspect, len(modes)], dtype=np.intp),
        value=(*value, ""),
        weight=np.array([*weight, ELSE_SHARE * sum(weight)]),
        lower=np.array(lower, dtype=np.intp),
        upper=np.array(upper, dtype=np.intp),
        share=np.array(share),
    )


def _steps(solved: Solution, low: int) -> int:
    """Return how many samples stand between two severities: two if a contact moves between."""
    pair = slice(low, low + 2)
    for flags in (solved.contacts[pair], solved.blown[pair], solved.chatter[pair]):
        if (flags[0] != flags[1]).any():
            return 2
    volts = solved.volts[pair]
    apart = np.abs(volts[1] - volts[0]) / meter_uncertainty(volts[0], 0.01)
    return int(np.clip(np.ceil(apart.max() / STEP_IN_U), 1, 100))


def _suspects(circuit: Circuit, modes: Sequence[FaultMode]) -> tuple[Suspect, ...]:
    known = tuple(
        Suspect(
            key=mode.key,
            part=mode.part,
            part_words=circuit.part(mode.part).words,
            mode=mode.mode,
            words=mode.words,
            repair=mode.repair,
        )
        for mode in modes
    )
    other = Suspect(
        key=SOMETHING_ELSE, part="", part_words="", mode="", words="", repair=SOMETHING_ELSE
    )
    return (*known, other)


def _powers(circuit: Circuit, solved: Solution, loads: Sequence[str]) -> Floats:
    """Return scenario by state by load: volts across it times the current through it. [W]"""
    powers = []
    for name in loads:
        part = circuit.part(name)
        ends = [solved.point_place[part.first], solved.point_place[part.second]]
        across = solved.volts[:, :, ends[0]] - solved.volts[:, :, ends[1]]
        powers.append(np.abs(across * solved.currents[:, :, solved.piece_place[name]]))
    shape = (len(solved.scenarios), len(solved.states), 0)
    return np.stack(powers, axis=-1) if powers else np.zeros(shape)


def _lamp_volts(
    circuit: Circuit,
    scenarios: Sequence[tuple[Fault, ...]],
    letters: Sequence[str],
    reference: str,
) -> Floats:
    """Return scenario by state by point: volts across a test lamp held there, solved with it."""
    found = []
    for letter in letters:
        if letter == reference:
            found.append(np.zeros((len(scenarios), len(circuit.states))))
            continue
        lit = with_lamp(circuit, letter, reference) if reference else with_lamp(circuit, letter)
        solved = solve(lit, scenarios)
        volts = solved.volts[:, :, solved.point_place[letter]]
        if reference:
            volts = volts - solved.volts[:, :, solved.point_place[reference]]
        found.append(volts)
    return np.stack(found, axis=-1)
