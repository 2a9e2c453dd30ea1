"""The expected gain of every test on the menu, from the samples that still stand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from scipy.sparse import csr_matrix

from witnessmark.diagnosis.belief import METERS, Flags, Floats, Indices, lamp_chances
from witnessmark.diagnosis.dictionary import Dictionary, Mixture
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.kinds import CLAMP, KINDS, LAMPS, OHMS, VOLTS
from witnessmark.diagnosis.next_test import Worth, compact, likeliest, outcome_gains, size_gains
from witnessmark.diagnosis.observations import Observation, Test
from witnessmark.diagnosis.offers import Menu
from witnessmark.diagnosis.outcomes import signs

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
    first
        The mixture at the beginning of each run.
    ends
        Twice the runs by scenario: the mixtures at the beginning of each run, then at its end.
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
    ends: csr_matrix
    supply: Floats
    sample: Indices

    @property
    def likeliest(self) -> float:
        """Share of the likeliest repair among the suspects."""
        return likeliest(self.belief, self.place)


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
        ends=_by_scenario(book.mix.rows(alive[np.concatenate([starts, ends])]), len(book.solved)),
        supply=weighed.supply[of_run],
        sample=of_run,
    )


def _by_scenario(mix: Mixture, scenarios: int) -> csr_matrix:
    """Return sample by scenario: the weights of mixtures."""
    corners = mix.weight.shape[1]
    rows = np.arange(0, mix.weight.size + 1, corners)
    shape = (len(mix.weight), scenarios)
    return csr_matrix((mix.weight.ravel(), mix.corner.ravel(), rows), shape=shape)


def gains(
    book: Dictionary,
    weighed: Weighed,
    menu: Menu,
    complaints: Sequence[Observation] = (),
    left: Standing | None = None,
) -> Worth:
    """Return what every test on the menu is expected to tell.

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
    told = Worth(np.zeros(len(menu.tests)), np.full(len(menu.tests), left.likeliest))

    def tell(chosen: Indices, found: Worth) -> None:
        told.bits[chosen], told.right[chosen] = found.bits, found.right

    kinds = np.array([test.kind for test in menu.tests])
    unsteady = left.first.most(book.solved.unsteady)
    for kind in (VOLTS, CLAMP, OHMS):
        chosen = np.flatnonzero(kinds == kind)
        if not len(chosen):
            continue
        low, high, blind = sizes(book, left, menu, chosen, unsteady)
        differs = _differ(low, high, METERS[kind].floor)
        spread = 0.0 if kind == OHMS else weighed.supply_spread
        found = size_gains(
            left.belief,
            left.place,
            left.kept,
            low[:, differs],
            high[:, differs],
            blind[:, differs],
            METERS[kind],
            spread,
        )
        tell(chosen[differs], found)
    chosen = np.flatnonzero(np.isin(kinds, LAMPS))
    if len(chosen):
        low, high, blind = sizes(book, left, menu, chosen, unsteady)
        tools = kinds[chosen]
        chances = _tabled(low, high, tools)
        chances[blind] = 1.0 / chances.shape[-1]
        tell(chosen, outcome_gains(left.belief, left.place, left.kept, chances))
    eyes = np.flatnonzero([not KINDS[kind].unit and kind not in LAMPS for kind in kinds])
    if len(eyes):
        asked = [menu.tests[number] for number in eyes.tolist()]
        first = signs(book, asked, complaints, left.sample)
        both = np.stack([first, 1.0 - first], axis=-1)
        tell(eyes, outcome_gains(left.belief, left.place, left.kept, both))
    return told


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
    states = {setting.name: number for number, setting in enumerate(book.settings)}
    asked = [menu.tests[number] for number in chosen.tolist()]
    table = np.empty((len(book.solved), len(asked)))
    probes: dict[tuple[str, str], list[int]] = {}
    for at, test in enumerate(asked):
        probes.setdefault((test.kind, test.reference), []).append(at)
    for own in probes.values():
        table[:, own] = _shown(book, [asked[at] for at in own], states)
    wandering = np.concatenate([unsteady, np.zeros((len(unsteady), 1), dtype=np.bool_)], axis=1)
    blind = wandering[:, [states.get(test.state, -1) for test in asked]]
    supply = np.where([test.kind == OHMS for test in asked], 0.0, 1.0)
    scale = 1.0 + supply[None, :] * (left.supply[:, None] - 1.0)
    both = (left.ends @ table).reshape(2, *scale.shape) * scale
    return both[0], both[1], blind


def _shown(book: Dictionary, tests: Sequence[Test], states: Mapping[str, int]) -> Floats:
    """Return scenario by test: the sizes of tests of one kind, to one other probe."""
    kind, reference = tests[0].kind, tests[0].reference
    solved = book.solved
    if kind in (OHMS, CLAMP):
        parts = {part.name: number for number, part in enumerate(book.parts)}
        place = [parts[test.part] for test in tests]
    else:
        points = {point.letter: number for number, point in enumerate(book.places)}
        place = [points[test.point] for test in tests]
    if kind == OHMS:
        return np.minimum(solved.ohms[:, place], OPEN_OHM)
    state = [states[test.state] for test in tests]
    if kind == CLAMP:
        return solved.amps[:, state, place]
    if kind in LAMPS:
        return solved.lamp[kind, reference][:, state, place]
    volts = solved.volts[:, state, place]
    return volts - solved.volts[:, state, points[reference]] if reference else volts


def _differ(low: Floats, high: Floats, floor: float) -> Indices:
    """Return the tests that do not read alike for all."""
    least, most = np.minimum(low, high).min(axis=0), np.maximum(low, high).max(axis=0)
    return np.flatnonzero(most - least > floor)


@cache
def _lamp_table() -> Floats:
    """Return tool by step of volts by outcome: the chances of dark, dim and lit."""
    steps = np.arange(0.0, _CHANCE_MOST_V, _CHANCE_STEP_V)
    return np.stack([lamp_chances(steps, tool) for tool in LAMPS])


def _tabled(low: Floats, high: Floats, tools: np.ndarray) -> Floats:
    """Return the chances of dark, dim and lit from a table; exact enough to choose a test."""
    table = _lamp_table()
    first = np.array([LAMPS.index(tool) for tool in tools]) * table.shape[1]
    most = table.shape[1] - 1
    places = [
        first + np.minimum(np.abs(volts) / _CHANCE_STEP_V, most).astype(np.intp)
        for volts in (low, high)
    ]
    chances = np.empty((*low.shape, table.shape[2]))
    for outcome in range(table.shape[2]):
        column = np.ascontiguousarray(table[:, :, outcome]).ravel()
        chances[:, :, outcome] = (column[places[0]] + column[places[1]]) / 2.0
    return chances
