"""The current's own way in one state of the healthy circuit: from source to load and back."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from witnessmark.networks import (
    LOADS,
    SOURCES,
    Circuit,
    Coil,
    Kind,
    Part,
    Piece,
    Solution,
    pieces_of,
)
from witnessmark.networks.kinds import ON, TURNING
from witnessmark.quantities import show

ENOUGH: Final = 0.9  # of the volts at its source: common practice, no published source
RUNS_V: Final = 0.5  # a load over which less stands is said to get nothing
RUNS_A: Final = 0.001
_FLOWS_A: Final = 1e-4
_TAKES_ITS_SHARE: Final = LOADS | {Kind.DIODE, Kind.OUTPUT, Kind.SENDER}
_COILS: Final = (".coil", ".pull", ".hold")
_JOINS: Final = frozenset(
    {
        Kind.WIRE,
        Kind.CONNECTOR,
        Kind.SPLICE,
        Kind.GROUND,
        Kind.FUSE,
        Kind.LINK,
        Kind.SWITCH,
        Kind.SELECTOR,
        Kind.RELAY,
        Kind.SOLENOID,
        Kind.OUTPUT,
    }
)
_WINDINGS: Final = (".coil", ".resistor", ".diode", ".pull", ".hold")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadWay:
    """Where a load's current comes from, and what is lost on its way.

    Attributes
    ----------
    source
        Name of the part that feeds it; empty where the way ends before one.
    source_v
        Volts at the posts of that part. [V]
    drops
        Each other piece on the way and the volts over it. [V]
    """

    source: str
    source_v: float
    drops: tuple[tuple[Piece, float], ...]


class Flow:
    """One state of a solved healthy circuit.

    Attributes
    ----------
    circuit, state
        The circuit, and the state's name.
    blown
        Fuses that blow, and outputs that cut out, in it.
    chatters
        Whether a relay finds no rest.
    """

    def __init__(self, circuit: Circuit, found: Solution, state: str) -> None:
        self.circuit, self.state = circuit, state
        self.found, self.at = found, found.state_place[state]
        self.pieces = {piece.name: piece for piece in pieces_of(circuit)}
        self.blown = tuple(
            name.partition(".")[0]
            for name, is_blown in zip(found.pieces, found.blown[0, self.at], strict=True)
            if is_blown
        )
        self.chatters = bool(found.chatter[0, self.at])
        self.into: dict[str, list[Piece]] = {}  # pieces that bring current into a point
        self.out_of: dict[str, list[Piece]] = {}
        for piece in self.pieces.values():
            amps = self.amps(piece.name)
            if abs(amps) > _FLOWS_A:
                start, end = self._ends(piece, amps)
                self.out_of.setdefault(start, []).append(piece)
                self.into.setdefault(end, []).append(piece)

    def amps(self, piece: str) -> float:
        """Return the current of a piece, positive from its first to its second terminal. [A]"""
        return self.found.current(piece, self.state)

    def over(self, piece: str) -> float:
        """Return the volts between the two ends of a piece, without a sign. [V]"""
        one = self.pieces[piece]
        return abs(self._v(one.first) - self._v(one.second))

    def is_pulled(self, coil: Coil) -> bool:
        """Return whether a relay or solenoid has pulled in."""
        name = coil.contacts[0]
        place = self.found.relays.index(name)
        return bool(self.found.contacts[0, self.at, place]) != self.pieces[name].rests

    def turns(self, part: Part) -> bool:
        """Return whether an alternator turns, or another steered source is on."""
        return self.circuit.state(self.state).stand(part) in (TURNING, ON)

    def way(self, load: str) -> LoadWay | None:
        """Return the way of a load's current, followed by the greatest part of it at each point."""
        piece = self.pieces[load]
        amps = self.amps(load)
        if abs(amps) <= _FLOWS_A:
            return None
        start, end = self._ends(piece, amps)
        seen = {load}
        source, up = self._follow(start, seen, self.into)
        _, down = self._follow(end, seen, self.out_of)
        return LoadWay(
            source="" if source is None else source.part,
            source_v=0.0 if source is None else self.over(source.name),
            drops=tuple((one, self.over(one.name)) for one in (*reversed(up), *down)),
        )

    def runs(self, load: Part) -> bool:
        """Return whether a load gets current that is worth a word."""
        return self.over(load.name) >= RUNS_V and abs(self.amps(load.name)) >= RUNS_A

    def has_enough(self, load: Part) -> bool:
        """Return whether a load gets nearly all the volts at its source."""
        way = self.way(load.name)
        return way is None or self.over(load.name) >= ENOUGH * way.source_v

    def takes_most(self, load: Part) -> Part | None:
        """Return the part on a load's way that is there to take volts, if it takes the most."""
        way = self.way(load.name)
        if way is None or not way.drops:
            return None
        piece, volts = max(way.drops, key=lambda drop: drop[1])
        part = self.circuit.part(piece.part)
        takes = part.kind in _TAKES_ITS_SHARE or piece.name.endswith(_COILS)
        return part if takes and volts > RUNS_V else None

    def lost(self, load: str) -> float:
        """Return the volts that no other load takes on a load's way there and back. [V]"""
        way = self.way(load)
        return sum(
            volts
            for piece, volts in (() if way is None or not way.source else way.drops)
            if self.circuit.part(piece.part).kind not in LOADS | {Kind.SENDER}
            and not piece.name.endswith(_WINDINGS)
        )

    def joined(self) -> Iterator[Piece]:
        """Yield each piece that joins its ends in this state and uses nothing, as a wire does."""
        conducts = self.found.conducts[0, self.at]
        for name, does in zip(self.found.pieces, conducts, strict=True):
            piece = self.pieces.get(name)
            if piece is None or piece.name.endswith(_WINDINGS):
                continue
            kind = self.circuit.part(piece.part).kind
            if kind in _JOINS and (does or piece.part in self.blown):
                yield piece

    def _follow(
        self, point: str, seen: set[str], pieces_at: dict[str, list[Piece]]
    ) -> tuple[Piece | None, list[Piece]]:
        """Return the source at the end of a way and the pieces up to it."""
        found: list[Piece] = []
        while True:
            there = [one for one in pieces_at.get(point, ()) if one.name not in seen]
            if not there:
                return None, found
            piece = max(there, key=lambda one: abs(self.amps(one.name)))
            if self.circuit.part(piece.part).kind in SOURCES:
                return piece, found
            seen.add(piece.name)
            found.append(piece)
            point = piece.second if point == piece.first else piece.first

    def _ends(self, piece: Piece, amps: float) -> tuple[str, str]:
        return (piece.first, piece.second) if amps > 0 else (piece.second, piece.first)

    def _v(self, point: str) -> float:
        return self.found.voltage(point, self.state)


