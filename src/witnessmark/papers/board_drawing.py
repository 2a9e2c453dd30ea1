"""The two drawings of the board: how far the period is, and the teacher's line.

One unit is one pixel of a screen 1920 wide; the drawings grow with the screen.
"""

from dataclasses import dataclass
from html import escape
from statistics import mean
from typing import Final

LINE_WIDE: Final = 1550.0
LINE_HIGH: Final = 152.0
LOOK_STEP: Final = 292.0  # a mark, its time and its place need so much
LOOK_ROOM: Final = 270.0
MIDDLE: Final = 76.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LineLook:
    """One look on the teacher's line."""

    words: str
    place: str
    drawing: str  # the inside of the mark's drawing, 112 by 48
    name: str  # what the mark is, for who cannot see it
    share: float  # where on the line, 0 to 1


def _px(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def progress_svg(gone_share: float, down_share: float, words: str) -> str:
    """Return the bar of the period: what is gone, and the hatched end for cleaning.

    Parameters
    ----------
    gone_share
        Share of the period that is gone. [1]
    down_share
        Share at its end with tools down. [1]
    words
        What the bar says.

    Returns
    -------
    str
        One SVG element.
    """
    down = 1000 * (1 - down_share)
    return (
        f'<svg class="pb" viewBox="0 0 1000 10" preserveAspectRatio="none" role="img" '
        f'aria-label="{escape(words)}"><defs><pattern id="pbh" width="5" height="10" '
        'patternUnits="userSpaceOnUse"><path class="pb-hatch" d="M0 10L5 0"/></pattern></defs>'
        f'<rect class="pb-all" width="1000" height="10"/>'
        f'<rect x="{_px(down)}" width="{_px(1000 - down)}" height="10" class="pb-down" '
        'fill="url(#pbh)"/>'
        f'<rect class="pb-gone" width="{_px(1000 * gone_share)}" height="10"/></svg>'
    )


def teacher_line_svg(looks: tuple[LineLook, ...]) -> str:
    """Return the teacher's line: looks side by side, near where they fall in the period.

    Parameters
    ----------
    looks
        In the order of time; at most five fit.

    Returns
    -------
    str
        One SVG element, with classes only.
    """
    parts = [
        f'<path class="tl-line" d="M0 {_px(MIDDLE)}H{_px(LINE_WIDE)}"/>',
        '<path class="tl-now" d="M5 10V142"/>',
    ]
    for look, x in zip(looks, _spots(looks), strict=True):
        parts.append(
            f'<g transform="translate({_px(x)} {_px(MIDDLE)}) rotate(90) scale(1.25) '
            f'translate(-56 -24)">{look.drawing}</g>'
            f'<rect class="tl-clear" x="{_px(x + 38)}" y="20" width="{_px(_said_px(look))}" '
            'height="112"/>'
            f'<text class="tl-time" x="{_px(x + 46)}" y="66">{escape(look.words)}</text>'
            f'<text class="tl-place" x="{_px(x + 46)}" y="116">{escape(look.place)}</text>'
        )
    said = "; ".join(f"{one.words} {one.place}, {one.name}" for one in looks) or "nothing waits"
    return (
        f'<svg class="tl-svg" viewBox="0 0 {_px(LINE_WIDE)} {_px(LINE_HIGH)}" role="img" '
        f'aria-label="Teacher: {escape(said)}">{"".join(parts)}</svg>'
    )


def _said_px(look: LineLook) -> float:
    return 26.0 + 22.0 * max(len(look.words) * 1.15, len(look.place))


def _spots(looks: tuple[LineLook, ...]) -> list[float]:
    """Return where the looks stand: around where they belong, none on another."""
    last = LINE_WIDE - LOOK_ROOM
    groups: list[list[float]] = []
    for at, look in enumerate(looks):
        groups.append([min(look.share * LINE_WIDE, last) - LOOK_STEP * at])
        while len(groups) > 1 and mean(groups[-2]) > mean(groups[-1]):
            tail = groups.pop()
            groups[-1] += tail
    level = [mean(group) for group in groups for _ in group]
    spots = [base + LOOK_STEP * at for at, base in enumerate(level)]
    # inside the line at both ends: first pushed right from its start, then left from its end
    for at in range(len(spots)):
        spots[at] = max(spots[at], 60 + LOOK_STEP * at)
    for at in range(len(spots)):
        spots[at] = min(spots[at], last - LOOK_STEP * (len(spots) - 1 - at))
    return spots
