"""The bearings along the block from the side, with the way that the shaft goes in."""

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from typing import Final

from witnessmark.fitting.assembly import Assembly
from witnessmark.fitting.bushes import Bearing, Way, shaft_way
from witnessmark.fitting.oil_holes import clock_words
from witnessmark.papers.oil_clock import hole_words
from witnessmark.quantities import show

_AXIS_Y: Final = 95.0
_TALLEST: Final = 115.0
_LOWEST: Final = 58.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockLine:
    """One line of "Show as table": a bearing along the block."""

    title: str
    housing: str
    bush_outside: str
    journal: str
    holes: str
    lies: str


def block_svg(
    assembly: Assembly, lying: Mapping[str, str] | None = None, is_narrow: bool = False
) -> str:
    """Return the block from the side, the first end at the left.

    Parameters
    ----------
    assembly
        The assembly; it must have bearings.
    lying
        Position and the bush that lies there, where that was looked at.
    is_narrow
        Whether it must fit a phone: sizes stand under the bores instead of beside them.

    Returns
    -------
    str
        SVG of 1000 by 178, or 358 by 192. Steps in size are drawn larger than they are.
    """
    wide = 358.0 if is_narrow else 1000.0
    tall = 192 if is_narrow else 178
    count = len(assembly.bearings)
    pitch = wide / count if is_narrow else 880 / count
    first_x = pitch / 2 if is_narrow else 130.0
    xs = [first_x + pitch * number for number in range(count)]
    start, end = (4.0, wide - 4) if is_narrow else (60.0, xs[-1] + 110)
    gallery = (
        f'<path d="M{start:.0f} 95H{end:.0f}" stroke-width="12" stroke-linecap="butt" '
        f'class="pipe"/><path d="M{start:.0f} 89H{end:.0f}M{start:.0f} 101H{end:.0f}" '
        'stroke-width="1.6"/>'
    )
    bores = "".join(
        _bore(bearing, x, _height(assembly, bearing), (lying or {}), is_narrow)
        for bearing, x in zip(assembly.bearings, xs, strict=True)
    )
    sizes = ", ".join(
        f"{bearing.position} {show(bearing.housing_mm, 'mm', 0.01)}"
        for bearing in assembly.bearings
    )
    words = (
        f"Block from the side, {assembly.ends[0].lower()} at the left, with the housing bore of "
        f"each bush: {sizes}. {_way_words(shaft_way(assembly.bearings))}."
    )
    first, last = (escape(end) for end in assembly.ends)
    return (
        f'<svg viewBox="0 0 {wide:.0f} {tall}" class="gal{" slim" if is_narrow else ""}" '
        f'role="img" aria-label="{escape(words)}">'
        f'<text x="{4 if is_narrow else 20}" y="18" font-size="15" font-weight="700">{first}</text>'
        f'<text x="{wide - (4 if is_narrow else 20):.0f}" y="18" font-size="15" '
        f'font-weight="700" text-anchor="end">{last}</text>'
        f"{gallery}{bores}{_arrow(shaft_way(assembly.bearings), wide, is_narrow)}</svg>"
    )


def block_table(
    assembly: Assembly, lying: Mapping[str, str] | None = None
) -> tuple[BlockLine, ...]:
    """Return the facts of the drawing as rows.

    Parameters
    ----------
    assembly
        The assembly; it must have bearings.
    lying
        Position and the bush that lies there, where that was looked at.

    Returns
    -------
    tuple of BlockLine
        One for each bearing, from the first end to the last.
    """
    return tuple(
        BlockLine(
            title=assembly.title(bearing.position),
            housing=show(bearing.housing_mm, "mm", 0.01),
            bush_outside=show(bearing.bush_outside_mm, "mm", 0.01),
            journal=show(bearing.journal_mm, "mm", 0.01),
            holes="; ".join(
                f"{feed.name} {hole_words(feed.drilling)} at {clock_words(feed.clock_deg)}"
                for feed in bearing.feeds
            ),
            lies=_lies_words(bearing.position, lying or {}),
        )
        for bearing in assembly.bearings
    )


def _lies_words(position: str, lying: Mapping[str, str]) -> str:
    if position not in lying:
        return "not looked at"
    return f"bush {lying[position]}"


def _height(assembly: Assembly, bearing: Bearing) -> float:
    sizes = [other.housing_mm for other in assembly.bearings]
    low, high = min(sizes), max(sizes)
    if low == high:
        return (_TALLEST + _LOWEST) / 2
    return _LOWEST + (_TALLEST - _LOWEST) * (bearing.housing_mm - low) / (high - low)


def _bore(
    bearing: Bearing, x: float, height: float, lying: Mapping[str, str], is_narrow: bool
) -> str:
    lies = lying.get(bearing.position, bearing.position)
    is_wrong = lies != bearing.position
    top = _AXIS_Y - height / 2
    size = show(bearing.housing_mm, "", 0.01) if is_narrow else show(bearing.housing_mm, "mm", 0.01)
    if is_narrow:
        label = f'<text x="{x:.0f}" y="174" font-size="14" text-anchor="middle">{size}</text>'
    else:
        label = (
            f'<text x="{x + 30:.0f}" y="{top + 14:.0f}" font-size="16" '
            f'font-weight="650">{size}</text>'
        )
    wrong = dashes = ""
    if is_wrong:
        dashes = ' stroke-dasharray="6 4"'
        y = 188 if is_narrow else _AXIS_Y + height / 2 + 18
        wrong = (
            f'<text x="{x:.0f}" y="{y:.0f}" font-size="{13 if is_narrow else 15}" '
            f'font-weight="700" text-anchor="middle">bush {escape(lies)} lies here</text>'
        )
    return (
        f'<rect x="{x - 22:.0f}" y="{top:.0f}" width="44" height="{height:.0f}" stroke-width="3" '
        f'class="face"{dashes}/>'
        f'<text x="{x:.0f}" y="103" font-size="24" font-weight="750" text-anchor="middle">'
        f"{escape(lies)}</text>{label}{wrong}"
    )


def _way_words(way: Way) -> str:
    return {
        Way.FIRST: "shaft goes in this way, smallest journal leads",
        Way.LAST: "shaft goes in this way, smallest journal leads",
        Way.EITHER: "shaft goes in from either end",
        Way.NEITHER: "no end lets the shaft through",
    }[way]


def _arrow(way: Way, wide: float, is_narrow: bool) -> str:
    middle = wide / 2 if is_narrow else 445.0
    half = 70.0 if is_narrow else 115.0
    y = 18 if is_narrow else 27
    heads = {
        Way.FIRST: f"M{middle - half:.0f} {y}h{2 * half:.0f}m-12-6 12 6-12 6",
        Way.LAST: f"M{middle + half:.0f} {y}h-{2 * half:.0f}m12-6-12 6 12 6",
        Way.EITHER: f"M{middle - half:.0f} {y}h{2 * half:.0f}m-12-6 12 6-12 6"
        f"M{middle - half + 12:.0f} {y - 6}l-12 6 12 6",
    }
    drawn = f'<path d="{heads[way]}" stroke-width="2"/>' if way in heads else ""
    if is_narrow:
        return drawn
    return (
        f'{drawn}<text x="{middle:.0f}" y="15" font-size="16" text-anchor="middle" '
        f'class="second narrow">{_way_words(way)}</text>'
    )