def short_circuit(flow: Flow) -> Iterator[tuple[str, ...]]:
    """Yield each source whose posts are joined by parts that use nothing, and those parts.

    Parameters
    ----------
    flow
        One state of the circuit.
    """
    at: dict[str, list[Piece]] = {}
    for piece in flow.joined():
        at.setdefault(piece.first, []).append(piece)
        at.setdefault(piece.second, []).append(piece)
    for part in flow.circuit.parts:
        if part.kind not in SOURCES or part.kind is Kind.PULL_UP:
            continue
        if part.stands and not flow.turns(part):
            continue
        names = _nearest(at, part.first, part.second)
        if names is not None:
            yield (part.name, *dict.fromkeys(names))


def _nearest(at: dict[str, list[Piece]], start: str, goal: str) -> list[str] | None:
    """Return the parts of the shortest way between two points, or None where there is none."""
    came: dict[str, tuple[str, str]] = {start: ("", "")}
    waiting = [start]
    for point in waiting:
        if point == goal:
            names = []
            while point != start:
                point, name = came[point]
                names.append(name)
            return names[::-1]
        for piece in at.get(point, ()):
            other = piece.second if piece.first == point else piece.first
            if other not in came:
                came[other] = (point, piece.part)
                waiting.append(other)
    return None


def volts_said(volts: float) -> str:
    """Return volts as the check says them.

    Parameters
    ----------
    volts
        The volts. [V]
    """
    return show(volts, "V", 0.1)


def amps_said(amps: float) -> str:
    """Return amps as one reads them on a clamp meter: small ones finer, large ones in whole amps.

    Below 0.1 A in milliamps, below 1 A in hundredths so that one bulb is told from another, below
    20 A in tenths.

    Parameters
    ----------
    amps
        The amps. [A]

    Examples
    --------
    >>> [amps_said(one) for one in (0.0174, 0.427, 7.91, 19.96, 179.8)]
    ['17 mA', '0.43 A', '7.9 A', '20 A', '180 A']
    """
    if amps < 0.0995:
        return show(amps * 1000.0, "mA", 1.0)
    return show(amps, "A", 0.01 if amps < 0.995 else 0.1 if amps < 19.95 else 1.0)


def beside_a_limit(amps: float) -> str:
    """Return amps beside the most that is allowed: in tenths, so that the two never look alike.

    Parameters
    ----------
    amps
        The amps. [A]

    Examples
    --------
    >>> beside_a_limit(20.4)
    '20.4 A'
    """
    return show(amps, "A", 0.1)
