"""Where the parts of a ladder stand: columns from supply to ground, coils level with contacts.

A column is a run of pieces and the spots between them. Each stands below the one before it, a
branch below the spot that it leaves, and a relay's coil at the height of its contact. The lowest
solution of all that is found by pushing down until nothing moves; what room is left in a column is
then shared out between its fixed places.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

MAIN: Final = 0  # the column of the complained load
_PASSES: Final = 200

Place = tuple[int, int]  # column, item


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One two-terminal piece of a part, to be drawn with its symbol.

    Attributes
    ----------
    key
        Name of the piece: "F12", "K3.contact".
    name
        Name of the part.
    note
        What it is, in a word or two: "20 A", "contact".
    symbol
        Kind of the symbol: "fuse", "contact", "coil", "motor", "lamp" and so on.
    belief
        Belief that this part is at fault, 0 to 1; None where it is no suspect.
    """

    key: str
    name: str
    note: str
    symbol: str
    belief: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place between two pieces; with a letter where a probe can reach it.

    Attributes
    ----------
    node
        Name of the node in the circuit.
    letter
        Letter of the point; empty where no probe reaches.
    words
        The author's words for the point.
    healthy_v
        Voltage there when nothing is wrong. [V]
    read
        What was read, as typed; empty if nothing.
    read_v
        The reading as a number. [V]
    span_v
        Lowest and highest voltage that the suspects predict, where they disagree. [V]
    probe
        Whether the next test is here.
    """

    node: str
    letter: str = ""
    words: str = ""
    healthy_v: float = 0.0
    read: str = ""
    read_v: float | None = None
    span_v: tuple[float, float] | None = None
    probe: bool = False


Item = Piece | Spot


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A run from one rail or spot down to another.

    Attributes
    ----------
    items
        Pieces and spots in order from supply to ground.
    start
        Node of an earlier column where this one leaves; empty for the supply rail.
    end
        Node of an earlier column where this one joins; empty for the ground rail.
    """

    items: tuple[Item, ...]
    start: str = ""
    end: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """All that a ladder drawing shows.

    Attributes
    ----------
    title
        What the drawing is, for a reader who cannot see it.
    columns
        The complained load's column first, then those of the coils.
    ties
        Pairs of piece keys, coil and contact, that one part holds together.
    supply
        The battery as a piece, drawn at the supply rail; None where the sheet has none.
    supply_v
        Voltage of the source. [V]
    why
        What the suspects would read at the probe, in short lines.
    """

    title: str
    columns: tuple[Column, ...]
    supply_v: float
    ties: tuple[tuple[str, str], ...] = ()
    supply: Piece | None = None
    why: tuple[str, ...] = ()

    def spots(self) -> dict[str, Spot]:
        """Every spot once, by node."""
        found: dict[str, Spot] = {}
        for column in self.columns:
            for item in column.items:
                if isinstance(item, Spot):
                    found.setdefault(item.node, item)
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Heights of every item, in px from the top of the drawing.

    Attributes
    ----------
    y
        Height of each item's middle.
    top
        Height of the supply rail.
    bottom
        Height of the ground rail.
    node
        Where each node stands.
    """

    y: Mapping[Place, float]
    top: float
    bottom: float
    node: Mapping[str, Place]


def place(
    ladder: Ladder, extents: Mapping[Place, tuple[float, float]], top_px: float, clear_px: float
) -> Placed:
    """Return the heights of all items.

    Parameters
    ----------
    ladder
        The ladder.
    extents
        How far each item reaches above and below its middle, labels included. [px]
    top_px
        Height of the supply rail. [px]
    clear_px
        Bare line between two neighbours. [px]
    """
    node: dict[str, Place] = {}
    piece: dict[str, Place] = {}
    for number, column in enumerate(ladder.columns):
        for at, item in enumerate(column.items):
            if isinstance(item, Spot):
                node.setdefault(item.node, (number, at))
            else:
                piece.setdefault(item.key, (number, at))
    ties = [(piece[a], piece[b]) for a, b in ladder.ties if a in piece and b in piece]
    y = _pushed_down(ladder, extents, top_px, clear_px, node, ties)
    if y is None:  # a coil fed through its own contact cannot stand level with it
        ties = []
        y = _pushed_down(ladder, extents, top_px, clear_px, node, ties)
        assert y is not None, "columns that start below their own end"
    bottom = max(
        y[number, len(column.items) - 1] + extents[number, len(column.items) - 1][1] + clear_px
        for number, column in enumerate(ladder.columns)
    )
    fixed = {spot for pair in ties for spot in pair}
    fixed |= {node[c.start] for c in ladder.columns if c.start}
    fixed |= {node[c.end] for c in ladder.columns if c.end}
    for number, column in enumerate(ladder.columns):
        first = y[node[column.start]] if column.start else top_px
        last = y[node[column.end]] if column.end else bottom
        _share_out(number, column, extents, clear_px, fixed, y, first, last)
    return Placed(y=y, top=top_px, bottom=bottom, node=node)


def _pushed_down(
    ladder: Ladder,
    extents: Mapping[Place, tuple[float, float]],
    top_px: float,
    clear_px: float,
    node: Mapping[str, Place],
    ties: list[tuple[Place, Place]],
) -> dict[Place, float] | None:
    y = dict.fromkeys(extents, top_px)
    for _ in range(_PASSES):
        before = dict(y)
        for number, column in enumerate(ladder.columns):
            above = y[node[column.start]] if column.start else top_px
            reach = extents[node[column.start]][1] if column.start else 0.0
            for at in range(len(column.items)):
                up, down = extents[number, at]
                y[number, at] = max(y[number, at], above + reach + clear_px + up)
                above, reach = y[number, at], down
            if column.end:
                end = node[column.end]
                y[end] = max(y[end], above + reach + clear_px + extents[end][0])
        for one, other in ties:
            y[one] = y[other] = max(y[one], y[other])
        if y == before:
            return y
    return None


def _share_out(
    number: int,
    column: Column,
    extents: Mapping[Place, tuple[float, float]],
    clear_px: float,
    fixed: set[Place],
    y: dict[Place, float],
    first_px: float,
    last_px: float,
) -> None:
    """Spread the items between two fixed places over the room there is."""
    stops = [at for at in range(len(column.items)) if (number, at) in fixed]
    count = len(column.items)
    for low, high in zip([-1, *stops], [*stops, count], strict=True):
        from_px = first_px if low < 0 else y[number, low]
        to_px = last_px if high == count else y[number, high]
        steps = []
        for at in range(low + 1, high + 1):
            down = 0.0 if at == 0 else extents[number, at - 1][1]
            up = 0.0 if at == count else extents[number, at][0]
            steps.append(down + clear_px + up)
        spare = (to_px - from_px - sum(steps)) / len(steps)
        height = from_px
        for at, step in zip(range(low + 1, high), steps, strict=False):
            height += step + max(spare, 0.0)
            y[number, at] = height
