"""What tests with a size would show for the samples that still stand."""

from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary
from witnessmark.diagnosis.kinds import CLAMP, LAMPS, OHMS
from witnessmark.diagnosis.observations import Test
from witnessmark.diagnosis.offers import Menu
from witnessmark.diagnosis.standing import Standing

OPEN_OHM: Final = 1e7  # stands for ohms without end

# Enough digits to choose a test, in half the memory.
Rough = NDArray[np.float32]


class Sizes(NamedTuple):
    """What tests with a size, or lamps, would show.

    Attributes
    ----------
    low, high
        Run by test: the size at both ends of each run.
    blind
        Run by test: where the size wanders.
    healthy
        By test: the size on a healthy circuit at the supply of the sheet.
    """

    low: Rough
    high: Rough
    blind: Flags
    healthy: Rough

    def of(self, chosen: Indices) -> "Sizes":
        """Return the same for some of the tests."""
        return Sizes(
            self.low[:, chosen], self.high[:, chosen], self.blind[:, chosen], self.healthy[chosen]
        )


def sizes(book: Dictionary, left: Standing, menu: Menu, chosen: Indices) -> Sizes:
    """Return what some tests would show.

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
    """
    states = {setting.name: number for number, setting in enumerate(book.settings)}
    asked = [menu.tests[number] for number in chosen.tolist()]
    probes: dict[tuple[str, str], list[int]] = {}
    for at, test in enumerate(asked):
        probes.setdefault((test.kind, test.reference), []).append(at)
    table = np.empty((len(book.solved), len(asked)), dtype=np.float32)
    for own in probes.values():
        table[:, own] = _shown(book, [asked[at] for at in own], states)
    unsteady = left.first.most(book.solved.unsteady)
    wandering = np.concatenate([unsteady, np.zeros((len(unsteady), 1), dtype=np.bool_)], axis=1)
    blind = wandering[:, [states.get(test.state, -1) for test in asked]]
    supply = np.array([test.kind != OHMS for test in asked], dtype=np.float32)
    scale = 1.0 + supply[None, :] * (left.supply[:, None] - 1.0).astype(np.float32)
    both = (left.ends @ table).reshape(2, *scale.shape) * scale
    return Sizes(both[0], both[1], blind, table[HEALTHY])


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
