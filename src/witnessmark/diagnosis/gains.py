"""The expected gain of every test on the menu, from the samples that still stand."""

from collections.abc import Sequence
from functools import cache
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import (
    LAMP_DARK_V,
    LAMP_LIT_V,
    METERS,
    Flags,
    Floats,
    Indices,
    lamp_chances,
)
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.kinds import CLAMP, LAMPS, OHMS, VOLTS, has_size
from witnessmark.diagnosis.next_test import Worth, most_bits, outcome_gains, size_gains
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.offers import Menu
from witnessmark.diagnosis.outcomes import signs
from witnessmark.diagnosis.sizes import Rough, Sizes, sizes
from witnessmark.diagnosis.standing import Standing, standing

ASKED_FOR: Final = 40  # best tests by gain per minute, of which the next one is chosen
SCREENED: Final = 80  # tests worked out at a time; after them, others may be left out
NEARLY_NAMED: Final = 0.8  # from here on the end may be near: nothing is left out
ALIKE_IN_U: Final = 0.25  # sizes so near that no meter parts them
# So far from a lamp's borders it looks the same to everyone.
CLEARLY_DARK_V: Final = {tool: LAMP_DARK_V[tool][0] - 4 * LAMP_DARK_V[tool][1] for tool in LAMPS}
CLEARLY_LIT_V: Final = {tool: LAMP_LIT_V[tool][0] + 4 * LAMP_LIT_V[tool][1] for tool in LAMPS}

_CHANCE_STEP_V: Final = 0.05
_CHANCE_MOST_V: Final = 40.0


def gains(
    book: Dictionary,
    weighed: Weighed,
    menu: Menu,
    complaints: Sequence[Observation] = (),
    left: Standing | None = None,
    minutes: Floats | None = None,
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
    minutes
        Minutes of each test, if only the best by gain per minute are asked for: the others may
        then stand as tests that tell nothing. [min]
    """
    left = left or standing(book, weighed)
    told = Worth(np.zeros(len(menu.tests)), np.full(len(menu.tests), left.likeliest))
    kinds = np.array([test.kind for test in menu.tests])
    of_size = np.array([has_size(test.kind) for test in menu.tests], dtype=np.bool_)
    eyes = np.flatnonzero(~of_size)
    if len(eyes):
        asked = [menu.tests[number] for number in eyes.tolist()]
        first = signs(book, asked, complaints, left.sample)
        both = np.stack([first, 1.0 - first], axis=-1)
        _tell(told, eyes, outcome_gains(left.belief, left.place, left.kept, both))
    sized = np.flatnonzero(of_size)
    shown = sizes(book, left, menu, sized)
    spread = weighed.supply_spread

    def tell(chosen: Indices) -> None:
        _tell_sizes(told, left, kinds[sized[chosen]], shown.of(chosen), sized[chosen], spread)

    if minutes is None or len(sized) <= SCREENED or left.likeliest > NEARLY_NAMED:
        tell(np.arange(len(sized)))
        return told
    alike = _alike(left, kinds[sized], shown)
    rate = most_bits(left.belief, left.place, left.kept, alike) / minutes[sized]
    order = np.argsort(-rate, kind="stable")
    while len(order):
        tell(order[:SCREENED])
        reached = np.partition(told.bits / minutes, -ASKED_FOR)[-ASKED_FOR]
        order = order[SCREENED:]
        order = order[rate[order] > reached]
    return told


def _tell(told: Worth, chosen: Indices, found: Worth) -> None:
    told.bits[chosen], told.right[chosen] = found.bits, found.right


def _tell_sizes(
    told: Worth, left: Standing, kinds: np.ndarray, shown: Sizes, numbers: Indices, spread: float
) -> None:
    """Fill in what some tests with a size, or lamps, are expected to tell."""
    for kind in (VOLTS, CLAMP, OHMS):
        own = np.flatnonzero(kinds == kind)
        own = own[_differ(shown.low[:, own], shown.high[:, own], METERS[kind].floor)]
        if len(own):
            found = size_gains(
                left.belief,
                left.place,
                left.kept,
                *shown.of(own)[:3],
                METERS[kind],
                0.0 if kind == OHMS else spread,
            )
            _tell(told, numbers[own], found)
    own = np.flatnonzero(np.isin(kinds, LAMPS))
    if len(own):
        low, high, blind, _ = shown.of(own)
        chances = _tabled(low, high, kinds[own])
        chances[blind] = 1.0 / chances.shape[-1]
        found = outcome_gains(left.belief, left.place, left.kept, chances)
        _tell(told, numbers[own], found)


def _alike(left: Standing, kinds: np.ndarray, shown: Sizes) -> Flags:
    """Return run by test: whether a run reads as the healthy circuit does, as far as one sees."""
    usual = shown.healthy * np.where(kinds == OHMS, 1.0, left.belief @ left.supply)
    least, most = np.empty((2, len(kinds)), dtype=np.float32)
    for kind, meter in METERS.items():
        own = kinds == kind
        near = ALIKE_IN_U * np.hypot(meter.gain * usual[own], meter.floor)
        least[own], most[own] = usual[own] - near, usual[own] + near
    for kind in LAMPS:
        own = kinds == kind
        dark_v, lit_v = CLEARLY_DARK_V[kind], CLEARLY_LIT_V[kind]
        size = np.abs(usual[own])
        low = np.where(size < dark_v, -dark_v, np.minimum(size - _CHANCE_STEP_V, lit_v))
        high = np.where(size > lit_v, np.inf, np.maximum(size + _CHANCE_STEP_V, dark_v))
        # With the clip on the battery the same volts have the other sign.
        turned = usual[own] < 0.0
        least[own], most[own] = np.where(turned, -high, low), np.where(turned, -low, high)
    inside = (shown.low > least) & (shown.low < most) & (shown.high > least) & (shown.high < most)
    return np.asarray(inside | shown.blind, dtype=np.bool_)


def _differ(low: Rough, high: Rough, floor: float) -> Indices:
    """Return the tests that do not read alike for all."""
    least, most = np.minimum(low, high).min(axis=0), np.maximum(low, high).max(axis=0)
    return np.flatnonzero(most - least > floor)


@cache
def _lamp_table() -> Floats:
    """Return tool by step of volts by outcome: the chances of dark, dim and lit."""
    steps = np.arange(0.0, _CHANCE_MOST_V, _CHANCE_STEP_V)
    return np.stack([lamp_chances(steps, tool) for tool in LAMPS])


def _tabled(low: Rough, high: Rough, tools: np.ndarray) -> Floats:
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
