"""The narrow ladder for a phone: each column a strip of its own, volts beside it."""

from collections.abc import Mapping
from typing import Final

from witnessmark.diagnosis.sentences import percent_words
from witnessmark.papers.glyph_widths import fitted, text_width, wrapped
from witnessmark.papers.ladder_layout import MAIN, Item, Ladder, Piece, Place, Spot, place
from witnessmark.papers.ladder_symbols import (
    CLEAR,
    FOOT,
    LABEL_RIGHT,
    TOP,
    bare_line,
    belief_bar,
    framed,
    ground_sign,
    half_height,
    hatch,
    piece_label,
    probe_mark,
    px,
    ring,
    symbol,
    text_at,
    volt_ticks,
)


def ladder_phone_svg(ladder: Ladder, name: str = "h1") -> str:
    """Return the narrow drawing: each column a strip of its own, volts beside it.

    Parameters
    ----------
    ladder
        What to draw.
    name
        Name of the hatch pattern, another one for each drawing on a page.
    """
    strips = []
    height = 0.0
    for number in range(len(ladder.columns)):
        strip = _Narrow(ladder, f"{name}-{number}", number)
        strips.append(f'<g transform="translate(0 {px(height)})">{strip.body()}</g>')
        height += strip.height + 24.0
    return framed(ladder.title, 366.0, height - 24.0, "lad ph", "".join(strips))


