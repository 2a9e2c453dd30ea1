"""Where everything in a drawing stands. The same circuit, the same focus: the same places.

Nothing that changes while a job goes on is asked for here: no reading, no belief, no next test, no
operating state. What those add is drawn into room that is kept for them.
"""

import itertools
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Final

from witnessmark.papers.circuit.across import columns_at, label_box, label_sides
from witnessmark.papers.circuit.branches import Branch, Sketch, Symbol
from witnessmark.papers.circuit.frame import Frame, frame_of, is_rail, place_of, tied_branches
from witnessmark.papers.circuit.heights import FOOT, Heights, Tie, heights_of
from witnessmark.papers.circuit.places import (
    Layout,
    PlacedBar,
    PlacedBranch,
    PlacedPoint,
    PlacedRun,
    PlacedTie,
)
from witnessmark.papers.circuit.runs import runs_of
from witnessmark.papers.circuit.search import better_columns
from witnessmark.papers.circuit.shapes import LETTER_PX, SHAPES, letter_px
from witnessmark.papers.circuit.standing import crossings, stand

TOP_PX: Final = 52.0  # above the supply rail: its words
FOOT_PX: Final = 44.0  # below the ground rail: its sign and words
EDGE_PX: Final = 14.0
LEAST_PX: Final = 240.0  # wide enough for the words of the ground rail
_WORK: Final = 1_500_000  # moves times runs times bars
_MOST_MOVES: Final = 3_000
_FAR_COLUMNS: Final = 4  # a tie over more is left out: both carry the part's name
_APART_PX: Final = 1e-6
_LEVEL_PX: Final = 0.5  # a tie this level is drawn level
_COILS: Final = frozenset({Symbol.COIL, Symbol.WINDING})
_KEPT: Final = 256  # drawings


