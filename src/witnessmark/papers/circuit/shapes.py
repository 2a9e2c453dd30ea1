"""How much room symbols, labels and letters take, in px, before anything is placed."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from witnessmark.papers.circuit.branches import Branch, Node, Symbol
from witnessmark.papers.glyph_widths import in_lines, text_width

NAME_PX: Final = 15
NOTE_PX: Final = 13
LINE_PX: Final = 15.0  # from one line of a label to the next
BAR_LINE_PX: Final = 20.0  # more for a line with a belief bar, or a number in a ring
BAR_PX: Final = 54.0  # length of a belief bar
BAR_ROW_PX: Final = 104.0  # bar and its percent
LABEL_PX: Final = 118.0  # widest label
NAME_LINES, NOTE_LINES = 4, 3  # the most of a label: what is longer loses its middle
WORDS_PX: Final = 120.0  # widest words of a point
WORDS_LINES: Final = 2
READING_PX: Final = 52.0  # of a reading beside a letter
RING_PX: Final = 15.0  # round a point: the probe's ring, whether it is there or not
HANDLE_UP_PX: Final = 20.0
LETTER_PX: Final = 20.0  # from a point to the right end of its letter
MORE_PX: Final = 34.0  # from a point to its "+2", past the probe's handle
AIR_PX: Final = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """Reach of a symbol from its middle. [px]"""

    left: float
    right: float
    half: float


SHAPES: Final[Mapping[Symbol, Shape]] = {
    Symbol.BATTERY: Shape(left=20, right=20, half=13),
    Symbol.WIRE: Shape(left=6, right=6, half=6),
    Symbol.CONNECTOR: Shape(left=9, right=9, half=9),
    Symbol.SPLICE: Shape(left=6, right=6, half=6),
    Symbol.GROUND: Shape(left=9, right=9, half=9),
    Symbol.FUSE: Shape(left=8, right=8, half=15),
    Symbol.LINK: Shape(left=9, right=9, half=16),
    Symbol.SWITCH: Shape(left=17, right=6, half=15),
    Symbol.CONTACT: Shape(left=17, right=6, half=15),
    Symbol.COIL: Shape(left=21, right=21, half=11),
    Symbol.WINDING: Shape(left=21, right=21, half=11),
    Symbol.LAMP: Shape(left=16, right=16, half=16),
    Symbol.LED: Shape(left=13, right=23, half=13),
    Symbol.DIODE: Shape(left=12, right=12, half=11),
    Symbol.RESISTOR: Shape(left=9, right=9, half=17),
    Symbol.HEATER: Shape(left=9, right=9, half=18),
    Symbol.SENDER: Shape(left=17, right=17, half=17),
    Symbol.MOTOR: Shape(left=20, right=20, half=20),
    Symbol.ALTERNATOR: Shape(left=20, right=20, half=20),
    Symbol.MODULE: Shape(left=22, right=22, half=17),
    Symbol.SUPPLY: Shape(left=15, right=15, half=15),
    Symbol.PULL_UP: Shape(left=9, right=9, half=17),
    Symbol.OUTPUT: Shape(left=22, right=22, half=18),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Lines of a label and the room they take.

    Attributes
    ----------
    names
        The name, in as many lines as it takes.
    notes
        Lines under it.
    has_bar
        Whether a line for a belief bar or a number stands under them.
    width, height
        Of the whole. [px]
    """

    names: tuple[str, ...]
    notes: tuple[str, ...]
    has_bar: bool
    width: float
    height: float


@cache
def label_of(branch: Branch, has_bars: bool, room_px: float = LABEL_PX) -> Label:
    """Return the label of a branch.

    Parameters
    ----------
    branch
        The branch.
    has_bars
        Whether the drawing keeps room for belief.
    room_px
        Widest line. [px]
    """
    names = in_lines(branch.part, NAME_PX, "narrow_bold", room_px, NAME_LINES)
    has_bar = has_bars and branch.is_lead
    notes = in_lines(branch.note, NOTE_PX, "narrow", room_px, NOTE_LINES)
    widths = [text_width(name, NAME_PX, "narrow_bold") for name in names]
    width = max([0.0, *widths, *(text_width(note, NOTE_PX, "narrow") for note in notes)])
    return Label(
        names=names,
        notes=notes,
        has_bar=has_bar,
        width=max(width, BAR_ROW_PX) if has_bar else width,
        height=LINE_PX * (max(1, len(names)) + len(notes)) + BAR_LINE_PX * has_bar,
    )


def letter_px(node: Node, has_words: bool, has_reading: bool = False) -> float:
    """Return how far a point's letter, and what stands beside it, reach left of its ring. [px]

    Parameters
    ----------
    node
        The point.
    has_words
        Whether its words stand beside the letter.
    has_reading
        Whether room is kept for a reading in their place.
    """
    if not node.letter:
        return 0.0
    lines = words_of(node) if has_words else ()
    words = max([0.0, *(text_width(line, NOTE_PX, "narrow") for line in lines)])
    beside = max(words, READING_PX) if has_reading else words
    return text_width(node.letter, NAME_PX, "bold") + (8.0 + beside if beside else 0.0)


def words_of(node: Node) -> tuple[str, ...]:
    """Return the words of a point in lines as they fit beside its letter.

    Parameters
    ----------
    node
        The point.
    """
    return in_lines(node.words, NOTE_PX, "narrow", WORDS_PX, WORDS_LINES)


def words_up_px(node: Node, has_words: bool) -> float:
    """Return how much more room above a point its words take that need a second line. [px]

    Parameters
    ----------
    node
        The point.
    has_words
        Whether its words stand beside the letter.
    """
    return LINE_PX * (len(words_of(node)) - 1) if has_words and node.letter and node.words else 0.0


def more_px(node: Node) -> float:
    """Return the room for '+2' right of a point, where that many branches are left out. [px]

    Parameters
    ----------
    node
        The point.
    """
    return MORE_PX + text_width(f"+{node.more}", NOTE_PX, "narrow") if node.more else 0.0
