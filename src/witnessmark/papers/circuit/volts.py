"""The strip of volts beside a way: healthy as a line, read as dots, doubt as hatch."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from witnessmark.papers.circuit.overlay import Reading
from witnessmark.papers.glyph_widths import fitted, text_width
from witnessmark.papers.svg import hatch, px, text_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One point of the way in the strip.

    Attributes
    ----------
    letter
        Its letter; empty for a rail that has none.
    x
        Right end of the point's own ring and what stands there, from which a dotted line leads to
        the strip; 0 for no line. [px]
    y
        Its height in the drawing. [px]
    reading
        What it shows.
    is_probed
        Whether the next test is here.
    """

    letter: str
    x: float
    y: float
    reading: Reading
    is_probed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Where the strip stands and what it has room for.

    Attributes
    ----------
    left
        Where 0 V lies. [px]
    scale
        Length of a volt. [px/V]
    top, bottom
        Heights of the rails. [px]
    supply_v
        Volts of the source. [V]
    healthy_x, read_x
        Right ends of the columns of figures; 0 for none. [px]
    name
        Name of the hatch pattern, another one for each drawing on a page.
    """

    left: float
    scale: float
    top: float
    bottom: float
    supply_v: float
    healthy_x: float
    read_x: float
    name: str

    def x(self, volts_v: float) -> float:
        """Return where some volts lie; what is off the scale stays at its end. [px]

        Parameters
        ----------
        volts_v
            The volts. [V]
        """
        return self.left + self.scale * min(max(volts_v, -0.03 * self.supply_v), self.most_v)

    @property
    def most_v(self) -> float:
        """The most that the scale shows. [V]"""
        return 1.1 * self.supply_v


def strip_svg(strip: Strip, rows: Sequence[Row], why: Sequence[str] = ()) -> str:
    """Return the strip.

    Parameters
    ----------
    strip
        Where it stands.
    rows
        Its points from the supply down.
    why
        What the suspects would read at the probe.
    """
    parts = [hatch(strip.name), _scale(strip)]
    fall = [
        (strip.x(row.reading.healthy_v), row.y) for row in rows if row.reading.healthy_v is not None
    ]
    parts.extend(_lines(strip, rows))
    parts.extend(_row(strip, row) for row in rows)
    probed = next((row for row in rows if row.is_probed), None)
    if probed is not None and why and strip.healthy_x:
        parts.append(_why(strip, fall, probed, "; ".join(why)))
    return "".join(parts)


def _lines(strip: Strip, rows: Sequence[Row]) -> Iterator[str]:
    """Yield the healthy line, broken where a point's volts are not to be seen."""
    for is_known, stretch in groupby(rows, lambda row: row.reading.healthy_v is not None):
        points = [
            f"{px(strip.x(row.reading.healthy_v))},{px(row.y)}"
            for row in stretch
            if row.reading.healthy_v is not None
        ]
        if is_known and len(points) > 1:
            yield f'<polyline points="{" ".join(points)}" stroke-width="2.4"/>'


def volts_text(value_v: float) -> str:
    """Return volts with two decimals and a true minus sign.

    Parameters
    ----------
    value_v
        Voltage. [V]
    """
    text = f"{value_v:.2f}"
    return "0.00" if text == "-0.00" else text.replace("-", "−")


def _scale(strip: Strip) -> str:
    parts = []
    if strip.healthy_x:
        parts += [
            text_at(strip.left - 4, strip.top - 36, "Volts fall", "f15 b"),
            text_at(strip.healthy_x, strip.top - 20, "healthy", "f13 nr t2", "end"),
            text_at(strip.read_x, strip.top - 20, "read", "f15 b", "end"),
        ]
    else:
        parts.append(text_at(strip.left - 4, strip.top - 36, "Volts", "f13 b"))
    about = 4 if strip.healthy_x else 2
    for tick in _ticks(strip.supply_v, about):
        x = strip.x(tick)
        parts.append(
            f'<path class="rul" d="M{px(x)} {px(strip.top - 12)}V{px(strip.bottom)}" '
            'stroke-width="1"/>'
        )
        parts.append(text_at(x, strip.top - 20, f"{tick}", "f13 t2", "middle"))
    return "".join(parts)


def _ticks(supply_v: float, about: int) -> list[int]:
    for step in (1, 2, 3, 6, 12, 24):
        if supply_v / step <= about + 1:
            return list(range(0, int(supply_v) + 1, step))
    return [0, int(supply_v)]


def _row(strip: Strip, row: Row) -> str:
    y, reading = row.y, row.reading
    parts = []
    if row.x:
        parts.append(
            f'<path class="edg under" d="M{px(row.x)} {px(y)}H{px(strip.left - 8)}" '
            'stroke-width="1.2" stroke-dasharray="1 5"/>'
        )
    elif row.letter and strip.healthy_x:
        parts.append(text_at(strip.left - 12, y + 5, row.letter, "f15 b", "end"))
    if reading.span_v is not None:
        low, high = strip.x(reading.span_v[0]), strip.x(reading.span_v[1])
        parts.append(
            f'<rect class="span" x="{px(low)}" y="{px(y - 8)}" '
            f'width="{px(max(high - low, 6.0))}" height="16" fill="url(#{strip.name})" '
            'stroke-width="1.5"/>'
        )
    if reading.healthy_v is not None:
        x = strip.x(reading.healthy_v)
        parts.append(f'<path d="M{px(x)} {px(y - 7)}v14" stroke-width="3.6"/>')
        if strip.healthy_x:
            words = volts_text(reading.healthy_v)
            parts.append(text_at(strip.healthy_x, y + 5, words, "f15 t2", "end"))
    if reading.read_v is not None:
        parts.append(
            f'<circle cx="{px(strip.x(reading.read_v))}" cy="{px(y)}" r="6.5" '
            'fill="currentColor" stroke="none"/>'
        )
    if strip.read_x:
        read = reading.read.removesuffix(" V") or ("?" if row.is_probed else "")
        parts.append(text_at(strip.read_x, y + 5.5, read, "f17 b", "end"))
    return "".join(parts)


def _why(strip: Strip, fall: Sequence[tuple[float, float]], probed: Row, words: str) -> str:
    """Return what the suspects would read, on the side of the line where there is more room."""
    at_y = probed.y + 22.0
    near = [x for y in (at_y - 12.0, at_y - 4.0, at_y + 6.0) if (x := _fall_x(fall, y)) is not None]
    end = strip.healthy_x - text_width("00.00", 15, "regular") - 12.0
    right = max([*near, strip.left]) + 8.0
    left, room = strip.left + 6.0, min([*near, end]) - 14.0 - strip.left
    if room <= end - right:
        left, room = right, end - right
    return text_at(left, at_y, fitted(words, 13, "narrow", room), "f13 nr")


def _fall_x(fall: Sequence[tuple[float, float]], y: float) -> float | None:
    for (x1, y1), (x2, y2) in pairwise(fall):
        if y1 <= y <= y2 and y2 > y1:
            return x1 + (x2 - x1) * (y - y1) / (y2 - y1)
    return None
