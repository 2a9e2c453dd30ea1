"""What is drawn, as values: branches of two ends between nodes, each with its symbol."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Symbol(StrEnum):
    """What a branch is drawn as."""

    BATTERY = "battery"
    WIRE = "wire"
    CONNECTOR = "connector"
    SPLICE = "splice"
    GROUND = "ground"
    FUSE = "fuse"
    LINK = "link"
    SWITCH = "switch"
    CONTACT = "contact"
    COIL = "coil"
    WINDING = "winding"
    LAMP = "lamp"
    LED = "led"
    DIODE = "diode"
    RESISTOR = "resistor"
    HEATER = "heater"
    SENDER = "sender"
    MOTOR = "motor"
    ALTERNATOR = "alternator"
    MODULE = "module"
    SUPPLY = "supply"
    PULL_UP = "pull-up"
    OUTPUT = "output"


PLAIN_OHM: Final = 0.02
OPEN: Final = "\x00"  # begins the key of an open end; no sheet can write it


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch:
    """A part, or a piece of one, between two nodes.

    Attributes
    ----------
    key
        Name of the piece as the solver has it: "F12", "K3.coil".
    part
        Name of its part.
    symbol
        What it is drawn as.
    first, second
        Keys of its nodes; current through a diode flows from first to second, and the plus of a
        source is its first.
    note
        What it is, in a few words.
    ohm
        Typical resistance of its kind. [Ω]
    is_load
        Whether it stands in the row of loads: it uses the current.
    is_lead
        Whether belief in the part is shown here.
    rests
        Whether it conducts at rest; only a switch, contact or output ever does not.
    """

    key: str
    part: str
    symbol: Symbol
    first: str
    second: str
    note: str = ""
    ohm: float = PLAIN_OHM
    is_load: bool = False
    is_lead: bool = True
    rests: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A point as it is drawn.

    Attributes
    ----------
    key
        Key of the point.
    letter
        Its letter, empty where no probe reaches.
    words
        The author's words.
    more
        How many branches end here that are not drawn.
    is_open
        Whether it is the open end of a part that is not connected yet.
    """

    key: str
    letter: str = ""
    words: str = ""
    more: int = 0
    is_open: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """All that the places in a drawing depend on; equal sketches get equal drawings.

    Attributes
    ----------
    branches
        What is drawn, in the author's order.
    nodes
        Every node at which one of them ends.
    supply, ground
        Keys of the nodes that are the rails; empty where there is none.
    ties
        Pairs of branch keys that one part moves together: coil and contact, pole and pole.
    main
        Keys of the branches on the way that is drawn strong; may be empty.
    sources
        Names of batteries on the supply rail that are not drawn themselves.
    across
        Where each branch stands in the drawing of the whole circuit, which a part of it follows
        from left to right; empty for the whole. [px]
    """

    branches: tuple[Branch, ...]
    nodes: tuple[Node, ...]
    supply: str = ""
    ground: str = ""
    ties: tuple[tuple[str, str], ...] = ()
    main: frozenset[str] = frozenset()
    sources: tuple[str, ...] = ()
    across: tuple[tuple[str, float], ...] = ()
