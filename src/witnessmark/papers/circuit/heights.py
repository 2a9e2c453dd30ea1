"""Heights of junctions, symbols and points, by one linear program.

Along a run each stands below the one before it. Bars that lie over each other keep their order and
a distance, and so do a column's stops and the bars that pass them. Loads are pulled to one row,
feeds up, grounds down, a coil to the height of its contact; the least height of the whole comes
first.
"""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from witnessmark.papers.circuit.branches import Symbol
from witnessmark.papers.circuit.frame import Frame, Stop, has_battery, is_rail, place_of, point_stop

BAR_GAP_PX: Final = 24.0  # between bars that lie over each other
RAIL_GAP_PX: Final = 30.0  # between a rail and any bar
TIE_GAP_PX: Final = 14.0  # between a dashed tie and a bar or another tie
_CLEAR_PX: Final = 4.0
_ORDER_PX: Final = 1e-3
_ROW_PULL: Final = 4.0
_TIE_PULL: Final = 9.0
_SIDE_PULL: Final = 1.0
_SHORT_PULL: Final = 0.1
FOOT: Final = "\x03foot"  # height of the whole
_ROW: Final = "\x03row"  # where the loads stand
_ASIDE: Final = "\x04"  # begins what is no height

Heights = dict[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """A coil and a contact, or two poles, that are joined by a dashed line.

    Attributes
    ----------
    left, right
        Places of their branches, the left one first.
    from_column, to_column
        Their columns.
    line
        The one of them at whose height the line runs across; beside the other it goes up or down.
    is_level
        Whether both stand at one height.
    """

    left: str
    right: str
    from_column: int
    to_column: int
    line: str
    is_level: bool


def heights_of(
    frame: Frame,
    columns: Mapping[int, int],
    before: Mapping[str, float],
    ties: Sequence[Tie] = (),
) -> Heights | None:
    """Return the height of every bar and stop, the top being 0. [px]

    Parameters
    ----------
    frame
        The frame.
    columns
        Column of each run, by its number.
    before
        Heights, or ranks, of at least the junctions: what lies over what stays so.
    ties
        Ties to be drawn level, with their way kept clear.

    Returns
    -------
    dict of str to float, or None
        By key of junction, branch or point; None if the ties cannot all be level.
    """
    program = _Program()
    _along(program, frame)
    _apart(program, frame, columns, before)
    _clear_ties(program, frame, columns, before, ties)
    _pulls(program, frame)
    return program.solved()


class _Program:
    """Variables with a floor of 0, and rows 'one stands so far above the other'."""

    def __init__(self) -> None:
        self.number: dict[str, int] = {}
        self.cost: list[float] = []
        self.rows: list[list[tuple[int, float]]] = []
        self.bounds: list[float] = []
        self.level: list[tuple[int, int]] = []

    def variable(self, key: str) -> int:
        if key not in self.number:
            self.number[key] = len(self.cost)
            self.cost.append(0.0)
        return self.number[key]

    def above(self, one: str, other: str, gap_px: float) -> None:
        """One stands at least so far above the other."""
        self.row([(self.variable(one), 1.0), (self.variable(other), -1.0)], -gap_px)

    def row(self, terms: list[tuple[int, float]], most: float) -> None:
        self.rows.append(terms)
        self.bounds.append(most)

    def pull(self, key: str, weight: float) -> None:
        """Pull up where the weight is above 0, down below it."""
        self.cost[self.variable(key)] += weight

    def near(self, one: str, other: str, weight: float) -> None:
        """Pull two heights together."""
        apart = self.variable(f"{_ASIDE}{len(self.cost)}")
        self.cost[apart] = weight
        a, b = self.variable(one), self.variable(other)
        self.row([(a, 1.0), (b, -1.0), (apart, -1.0)], 0.0)
        self.row([(b, 1.0), (a, -1.0), (apart, -1.0)], 0.0)

    def solved(self) -> Heights | None:
        foot = self.variable(FOOT)
        # Heavier than all that pulls down together, or there would be no least height.
        self.cost[foot] = 1.0 - sum(weight for weight in self.cost if weight < 0)
        for key, number in list(self.number.items()):
            if not key.startswith(_ASIDE):
                self.row([(number, 1.0), (foot, -1.0)], 0.0)
        least = [-np.inf] * len(self.rows) + [0.0] * len(self.level)
        rows = self.rows + [[(one, 1.0), (other, -1.0)] for one, other in self.level]
        terms = [(at, *term) for at, row in enumerate(rows) for term in row]
        where = np.array([term[:2] for term in terms], dtype=np.int64)
        matrix = coo_array(
            (np.array([term[2] for term in terms]), (where[:, 0], where[:, 1])),
            shape=(len(rows), len(self.cost)),
        )
        most = self.bounds + [0.0] * len(self.level)
        found = milp(
            self.cost,
            constraints=LinearConstraint(matrix.tocsr(), least, most),
            bounds=Bounds(0.0, np.inf),
        )
        if found.x is None:
            return None
        return {
            key: float(found.x[number])
            for key, number in self.number.items()
            if not key.startswith(_ASIDE)
        }


def _along(program: _Program, frame: Frame) -> None:
    for run, stops in zip(frame.runs, frame.stops, strict=True):
        every = [_end(frame, run.first, True), *stops, _end(frame, run.last, False)]
        for one, other in itertools.pairwise(every):
            program.above(one.key, other.key, one.down + _CLEAR_PX + other.up)
    supply, ground = frame.sketch.supply, frame.sketch.ground
    for bar in frame.bars:
        if supply and bar != supply:
            program.above(supply, bar, RAIL_GAP_PX)
        if ground and bar != ground:
            program.above(bar, ground, RAIL_GAP_PX)


def _end(frame: Frame, key: str, is_top: bool) -> Stop:
    node = frame.nodes[key]
    stop = point_stop(node, frame.has_words)
    reach = 12.0 if is_rail(frame, key) else (stop.down if is_top else stop.up)
    return Stop(key=key, branch=None, node=node, up=reach, down=reach)


def _apart(
    program: _Program,
    frame: Frame,
    columns: Mapping[int, int],
    before: Mapping[str, float],
) -> None:
    """Keep what lies over what, as it is."""
    spans = {key: span for key, span in frame.spans(columns).items() if not is_rail(frame, key)}
    keys = sorted(spans, key=lambda key: before[key])
    for at, one in enumerate(keys):
        for other in keys[at + 1 :]:
            if spans[one][0] <= spans[other][1] and spans[other][0] <= spans[one][1]:
                program.above(one, other, BAR_GAP_PX)
    for at, (run, stops) in enumerate(zip(frame.runs, frame.stops, strict=True)):
        for key, (low, high) in spans.items():
            if key in (run.first, run.last) or not low <= columns[at] <= high:
                continue
            if before[run.first] < before[key] < before[run.last]:
                _beside(program, key, 6.0, stops, before)


def _beside(
    program: _Program, key: str, reach: float, stops: Sequence[Stop], before: Mapping[str, float]
) -> None:
    """Keep the stops of a column clear of a line that passes at some height."""
    for stop in stops:
        if stop.key not in before:
            continue
        if before[stop.key] < before[key]:
            program.above(stop.key, key, stop.down + reach)
        else:
            program.above(key, stop.key, stop.up + reach)


def _clear_ties(
    program: _Program,
    frame: Frame,
    columns: Mapping[int, int],
    before: Mapping[str, float],
    ties: Sequence[Tie],
) -> None:
    spans = frame.spans(columns)
    order = sorted(ties, key=lambda tie: (before[tie.line], tie.from_column - tie.to_column))
    level = dict(before)
    for number, tie in enumerate(order):  # ties at one height get an order of their own
        for place in {tie.line, *((tie.left, tie.right) if tie.is_level else ())}:
            level[place] = before[tie.line] + _ORDER_PX * number
    for number, tie in enumerate(order):
        if tie.is_level:
            program.level.append((program.variable(tie.left), program.variable(tie.right)))
        own = {tie.left, tie.right}
        for at, stops in enumerate(frame.stops):
            if tie.from_column < columns[at] < tie.to_column:
                others = [stop for stop in stops if stop.key not in own]
                _beside(program, tie.line, 6.0, others, level)
        for key, (low, high) in spans.items():
            if is_rail(frame, key) or low > tie.to_column or high < tie.from_column:
                continue
            if level[key] < level[tie.line]:
                program.above(key, tie.line, TIE_GAP_PX)
            else:
                program.above(tie.line, key, TIE_GAP_PX)
        for other in order[number + 1 :]:
            is_apart = tie.to_column <= other.from_column or other.to_column <= tie.from_column
            if not is_apart and not own & {other.left, other.right}:
                program.above(tie.line, other.line, TIE_GAP_PX)


def _pulls(program: _Program, frame: Frame) -> None:
    sides = _sides(frame)
    for key in frame.bars:
        program.pull(key, _SIDE_PULL * sides.get(key, 0))
    tied = {place_of(key) for pair in frame.sketch.ties for key in pair}
    for run, stops in zip(frame.runs, frame.stops, strict=True):
        loads = [at for at, stop in enumerate(stops) if stop.branch and stop.branch.is_load]
        for at, stop in enumerate(stops):
            if not loads:
                side = 1 if sides.get(run.first, 0) > 0 else -1
            else:
                side = 1 if at < loads[0] else -1
            if at in loads[:1] and stop.key not in tied and not _is_hung(frame, run.last):
                program.near(stop.key, _ROW, _ROW_PULL)
            elif stop.branch and stop.branch.symbol is Symbol.BATTERY:
                program.near(stop.key, _ROW, _SIDE_PULL)
            else:
                program.pull(stop.key, _SIDE_PULL * side / 4.0)
    for run in frame.runs:  # no longer than it must be
        program.pull(run.last, _SHORT_PULL)
        program.pull(run.first, -_SHORT_PULL)
    for one, other in frame.sketch.ties:
        program.near(place_of(one), place_of(other), _TIE_PULL)


def _is_hung(frame: Frame, key: str) -> bool:
    return frame.nodes[key].is_open


def _sides(frame: Frame) -> dict[str, int]:
    """Return 1 for bars that no load parts from the supply, -1 for those at the ground."""
    sides: dict[str, int] = {}
    for rail, side in ((frame.sketch.ground, -1), (frame.sketch.supply, 1)):
        for key in _reached(frame, rail) if rail else ():
            sides[key] = side
    return sides


def _reached(frame: Frame, rail: str) -> Iterator[str]:
    seen, waiting = {rail}, [rail]
    while waiting:
        key = waiting.pop()
        yield key
        for run in frame.runs:
            if any(branch.is_load for branch in run.branches) or has_battery(run):
                continue
            for one, other in ((run.first, run.last), (run.last, run.first)):
                if one == key and other not in seen:
                    seen.add(other)
                    waiting.append(other)
