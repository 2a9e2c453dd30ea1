"""Two paths to a cause on one scale of minutes: the learner's above, the best one below.

Only classes and attributes, no style: colours are the page's tokens.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

from witnessmark.papers.clear_labels import clear_places
from witnessmark.papers.glyph_widths import text_width

WIDE_PX: Final = 1200.0
NARROW_PX: Final = 366.0
_LEFT, _RIGHT = 8.0, 26.0
_TITLE, _BAR, _GAP = 26.0, 40.0, 26.0  # px
_STEPS_MIN: Final = (1, 2, 5, 10, 15, 20, 30, 60, 120)
_MOST_TICKS: Final = {False: 14, True: 5}  # on a screen, on a phone
_IN_BAR_PX, _BELOW_PX = 17.0, 13.0  # type sizes of a number
_ROOM_PX: Final = 3.0  # beside a number in its bar
_APART_PX: Final = 6.0  # between two numbers below


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One test: from one minute to another, belief in the true cause after it, wasted or not."""

    number: int
    start_min: float
    end_min: float
    belief: float
    is_wasted: bool = False
    told_most: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One path."""

    title: str
    bars: tuple[Bar, ...]


def paths_svg(lanes: Sequence[Lane], name: str, is_narrow: bool = False) -> str:
    """Return the drawing of paths on one scale of minutes.

    Parameters
    ----------
    lanes
        The paths, from top to bottom.
    name
        A name for its hatching that no other drawing of the page has.
    is_narrow
        Whether it is for a phone.

    Returns
    -------
    str
        An SVG with a text for readers who cannot see it.
    """
    width = NARROW_PX if is_narrow else WIDE_PX
    last = max([bar.end_min for lane in lanes for bar in lane.bars], default=1.0)
    step = next((one for one in _STEPS_MIN if last / one <= _MOST_TICKS[is_narrow]), _STEPS_MIN[-1])
    scale = (width - _LEFT - _RIGHT) / last
    height = len(lanes) * (_TITLE + _BAR + _GAP) + 24
    said = ". ".join(f"{lane.title}: {_tests(lane)}, {_minutes(lane)} minutes" for lane in lanes)
    parts = [
        f'<svg viewBox="0 0 {width:g} {height:g}" class="pth {"ph" if is_narrow else "wd"}" '
        f'role="img" aria-label="{escape(said)}"><defs><pattern id="{name}" width="7" height="7" '
        'patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<path class="hatl" d="M0 0V7" stroke-width="2.4"/></pattern></defs>'
    ]
    foot = height - 24
    for tick in range(0, int(last) + 1, step):
        x = _LEFT + tick * scale
        parts.append(f'<path class="rul" d="M{x:.1f} 0V{foot:g}" stroke-width="1"/>')
        words = f"{tick} min" if tick == 0 else str(tick)
        anchor = "start" if tick == 0 else "middle"
        parts.append(
            f'<text x="{x:.1f}" y="{height - 6:g}" class="f15 t2" text-anchor="{anchor}">'
            f"{words}</text>"
        )
    for row, lane in enumerate(lanes):
        top = row * (_TITLE + _BAR + _GAP) + _TITLE
        parts.append(
            f'<text x="{_LEFT:g}" y="{top - 8:g}" class="f17 b halo">{escape(lane.title)}'
            f'<tspan class="reg t2 nr f15" dx="8">{_minutes(lane)} min</tspan></text>'
        )
        parts += [_bar(bar, top, scale, name) for bar in lane.bars]
        parts += _numbers(lane.bars, top, scale, width)
    return "".join([*parts, "</svg>"])


def _tests(lane: Lane) -> str:
    return "1 test" if len(lane.bars) == 1 else f"{len(lane.bars)} tests"


def _minutes(lane: Lane) -> str:
    return f"{lane.bars[-1].end_min:.1f}".removesuffix(".0") if lane.bars else "0"


def _bar(bar: Bar, top: float, scale: float, name: str) -> str:
    x, wide = _LEFT + bar.start_min * scale, (bar.end_min - bar.start_min) * scale
    filled = _BAR * bar.belief
    drawn = f'<rect class="hol" x="{x:.1f}" y="{top:g}" width="{wide:.1f}" height="{_BAR:g}"/>'
    if filled > 0.5:
        drawn += (
            f'<rect class="blf" x="{x:.1f}" y="{top + _BAR - filled:.1f}" width="{wide:.1f}" '
            f'height="{filled:.1f}"/>'
        )
    if bar.is_wasted:
        drawn += (
            f'<rect x="{x:.1f}" y="{top:g}" width="{wide:.1f}" height="{_BAR:g}" '
            f'fill="url(#{name})" stroke="none"/>'
        )
    if bar.told_most:
        drawn += (
            f'<path class="trn" d="M{x + wide:.1f} {top - 6:g}V{top + _BAR + 6:g}" '
            'stroke-width="4"/>'
        )
    return drawn


def _numbers(bars: Sequence[Bar], top: float, scale: float, width: float) -> list[str]:
    """Return the number of each bar: in it, or below it where it is too narrow."""
    drawn, narrow = [], []
    for bar in bars:
        room = (bar.end_min - bar.start_min) * scale - 2 * _ROOM_PX
        if text_width(str(bar.number), _IN_BAR_PX, "bold") > room:
            narrow.append(bar)
        else:
            drawn.append(_number(bar, _middle(bar, scale), top + 26, "f17"))
    for bar, x in _below(narrow, scale, width):
        at, foot = _middle(bar, scale), top + _BAR
        drawn.append(
            f'<path class="edg" d="M{at:.1f} {foot:g}V{foot + 3:g}L{x:.1f} {foot + 9:g}" '
            'fill="none" stroke-width="1"/>' + _number(bar, x, foot + 20, "f13")
        )
    return drawn


def _below(bars: list[Bar], scale: float, width: float) -> list[tuple[Bar, float]]:
    """Return where numbers of narrow bars stand; every second one where all are too many."""
    wide = [text_width(str(bar.number), _BELOW_PX, "bold") for bar in bars]
    wanted = [_middle(bar, scale) for bar in bars]
    places = clear_places(wanted, wide, 0.0, width, _APART_PX)
    if bars and not places:
        return _below(bars[::2], scale, width)
    return list(zip(bars, places, strict=True))


def _middle(bar: Bar, scale: float) -> float:
    return _LEFT + (bar.start_min + bar.end_min) / 2 * scale


def _number(bar: Bar, x: float, y: float, size: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:g}" class="{size} b halo" text-anchor="middle">'
        f"{bar.number}</text>"
    )
