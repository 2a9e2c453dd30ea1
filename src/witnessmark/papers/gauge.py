"""Verdicts as bracket gauges: the small glyph with its word, and the bar to scale.

Only classes and attributes, no style: colours are the page's tokens.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

from witnessmark.fitting.report import FitRow
from witnessmark.metrology import Limit, Verdict
from witnessmark.quantities import show

WIDTH_PX: Final = 420.0
_TALL: Final = 48
_EDGE_PX: Final = 18.0  # room for the bracket's foot and for an arrow past the scale

GLYPHS: Final = {
    Verdict.WITHIN: '<path d="M10 2H4V18H10M34 2H40V18H34"/>'
    '<circle class="dot" cx="22" cy="10" r="5"/>',
    Verdict.TOO_CLOSE: '<path d="M10 2H4V18H10M30 2H36V18H30"/>'
    '<path d="M28 10H44" stroke-width="2"/><circle class="hol" cx="36" cy="10" r="5"/>'
    '<path class="dot" d="M36 5a5 5 0 0 0 0 10z"/>',
    Verdict.OUTSIDE: '<path d="M8 2H2V18H8M22 2H28V18H22"/>'
    '<path class="dot" d="M38 4l6 6-6 6-6-6z"/>',
}
CLASSES: Final = {
    Verdict.WITHIN: "within",
    Verdict.TOO_CLOSE: "close",
    Verdict.OUTSIDE: "outside",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The common scale of several bars: what lies at the left and at the right end."""

    start: float
    end: float
    ticks: tuple[float, ...]
    unit: str
    step: float

    def x(self, value: float) -> float:
        """Return where a value lies on the drawing, ends held fast. [px]"""
        share = (value - self.start) / (self.end - self.start)
        return _EDGE_PX + min(max(share, 0.0), 1.0) * (WIDTH_PX - 2 * _EDGE_PX)


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeLine:
    """One line of "Show as table": a size against its limit."""

    title: str
    size: str
    plus_minus: str
    limit: str
    sure: str
    chance: str
    verdict: str


def verdict_glyph(verdict: Verdict) -> str:
    """Return the small bracket gauge that stands before a verdict's word.

    Parameters
    ----------
    verdict
        What is said about the part.

    Returns
    -------
    str
        SVG of 44 by 20, to stand in an element with the verdict's class.
    """
    return f'<svg viewBox="0 0 44 20" aria-hidden="true">{GLYPHS[verdict]}</svg>'


def axis_for(rows: Sequence[FitRow]) -> Axis:
    """Return a common scale for the rows of one characteristic.

    Parameters
    ----------
    rows
        Rows with the same limit, one at least.

    Returns
    -------
    Axis
        From a little below to a little above limits and bars; a bar farther off than one and
        a half times the range of the limit is drawn at the edge with an arrow.
    """
    limit = rows[0].limit
    lows = [row.estimate.value - 2 * row.estimate.u for row in rows]
    highs = [row.estimate.value + 2 * row.estimate.u for row in rows]
    widest = max(2 * row.estimate.u for row in rows)
    lower, upper = limit.lower, limit.upper
    if lower is None:
        lower = min([*lows, limit.upper or 0.0]) - widest
    if upper is None:
        upper = max([*highs, limit.lower or 0.0]) + widest
    half = (upper - lower) / 2 or 1.0
    start = max(min([*lows, lower - half / 2]), lower - 3 * half)
    end = min(max([*highs, upper + half / 2]), upper + 3 * half)
    margin = (end - start) / 40
    start, end = start - margin, end + margin
    ticks = [lower + number * half for number in range(-3, 6)]
    shown = tuple(tick for tick in ticks if start <= tick <= end)
    return Axis(
        start=start, end=end, ticks=shown, unit=rows[0].estimate.unit, step=rows[0].estimate.step
    )


def axis_svg(axis: Axis) -> str:
    """Return the figures of the scale, to stand above the bars.

    Parameters
    ----------
    axis
        The scale.

    Returns
    -------
    str
        SVG of 420 by 16; hidden from a screen reader, the bars say their numbers.
    """
    texts = "".join(
        f'<text x="{axis.x(tick):.0f}" y="13" font-size="15" text-anchor="middle">'
        f"{escape(show(tick, '', axis.step))}</text>"
        for tick in axis.ticks
    )
    return f'<svg class="axs" viewBox="0 0 {WIDTH_PX:.0f} 16" aria-hidden="true">{texts}</svg>'


