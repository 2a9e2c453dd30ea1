"""The ladder of a complained load as SVG, wide, with the volts fall beside it; and as a table.

Only classes and attributes, no style: the colours are the page's tokens. The same facts come as
table rows, for whoever cannot see the drawing.
"""

from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.sentences import percent_words, volts_words
from witnessmark.papers.glyph_widths import fitted, text_width, wrapped
from witnessmark.papers.ladder_layout import MAIN, Item, Ladder, Piece, Spot, place
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
    volts_text,
)


def ladder_svg(ladder: Ladder, name: str = "h0") -> str:
    """Return the wide drawing: ladder at the left, volts fall at the right.

    Parameters
    ----------
    ladder
        What to draw.
    name
        Name of the hatch pattern, another one for each drawing on a page.
    """
    return _Wide(ladder, name).svg()


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderRow:
    """One line of "Show as table": a part or a point, in order from supply to ground.

    Attributes
    ----------
    name
        Letter of the point or name of the part.
    words
        The author's words, or what the part is.
    healthy
        Healthy volts of a point.
    read
        What was read.
    suspects
        What the suspects predict at a point where they disagree.
    belief
        Belief of a part, in words.
    """

    name: str
    words: str
    healthy: str = ""
    read: str = ""
    suspects: str = ""
    belief: str = ""


def ladder_table(ladder: Ladder) -> tuple[LadderRow, ...]:
    """Return the facts of the drawing as rows, column by column.

    Parameters
    ----------
    ladder
        What the drawing shows.
    """
    rows = []
    if ladder.supply is not None:
        rows.append(_piece_row(ladder.supply))
    for column in ladder.columns:
        for item in column.items:
            if isinstance(item, Piece):
                rows.append(_piece_row(item))
            elif item.letter:
                span = "" if item.span_v is None else volts_words(*item.span_v)
                rows.append(
                    LadderRow(
                        name=item.letter,
                        words=item.words,
                        healthy=f"{volts_text(item.healthy_v)} V",
                        read=item.read,
                        suspects=span,
                    )
                )
    return tuple(rows)


def _piece_row(piece: Piece) -> LadderRow:
    belief = "" if piece.belief is None else percent_words(piece.belief)
    return LadderRow(name=piece.name, words=piece.note, belief=belief)


