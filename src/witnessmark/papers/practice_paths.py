"""Two paths to a cause on one scale of minutes: the learner's above, the best one below.

Only classes and attributes, no style: colours are the page's tokens.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

WIDE_PX: Final = 1200.0
NARROW_PX: Final = 366.0
_LEFT, _RIGHT = 8.0, 26.0
_TITLE, _BAR, _GAP = 26.0, 40.0, 18.0  # px
_STEPS_MIN: Final = (1, 2, 5, 10, 15, 20, 30, 60, 120)
_MOST_TICKS: Final = {False: 14, True: 5}  # on a screen, on a phone
_NUMBER_PX: Final = 16.0  # a narrower bar has no room for its number


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
    if wide >= _NUMBER_PX:
        drawn += (
            f'<text x="{x + wide / 2:.1f}" y="{top + 26:g}" class="f17 b halo" '
            f'text-anchor="middle">{bar.number}</text>'
        )
    if bar.told_most:
        drawn += (
            f'<path class="trn" d="M{x + wide:.1f} {top - 6:g}V{top + _BAR + 6:g}" '
            'stroke-width="4"/>'
        )
    return drawn
