"""The oil hole of a bush on a clock, seen from the front, with both holes to scale."""

import math
from dataclasses import dataclass
from html import escape
from typing import Final

from witnessmark.fitting.oil_holes import Feed, Hole, clock_words
from witnessmark.fitting.turned_bushes import HoleRow, open_in_words
from witnessmark.quantities import show

_MIDDLE: Final = 200.0
_RIM_PX: Final = 192.0
_BORE_PX: Final = 150.0  # where bush and block meet
_BUSH_PX: Final = 128.0
_HOUR_PX: Final = 172.0
_LARGE_PX: Final = 73.0  # room of the enlargement, both holes together


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleLine:
    """One line of "Show as table": a drilling and the hole over it."""

    title: str
    name: str
    drilling: str
    bush: str
    turn: str
    open_now: str
    allowed: str
    verdict: str


def oil_clock_svg(row: HoleRow, name: str = "c0") -> str:
    """Return the end view with the holes of one bush.

    Parameters
    ----------
    row
        The judged bush.
    name
        Name of the clip paths, another one for each drawing on a page.

    Returns
    -------
    str
        SVG of 400 by 400: hours round the rim, drilling solid, bush hole dashed, their
        overlap filled, the worst one enlarged in the middle.
    """
    worst = _worst(row)
    scale = _BORE_PX / row.bearing.radius_mm
    rings = (
        f'<circle cx="200" cy="200" r="{_RIM_PX:.0f}" stroke-width="2" class="rim"/>'
        f'<circle cx="200" cy="200" r="{_BORE_PX:.0f}" stroke-width="3" class="face"/>'
        f'<circle cx="200" cy="200" r="{_BUSH_PX:.0f}" stroke-width="2" class="face"/>'
    )
    pairs = "".join(
        _pair(
            feed.drilling,
            feed.bush,
            _on_rim(feed.clock_deg),
            _on_rim(_bush_deg(feed, row.turn_deg)),
            scale,
            f"{name}f{number}",
        )
        for number, feed in enumerate(row.bearing.feeds)
    )
    return (
        f'<svg viewBox="0 0 400 400" class="ck" role="img" aria-label="{escape(_words(row))}">'
        f"{rings}{_hours(row)}{pairs}{_enlarged(row, worst, name)}</svg>"
    )


def late_words(turn_deg: float) -> str:
    """Return how a bush is turned, in words.

    Parameters
    ----------
    turn_deg
        Clockwise from where it should be, seen from the front. [°]

    Returns
    -------
    str
        For example "8° late", "2.5° early" or "true".

    Examples
    --------
    >>> late_words(8), late_words(-2.5), late_words(0)
    ('8° late', '2.5° early', 'true')
    """
    if abs(turn_deg) < 0.05:
        return "true"
    step = 1 if abs(turn_deg - round(turn_deg)) < 0.05 else 0.1
    return f"{show(abs(turn_deg), '°', step)} {'late' if turn_deg > 0 else 'early'}"


def hole_words(hole: Hole) -> str:
    """Return the size of a hole in words.

    Parameters
    ----------
    hole
        A round hole or a slot.

    Returns
    -------
    str
        For example "6.5 mm" or "slot 8 × 5 mm".
    """
    if hole.length_mm is None:
        return show(hole.diameter_mm, "mm")
    return f"slot {show(hole.length_mm, '')} × {show(hole.diameter_mm, 'mm')}"


def oil_clock_table(row: HoleRow) -> tuple[HoleLine, ...]:
    """Return the facts of the drawing as rows, one for each feed of the bush.

    Parameters
    ----------
    row
        The judged bush.

    Returns
    -------
    tuple of HoleLine
        In the order of the sheet.
    """
    allowed = "no turn opens enough"
    if row.allowed is not None:
        back, on = (int(2 * abs(end)) / 2 * (1 if end >= 0 else -1) for end in row.allowed)
        allowed = f"{show(back, '°')} to {show(on, '°')}"
    return tuple(
        HoleLine(
            title=row.title,
            name=feed.name,
            drilling=f"{hole_words(feed.drilling)} at {clock_words(feed.clock_deg)}",
            bush=hole_words(feed.bush),
            turn=late_words(row.turn_deg),
            open_now=open_in_words(feed.open_at(row.bearing.radius_mm, row.turn_deg)),
            allowed=allowed,
            verdict=str(row.judgement.verdict),
        )
        for feed in row.bearing.feeds
    )


def _worst(row: HoleRow) -> Feed:
    return min(
        row.bearing.feeds, key=lambda feed: feed.open_at(row.bearing.radius_mm, row.turn_deg)
    )


def _words(row: HoleRow) -> str:
    lines = "; ".join(
        f"{line.name}, drilling {line.drilling}, hole in the bush {line.bush}, {line.open_now} open"
        for line in oil_clock_table(row)
    )
    return f"{row.title} from the front, bush {late_words(row.turn_deg)}: {lines}"


