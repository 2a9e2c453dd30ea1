"""Where each column stands: as far left as the boxes of its labels allow.

A box is (left, top, right, bottom). A column's boxes are to its line; it goes so far right that
none of them meets a box of the columns before it.
"""

from collections.abc import Mapping, Sequence
from typing import Final

from witnessmark.papers.circuit.branches import Branch
from witnessmark.papers.circuit.frame import Frame, is_rail, place_of
from witnessmark.papers.circuit.heights import Heights, Tie
from witnessmark.papers.circuit.shapes import (
    LETTER_PX,
    RING_PX,
    SHAPES,
    label_of,
    letter_px,
    more_px,
    words_up_px,
)

Box = tuple[float, float, float, float]
LEFT, RIGHT, ABOVE = "left", "right", "above"
LABEL_GAP_PX: Final = 7.0  # from a symbol to its label
_GAP_PX: Final = 12.0
_LINE_PX: Final = 4.0  # half of what a wire keeps clear
_LEAST_PX: Final = 34.0  # between columns
_TOUCH_PX: Final = 3.0
_CHANNEL_PX: Final = 8.0  # from what stands in a column to a tie that passes it upright


def label_sides(frame: Frame, ties: Sequence[Tie]) -> dict[str, str]:
    """Return on which side of its symbol each label stands, by place of the branch.

    Parameters
    ----------
    frame
        The frame.
    ties
        Ties that are drawn: they leave a symbol on the side where no label is.
    """
    right = {tie.left for tie in ties}  # a tie leaves to the right
    left = {tie.right for tie in ties}
    sides = {}
    for run in frame.runs:
        for branch in run.branches:
            place = place_of(branch.key)
            if place in right and place in left:
                sides[place] = ABOVE
            else:
                sides[place] = LEFT if place in right else RIGHT
    return sides


def label_box(branch: Branch, side: str, has_bars: bool) -> Box:
    """Return the box of a label, to the middle of its symbol. [px]

    Parameters
    ----------
    branch
        The branch.
    side
        On which side of the symbol it stands.
    has_bars
        Whether labels keep a line for belief.
    """
    shape = SHAPES[branch.symbol]
    label = label_of(branch, has_bars)
    half = label.height / 2.0
    if side == LEFT:
        right = -shape.left - LABEL_GAP_PX
        return right - label.width, -half, right, half
    left = shape.right + LABEL_GAP_PX
    if side == ABOVE:
        return left, -label.height - 4.0, left + label.width, -4.0
    return left, -half, left + label.width, half


def columns_at(
    frame: Frame,
    columns: Mapping[int, int],
    heights: Heights,
    sides: Mapping[str, str],
    rings: Mapping[str, int],
    ties: Sequence[Tie] = (),
) -> tuple[list[float], dict[Tie, float]]:
    """Return where each column stands from the left edge, and where a tie goes up or down. [px]

    Parameters
    ----------
    frame
        The frame.
    columns
        Column of each run, by its number.
    heights
        Height of every bar and stop. [px]
    sides
        On which side each label stands.
    rings
        Column in which the ring of each junction stands.
    ties
        Ties that are drawn.
    """
    placed: list[Box] = []
    found: list[float] = []
    upright: dict[Tie, float] = {}
    for column in range(max(columns.values(), default=-1) + 1):
        own = _boxes(frame, columns, heights, sides, rings, column)
        channels = {}
        for tie in ties:
            if not tie.is_level and column == _turn_column(tie):
                channels[tie] = _channel(tie, own, heights)
                own.append(_channel_box(channels[tie], tie, heights))
        at = found[-1] + _LEAST_PX if found else -min(box[0] for box in own)
        for left, top, _, bottom in own:
            for _, other_top, other_right, other_bottom in placed:
                if top < other_bottom + _TOUCH_PX and other_top < bottom + _TOUCH_PX:
                    at = max(at, other_right + _GAP_PX - left)
        found.append(at)
        upright |= {tie: at + x for tie, x in channels.items()}
        placed.extend((box[0] + at, box[1], box[2] + at, box[3]) for box in own)
    return found, upright


def _turn_column(tie: Tie) -> int:
    """Return the column beside which a tie goes up or down."""
    return tie.to_column if tie.line == tie.left else tie.from_column


def _channel(tie: Tie, boxes: Sequence[Box], heights: Heights) -> float:
    """Return where a tie goes up or down, to the column's line: outside all that stands there."""
    top, bottom = sorted((heights[tie.left], heights[tie.right]))
    there = [box for box in boxes if box[1] < bottom + 8.0 and box[3] > top - 8.0]
    if tie.line == tie.left:
        return min(box[0] for box in there) - _CHANNEL_PX
    return max(box[2] for box in there) + _CHANNEL_PX


def _channel_box(x: float, tie: Tie, heights: Heights) -> Box:
    top, bottom = sorted((heights[tie.left], heights[tie.right]))
    return x - _LINE_PX, top - _LINE_PX, x + _LINE_PX, bottom + _LINE_PX


def _boxes(
    frame: Frame,
    columns: Mapping[int, int],
    heights: Heights,
    sides: Mapping[str, str],
    rings: Mapping[str, int],
    column: int,
) -> list[Box]:
    boxes: list[Box] = []
    for at, (run, stops) in enumerate(zip(frame.runs, frame.stops, strict=True)):
        if columns[at] != column:
            continue
        top, bottom = heights[run.first], heights[run.last]
        boxes.append((-_LINE_PX, top, _LINE_PX, bottom))
        for stop in stops:
            y = heights[stop.key]
            if stop.branch is None:
                boxes += [*_point(frame, stop.key, y), _more(frame, stop.key, y)]
                continue
            shape = SHAPES[stop.branch.symbol]
            boxes.append((-shape.left, y - shape.half, shape.right, y + shape.half))
            left, upper, right, lower = label_box(stop.branch, sides[stop.key], frame.has_bars)
            boxes.append((left, y + upper, right, y + lower))
    spans = frame.spans(columns)
    for key, ring in rings.items():
        if ring == column and not is_rail(frame, key):
            boxes += _point(frame, key, heights[key])
        if spans[key][1] == column and not is_rail(frame, key):
            boxes.append(_more(frame, key, heights[key]))
    return boxes


def _point(frame: Frame, key: str, y: float) -> list[Box]:
    node = frame.nodes[key]
    if not node.letter:
        return []
    left = -LETTER_PX - letter_px(node, frame.has_words, frame.has_bars)
    return [
        (-RING_PX, y - RING_PX, RING_PX + 12.0, y + RING_PX),
        (left, y - 19.0 - words_up_px(node, frame.has_words), -RING_PX, y + 9.0),
    ]


def _more(frame: Frame, key: str, y: float) -> Box:
    """Return the room for '+2' right of a point."""
    node = frame.nodes[key]
    if not node.more:
        return -_LINE_PX, y - _LINE_PX, _LINE_PX, y + _LINE_PX
    return 0.0, y - 9.0, more_px(node), y + 9.0
