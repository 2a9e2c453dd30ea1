"""Columns made better, heights given: shorter bars, coils beside contacts, no new crossing.

Runs are moved about at random, from a fixed start, and a move that makes the drawing worse is taken
less and less often; the best of all is kept, so that a drawing without a crossing stays without.
"""

import math
import random
from collections.abc import Mapping
from typing import Final

from witnessmark.papers.circuit.frame import Frame, has_battery, is_rail, place_of

_FORBIDDEN: Final = 500.0  # two runs over each other, or a column on the end of a foreign bar
_CROSSING: Final = 250.0
_NEAR: Final = 12.0  # bars that lie over each other at nearly one height
_CORNER: Final = 3.0
_BAR: Final = 2.0  # for each column of a bar's length
_TIE: Final = 2.2
_TIE_CROSSING: Final = 5.0
_TIE_UPRIGHT: Final = 12.0  # both ends in one column: it cannot be drawn
_COLUMN: Final = 4.0
_BATTERY: Final = 8.0  # for each column from the left
_MAIN: Final = 6.0  # for each column from the right
_ORDER: Final = 60.0  # for two runs that stand the other way round than in the whole
_NEAR_PX: Final = 20.0
_SAME_PX: Final = 1.0  # two columns of the whole are farther apart
_HOT: Final = 7.0
_COLD: Final = 0.3


def better_columns(
    frame: Frame, columns: Mapping[int, int], heights: Mapping[str, float], moves: int
) -> dict[int, int]:
    """Return columns that cost less, or the same ones.

    Parameters
    ----------
    frame
        The frame.
    columns
        Column of each run, by its number.
    heights
        Heights of the junctions, and of tied branches. [px]
    moves
        How many moves are tried.
    """
    count = len(frame.runs)
    cost = _Cost(frame, heights)
    start = _closed_up([columns[at] for at in range(count)])
    if count < 2:
        return dict(enumerate(start))
    now, now_cost = start, cost(start)
    best, best_cost = now, now_cost
    rng = random.Random(1)  # noqa: S311 - the same circuit is drawn the same
    for step in range(moves):
        heat = _HOT * (_COLD / _HOT) ** (step / moves)
        tried = _moved(now, rng)
        tried_cost = cost(tried)
        if tried_cost <= now_cost or rng.random() < math.exp((now_cost - tried_cost) / heat):
            now, now_cost = tried, tried_cost
            if now_cost < best_cost - 1e-9:
                best, best_cost = now, now_cost
    return dict(enumerate(best))


def _moved(columns: list[int], rng: random.Random) -> list[int]:
    at = rng.randrange(len(columns))
    last = max(columns)
    choice = rng.random()
    if choice < 0.45:  # into another column
        tried = list(columns)
        tried[at] = rng.randint(0, last)
    elif choice < 0.75:  # into a column of its own
        place = rng.randint(0, last + 1)
        tried = [column + (column >= place) for column in columns]
        tried[at] = place
    elif choice < 0.9:  # two columns change places
        one, other = columns[at], rng.randint(0, last)
        swap = {one: other, other: one}
        tried = [swap.get(column, column) for column in columns]
    else:  # some columns side by side turn round
        low, high = sorted((rng.randint(0, last), rng.randint(0, last)))
        tried = [low + high - column if low <= column <= high else column for column in columns]
    return _closed_up(tried)


def _closed_up(columns: list[int]) -> list[int]:
    place = {column: at for at, column in enumerate(sorted(set(columns)))}
    return [place[column] for column in columns]


class _Cost:
    """What a choice of columns costs; written for speed, as it is asked thousands of times.

    Heights do not change, so which bars can meet which runs at all is known beforehand.
    """

    def __init__(self, frame: Frame, heights: Mapping[str, float]) -> None:
        bars = [key for key in frame.bars if not is_rail(frame, key)]
        runs = [(heights[run.first], heights[run.last]) for run in frame.runs]
        self.at = [
            [at for at, run in enumerate(frame.runs) if key in (run.first, run.last)]
            for key in bars
        ]
        self.tops = [[at for at, run in enumerate(frame.runs) if key == run.first] for key in bars]
        self.passed = [
            [
                number
                for number, key in enumerate(bars)
                if top < heights[key] < end and key not in (run.first, run.last)
            ]
            for run, (top, end) in zip(frame.runs, runs, strict=True)
        ]
        self.abreast = [
            (one, other)
            for one, (top, end) in enumerate(runs)
            for other, (other_top, other_end) in enumerate(runs[:one])
            if min(end, other_end) > max(top, other_top)
        ]
        self.near = [
            (one, other)
            for one, key in enumerate(bars)
            for other, other_key in enumerate(bars[:one])
            if abs(heights[key] - heights[other_key]) < _NEAR_PX
        ]
        self.battery = [at for at, run in enumerate(frame.runs) if has_battery(run)]
        main = frame.sketch.main
        self.main = [
            at for at, run in enumerate(frame.runs) if {one.key for one in run.branches} & main
        ]
        self.order = _as_in_the_whole(frame)
        if frame.sketch.across:  # the whole says where the strong way and the battery stand
            self.main = self.battery = []
        where = {one.key: at for at, run in enumerate(frame.runs) for one in run.branches}
        self.ties = []
        for one, other in frame.sketch.ties:
            y = (heights[place_of(one)] + heights[place_of(other)]) / 2.0
            passed = [at for at, (top, end) in enumerate(runs) if top < y < end]
            self.ties.append((where[one], where[other], passed))

    def __call__(self, columns: list[int]) -> float:
        total = 0.0
        lows, highs = [], []
        for runs, tops in zip(self.at, self.tops, strict=True):
            places = [columns[run] for run in runs]
            low, high = min(places), max(places)
            lows.append(low)
            highs.append(high)
            if low != high:
                total += _BAR * (high - low)
                above = [columns[run] for run in tops]
                for end in (low, high):  # a corner: all that is there goes one way
                    if above.count(end) in (0, places.count(end)):
                        total += _CORNER
        for column, bars in zip(columns, self.passed, strict=True):
            for bar in bars:
                if lows[bar] <= column <= highs[bar]:
                    total += _CROSSING if lows[bar] < column < highs[bar] else _FORBIDDEN
        for one, other in self.abreast:
            if columns[one] == columns[other]:
                total += _FORBIDDEN
        for one, other in self.near:
            if lows[one] <= highs[other] and lows[other] <= highs[one]:
                total += _NEAR
        last = max(columns)
        total += _COLUMN * last
        for at in self.battery:
            total += _BATTERY * columns[at]
        for at in self.main:
            total += _MAIN * (last - columns[at])
        for left, right in self.order:
            if columns[left] > columns[right]:
                total += _ORDER
        for first, second, passed in self.ties:
            low, high = columns[first], columns[second]
            if low > high:
                low, high = high, low
            total += _TIE * (high - low) + (_TIE_UPRIGHT if low == high else 0.0)
            for at in passed:
                if low < columns[at] < high:
                    total += _TIE_CROSSING
        return total


def _as_in_the_whole(frame: Frame) -> list[tuple[int, int]]:
    """Return pairs of runs of which the first stands further left in the whole circuit."""
    across = dict(frame.sketch.across)
    middles = []
    for run in frame.runs:
        places = [across[one.key] for one in run.branches if one.key in across]
        middles.append(sum(places) / len(places) if places else None)
    return [
        (one, other)
        for one, left in enumerate(middles)
        for other, right in enumerate(middles)
        if left is not None and right is not None and left < right - _SAME_PX
    ]
