"""The expected gain of every test on the menu, from the samples that still stand."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.sparse import csr_matrix

from witnessmark.diagnosis.belief import METERS, Flags, Floats, Indices, lamp_chances
from witnessmark.diagnosis.dictionary import Dictionary, Mixture
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.kinds import CLAMP, KINDS, LAMPS, OHMS, VOLTS
from witnessmark.diagnosis.next_test import compact, outcome_gains, size_gains
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.offers import Menu
from witnessmark.diagnosis.outcomes import sign_chances

NEGLIGIBLE: Final = 1e-6  # of the strongest belief: such samples cannot move a gain
RUNS_PER_SUSPECT: Final = 4  # pieces into which the severities of a suspect are cut
OPEN_OHM: Final = 1e7  # stands for ohms without end
_CHANCE_STEP_V: Final = 0.05
_CHANCE_MOST_V: Final = 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """The samples that still stand, cut into runs of neighbouring severities.

    Attributes
    ----------
    belief
        Belief in each run; adds up to 1.
    suspect, place
        Its suspect, and its repair among those worth telling apart.
    kept
        How many repairs there are.
    first, last
        The mixtures at both ends of each run.
    supply
        Supply of the vehicle over that of the sheet, by run.
    sample
        The sample in the middle of each run.
    """

    belief: Floats
    suspect: Indices
    place: Indices
    kept: int
    first: Mixture
    last: Mixture
    supply: Floats
    sample: Indices


def standing(book: Dictionary, weighed: Weighed) -> Standing:
    """Return the samples that still stand.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.

    Notes
    -----
    Any reading that some suspect predicts speaks against 'something else', which predicts
    nothing. That is no reason to take it: a test is worth what it tells among the suspects.
    """
    held = np.where(book.known, weighed.belief, 0.0)
    alive = np.flatnonzero(held > NEGLIGIBLE * held.max())
    belief = held[alive] / held[alive].sum()
    suspect = book.suspect[alive]
    # A run ends where the suspect ends, or where a quarter of the suspect's belief is passed.
    whole = np.bincount(suspect, weights=belief, minlength=len(book.suspects))
    passed = np.cumsum(belief) - belief / 2.0
    before = np.concatenate([[0.0], np.cumsum(whole)[:-1]])[suspect]
    share = (passed - before) / np.maximum(whole[suspect], 1e-300)
    two = np.array([len(one.parts) > 1 for one in book.suspects])[suspect]
    # Two faults at once have severities in a plane: their samples stand for themselves.
    cut = np.where(two, np.arange(len(alive)), np.floor(share * RUNS_PER_SUSPECT))
    new = np.concatenate([[True], (suspect[1:] != suspect[:-1]) | (cut[1:] != cut[:-1])])
    starts = np.flatnonzero(new)
    ends = np.append(starts[1:], len(alive)) - 1
    run_belief = np.add.reduceat(belief, starts)
    of_run = alive[(starts + ends) // 2]
    place, kept = compact(run_belief, book.repair[of_run], len(book.repairs))
    return Standing(
        belief=run_belief,
        suspect=book.suspect[of_run],
        place=place,
        kept=kept,
        first=book.mix.rows(alive[starts]),
        last=book.mix.rows(alive[ends]),
        supply=weighed.supply[of_run],
        sample=of_run,
    )


def gains(
    book: Dictionary,
    weighed: Weighed,
    menu: Menu,
    complaints: Sequence[Observation] = (),
    left: Standing | None = None,
) -> Floats:
    """Return the expected gain of every test on the menu. [bit]

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    menu
        The tests.
    complaints
        What was reported.
    left
        The samples that still stand, if they are at hand.
    """
    left = left or standing(book, weighed)
    bits = np.zeros(len(menu.tests))
    kinds = np.array([test.kind for test in menu.tests])
    unsteady = left.first.most(book.solved.unsteady)
    for kind in (VOLTS, CLAMP, OHMS):
        chosen = np.flatnonzero(kinds == kind)
        if not len(chosen):
            continue
        low, high, blind = sizes(book, left, menu, chosen, unsteady)
        differs = _differ(low, high, METERS[kind].floor)
        spread = 0.0 if kind == OHMS else weighed.supply_spread
        bits[chosen[differs]] = size_gains(
            left.belief,
            left.place,
            left.kept,
            low[:, differs],
            high[:, differs],
            blind[:, differs],
            METERS[kind],
            spread,
        )
    chosen = np.flatnonzero(np.isin(kinds, LAMPS))
    if len(chosen):
        low, high, blind = sizes(book, left, menu, chosen, unsteady)
        tools = kinds[chosen]
        chances = np.stack([_tabled(low, tools), _tabled(high, tools)]).mean(axis=0)
        chances[blind] = 1.0 / chances.shape[-1]
        bits[chosen] = outcome_gains(left.belief, left.place, left.kept, chances)
    signs = np.flatnonzero([not KINDS[kind].unit and kind not in LAMPS for kind in kinds])
    if len(signs):
        first = np.stack(
            [
                sign_chances(book, menu.tests[number], complaints)[left.sample]
                for number in signs.tolist()
            ],
            axis=1,
        )
        both = np.stack([first, 1.0 - first], axis=-1)
        bits[signs] = outcome_gains(left.belief, left.place, left.kept, both)
    return bits


def sizes(
    book: Dictionary, left: Standing, menu: Menu, chosen: Indices, unsteady: Flags
) -> tuple[Floats, Floats, Flags]:
    """Return run by test: the sizes at both ends of each run, and where they wander.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    left
        The samples that still stand.
    menu
        The tests.
    chosen
        Numbers of tests whose outcome has a size, or that are lamps.
    unsteady
        Run by state: whether a relay chatters.
    """
    columns, blind = [], []
    solved = book.solved
    states = {setting.name: number for number, setting in enumerate(book.settings)}
    points = {place.letter: number for number, place in enumerate(book.places)}
    parts = {part.name: number for number, part in enumerate(book.parts)}
    for number in chosen.tolist():
        test = menu.tests[number]
        if test.kind == OHMS:
            column = np.minimum(solved.ohms[:, parts[test.part]], OPEN_OHM)
        elif test.kind == CLAMP:
            column = solved.amps[:, states[test.state], parts[test.part]]
        elif test.kind in LAMPS:
            at = points[test.point]
            column = solved.lamp[test.kind, test.reference][:, states[test.state], at]
        else:
            column = solved.volts[:, states[test.state], points[test.point]]
            if test.reference:
                column = column - solved.volts[:, states[test.state], points[test.reference]]
        columns.append(column)
        blind.append(states.get(test.state, -1))
    table = np.stack(columns, axis=1)
    wandering = np.concatenate([unsteady, np.zeros((len(unsteady), 1), dtype=np.bool_)], axis=1)
    supply = np.where([menu.tests[n].kind == OHMS for n in chosen.tolist()], 0.0, 1.0)
    scale = 1.0 + supply[None, :] * (left.supply[:, None] - 1.0)
    low, high = (_mixed(mix, table) * scale for mix in (left.first, left.last))
    return low, high, wandering[:, blind]


def _mixed(mix: Mixture, table: Floats) -> Floats:
    """Return the mixtures of rows of a table, as one sparse product."""
    rows = np.repeat(np.arange(len(mix.weight)), mix.weight.shape[1])
    matrix = csr_matrix(
        (mix.weight.ravel(), (rows, mix.corner.ravel())), shape=(len(mix.weight), len(table))
    )
    return np.asarray(matrix @ table, dtype=np.float64)


def _differ(low: Floats, high: Floats, floor: float) -> Indices:
    """Return the tests that do not read alike for all."""
    least, most = np.minimum(low, high).min(axis=0), np.maximum(low, high).max(axis=0)
    return np.flatnonzero(most - least > floor)


def _tabled(volts: Floats, tools: np.ndarray) -> Floats:
    """Return the chances of dark, dim and lit from a table; exact enough to choose a test."""
    steps = np.arange(0.0, _CHANCE_MOST_V, _CHANCE_STEP_V)
    table = np.stack([lamp_chances(steps, tool) for tool in LAMPS])
    at = np.minimum(np.abs(volts) / _CHANCE_STEP_V, len(steps) - 1).astype(np.intp)
    which = np.array([LAMPS.index(tool) for tool in tools])
    return np.asarray(table[which[None, :], at], dtype=np.float64)