def _bush_deg(feed: Feed, turn_deg: float) -> float:
    home = feed.clock_deg if feed.bush_clock_deg is None else feed.bush_clock_deg
    return home + turn_deg


def _on_rim(clock_deg: float, radius_px: float = _BORE_PX) -> tuple[float, float, float]:
    """Return x, y and the turn of the tangent at a clock angle."""
    angle = math.radians(clock_deg)
    return (
        _MIDDLE + radius_px * math.sin(angle),
        _MIDDLE - radius_px * math.cos(angle),
        clock_deg % 360,
    )


def _hours(row: HoleRow) -> str:
    """Draw a tick and a figure for each hour that no hole covers."""
    taken = [feed.clock_deg for feed in row.bearing.feeds]
    taken += [_bush_deg(feed, row.turn_deg) for feed in row.bearing.feeds]
    parts = []
    for hour in range(1, 13):
        angle = 30.0 * hour
        if any(abs((angle - clock + 180) % 360 - 180) < 13 for clock in taken):
            continue
        (x, y, _), (x2, y2, _) = _on_rim(angle, _RIM_PX), _on_rim(angle, _RIM_PX - 9)
        tx, ty, _ = _on_rim(angle, _HOUR_PX)
        parts.append(
            f'<path d="M{x:.0f} {y:.0f}L{x2:.0f} {y2:.0f}"/><text x="{tx:.0f}" y="{ty + 5:.0f}" '
            f'text-anchor="middle" font-size="15" class="second">{hour}</text>'
        )
    return "".join(parts)


def _shape(hole: Hole, at: tuple[float, float, float], scale: float, extra: str) -> str:
    x, y, turn = at
    if hole.length_mm is None:
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{hole.diameter_mm / 2 * scale:.1f}" {extra}/>'
    wide, tall = hole.length_mm * scale, hole.diameter_mm * scale
    return (
        f'<rect x="{x - wide / 2:.1f}" y="{y - tall / 2:.1f}" width="{wide:.1f}" '
        f'height="{tall:.1f}" rx="{tall / 2:.1f}" transform="rotate({turn:.1f} {x:.1f} {y:.1f})" '
        f"{extra}/>"
    )


def _pair(
    drilling: Hole,
    bush: Hole,
    drilled: tuple[float, float, float],
    lies: tuple[float, float, float],
    scale: float,
    clip: str,
) -> str:
    """Draw both holes, solid and dashed, with their overlap filled."""
    blank = 'class="hol" stroke="none"'
    return (
        f'<clipPath id="{clip}">{_shape(drilling, drilled, scale, "")}</clipPath>'
        + _shape(drilling, drilled, scale, blank)
        + _shape(bush, lies, scale, blank)
        + f'<g clip-path="url(#{clip})">'
        + _shape(bush, lies, scale, 'fill="currentColor" stroke="none"')
        + "</g>"
        + _shape(drilling, drilled, scale, 'stroke-width="3"')
        + _shape(bush, lies, scale, 'stroke-width="3" stroke-dasharray="6 4"')
    )


def _enlarged(row: HoleRow, feed: Feed, name: str) -> str:
    """Draw the worst feed large, on the side of the clock where it lies, the share opposite."""
    scale = _BORE_PX / row.bearing.radius_mm
    drilled = _on_rim(feed.clock_deg)
    lies = _on_rim(_bush_deg(feed, row.turn_deg))
    x, y = (drilled[0] + lies[0]) / 2, (drilled[1] + lies[1]) / 2
    away_x, away_y = (lies[0] - drilled[0]) / 2, (lies[1] - drilled[1]) / 2
    reach = math.hypot(away_x, away_y) + (feed.bush.length_mm or feed.bush.diameter_mm) / 2 * scale
    zoom = _LARGE_PX / max(reach, feed.drilling.diameter_mm / 2 * scale)
    below = y >= _MIDDLE
    # pulled a little towards the holes, so that the leader is short
    cx, cy = _MIDDLE - 0.1 * (_MIDDLE - x), 240.0 if below else 160.0
    share_y, late_y = (132, 156) if below else (276, 300)
    near = math.hypot(x - cx, y - cy)
    x1, y1 = x - (x - cx) / near * 26, y - (y - cy) / near * 26
    x2, y2 = cx + (x - cx) / near * 60, cy + (y - cy) / near * 60
    return (
        f'<path d="M{x1:.0f} {y1:.0f}L{x2:.0f} {y2:.0f}" stroke-dasharray="2 4" '
        f'stroke-width="1.4"/>'
        + _pair(
            feed.drilling,
            feed.bush,
            (cx - away_x * zoom, cy - away_y * zoom, drilled[2]),
            (cx + away_x * zoom, cy + away_y * zoom, lies[2]),
            scale * zoom,
            f"{name}z",
        )
        + f'<text x="200" y="{share_y}" text-anchor="middle" font-size="50" font-weight="750" '
        f'class="far">{open_in_words(row.share)}</text><text x="200" y="{late_y}" '
        f'text-anchor="middle" font-size="17">open, {late_words(row.turn_deg)}</text>'
    )