class _Wide:
    """The wide drawing: main column, coil columns to its left, volts fall to its right."""

    step: Final = 190.0  # from one coil column to the next
    room: Final = 104.0  # for a label beside a coil column

    def __init__(self, ladder: Ladder, name: str) -> None:
        self.ladder, self.name = ladder, name
        more = max(len(ladder.columns) - 2, 0) * self.step
        self.main_x = 430.0 + more
        self.strip_x = self.main_x + 370.0
        self.scale = 365.0 / ladder.supply_v
        self.width = self.main_x + 930.0
        extents = {
            (number, at): self._extent(number, item)
            for number, column in enumerate(ladder.columns)
            for at, item in enumerate(column.items)
        }
        self.placed = place(ladder, extents, TOP, CLEAR)
        self.taps = {c.start for c in ladder.columns if c.start}
        self.taps |= {c.end for c in ladder.columns if c.end}

    def _extent(self, number: int, item: Item) -> tuple[float, float]:
        if isinstance(item, Spot):
            tall = 14.0 if item.letter else 3.0
            return tall, tall + (18.0 if number != MAIN and item.letter else 0.0)
        if number == MAIN:
            half = max(half_height(item), 14.0)
            return half, half
        low = {"coil": 84.0, "wire": 46.0}.get(item.symbol, 50.0)
        return max(half_height(item), 14.0), low if item.belief is not None else low - 18.0

    def _x(self, number: int) -> float:
        return self.main_x if number == MAIN else self.main_x - 320.0 - self.step * (number - 1)

    def _volt_x(self, value_v: float) -> float:
        return self.strip_x + min(max(value_v * self.scale, -14.0), 400.0)

    def svg(self) -> str:
        """Return the whole drawing."""
        rail_left = self._x(len(self.ladder.columns) - 1) - 90.0
        top, bottom = self.placed.top, self.placed.bottom
        ground_x = self.main_x - 150.0
        parts = [
            hatch(self.name),
            f'<path d="M{px(rail_left)} {px(top)}H{px(self.main_x + 60)}" stroke-width="6"/>',
            text_at(rail_left - 3, top - 14, f"Supply {self.ladder.supply_v:g} V", "f17 b"),
            f'<path d="M{px(rail_left)} {px(bottom)}H{px(self.main_x + 60)}" stroke-width="6"/>',
            ground_sign(ground_x, bottom),
            text_at(ground_x + 34, bottom + 24, "Ground 0 V", "f17 b"),
        ]
        for number in range(len(self.ladder.columns)):
            parts.append(self._column(number))
        parts.extend(self._tie(coil, contact) for coil, contact in self.ladder.ties)
        parts.append(self._volts_fall())
        if self.ladder.supply is not None:
            parts.append(self._belief_beside(self.ladder.supply, top - 20.0))
        for number, column in enumerate(self.ladder.columns):
            for at, item in enumerate(column.items):
                y = self.placed.y[number, at]
                if isinstance(item, Spot):
                    parts.append(self._spot(number, item, y))
                elif number == MAIN:
                    parts.append(self._belief_beside(item, y))
                else:
                    parts.append(self._belief_below(item, self._x(number), y))
        return framed(self.ladder.title, self.width, bottom + FOOT, "lad wd", "".join(parts))

    def _column(self, number: int) -> str:
        column = self.ladder.columns[number]
        x = self._x(number)
        ys = [self.placed.y[number, at] for at in range(len(column.items))]
        first, last = self.placed.top, self.placed.bottom
        taps = ""
        for node, is_start in ((column.start, True), (column.end, False)):
            if node:
                at = self.placed.node[node]
                from_x, y = self._x(at[0]), self.placed.y[at]
                taps += f'<path d="M{px(from_x)} {px(y)}H{px(x)}"/>'
                taps += f'<circle cx="{px(from_x)}" cy="{px(y)}" r="4" fill="currentColor"/>'
                first, last = (y, last) if is_start else (first, y)
        symbols = "".join(
            symbol(item, x, y)
            for item, y in zip(column.items, ys, strict=True)
            if isinstance(item, Piece)
        )
        weight = 'stroke-width="3.2"' if number == MAIN else 'stroke-width="1.8" class="edg"'
        return f"<g {weight}>{taps}{bare_line(column.items, x, ys, first, last)}{symbols}</g>"

    def _tie(self, coil: str, contact: str) -> str:
        at = {
            item.key: (number, place_)
            for number, column in enumerate(self.ladder.columns)
            for place_, item in enumerate(column.items)
            if isinstance(item, Piece)
        }
        if coil not in at or contact not in at:
            return ""
        one, other = at[coil], at[contact]
        x1, y1 = self._x(one[0]) + 28.0, self.placed.y[one]
        x2, y2 = self._x(other[0]) - 14.0, self.placed.y[other]
        if x2 < x1:  # the contact stands to the left of its coil
            x1, x2 = self._x(one[0]) - 28.0, self._x(other[0]) + 8.0
        path = f"M{px(x1)} {px(y1)}H{px(x2)}"
        if abs(y1 - y2) > 1.0:
            path = f"M{px(x1)} {px(y1)}H{px(x2 - 30)}V{px(y2)}H{px(x2)}"
        return f'<path class="tie" d="{path}" stroke-dasharray="6 5" stroke-width="1.8"/>'

    def _belief_beside(self, piece: Piece, y: float) -> str:
        x = self.main_x + max(LABEL_RIGHT.get(piece.symbol, 40.0), 40.0)
        bar_x = self.main_x + 174.0
        parts = [piece_label(x, y + 6, piece, bar_x - x - 12.0)]
        if piece.belief is not None:
            parts.append(belief_bar(bar_x, y - 8, 110.0, 16.0, piece.belief))
            small = piece.belief < 0.01
            sure = piece.belief > 0.99
            classes = "f15 t2 nr halo" if small else "f15 b nr halo" if sure else "f20 b halo"
            parts.append(text_at(bar_x + 120, y + 7, percent_words(piece.belief), classes))
        return "".join(parts)

    def _belief_below(self, piece: Piece, x: float, y: float) -> str:
        drop = 38.0 if piece.symbol == "coil" else 6.0
        x += max(LABEL_RIGHT.get(piece.symbol, 16.0), 16.0)
        parts = [
            text_at(x, y + drop, fitted(piece.name, 17, "bold", self.room), "f17 b"),
            text_at(x, y + drop + 18, fitted(piece.note, 15, "narrow", self.room), "f15 t2 nr"),
        ]
        if piece.belief is not None:
            below = y + drop + (25.0 if piece.note else 8.0)
            words = percent_words(piece.belief, least="< 1%")
            parts.append(belief_bar(x, below, 50.0, 11.0, piece.belief))
            parts.append(text_at(x + 56, below + 11, words, "f15 nr"))
        return "".join(parts)

    def _spot(self, number: int, spot: Spot, y: float) -> str:
        x = self._x(number)
        parts = [ring(spot, x, y)]
        if number == MAIN:
            parts.append(self._main_spot(spot, y))
        elif spot.letter:
            parts.append(text_at(x - 14, y + 6, spot.letter, "f17 b halo", "end"))
            parts.append(text_at(x - 14, y + 24, spot.read, "f15 b nr halo", "end"))
        if spot.probe:
            # Up and to the left nothing is written, unless a branch has lifted the label.
            lifted = spot.node in self.taps or number != MAIN
            parts.append(probe_mark(x, y, *((26.0, 40.0) if lifted else (-44.0, -32.0))))
        return "".join(parts)

    def _main_spot(self, spot: Spot, y: float) -> str:
        if not spot.letter:
            return ""
        x = self.main_x
        # A branch that leaves here to the left would strike the label through: lift it.
        lift = 13.0 if spot.node in self.taps else 0.0
        gap = 28.0 if spot.probe else 24.0
        right = x - gap
        parts = [text_at(right, y + 7 - lift, spot.letter, "f20 b halo", "end")]
        right -= text_width(spot.letter, 20, "bold") + 8.0
        room = 150.0
        lines = wrapped(spot.words, 15, "narrow", room, 1 if lift else 2)
        first = y + 6.0 - lift - 8.5 * (len(lines) - 1)
        parts.extend(
            text_at(right, first + 17.0 * line, words, "f15 t2 nr halo", "end")
            for line, words in enumerate(lines)
        )
        return "".join(parts)

    def _volts_fall(self) -> str:
        top, bottom = self.placed.top, self.placed.bottom
        healthy_x, read_x = self.main_x + 828.0, self.main_x + 910.0
        parts = [
            text_at(self.strip_x - 4, 24, "Volts fall", "f17 b"),
            text_at(healthy_x, 24, "healthy", "f15 t2 nr", "end"),
            text_at(read_x, 24, "read", "f17 b", "end"),
        ]
        for tick in volt_ticks(self.ladder.supply_v, 4):
            x = self._volt_x(tick)
            parts.append(
                f'<path class="rul" d="M{px(x)} {px(top - 2)}V{px(bottom)}" stroke-width="1"/>'
            )
            parts.append(text_at(x, top - 8, f"{tick}", "f15 t2", "middle"))
        fall = [(self._volt_x(self.ladder.supply_v), top)]
        rows = []
        items = self.ladder.columns[MAIN].items
        for at, item in enumerate(items):
            if isinstance(item, Spot):
                y = self.placed.y[MAIN, at]
                fall.append((self._volt_x(item.healthy_v), y))
                if item.letter:
                    rows.append(self._volt_row(item, y, healthy_x, read_x))
        fall.append((self._volt_x(0.0), bottom))
        points = " ".join(f"{px(x)},{px(y)}" for x, y in fall)
        parts.append(f'<polyline points="{points}" stroke-width="2.4"/>')
        return "".join(parts + rows)

    def _volt_row(self, spot: Spot, y: float, healthy_x: float, read_x: float) -> str:
        x = self._volt_x(spot.healthy_v)
        read = spot.read.removesuffix(" V") or ("?" if spot.probe else "")
        parts = [
            f'<path class="edg" d="M{px(self.main_x + 12)} {px(y)}H{px(self.strip_x - 6)}" '
            'stroke-width="1.2" stroke-dasharray="1 5"/>',
        ]
        if spot.span_v is not None:
            low, high = self._volt_x(spot.span_v[0]), self._volt_x(spot.span_v[1])
            parts.append(
                f'<rect class="span" x="{px(low)}" y="{px(y - 10)}" '
                f'width="{px(max(high - low, 6.0))}" height="20" fill="url(#{self.name})" '
                'stroke-width="1.6"/>'
            )
        parts.append(f'<path d="M{px(x)} {px(y - 9)}v18" stroke-width="4" stroke-linecap="butt"/>')
        if spot.read_v is not None:
            parts.append(
                f'<circle cx="{px(self._volt_x(spot.read_v))}" cy="{px(y)}" r="8" '
                'fill="currentColor" stroke="none"/>'
            )
        if spot.probe and self.ladder.why:
            words = ";  ".join(self.ladder.why)
            room = healthy_x - 50.0 - self.strip_x - 8.0
            parts.append(
                text_at(self.strip_x + 8, y + 27, fitted(words, 15, "narrow", room), "f15 nr halo")
            )
        parts.append(text_at(healthy_x, y + 6, volts_text(spot.healthy_v), "f17 t2 halo", "end"))
        parts.append(text_at(read_x, y + 7, read, "f20 b", "end"))
        return "".join(parts)
