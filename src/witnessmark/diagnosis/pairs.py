"""Two faults at once, coarsely: every pair of fault modes, to see which pairs matter.

How the pairs are chosen, so that time and memory stay bounded:
- each mode stands for itself at one severity, or at two where it has many;
- two faults of which neither moves a point that the other moves, nor an end of the other's part
  or the current through it, leave each other alone: their changes are added, nothing is solved;
- of the others the likeliest are solved, up to `MOST_SOLVED` operating points; what is left is
  added as well, and counts as blurred.
The severities of the few pairs that matter are worked out afterwards, in `pair_grid`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices, volts_log_likelihood
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary
from witnessmark.diagnosis.evidence import EXPLAINED, trouble
from witnessmark.diagnosis.graded import Graded, Rates, graded_modes, part_of
from witnessmark.diagnosis.kinds import VOLTS
from witnessmark.diagnosis.likelihood import SUPPLY_SPREAD
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.outcomes import load_looks
from witnessmark.diagnosis.predicting import powers
from witnessmark.diagnosis.reports import LOOKS, report_log_likelihood
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.fault_modes import FaultMode
from witnessmark.networks.faults import SHORT, Fault
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import solve

# Further faults that a vehicle has beside the first one, on average: the program's own choice.
AT_ONCE: Final = 0.10
MOST_SOLVED: Final = 12_000  # operating points, one for each state of a pair
MOST_PAIRS: Final = 40_000  # of severities of modes; the likeliest
REACHES_V: Final = 0.25  # V: a point so far from its healthy voltage is reached by a fault
REACHES_SHARE: Final = 0.1  # of its greatest current: so far a fault changes another part's
ADDED_V: Final = 0.1  # V: what adding the changes of two faults may be off
UNSOLVED_V: Final = 1.5  # V: the same where they do reach a common point


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairs:
    """Every pair of fault modes at a few severities, S of them.

    Attributes
    ----------
    modes
        The fault modes.
    one, other
        Number of the mode of each of the two.
    first, second
        Number of the single scenario of each of the two.
    log_prior
        Log weight, on the scale of the single faults.
    volts
        S by state by point. [V]
    unsteady
        S by state.
    power
        S by state by load. [W]
    blur
        S by state by point: standard deviation of the prediction. [V]
    is_solved
        Whether it was solved; else the changes of the two were added.
    """

    modes: tuple[FaultMode, ...]
    one: Indices
    other: Indices
    first: Indices
    second: Indices
    log_prior: Floats
    volts: Floats
    unsteady: Flags
    power: Floats
    blur: Floats
    is_solved: Flags


@lru_cache(maxsize=8)
def pairs_of(circuit: Circuit, rates: Rates = ()) -> Pairs:
    """Return every pair of faults of a circuit, coarsely.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode, as sorted items.
    """
    book = dictionary_of(circuit, dict(rates))
    graded = graded_modes(circuit, rates)
    modes = tuple(grade.mode for grade in graded)
    chosen = _representatives(graded)
    mode = np.array([number for number, _, _, _ in chosen], dtype=np.intp)
    scenario = np.array([at for _, at, _, _ in chosen], dtype=np.intp)
    weight = np.array([each for _, _, each, _ in chosen])
    faults = [fault for _, _, _, fault in chosen]
    part = np.array([part_of(modes[number].part) for number in mode.tolist()])
    one, other = np.triu_indices(len(chosen), 1)
    apart = part[one] != part[other]
    one, other = one[apart], other[apart]
    prior = weight[one] * weight[other]
    order = np.argsort(-prior, kind="stable")[:MOST_PAIRS]
    one, other, prior = one[order], other[order], prior[order]
    meeting, blur = _meeting(circuit, book, modes, scenario, faults)
    meets = meeting[one, other]
    shown = book.solved
    # In single precision: what is added here is blurred by a tenth of a volt.
    moved = (shown.volts - shown.volts[[HEALTHY]]).astype(np.float32)
    volts = moved[scenario[one]] + moved[scenario[other]]
    volts += shown.volts[[HEALTHY]].astype(np.float32)
    more = (shown.power - shown.power[[HEALTHY]]).astype(np.float32)
    power = more[scenario[one]] + more[scenario[other]] + shown.power[[HEALTHY]].astype(np.float32)
    power = np.maximum(power, np.float32(0.0))
    unsteady = shown.unsteady[scenario[one]] | shown.unsteady[scenario[other]]
    narrow = blur.astype(np.float32)
    both = np.hypot(narrow[one], narrow[other])
    extra = np.where(meets, UNSOLVED_V, ADDED_V)
    solved = np.flatnonzero(meets)[: MOST_SOLVED // len(circuit.states)]
    if len(solved):
        found = solve(circuit, [(faults[one[at]], faults[other[at]]) for at in solved.tolist()])
        places = [found.point_place[place.letter] for place in book.places]
        volts[solved] = found.volts[:, :, places]
        power[solved] = powers(circuit, found)
        unsteady[solved] = found.chatter
        extra[solved] = 0.0
    total = sum(each.weight for each in modes)
    return Pairs(
        modes=modes,
        one=mode[one],
        other=mode[other],
        first=scenario[one],
        second=scenario[other],
        log_prior=np.log(prior * AT_ONCE / total),
        volts=volts,
        unsteady=unsteady,
        power=power,
        blur=np.hypot(both, extra[:, None, None].astype(np.float32)),
        is_solved=np.isin(np.arange(len(one)), solved),
    )


def _representatives(graded: Sequence[Graded]) -> list[tuple[int, int, float, Fault]]:
    """Return for each mode one or two severities: mode, scenario, weight and the fault."""
    found = []
    first = 1
    for number, grade in enumerate(graded):
        mode = grade.mode
        count = len(mode.severities)
        is_wide = count >= 4 and not mode.mode.startswith(SHORT)
        places = [grade.at(0.25), grade.at(0.75)] if is_wide else [grade.at(0.5)]
        for at in dict.fromkeys(places):
            found.append((number, first + at, mode.weight / len(places), mode.faults[at]))
        first += count
    return found


def _meeting(
    circuit: Circuit,
    book: Dictionary,
    modes: Sequence[FaultMode],
    scenario: Indices,
    faults: Sequence[Fault],
) -> tuple[Flags, Floats]:
    """Return which faults meet in any state, and how far the severities of each blur it."""
    found = solve(circuit, [(), *((fault,) for fault in faults)])
    moved = np.abs(found.volts[1:] - found.volts[:1]) > REACHES_V
    moved[:, :, 0] = False  # the reference
    common = moved.reshape(len(faults), -1).astype(np.float32)
    # Where another fault moves the ends of a part that is itself at fault, or the current through
    # it, the two meet as well: an open wire shows only once something sends current through it.
    # A short's own current is no measure of what a part usually carries.
    usual = np.array([True, *(not fault.mode.startswith(SHORT) for fault in faults)])
    most_a = np.abs(found.currents[usual]).max(axis=(0, 1))
    changed_a = np.abs(found.currents[1:] - found.currents[:1]).max(axis=1)
    changes = np.asarray(changed_a > REACHES_SHARE * most_a, dtype=np.bool_)
    at_all = np.asarray(moved.any(axis=1), dtype=np.bool_)
    by_part: dict[str, Flags] = {}
    for number, piece in enumerate(pieces_of(circuit)):
        at, to = circuit.place[piece.first], circuit.place[piece.second]
        touches = changes[:, number] | at_all[:, at] | at_all[:, to]
        by_part[piece.part] = by_part.get(piece.part, np.zeros_like(touches)) | touches
    touched = np.stack([by_part[part_of(fault.part)] for fault in faults])
    meets = (common @ common.T > 0) | touched | touched.T
    volts = book.solved.volts
    blur = np.zeros((len(faults), *volts.shape[1:]))
    first = 1
    for mode in modes:
        last = first + len(mode.severities) - 1
        own = (scenario >= first) & (scenario <= last)
        # Each representative stands for half of the range: evenly spread over it.
        parts = max(int(own.sum()), 1)
        blur[own] = np.abs(volts[last] - volts[first]) / parts / np.sqrt(12.0)
        first = last + 1
    return meets, blur


def pair_log_weights(
    pairs: Pairs,
    book: Dictionary,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
) -> Floats:
    """Return the log weight of every pair after complaints and volts, coarsely.

    Parameters
    ----------
    pairs
        The pairs.
    book
        Dictionary of the single faults.
    complaints
        What was reported.
    readings
        The readings that stand; only volts are looked at here.

    Returns
    -------
    ndarray
        Minus infinity for a pair of which one alone explains every complaint while the other
        explains none: the other is nothing to this vehicle's complaints.
    """
    logs = pairs.log_prior.copy()
    shown = book.solved
    alone = np.ones((len(shown), 0), dtype=np.bool_)
    for complaint in complaints:
        found = trouble(book, complaint.complaint)
        look = complaint.look or found.look
        at = (book.state(found.state), book.loads.index(found.load))
        looks = load_looks(book, found, pairs.power[:, at[0], at[1]].astype(np.float64))
        logs += report_log_likelihood(looks, look, complaint.source)
        singly = load_looks(book, found, shown.power[:, at[0], at[1]])[:, LOOKS.index(look)]
        alone = np.concatenate([alone, (singly >= EXPLAINED)[:, None]], axis=1)
    needed = ~(
        (alone[pairs.first].all(axis=1) & ~alone[pairs.second].any(axis=1))
        | (alone[pairs.second].all(axis=1) & ~alone[pairs.first].any(axis=1))
    )
    logs[~needed] = -np.inf
    for reading in readings:
        if reading.kind != VOLTS or reading.present is False:
            continue
        state, point = book.state(reading.state), book.point(reading.point)
        volts = pairs.volts[:, state, point].astype(np.float64)
        blur = pairs.blur[:, state, point].astype(np.float64)
        if reading.reference:
            clip = book.point(reading.reference)
            volts = volts - pairs.volts[:, state, clip]
            blur = np.hypot(blur, pairs.blur[:, state, clip])
        logs += volts_log_likelihood(
            volts,
            reading.value,
            reading.resolution,
            book.span_v,
            unsteady=pairs.unsteady[:, state],
            blur_v=np.hypot(blur, SUPPLY_SPREAD * np.abs(volts)),
        )
    return logs