class _Narrow:
    """One column of the narrow drawing, with its own rails and volts."""

    x: Final = 128.0
    strip_x: Final = 284.0

    def __init__(self, ladder: Ladder, name: str, number: int) -> None:
        self.ladder, self.name = ladder, name
        self.column = ladder.columns[number]
        self.spots = ladder.spots()
        self.is_main = number == MAIN
        alone = Ladder(
            title=ladder.title,
            supply_v=ladder.supply_v,
            columns=(type(self.column)(items=self.column.items),),
        )
        extents: Mapping[Place, tuple[float, float]] = {
            (MAIN, at): self._extent(item) for at, item in enumerate(self.column.items)
        }
        self.placed = place(alone, extents, TOP, CLEAR)
        self.scale = 63.0 / ladder.supply_v
        self.height = self.placed.bottom + FOOT

    @staticmethod
    def _extent(item: Item) -> tuple[float, float]:
        if isinstance(item, Spot):
            return (18.0, 34.0) if item.letter else (3.0, 3.0)
        return max(half_height(item), 20.0), max(half_height(item), 20.0)

    def _volt_x(self, value_v: float) -> float:
        return self.strip_x + min(max(value_v * self.scale, -6.0), 74.0)

    def _end(self, node: str, rail: str, healthy_v: float) -> tuple[str, float]:
        """Return what a rail stands for, and its voltage."""
        if not node:
            return rail, healthy_v
        spot = self.spots[node]
        words = " ".join(word for word in (spot.letter, spot.words) if word) or node
        return words, spot.healthy_v

    def body(self) -> str:
        """Return the strip, without the frame."""
        top, bottom = self.placed.top, self.placed.bottom
        items = self.column.items
        ys = [self.placed.y[MAIN, at] for at in range(len(items))]
        start, start_v = self._end(
            self.column.start, f"Supply {self.ladder.supply_v:g} V", self.ladder.supply_v
        )
        end, end_v = self._end(self.column.end, "Ground 0 V", 0.0)
        lead = "" if not self.column.start else "From "
        tail = "" if not self.column.end else "To "
        symbols = "".join(
            symbol(item, self.x, y)
            for item, y in zip(items, ys, strict=True)
            if isinstance(item, Piece)
        )
        parts = [
            hatch(self.name),
            f'<path d="M60 {px(top)}H188" stroke-width="6"/>',
            text_at(57, top - 14, fitted(lead + start, 17, "bold", 190), "f17 b"),
            f'<path d="M60 {px(bottom)}H188" stroke-width="6"/>',
            "" if self.column.end else ground_sign(76, bottom),
            text_at(110, bottom + 24, fitted(tail + end, 17, "bold", 160), "f17 b"),
            f'<g stroke-width="3.2">{bare_line(items, self.x, ys, top, bottom)}{symbols}</g>',
            text_at(280, 16, "Volts", "f15 b"),
        ]
        for tick in volt_ticks(self.ladder.supply_v, 2):
            x = self._volt_x(tick)
            parts.append(
                f'<path class="rul" d="M{px(x)} {px(top - 2)}V{px(bottom)}" stroke-width="1"/>'
            )
            parts.append(text_at(x, top - 8, f"{tick}", "f15 t2", "middle"))
        fall = [(self._volt_x(start_v), top)]
        fall += [
            (self._volt_x(item.healthy_v), y)
            for item, y in zip(items, ys, strict=True)
            if isinstance(item, Spot)
        ]
        fall.append((self._volt_x(end_v), bottom))
        points = " ".join(f"{px(x)},{px(y)}" for x, y in fall)
        parts.append(f'<polyline points="{points}" stroke-width="2.4"/>')
        parts.extend(self._item(item, y) for item, y in zip(items, ys, strict=True))
        return "".join(parts)

    def _item(self, item: Item, y: float) -> str:
        return self._spot(item, y) if isinstance(item, Spot) else self._piece(item, y)

    def _piece(self, piece: Piece, y: float) -> str:
        x = self.x + max(LABEL_RIGHT.get(piece.symbol, 22.0) - 14.0, 22.0)
        if piece.symbol == "coil":
            x = self.x + 36.0
        parts = [piece_label(x, y - 3 if piece.belief is not None else y + 6, piece, 276.0 - x)]
        if piece.belief is not None:
            words = percent_words(piece.belief, least="< 1%")
            classes = "f15 t2 nr halo" if piece.belief < 0.01 else "f15 b halo"
            parts.append(belief_bar(x, y + 4, 58.0, 11.0, piece.belief))
            parts.append(text_at(x + 64, y + 15, words, classes))
        return "".join(parts)

    def _spot(self, spot: Spot, y: float) -> str:
        if not spot.letter:
            return ""
        x = self.x
        edge = x - (30.0 if spot.probe else 22.0)
        parts = [
            f'<path class="edg" d="M{px(x + 12)} {px(y)}H{px(self.strip_x - 6)}" '
            'stroke-width="1.2" stroke-dasharray="1 5"/>',
        ]
        if spot.span_v is not None:
            low, high = self._volt_x(spot.span_v[0]), self._volt_x(spot.span_v[1])
            parts.append(
                f'<rect class="span" x="{px(low)}" y="{px(y - 10)}" '
                f'width="{px(max(high - low, 4.0))}" height="20" fill="url(#{self.name})" '
                'stroke-width="1.6"/>'
            )
        at = self._volt_x(spot.healthy_v)
        parts.append(f'<path d="M{px(at)} {px(y - 9)}v18" stroke-width="4" stroke-linecap="butt"/>')
        if spot.read_v is not None:
            parts.append(
                f'<circle cx="{px(self._volt_x(spot.read_v))}" cy="{px(y)}" r="8" '
                'fill="currentColor" stroke="none"/>'
            )
        parts.append(ring(spot, x, y))
        parts.append(text_at(edge, y - 2, spot.letter, "f20 b halo", "end"))
        letter = text_width(spot.letter, 20, "bold") + 8.0
        read = fitted(spot.read, 17, "bold", edge - letter)
        parts.append(text_at(edge - letter, y - 2, read, "f17 b halo", "end"))
        for line, words in enumerate(wrapped(spot.words, 13, "narrow", 104.0, 2)):
            parts.append(text_at(x - 18, y + 17 + 14 * line, words, "f13 t2 nr halo", "end"))
        if spot.probe:
            parts.append(probe_mark(x, y, 46.0, -33.0))
        return "".join(parts)
