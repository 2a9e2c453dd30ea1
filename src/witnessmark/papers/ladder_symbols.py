"""Symbols, texts and bars that both ladder drawings are made of."""

import math
from html import escape
from typing import Final

from witnessmark.papers.glyph_widths import fitted, text_width
from witnessmark.papers.ladder_layout import Item, Piece, Spot

TOP: Final = 52.0
CLEAR: Final = 14.0
FOOT: Final = 42.0  # ground sign and word under the rail
# Half heights of the symbols.
_HALF: Final = {
    "fuse": 20.0,
    "contact": 22.0,
    "switch": 22.0,
    "connector": 13.0,
    "motor": 36.0,
    "lamp": 24.0,
    "resistor": 24.0,
    "coil": 16.0,
    "splice": 8.0,
    "ground": 9.0,
    "wire": 0.0,
    "battery": 14.0,
}
_OTHER_HALF: Final = 20.0
LABEL_RIGHT: Final = {"motor": 60.0, "lamp": 46.0}
_ARM: Final = 22.0  # a switch arm leans this far left


def volts_text(value_v: float) -> str:
    """Return volts with two decimals and a true minus sign.

    Parameters
    ----------
    value_v
        Voltage. [V]
    """
    text = f"{value_v:.2f}"
    return "0.00" if text == "-0.00" else text.replace("-", "−")


def px(value: float) -> str:
    """Return a length as SVG writes it, to a tenth.

    Parameters
    ----------
    value
        Length. [px]
    """
    return f"{value:.1f}".removesuffix(".0")


def framed(title: str, width: float, height: float, classes: str, body: str) -> str:
    """Return a whole drawing with its frame and name.

    Parameters
    ----------
    title
        What the drawing is, for a reader who cannot see it.
    width
        Width. [px]
    height
        Height. [px]
    classes
        Classes of the element.
    body
        What is inside.
    """
    return (
        f'<svg viewBox="0 0 {px(width)} {px(height)}" class="{classes}" role="img" '
        f'aria-label="{escape(title)}">{body}</svg>'
    )


def text_at(x: float, y: float, text: str, classes: str, anchor: str = "") -> str:
    """Return one text, escaped; nothing for an empty one.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    text
        The text.
    classes
        Classes of the element.
    anchor
        "end" or "middle"; empty for the start.
    """
    if not text:
        return ""
    held = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text x="{px(x)}" y="{px(y)}"{held} class="{classes}">{escape(text)}</text>'


def half_height(piece: Piece) -> float:
    """Return how far a symbol reaches above and below its middle.

    Parameters
    ----------
    piece
        The piece.
    """
    return _HALF.get(piece.symbol, _OTHER_HALF)


def hatch(name: str) -> str:
    """Return the hatch pattern.

    Parameters
    ----------
    name
        Name of the pattern.
    """
    return (
        f'<defs><pattern id="{name}" width="7" height="7" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><path class="hatl" d="M0 0V7" stroke-width="2.4"/>'
        "</pattern></defs>"
    )


def symbol(piece: Piece, x: float, y: float) -> str:
    """Draw one symbol on the line, after the general practice of circuit diagrams.

    Parameters
    ----------
    piece
        The piece.
    x
        Across. [px]
    y
        Down. [px]
    """
    half = half_height(piece)
    top, end = y - half, y + half
    if piece.symbol == "fuse":
        return (
            f'<rect class="hol" x="{px(x - 11)}" y="{px(top)}" width="22" height="40"/>'
            f'<path d="M{px(x)} {px(top)}V{px(end)}"/>'
        )
    if piece.symbol in ("contact", "switch"):
        return (
            f'<path d="M{px(x)} {px(end)}L{px(x - _ARM + 2)} {px(top + 4)}"/>'
            f'<circle cx="{px(x)}" cy="{px(top)}" r="3" fill="currentColor"/>'
        )
    if piece.symbol == "connector":
        return (
            f'<path d="M{px(x - 9)} {px(top)}l9 9 9-9M{px(x - 9)} {px(top + 9)}l9 9 9-9'
            f'M{px(x)} {px(top + 18)}V{px(end)}"/>'
        )
    if piece.symbol == "motor":
        return (
            f'<circle class="hol" cx="{px(x)}" cy="{px(y)}" r="36"/>'
            f'<text x="{px(x)}" y="{px(y + 10)}" class="f26 b" text-anchor="middle">M</text>'
        )
    if piece.symbol == "lamp":
        return (
            f'<circle class="hol" cx="{px(x)}" cy="{px(y)}" r="24"/>'
            f'<path d="M{px(x - 17)} {px(y - 17)}l34 34M{px(x + 17)} {px(y - 17)}l-34 34"/>'
        )
    if piece.symbol == "coil":
        return f'<rect class="hol" x="{px(x - 27)}" y="{px(top)}" width="54" height="32"/>'
    if piece.symbol == "splice":
        return f'<circle cx="{px(x)}" cy="{px(y)}" r="8" fill="currentColor"/>'
    if piece.symbol == "ground":
        return f'<circle class="hol" cx="{px(x)}" cy="{px(y)}" r="9"/>'
    if piece.symbol == "wire":
        return ""
    return f'<rect class="hol" x="{px(x - 11)}" y="{px(top)}" width="22" height="{px(2 * half)}"/>'


