"""A circuit as values: parts between points, operating states, complaints."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from enum import StrEnum
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.kinds import CLOSED, SOURCES, Kind
from witnessmark.networks.part import Part, battery_volts

BATTERY_MINUS: Final = "0"  # the letter of the reference: every voltage is to it
HIGH_V: Final = 60.0  # above it a vehicle's direct-current circuit is called high voltage
#                       (HSE guidance as reprinted in a trade magazine, seen)
RESTRAINT, HIGH_VOLTAGE = "restraint", "high voltage"


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

    @property
    def said(self) -> str:
        """Its words beside its letter; empty where the author has none but the letter."""
        return "" if self.words == self.letter else self.words


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """An operating state: where switches stand and what turns.

    Attributes
    ----------
    name
        Short name, "run".
    words
        Said in a sentence: "the fan running".
    closed
        Names of the two-terminal switches that are closed; all others are open.
    positions
        Name and position of what stands elsewhere than at rest: a selector at "low", an
        alternator "turning", an output "on".
    sizes
        Name of a sender and its resistance in this state. [Ω]
    setup_min
        Minutes to bring the vehicle into this state. [min]
    held_s
        How long it is held: long enough for a fuse to blow. [s]
    after
        The state this one follows, from which contacts and blown fuses carry over; empty for one
        that starts from rest.
    """

    name: str
    words: str
    closed: frozenset[str] = frozenset()
    positions: tuple[tuple[str, str], ...] = ()
    sizes: tuple[tuple[str, float], ...] = ()
    setup_min: float = 1.0
    held_s: float = 60.0
    after: str = ""

    def stand(self, part: Part) -> str:
        """Return where a steered part stands in this state."""
        said = dict(self.positions).get(part.name)
        if said is not None:
            return said
        return CLOSED if part.name in self.closed else part.stands[0]


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
    body
        Key of the point that is the vehicle's body, to which a rubbed-through wire is shorted;
        the battery's negative post by default.
    is_restraint
        Whether it belongs to airbags or belt tensioners.
    group, about
        The shelf it stands on, "Comfort", and what it does, in one sentence.
    """

    name: str
    source: str
    points: tuple[Point, ...]
    parts: tuple[Part, ...]
    states: tuple[State, ...]
    complaints: tuple[Complaint, ...] = ()
    note: str = ""
    body: str = BATTERY_MINUS
    is_restraint: bool = False
    group: str = ""
    about: str = ""
    place: Mapping[str, int] = field(init=False, repr=False, compare=False)
    digest: int = field(init=False, repr=False, compare=False)

    def __hash__(self) -> int:
        return self.digest

    def __post_init__(self) -> None:
        assert self.points[0].letter == BATTERY_MINUS, "the reference stands first"
        place = {point.key: number for number, point in enumerate(self.points)}
        assert len(place) == len(self.points), "two points of one key"
        object.__setattr__(self, "place", place)
        told = tuple(getattr(self, each.name) for each in fields(self) if each.compare)
        object.__setattr__(self, "digest", hash(told))

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
        """Volts at rest of the strongest battery. [V]"""
        return max(battery_volts(part) for part in self.parts if part.kind is Kind.BATTERY)

    @property
    def hazard(self) -> str:
        """Why no test is offered here: "restraint", "high voltage", or nothing."""
        if self.is_restraint:
            return RESTRAINT
        volts = [
            battery_volts(part) if part.kind is Kind.BATTERY else part.size("volts")
            for part in self.parts
            if part.kind in SOURCES
        ]
        in_series = [
            battery_volts(part)
            for part in self.parts
            if part.kind is Kind.BATTERY and part.second != BATTERY_MINUS
        ]
        return HIGH_VOLTAGE if max(*volts, self.supply_v + sum(in_series)) > HIGH_V else ""
