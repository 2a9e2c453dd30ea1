"""Two faults at once, coarsely: every pair of fault modes, to see which pairs matter.

How the pairs are chosen, so that time and memory stay bounded:
- each mode stands for itself at one severity, or at two where it has many;
- two faults of which neither moves a point that the other moves, nor an end of the other's part
  or the current through it, leave each other alone in that state: their changes are added,
  nothing is solved;
- where they meet, the likeliest are solved, up to `MOST_SOLVED` operating points; what is left is
  added as well, and counts as blurred.
The severities of the few pairs that matter are worked out afterwards, in `pair_grid`.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Floats, Indices, volts_log_likelihood
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import EXPLAINED, trouble
from witnessmark.diagnosis.graded import Graded, Rates, part_of
from witnessmark.diagnosis.kinds import VOLTS
from witnessmark.diagnosis.likelihood import SUPPLY_SPREAD
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.pair_tables import Pairs
from witnessmark.diagnosis.predicting import powers
from witnessmark.diagnosis.reaching import meeting
from witnessmark.diagnosis.reports import LOOKS, report_log_likelihood
from witnessmark.diagnosis.watching import load_looks
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.fault_modes import FaultMode
from witnessmark.networks.faults import SHORT, Fault
from witnessmark.networks.solver import solve

# Further faults that a vehicle has beside the first one, on average: the program's own choice.
AT_ONCE: Final = 0.10
MOST_SOLVED: Final = 5_500  # operating points, one for each state in which a pair meets
MOST_PAIRS: Final = 40_000  # of severities of modes; the likeliest


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
    graded = book.graded
    modes = tuple(grade.mode for grade in graded)
    chosen = _representatives(graded)
    mode = np.array([number for number, _, _, _ in chosen], dtype=np.intp)
    scenario = np.array([at for _, at, _, _ in chosen], dtype=np.intp)
    weight = np.array([each for _, _, each, _ in chosen])
    faults = [fault for _, _, _, fault in chosen]
    numbers = {part.name: number for number, part in enumerate(circuit.parts)}
    part = np.array([numbers[part_of(fault.part)] for fault in faults], dtype=np.intp)
    one, other = np.triu_indices(len(chosen), 1)
    apart = part[one] != part[other]
    one, other = one[apart], other[apart]
    prior = weight[one] * weight[other]
    order = np.argsort(-prior, kind="stable")[:MOST_PAIRS]
    one, other, prior = one[order], other[order], prior[order]
    meets = meeting(circuit, book.reach, scenario, part)[one, other]
    wanted = meets & (np.cumsum(meets.sum(axis=1)) <= MOST_SOLVED)[:, None]
    rows = np.flatnonzero(wanted.any(axis=1))
    at, state = np.nonzero(wanted[rows])
    solved = np.full(meets.shape, -1, dtype=np.intp)
    solved[rows[at], state] = np.arange(len(at))
    both = [(faults[one[row]], faults[other[row]]) for row in rows.tolist()]
    found = solve(circuit, both, only=wanted[rows])
    places = [found.point_place[place.letter] for place in book.places]
    total = sum(each.weight for each in modes)
    return Pairs(
        modes=modes,
        one=mode[one],
        other=mode[other],
        first=scenario[one],
        second=scenario[other],
        log_prior=np.log(prior * AT_ONCE / total),
        single=book.solved,
        blur_single=_blur(book, modes, scenario),
        solved=solved,
        meets=meets,
        solved_v=found.volts[at, state][:, places],
        solved_w=powers(circuit, found, (at, state)),
        chatters=found.chatter[at, state],
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


def _blur(book: Dictionary, modes: Sequence[FaultMode], scenario: Indices) -> Floats:
    """Return scenario by state by point: how far the severities of a representative spread. [V]"""
    volts = book.solved.volts
    blur = np.zeros_like(volts)
    first = 1
    for mode in modes:
        last = first + len(mode.severities) - 1
        own = scenario[(scenario >= first) & (scenario <= last)]
        # Each representative stands for half of the range. It need not lie in the middle of the
        # volts there: either end may be as far off as that half is wide.
        blur[own] = np.abs(volts[last] - volts[first]) / max(len(own), 1) / np.sqrt(3.0)
        first = last + 1
    return blur


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
        looks = load_looks(book, found, pairs.power(*at))
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
        volts, blur = pairs.volts(state, point), pairs.blur(state, point)
        if reading.reference:
            clip = book.point(reading.reference)
            volts = volts - pairs.volts(state, clip)
            blur = np.hypot(blur, pairs.blur(state, clip))
        logs += volts_log_likelihood(
            volts,
            reading.value,
            reading.resolution,
            book.span_v,
            unsteady=pairs.unsteady(state),
            blur_v=np.hypot(blur, SUPPLY_SPREAD * np.abs(volts)),
        )
    return logs
