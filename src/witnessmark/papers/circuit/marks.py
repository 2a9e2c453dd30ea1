"""Marks on a drawing: belief bars, rank numbers, rings of points, the probe, the ground sign."""

import math
from html import escape

from witnessmark.diagnosis.words import percent_words
from witnessmark.papers.circuit.across import LABEL_GAP_PX, LEFT, label_box
from witnessmark.papers.circuit.overlay import Overlay
from witnessmark.papers.circuit.places import PlacedBranch, PlacedPoint
from witnessmark.papers.circuit.shapes import (
    BAR_LINE_PX,
    BAR_PX,
    LETTER_PX,
    LINE_PX,
    MORE_PX,
    NAME_PX,
    SHAPES,
    label_of,
    letter_px,
    words_of,
)
from witnessmark.papers.glyph_widths import text_width
from witnessmark.papers.svg import px, text_at


def label(placed: PlacedBranch, overlay: Overlay, has_bars: bool) -> str:
    """Return the label of a branch with its belief or its rank.

    Parameters
    ----------
    placed
        The branch.
    overlay
        What is believed.
    has_bars
        Whether labels keep a line for belief.
    """
    text = label_of(placed.branch, has_bars)
    box = label_box(placed.branch, placed.side, has_bars)
    is_left = placed.side == LEFT
    x = placed.x + (-SHAPES[placed.branch.symbol].left - LABEL_GAP_PX if is_left else box[0])
    y = placed.y + box[1] + LINE_PX - 3.5
    anchor = "end" if is_left else ""
    parts = []
    if overlay.part and overlay.part == placed.branch.part and placed.branch.is_lead:
        wide = max([0.0, *(text_width(name, NAME_PX, "narrow_bold") for name in text.names)])
        tall = 17.0 + LINE_PX * (len(text.names) - 1)
        parts.append(
            f'<rect class="probe" x="{px(x - (wide if is_left else 0.0) - 4)}" y="{px(y - 13)}" '
            f'width="{px(wide + 8)}" height="{px(tall)}" stroke-width="2.6"/>'
        )
    for name in text.names:
        parts.append(text_at(x, y, name, "f15 b nr", anchor, of=placed.branch.part))
        y += LINE_PX
    for note in text.notes:
        parts.append(text_at(x, y, note, "f13 nr t2", anchor))
        y += LINE_PX
    if text.has_bar:
        left = placed.x + box[0]
        top = placed.y + box[1] + LINE_PX * (len(text.names) + len(text.notes)) + 5.0
        parts.append(believed(left, top, overlay.belief.get(placed.branch.part)))
        parts.append(_ranked(left, top, overlay.ranks.get(placed.branch.part)))
    if any("…" in line for line in (*text.names, *text.notes)):
        said = ", ".join(word for word in (placed.branch.part, placed.branch.note) if word)
        return f"<g><title>{escape(said)}</title>{''.join(parts)}</g>"
    return "".join(parts)


def believed(x: float, y: float, belief: float | None, long: float = BAR_PX) -> str:
    """Return a belief bar with its percent; nothing where there is no belief.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    belief
        Share of the belief. [1]
    long
        Length of the bar. [px]
    """
    if belief is None:
        return ""
    words = percent_words(belief, least="< 1%")
    is_small = belief < 0.01
    classes = "f13 nr t2" if is_small else "f15 b nr"
    bar = belief_bar(x, y, long, 11.0, belief)
    return bar + text_at(x + long + 6.0, y + 10.5, words, classes)


def _ranked(x: float, y: float, rank: int | None) -> str:
    if rank is None:
        return ""
    middle = y + BAR_LINE_PX / 2.0 - 4.0
    return (
        f'<circle cx="{px(x + 10)}" cy="{px(middle)}" r="9" stroke-width="1.6" '
        'stroke-dasharray="3 2.6"/>'
        + text_at(x + 10, middle + 4.5, str(rank), "f13 b rank", "middle")
    )