@lru_cache(maxsize=_KEPT)
def laid_out(sketch: Sketch, *, has_bars: bool = False, has_words: bool = False) -> Layout:
    """Return where everything stands; worked out once for each sketch.

    Parameters
    ----------
    sketch
        What is to be drawn.
    has_bars
        Whether labels keep a line for belief.
    has_words
        Whether points show the author's words.
    """
    runs = runs_of(sketch)
    pins = {
        branch.first
        for branch in sketch.branches
        if branch.symbol in (Symbol.SUPPLY, Symbol.PULL_UP)
    }
    standing = stand(runs, sketch.supply, sketch.ground, pins)
    frame = frame_of(sketch, runs, standing, has_bars, has_words)
    columns: Mapping[int, int] = standing.columns
    if not runs:
        return _placed(frame, columns, {}, ())
    heights = _heights(frame, columns, standing.heights)
    moves = min(_MOST_MOVES, _WORK // max(1, len(frame.runs) * len(frame.bars)))
    columns = better_columns(frame, columns, heights, moves)
    heights = _heights(frame, columns, heights)
    columns = better_columns(frame, columns, heights, moves // 2)
    heights = _heights(frame, columns, heights)
    ties = _ties(frame, columns, heights)
    cleared = heights_of(frame, columns, heights, ties)
    if cleared is None:
        ties, cleared = _most_ties(frame, columns, heights, ties)
    return _placed(frame, columns, cleared, ties)


def _most_ties(
    frame: Frame, columns: Mapping[int, int], heights: Heights, ties: Sequence[Tie]
) -> tuple[tuple[Tie, ...], Heights]:
    """Return as many ties as there is room for, taken one by one, and the heights with them."""
    kept: tuple[Tie, ...] = ()
    cleared = heights
    for tie in ties:
        found = heights_of(frame, columns, heights, (*kept, tie))
        if found is not None:
            kept, cleared = (*kept, tie), found
    return kept, cleared


def _heights(frame: Frame, columns: Mapping[int, int], before: Mapping[str, float]) -> Heights:
    heights = heights_of(frame, columns, before)
    assert heights is not None, "an order of heights that runs in a ring"
    # No two bars at quite one height, so that everybody agrees on which of them is the upper one.
    return heights | {key: heights[key] + _APART_PX * at for at, key in enumerate(frame.bars)}


def _ties(frame: Frame, columns: Mapping[int, int], heights: Heights) -> tuple[Tie, ...]:
    """Return the ties to be drawn: each from one branch to the next of its part, left to right."""
    where = {one.key: columns[at] for at, run in enumerate(frame.runs) for one in run.branches}
    by_part: dict[str, list[Branch]] = {}
    for branch in sorted(tied_branches(frame.sketch), key=lambda one: where[one.key]):
        by_part.setdefault(branch.part, []).append(branch)
    ties = []
    for left, right in (pair for chain in by_part.values() for pair in itertools.pairwise(chain)):
        one, other = place_of(left.key), place_of(right.key)
        if 0 < where[right.key] - where[left.key] <= _FAR_COLUMNS:
            ties.append(
                Tie(
                    left=one,
                    right=other,
                    from_column=where[left.key],
                    to_column=where[right.key],
                    line=other if right.symbol in _COILS else one,
                    is_level=abs(heights[one] - heights[other]) < _LEVEL_PX,
                )
            )
    return tuple(ties)


def _rings(frame: Frame, columns: Mapping[int, int]) -> dict[str, int]:
    """Return the column of each junction's ring: on the strong way, else at its bar's left end."""
    rings = {key: low for key, (low, _) in frame.spans(columns).items()}
    for at, run in enumerate(frame.runs):
        if {branch.key for branch in run.branches} & frame.sketch.main:
            rings[run.first] = rings[run.last] = columns[at]
    return rings


def _placed(
    frame: Frame, columns: Mapping[int, int], heights: Heights, ties: Sequence[Tie]
) -> Layout:
    sides = label_sides(frame, ties)
    rings = _rings(frame, columns)
    at_x, upright = columns_at(frame, columns, heights, sides, rings, ties)
    supply = frame.nodes.get(frame.sketch.supply)
    rail_left = LETTER_PX + letter_px(supply, False) if supply and supply.letter else 0.0
    shift = EDGE_PX + rail_left
    xs = [x + shift for x in at_x]
    ys = {key: y + TOP_PX for key, y in heights.items()}
    branches = {}
    for at, run in enumerate(frame.runs):
        for branch, upper in zip(run.branches, run.nodes, strict=False):
            place = place_of(branch.key)
            branches[place] = PlacedBranch(
                branch=branch,
                x=xs[columns[at]],
                y=ys[place],
                is_turned=branch.first != upper,
                side=sides[place],
            )
    bars = tuple(_bars(frame, columns, xs, ys))
    right = max((_right(frame, one) for one in branches.values()), default=0.0)
    right = max([right, *(bar.right + 60.0 for bar in bars if frame.nodes[bar.key].more)])
    return Layout(
        sketch=frame.sketch,
        width=max(right + EDGE_PX, LEAST_PX),
        height=ys.get(FOOT, TOP_PX) + FOOT_PX,
        top=TOP_PX,
        bottom=ys.get(FOOT, TOP_PX),
        branches=tuple(branches.values()),
        points=tuple(_points(frame, columns, xs, ys, rings, bars, shift)),
        runs=tuple(
            PlacedRun(
                x=xs[columns[at]],
                top=ys[run.first],
                bottom=ys[run.last],
                branches=tuple(branch.key for branch in run.branches),
                ends=(run.first, run.last),
            )
            for at, run in enumerate(frame.runs)
        ),
        bars=bars,
        ties=tuple(
            PlacedTie(
                left=branches[tie.left],
                right=branches[tie.right],
                upright_x=upright[tie] + shift if tie in upright else None,
            )
            for tie in ties
        ),
        has_bars=frame.has_bars,
        has_words=frame.has_words,
        crossings=crossings(
            dict(columns), dict(heights), [(run.first, run.last) for run in frame.runs]
        ),
    )


def _right(frame: Frame, placed: PlacedBranch) -> float:
    shape = SHAPES[placed.branch.symbol]
    return placed.x + max(shape.right, label_box(placed.branch, placed.side, frame.has_bars)[2])


def _bars(
    frame: Frame, columns: Mapping[int, int], xs: Sequence[float], ys: Mapping[str, float]
) -> list[PlacedBar]:
    taps: dict[str, dict[float, int]] = {key: {} for key in frame.bars}
    for at, run in enumerate(frame.runs):
        for key in (run.first, run.last):
            x = xs[columns[at]]
            taps[key][x] = taps[key].get(x, 0) + 1
    return [
        PlacedBar(
            key=key,
            y=ys[key],
            left=min(where),
            right=max(where),
            taps=tuple(sorted(where.items())),
        )
        for key, where in taps.items()
    ]


def _points(
    frame: Frame,
    columns: Mapping[int, int],
    xs: Sequence[float],
    ys: Mapping[str, float],
    rings: Mapping[str, int],
    bars: Sequence[PlacedBar],
    shift: float,
) -> list[PlacedPoint]:
    found = []
    for bar in bars:
        node, x = frame.nodes[bar.key], xs[rings[bar.key]]
        if is_rail(frame, bar.key):
            found.append(
                PlacedPoint(
                    node=node, x=shift, y=bar.y, is_raised=False, more_x=shift, is_rail=True
                )
            )
        else:
            raised = x > bar.left
            found.append(PlacedPoint(node=node, x=x, y=bar.y, is_raised=raised, more_x=bar.right))
    for at, stops in enumerate(frame.stops):
        for stop in stops:
            if stop.branch is None:
                x = xs[columns[at]]
                y = ys[stop.key]
                found.append(PlacedPoint(node=stop.node, x=x, y=y, is_raised=False, more_x=x))
    return found
