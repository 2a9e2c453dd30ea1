"""Two faults at once, finely: the severities of the few pairs that matter for a run."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import product
from typing import Final

import numpy as np
from scipy.special import logsumexp

from witnessmark.diagnosis.belief import Floats, Indices, gathered, meter_uncertainty
from witnessmark.diagnosis.building import suspect_of
from witnessmark.diagnosis.dictionary import Dictionary, Mixture, Predictions, Suspect
from witnessmark.diagnosis.evidence import as_taken, log_weights
from witnessmark.diagnosis.graded import Rates
from witnessmark.diagnosis.likelihood import SUPPLY_SHARES, SUPPLY_SPREAD
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.pairs import AT_ONCE, pair_log_weights, pairs_of
from witnessmark.diagnosis.predicting import predict
from witnessmark.diagnosis.severity_cells import Cells
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.fault_modes import FaultMode
from witnessmark.networks.faults import Fault
from witnessmark.networks.solver import solve

MOST_REFINED: Final = 16  # pairs whose severities are worked out
# A coarse pair fits each reading worse than it should, as its severities are blurred: pairs are
# taken by their order, down to very little, and left out only once their severities are known.
GLIMMER: Final = 1e-9  # of all belief: a coarse pair below it is not looked at
COUNTS: Final = 1e-5  # of all belief: a pair below it is left out
MOST_CELLS: Final = 1200
FAINT: Final = 10.0  # in natural logarithm: so far below the best cell, another is dropped
ROUNDS: Final = 5  # of cutting cells of severities smaller
CUTS: Final = 3
STEP_IN_U: Final = 1.5
MOST_RAISED: Final = 6.0  # by how much the pairs at hand may stand for those left out
_KEPT_GRIDS: Final = 400

Key = tuple[int, int]


def with_pairs(
    circuit: Circuit,
    rates: Rates,
    book: Dictionary,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
) -> Dictionary:
    """Return the dictionary with the pairs of faults that matter after what was seen so far.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode, as sorted items.
    book
        Dictionary of the single faults.
    complaints
        What was reported; without a complaint there are no pairs.
    readings
        The readings that stand.
    """
    if not complaints:
        return book
    pairs = pairs_of(circuit, rates)
    if not len(pairs.one):
        return book
    readings = as_taken(book, complaints, readings)
    singles = log_weights(book, complaints, readings)  # refuses what is not on the sheet
    coarse = pair_log_weights(pairs, book, complaints, readings)
    # The supply of a single fault is summed over; a pair was weighed at the sheet's alone.
    coarse += logsumexp(-0.5 * ((SUPPLY_SHARES - 1.0) / SUPPLY_SPREAD) ** 2)
    whole = np.logaddexp(logsumexp(singles), logsumexp(coarse))
    share = np.exp(coarse - whole)
    key = pairs.one * len(pairs.modes) + pairs.other
    keys, inverse = np.unique(key, return_inverse=True)
    by_pair = gathered(share, inverse.astype(np.intp), len(keys))
    order = np.argsort(-by_pair, kind="stable")[:MOST_REFINED]
    order = order[by_pair[order] > GLIMMER]
    if not len(order):
        return book
    raised = min(MOST_RAISED, float(by_pair.sum() / by_pair[order].sum()))
    chosen = [divmod(int(keys[at]), len(pairs.modes)) for at in order.tolist()]
    floor = float(logsumexp(singles)) + np.log(COUNTS)
    return _joined(circuit, book, pairs.modes, chosen, raised, complaints, readings, floor)


def _joined(
    circuit: Circuit,
    book: Dictionary,
    modes: Sequence[FaultMode],
    chosen: Sequence[Key],
    raised: float,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
    floor: float,
) -> Dictionary:
    """Return the dictionary with the samples of some pairs before 'something else'."""
    # Before the first reading nothing is known of severities, and the middle ones will do.
    finely = bool(readings)
    grids = _grids(circuit, book, modes, chosen, finely)
    total = sum(mode.weight for mode in modes)
    suspects = [_suspect(circuit, modes[one], modes[other]) for one, other in chosen]
    cells = _first_cells(modes, chosen, finely, len(book.solved), raised * AT_ONCE / total)
    solved = _together([book.solved, *grids])
    for turn in range(ROUNDS):
        here = _dictionary(book, suspects, cells, solved)
        logs = log_weights(here, complaints, readings, cells.ends())
        weight = logsumexp(logs, axis=1)
        order = np.argsort(-weight, kind="stable")[:MOST_CELLS]
        order = np.sort(order[weight[order] > max(weight.max() - FAINT, floor)])
        if not len(order):
            return book
        cells = cells.rows(order)
        if turn == ROUNDS - 1 or not readings:
            break
        across, along = _cuts(book, cells, solved, readings)
        if not (across * along > 1).any():
            break
        cells = cells.cut(across, along)
    return _appended(book, suspects, cells, solved)


def _suspect(circuit: Circuit, one: FaultMode, other: FaultMode) -> Suspect:
    first, second = suspect_of(circuit, one), suspect_of(circuit, other)
    return Suspect(
        key=f"{first.key} + {second.key}",
        parts=(*first.parts, *second.parts),
        part_words="",
        mode="",
        words=f"{first.part} {first.words} and {second.part} {second.words}",
        repair=f"{first.repair} and {second.repair}",
        comes_and_goes=min(first.comes_and_goes, second.comes_and_goes),
        singles=(first.key, second.key),
    )


def _severities(mode: FaultMode, finely: bool) -> list[Fault]:
    """Return the faults of a mode at its least, middle and greatest severity, or the middle one."""
    count = len(mode.severities)
    places = sorted({0, count // 2, count - 1}) if finely else [count // 2]
    return [mode.faults[at] for at in places]


@lru_cache(maxsize=8)
def _store(circuit: Circuit) -> dict[tuple[str, str, bool], Predictions]:
    """Return where the solved grids of a circuit are kept."""
    return {}


def _grids(
    circuit: Circuit,
    book: Dictionary,
    modes: Sequence[FaultMode],
    chosen: Sequence[Key],
    finely: bool,
) -> list[Predictions]:
    """Return what each pair shows over its severities; solved together, once."""
    store = _store(circuit)
    names = [(modes[one].key, modes[other].key, finely) for one, other in chosen]
    # Another request may clear the store meanwhile: what is found here is held here.
    found = {name: kept for name in names if (kept := store.get(name)) is not None}
    missing = [at for at, name in enumerate(names) if name not in found]
    scenarios: list[tuple[Fault, ...]] = []
    sizes = []
    for at in missing:
        one, other = chosen[at]
        grid = list(product(_severities(modes[other], finely), _severities(modes[one], finely)))
        scenarios += [(first, second) for second, first in grid]
        sizes.append(len(grid))
    if missing:
        shown = predict(circuit, solve(circuit, scenarios), book.parts, careful=False)
        start = 0
        for at, count in zip(missing, sizes, strict=True):
            found[names[at]] = _cut(shown, slice(start, start + count))
            start += count
        if len(store) > _KEPT_GRIDS:
            store.clear()
        store.update(found)
    return [found[name] for name in names]


def _cut(shown: Predictions, rows: slice) -> Predictions:
    return Predictions(
        volts=shown.volts[rows],
        unsteady=shown.unsteady[rows],
        power=shown.power[rows],
        lamp={key: volts[rows] for key, volts in shown.lamp.items()},
        amps=shown.amps[rows],
        watts=shown.watts[rows],
        ohms=shown.ohms[rows],
    )


def _together(tables: Sequence[Predictions]) -> Predictions:
    first = tables[0]
    count = sum(len(table) for table in tables) - len(first)
    # A jumper is not worked out for two faults at once.
    unknown = np.full((count, first.power.shape[-1]), np.nan)
    return Predictions(
        volts=np.concatenate([table.volts for table in tables]),
        unsteady=np.concatenate([table.unsteady for table in tables]),
        power=np.concatenate([table.power for table in tables]),
        lamp={key: np.concatenate([table.lamp[key] for table in tables]) for key in first.lamp},
        amps=np.concatenate([table.amps for table in tables]),
        watts=np.concatenate([table.watts for table in tables]),
        ohms=np.concatenate([table.ohms for table in tables]),
        jumped={key: np.concatenate([watts, unknown]) for key, watts in first.jumped.items()},
    )


def _first_cells(
    modes: Sequence[FaultMode], chosen: Sequence[Key], finely: bool, start: int, scale: float
) -> Cells:
    """Return the cells between neighbouring severities of each pair."""
    pair, corner, log_prior = [], [], []
    for number, (one, other) in enumerate(chosen):
        wide = len(_severities(modes[one], finely))
        high = len(_severities(modes[other], finely))
        prior = np.log(modes[one].weight * modes[other].weight * scale)
        columns, rows = max(wide - 1, 1), max(high - 1, 1)
        for column, row in product(range(columns), range(rows)):
            right, up = min(column + 1, wide - 1), min(row + 1, high - 1)
            pair.append(number)
            corner.append([start + at + wide * to for to in (row, up) for at in (column, right)])
            log_prior.append(prior - np.log(columns * rows))
        start += wide * high
    unit = np.tile([0.0, 1.0], (len(pair), 1))
    return Cells(
        pair=np.array(pair, dtype=np.intp),
        corner=np.array(corner, dtype=np.intp),
        x=unit,
        y=unit.copy(),
        log_prior=np.array(log_prior),
    )


def _cuts(
    book: Dictionary, cells: Cells, solved: Predictions, readings: Sequence[TestReading]
) -> tuple[Indices, Indices]:
    """Return into how many pieces each cell is cut, by how far its ends would read apart."""
    ends = [mix.of(_read_columns(book, solved, readings)) for mix in cells.ends()]
    u_v = meter_uncertainty(ends[0], 0.01)
    low_low, low_high, high_low, high_high = ends  # x then y
    across = np.maximum(np.abs(high_low - low_low), np.abs(high_high - low_high)) / u_v
    along = np.maximum(np.abs(low_high - low_low), np.abs(high_high - high_low)) / u_v
    steps = [
        np.clip(np.ceil(apart.max(axis=1, initial=0.0) / STEP_IN_U), 1, CUTS).astype(np.intp)
        for apart in (across, along)
    ]
    return steps[0], steps[1]


def _read_columns(book: Dictionary, solved: Predictions, readings: Sequence[TestReading]) -> Floats:
    """Return scenario by reading: the volts at the points that were read."""
    columns = [
        solved.volts[:, book.state(reading.state), book.point(reading.point)]
        for reading in readings
        if reading.point
    ]
    return np.stack(columns, axis=1) if columns else np.zeros((len(solved), 0))


def _dictionary(
    book: Dictionary, suspects: Sequence[Suspect], cells: Cells, solved: Predictions
) -> Dictionary:
    """Return a dictionary of pairs alone, to weigh their cells; 'something else' weighs nothing."""
    middle = cells.middle()
    return replace(
        book,
        suspects=(*suspects, book.suspects[-1]),
        suspect=np.append(cells.pair, len(suspects)),
        log_prior=np.append(cells.log_prior, -np.inf),
        solved=solved,
        mix=Mixture(
            corner=np.vstack([middle.corner, np.zeros((1, 4), dtype=np.intp)]),
            weight=np.vstack([middle.weight, [[1.0, 0.0, 0.0, 0.0]]]),
        ),
    )


def _appended(
    book: Dictionary, suspects: Sequence[Suspect], cells: Cells, solved: Predictions
) -> Dictionary:
    """Return single faults, then pairs, then 'something else'."""
    used, number = np.unique(cells.pair, return_inverse=True)
    count = len(book.suspects) - 1
    single = book.mix
    wide = 4 - single.corner.shape[1]
    corner = np.pad(single.corner, ((0, 0), (0, wide)))
    weight = np.pad(single.weight, ((0, 0), (0, wide)))
    middle = cells.middle()
    return replace(
        book,
        suspects=(
            *book.suspects[:-1],
            *(suspects[at] for at in used.tolist()),
            book.suspects[-1],
        ),
        suspect=np.concatenate([book.suspect[:-1], count + number, [count + len(used)]]),
        log_prior=np.concatenate([book.log_prior[:-1], cells.log_prior, book.log_prior[-1:]]),
        solved=solved,
        mix=Mixture(
            corner=np.concatenate([corner[:-1], middle.corner, corner[-1:]]),
            weight=np.concatenate([weight[:-1], middle.weight, weight[-1:]]),
        ),
    )