def belief_bar(x: float, y: float, width: float, height: float, belief: float) -> str:
    """Return a bar that is filled as far as the belief.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    width
        Width. [px]
    height
        Height. [px]
    belief
        Share of the belief. [1]
    """
    filled = (
        f'<path class="full" d="M{px(x)} {px(y)}h{px(width * belief)}v{px(height)}'
        f'h{px(-width * belief)}z" fill="currentColor" stroke="none"/>'
    )
    return (
        f'<path class="hol bar" d="M{px(x)} {px(y)}h{px(width)}v{px(height)}h{px(-width)}z" '
        f'stroke-width="1.8"/>{filled if belief >= 0.01 else ""}'
    )


def point(placed: PlacedPoint, overlay: Overlay, has_words: bool) -> str:
    """Return the ring of a point with its letter, and how many branches are left out there.

    Parameters
    ----------
    placed
        The point.
    overlay
        What was read.
    has_words
        Whether its words stand beside the letter.
    """
    node, x, y = placed.node, placed.x, placed.y
    if node.is_open:
        return (
            f'<circle class="hol open" cx="{px(x)}" cy="{px(y)}" r="5" '
            'stroke-width="1.6" stroke-dasharray="2.2 2"/>'
        )
    parts = []
    if node.more and not placed.is_rail:
        start = placed.more_x + (9.0 if placed.more_x == x else 2.0)
        parts.append(
            f'<path class="edg" d="M{px(start)} {px(y)}H{px(placed.more_x + MORE_PX - 6)}" '
            'stroke-width="1.6" stroke-dasharray="1 4"/>'
        )
        more = f"+{node.more}"
        parts.append(text_at(placed.more_x + MORE_PX - 2.0, y + 4.5, more, "f13 nr t2"))
    if not node.letter:
        return "".join(parts)
    reading = overlay.points.get(node.key)
    at_y = y - 6.0 if placed.is_raised else y + 5.5
    right = x - LETTER_PX + 2.0
    ring = point_ring(x, y, reading is not None and bool(reading.read))
    letter = text_at(right, at_y, node.letter, "f15 b", "end")
    # Its words come up under the pointer, where there is no room for them or only for some.
    words = f"<title>{escape(node.words)}</title>" if node.words else ""
    parts.append(f"<g>{words}{ring}{letter}</g>" if words else f"{ring}{letter}")
    beside_x = right - letter_px(node, False) - 6.0
    if reading is not None and reading.read and node.key not in overlay.in_strip:
        if not placed.is_rail:
            parts.append(text_at(beside_x, at_y, reading.read, "f15 b nr", "end"))
    elif has_words and node.words and not placed.is_rail:
        lines = words_of(node)
        up = LINE_PX * (len(lines) - 1) * (1.0 if placed.is_raised else 0.5)
        for at, line in enumerate(lines):
            line_y = at_y - 0.5 - up + LINE_PX * at
            parts.append(text_at(beside_x, line_y, line, "f13 nr t2", "end"))
    if overlay.probe == node.key:
        parts.append(probe_mark(x, y))
    return "".join(parts)


def point_ring(x: float, y: float, is_read: bool) -> str:
    """Return the ring of a point: filled once it was read.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    is_read
        Whether it was read.
    """
    if is_read:
        return f'<circle class="rd" cx="{px(x)}" cy="{px(y)}" r="7" fill="currentColor"/>'
    return f'<circle class="hol" cx="{px(x)}" cy="{px(y)}" r="5.5" stroke-width="2.2"/>'


def probe_mark(x: float, y: float, turn_deg: float = -30.0) -> str:
    """Return the ring and handle of the probe.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    turn_deg
        Where the handle points: 0 to the right, below 0 up. [degrees]
    """
    across, down = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))

    def at(reach: float) -> str:
        return f"{px(reach * across)} {px(reach * down)}"

    return (
        f'<g class="probe" transform="translate({px(x)} {px(y)})"><circle r="12" '
        f'stroke-width="3.4"/><path d="M{at(13)}L{at(24)}" stroke-width="7" '
        f'stroke-linecap="butt"/><path d="M{at(24)}L{at(31)}" stroke-width="3"/></g>'
    )


def ground_sign(x: float, y: float) -> str:
    """Return the sign of ground under a rail.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    """
    return (
        f'<path d="M{px(x)} {px(y)}v9M{px(x - 18)} {px(y + 9)}h36M{px(x - 12)} {px(y + 16)}'
        f'h24M{px(x - 6)} {px(y + 23)}h12" stroke-width="2.6"/>'
    )