def gauge_svg(row: FitRow, axis: Axis) -> str:
    """Return the bar of one row to scale.

    Parameters
    ----------
    row
        A judged characteristic.
    axis
        The common scale.

    Returns
    -------
    str
        SVG of 420 by 48: limits as brackets, dashed where the shop's chance lies, the size
        as dot, half dot or diamond with its bar of plus and minus U.
    """
    found = row.estimate
    spread = 2 * found.u
    words = (
        f"{row.title}: {row.number()} plus or minus {row.plus_minus()} {found.unit}, "
        f"limit {row.limit}, chance to conform {row.chance()}: "
        f"{row.judgement.verdict}"
    )
    return (
        f'<svg viewBox="0 0 {WIDTH_PX:.0f} {_TALL}" class="ub v {CLASSES[row.judgement.verdict]}"'
        f' role="img" aria-label="{escape(words)}">'
        f'<g class="lim">{_limit(row.limit, row.sure, axis)}</g>'
        f"{_bar(found.value - spread, found.value + spread, axis)}"
        f"{_point(found.value, row.judgement.verdict, axis)}</svg>"
    )


def gauge_table(rows: Sequence[FitRow]) -> tuple[GaugeLine, ...]:
    """Return the facts of the bars as rows.

    Parameters
    ----------
    rows
        Judged characteristics.

    Returns
    -------
    tuple of GaugeLine
        One for each, in their order.
    """
    return tuple(
        GaugeLine(
            title=row.title,
            size=f"{row.number()} {row.estimate.unit}",
            plus_minus=f"± {row.plus_minus()} {row.estimate.unit}",
            limit=str(row.limit),
            sure=_sure_words(row),
            chance=row.chance(),
            verdict=str(row.judgement.verdict),
        )
        for row in rows
    )


def _sure_words(row: FitRow) -> str:
    if row.sure is None:
        return "nowhere: the uncertainty is too wide for the limit"
    # a tenth of the step, rounded inwards, so that no printed end is called within in vain
    fine = row.estimate.step / 10
    low, high = row.sure
    lower = "" if low is None else show(math.ceil(low / fine - 1e-9) * fine, "", fine)
    upper = "" if high is None else show(math.floor(high / fine + 1e-9) * fine, "", fine)
    if not lower:
        return f"at most {upper} {row.estimate.unit}"
    if not upper:
        return f"at least {lower} {row.estimate.unit}"
    return f"{lower} to {upper} {row.estimate.unit}"


def _limit(limit: Limit, sure: tuple[float | None, float | None] | None, axis: Axis) -> str:
    left = 0.0 if limit.lower is None else axis.x(limit.lower)
    right = WIDTH_PX if limit.upper is None else axis.x(limit.upper)
    brackets = []
    if limit.lower is not None:
        brackets.append(f"M{left + 7:.0f} 5H{left:.0f}V43H{left + 7:.0f}")
    if limit.upper is not None:
        brackets.append(f"M{right - 7:.0f} 5H{right:.0f}V43H{right - 7:.0f}")
    dashes = [f"M{axis.x(end):.0f} 12V36" for end in sure or () if end is not None]
    dashed = (
        f'<path d="{"".join(dashes)}" stroke-dasharray="3 3" stroke-width="1.4"/>' if dashes else ""
    )
    return (
        f'<rect x="{left:.0f}" y="8" width="{right - left:.0f}" height="32" class="bandf" '
        f'stroke="none"/><path d="{"".join(brackets)}" stroke-width="3"/>{dashed}'
    )


def _bar(low: float, high: float, axis: Axis) -> str:
    left, right = axis.x(low), axis.x(high)
    path = f"M{left:.0f} 24H{right:.0f}"
    path += f"M{left:.0f} 16V32" if low >= axis.start else _arrow(left, -1)
    path += f"M{right:.0f} 16V32" if high <= axis.end else _arrow(right, 1)
    return f'<path d="{path}" stroke-width="3"/>'


def _arrow(x: float, way: int) -> str:
    return f"M{x + way * 4:.0f} 16L{x + way * 12:.0f} 24L{x + way * 4:.0f} 32"


def _point(value: float, verdict: Verdict, axis: Axis) -> str:
    x = axis.x(value)
    if verdict is Verdict.OUTSIDE:
        return f'<path d="M{x:.0f} 15l9 9-9 9-9-9z" fill="currentColor"/>'
    if verdict is Verdict.TOO_CLOSE:
        return (
            f'<circle class="hol" cx="{x:.0f}" cy="24" r="7"/>'
            f'<path d="M{x:.0f} 17a7 7 0 0 0 0 14z" fill="currentColor" stroke="none"/>'
        )
    return f'<circle cx="{x:.0f}" cy="24" r="7" fill="currentColor"/>'
