"""A circuit as values: parts between points, operating states, complaints."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

from witnessmark.errors import BenchError

BATTERY_MINUS: Final = "0"  # the letter of the reference: every voltage is to it


class Kind(StrEnum):
    """What a part is."""

    BATTERY = "battery"
    WIRE = "wire"
    CONNECTOR = "connector"
    SPLICE = "splice"
    GROUND = "ground"
    FUSE = "fuse"
    SWITCH = "switch"
    RELAY = "relay"
    LAMP = "lamp"
    RESISTOR = "resistor"
    MOTOR = "motor"


LOADS: Final = frozenset({Kind.LAMP, Kind.RESISTOR, Kind.MOTOR})
CLOSABLE: Final = frozenset({Kind.SWITCH})


class Look(StrEnum):
    """How a complained load looks."""

    DEAD = "dead"
    WEAK = "weak"
    ON = "on when it should not"


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A place in the circuit.

    Attributes
    ----------
    letter
        One letter, given once and kept; empty where no probe can reach.
    words
        The author's words for it.
    access_min
        Minutes to reach it with a probe. [min]
    """

    letter: str
    words: str
    access_min: float = 1.0

    @property
    def key(self) -> str:
        """What the point is called in results: its letter, or its words where it has none."""
        return self.letter or self.words


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a circuit, between points named by their keys.

    Attributes
    ----------
    name
        The author's name for it, "F12".
    kind
        What it is.
    words
        The author's words for it, "fan motor"; empty where the kind says it all.
    first, second
        Keys of the points of its first and second terminal; of a battery plus and minus, of a
        relay those of the contact.
    ohm
        Resistance: inside a battery, of a closed switch or contact, of a motor as it runs. [Ω]
    emf_v
        Of a battery. [V]
    charge
        State of charge of a battery, 0 to 100; None where the sheet gives volts. [%]
    rating_a
        Of a fuse. [A]
    lamp_w, lamp_v
        Rated power and voltage of an incandescent lamp. [W], [V]
    coil_first, coil_second, coil_ohm, pull_in_v, drop_out_v
        The coil of a relay: terminals, resistance, and the voltages at which it pulls in and
        drops out. [Ω], [V], [V]
    closes_at_rest
        Of a relay: the contact is closed while the coil is at rest.
    rate
        Weight of this part among the suspects; None for its kind's own.
    """

    name: str
    kind: Kind
    first: str
    second: str
    words: str = ""
    ohm: float = 0.0
    emf_v: float = 0.0
    charge: float | None = None
    rating_a: float = 0.0
    lamp_w: float = 0.0
    lamp_v: float = 0.0
    coil_first: str = ""
    coil_second: str = ""
    coil_ohm: float = 0.0
    pull_in_v: float = 0.0
    drop_out_v: float = 0.0
    closes_at_rest: bool = False
    rate: float | None = None

    def __post_init__(self) -> None:
        if self.kind is not Kind.LAMP and not self.ohm > 0:
            raise BenchError(
                f"{self.name} has {self.ohm:g} Ω.",
                "Every part has some resistance, if only a thousandth of an ohm.",
                "Enter what it measures or what the sheet says.",
            )
        if self.kind is Kind.LAMP and not (self.lamp_w > 0 and self.lamp_v > 0):
            raise BenchError(
                f"Lamp {self.name} has {self.lamp_w:g} W at {self.lamp_v:g} V.",
                "Both must be more than 0.",
                "Read them off the lamp's base.",
            )
        if self.first == self.second:
            raise BenchError(
                f"Both ends of {self.name} are at '{self.first}'.",
                "A part lies between two points.",
                "Name the point at its other end.",
            )

    @property
    def label(self) -> str:
        """Name and words, as a sentence names the part."""
        return f"{self.name} {self.words}" if self.words else self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """An operating state: which switches are closed.

    Attributes
    ----------
    name
        Short name, "run".
    words
        Said in a sentence: "the fan running".
    closed
        Names of the switches that are closed; all others are open.
    setup_min
        Minutes to bring the vehicle into this state. [min]
    after
        The state this one follows, from which contacts and blown fuses carry over; empty for one
        that starts from rest.
    """

    name: str
    words: str
    closed: frozenset[str]
    setup_min: float = 1.0
    after: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Complaint:
    """Something an owner may say of this circuit: which load looks how, in which state."""

    key: str
    words: str
    load: str
    state: str
    looks: Look


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """Parts, points, states and complaints.

    Attributes
    ----------
    name, source, note
        What it is, where its values come from (book, page), and what else to know.
    points
        All points; the first is the battery's negative post, with the letter '0'.
    parts, states, complaints
        In the author's order; at least one battery, one state.
    """

    name: str
    source: str
    points: tuple[Point, ...]
    parts: tuple[Part, ...]
    states: tuple[State, ...]
    complaints: tuple[Complaint, ...] = ()
    note: str = ""
    place: Mapping[str, int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        assert self.points[0].letter == BATTERY_MINUS, "the reference stands first"
        place = {point.key: number for number, point in enumerate(self.points)}
        assert len(place) == len(self.points), "two points of one key"
        object.__setattr__(self, "place", place)

    def point(self, key: str) -> Point:
        """Return the point of a letter, or of words where it has no letter.

        Parameters
        ----------
        key
            Letter, in either case, or the author's words.

        Returns
        -------
        Point
            The point.

        Raises
        ------
        BenchError
            If the circuit has no such point.
        """
        for point in self.points:
            if key == point.key or key.upper() == point.letter or key == point.words:
                return point
        letters = ", ".join(point.letter for point in self.points if point.letter)
        raise BenchError(
            f"{self.name} has no point '{key}'.",
            f"Its points are {letters}.",
            "Use one of these letters.",
        )

    def part(self, name: str) -> Part:
        """Return the part of a name.

        Parameters
        ----------
        name
            The part's name as the sheet has it.

        Returns
        -------
        Part
            The part.

        Raises
        ------
        BenchError
            If the circuit has no such part.
        """
        for part in self.parts:
            if part.name == name:
                return part
        raise BenchError(
            f"{self.name} has no part '{name}'.",
            f"Its parts are {', '.join(part.name for part in self.parts)}.",
            "Use one of these names.",
        )

    def state(self, name: str) -> State:
        """Return the operating state of a name.

        Parameters
        ----------
        name
            The state's short name.

        Returns
        -------
        State
            The state.

        Raises
        ------
        BenchError
            If the circuit has no such state.
        """
        for state in self.states:
            if state.name == name:
                return state
        raise BenchError(
            f"{self.name} has no state '{name}'.",
            f"Its states are {', '.join(state.name for state in self.states)}.",
            "Use one of these names.",
        )

    @property
    def lettered(self) -> tuple[Point, ...]:
        """The points a probe can reach, without the reference."""
        return tuple(point for point in self.points[1:] if point.letter)

    @property
    def supply_v(self) -> float:
        """EMF of the strongest battery. [V]"""
        return max(part.emf_v for part in self.parts if part.kind is Kind.BATTERY)