def bare_line(column: tuple[Item, ...], x: float, ys: list[float], top: float, end: float) -> str:
    """Draw the bare line of a column, left out where symbols stand.

    Parameters
    ----------
    column
        Items of the column.
    x
        Across. [px]
    ys
        Heights of the items. [px]
    top
        Where the line starts. [px]
    end
        Where it ends. [px]
    """
    path = [f"M{px(x)} {px(top)}"]
    for item, y in zip(column, ys, strict=True):
        if isinstance(item, Piece) and half_height(item):
            path.append(f"V{px(y - half_height(item))}M{px(x)} {px(y + half_height(item))}")
    path.append(f"V{px(end)}")
    return f'<path d="{"".join(path)}"/>'


def ring(spot: Spot, x: float, y: float) -> str:
    """Draw the ring of a point: filled once it was read.

    Parameters
    ----------
    spot
        The spot.
    x
        Across. [px]
    y
        Down. [px]
    """
    if not spot.letter:
        return ""
    if spot.read:
        return f'<circle cx="{px(x)}" cy="{px(y)}" r="8" fill="currentColor" stroke-width="2"/>'
    return f'<circle class="hol" cx="{px(x)}" cy="{px(y)}" r="6.5" stroke-width="2.6"/>'


def probe_mark(x: float, y: float, across: float, down: float) -> str:
    """Draw the ring and handle of the probe; the handle reaches so far across and down.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    across
        End of the handle, to the right of the middle. [px]
    down
        End of the handle, below the middle. [px]
    """
    length = math.hypot(across, down)
    start = (across * 17.0 / length, down * 17.0 / length)
    grip = (across * 0.72, down * 0.72)
    return (
        f'<g class="probe" transform="translate({px(x)} {px(y)})"><circle r="16" '
        f'stroke-width="4"/><path d="M{px(start[0])} {px(start[1])}L{px(grip[0])} {px(grip[1])}" '
        f'stroke-width="8" stroke-linecap="butt"/><path d="M{px(grip[0])} {px(grip[1])}'
        f'L{px(across)} {px(down)}" stroke-width="3.5"/></g>'
    )


def belief_bar(x: float, y: float, width: float, height: float, belief: float) -> str:
    """Draw a bar that is filled as far as the belief.

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
        f'<path class="hol" d="M{px(x)} {px(y)}h{px(width)}v{px(height)}h{px(-width)}z" '
        f'stroke-width="2"/>{filled if belief >= 0.01 else ""}'
    )


def _name_and_note(piece: Piece, size: int, note_size: int, room: float) -> tuple[str, str]:
    """Return name and note as they fit on one line; the note goes first if they do not."""
    name = fitted(piece.name, size, "bold", room)
    left = room - text_width(name + " ", size, "bold")
    note = fitted(piece.note, note_size, "narrow", left) if left > 30 else ""
    return name, note if len(note) > 2 or note == piece.note else ""


def piece_label(x: float, y: float, piece: Piece, room: float) -> str:
    """Draw name and note of a piece, as they fit on one line.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    piece
        The piece.
    room
        Room for name and note. [px]
    """
    name, note = _name_and_note(piece, 17, 15, room)
    tail = f' <tspan class="reg t2 nr f15">{escape(note)}</tspan>' if note else ""
    return f'<text x="{px(x)}" y="{px(y)}" class="f17 b halo">{escape(name)}{tail}</text>'


def volt_ticks(supply_v: float, about: int) -> list[int]:
    """Return the volts at which a scale is drawn.

    Parameters
    ----------
    supply_v
        Voltage of the source. [V]
    about
        About how many steps.
    """
    for step in (1, 2, 3, 6, 12, 24):
        if supply_v / step <= about + 1:
            return list(range(0, int(supply_v) + 1, step))
    return [0, int(supply_v)]


def ground_sign(x: float, y: float) -> str:
    """Draw the sign of ground under a rail.

    Parameters
    ----------
    x
        Across. [px]
    y
        Down. [px]
    """
    return (
        f'<path d="M{px(x)} {px(y)}v10M{px(x - 20)} {px(y + 10)}h40M{px(x - 13)} {px(y + 17)}'
        f'h26M{px(x - 6)} {px(y + 24)}h12" stroke-width="3"/>'
    )
