"""What a part carries for the loads that run together: its worst state, and who was counted."""

import heapq
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from witnessmark.networks import LOADS, Circuit, Kind, Law, Piece, Solution, coils_of, pieces_of
from witnessmark.quantities import listed
from witnessmark.wiring.budget import LEAST_A, current_through
from witnessmark.wiring.sentences import amps_words

_NOTHING_A: Final = 1e-6
_PROTECTORS: Final = frozenset({Kind.FUSE, Kind.LINK})


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """One load whose current flows through a part.

    Attributes
    ----------
    words
        Name and words of the load: "H1 low horn", "coil of K2 horn relay".
    current_a
        Its share of the part's current. [A]
    """

    words: str
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """What a part carries in one state of the healthy circuit.

    Attributes
    ----------
    part
        Name and words of the part.
    state
        Name of the state.
    state_words
        The state in words.
    current_a
        Through the part. [A]
    counted
        Loads whose current flows through it, the greatest first.
    """

    part: str
    state: str
    state_words: str
    current_a: float
    counted: tuple[Counted, ...]

    @property
    def is_shared(self) -> bool:
        """Whether more than one load was counted."""
        return len(self.counted) > 1

    @property
    def listed(self) -> str:
        """The loads that were counted, each with its current."""
        return listed([f"{one.words} {amps_words(one.current_a)}" for one in self.counted], "and")

    @property
    def sentence(self) -> str:
        """What it carries, when, and which loads were counted."""
        said = f"{self.part} carries {amps_words(self.current_a)} with {self.state_words}"
        return f"{said}: {self.listed}." if self.counted else f"{said}."


def worst_carried(circuit: Circuit, solution: Solution, part: str) -> Carried | None:
    """Return what a part carries in the state of the sheet in which it carries most.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved in all its states, healthy first.
    part
        Name of the part.

    Returns
    -------
    Carried or None
        None where it carries next to nothing in every state.

    Notes
    -----
    Only loads that a state of the sheet switches on together are added up. Where currents of
    several feeds meet at one point, each leaves it in the shares in which they arrived.

    References
    ----------
    [1] Kirchhoff's current law: what flows through a feed is the sum of what its loads take.
    """
    found = [_carried(circuit, solution, part, state.name) for state in circuit.states]
    worst = max(found, key=lambda one: one.current_a, default=None)
    return worst if worst is not None and worst.current_a >= LEAST_A else None


def fuses_before(circuit: Circuit, solution: Solution, part: str) -> tuple[str, ...]:
    """Return the fuses and links that the current of a part has come through last.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved, healthy first.
    part
        Name of the part; a fuse or a link is its own.

    Returns
    -------
    tuple of str
        Names, from all states; of a shared ground as many as its loads have.
    """
    if circuit.part(part).kind in _PROTECTORS:
        return (part,)
    stops = {one.name for one in circuit.parts if one.kind in _PROTECTORS}
    found: dict[str, None] = {}
    for state in circuit.states:
        flows = _Flows(circuit, solution, state.name)
        reached = flows.from_part(part, down=False, stops=stops)
        found |= dict.fromkeys(name for name, _, is_end in reached if is_end and name in stops)
    return tuple(found)


def wires_behind(circuit: Circuit, solution: Solution, part: str) -> tuple[str, ...]:
    """Return the wires that a fuse alone protects: up to the loads and the next fuses.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved, healthy first.
    part
        Name of the fuse.

    Returns
    -------
    tuple of str
        Names, from all states.
    """
    stops = {*_users(circuit), *(one.name for one in circuit.parts if one.kind in _PROTECTORS)}
    wires = {one.name for one in circuit.parts if one.kind is Kind.WIRE}
    found: dict[str, None] = {}
    for state in circuit.states:
        flows = _Flows(circuit, solution, state.name)
        reached = flows.from_part(part, down=True, stops=stops)
        found |= dict.fromkeys(name for name, _, _ in reached if name in wires)
    return tuple(found)


def _carried(circuit: Circuit, solution: Solution, part: str, state: str) -> Carried:
    flows = _Flows(circuit, solution, state)
    users = _users(circuit)
    # behind a feed stand its loads, before a ground the loads that it serves
    ways = [_counted(flows, part, users, down=down) for down in (True, False)]
    counted = max(ways, key=lambda way: sum(way.values()))
    current_a = current_through(circuit, solution, part, state)
    if part in users:
        counted = {users[part]: current_a}
    order = {words: at for at, words in enumerate(users.values())}
    loads = sorted(counted.items(), key=lambda one: (-round(one[1], 2), order[one[0]]))
    return Carried(
        part=circuit.part(part).label,
        state=state,
        state_words=circuit.state(state).words,
        current_a=current_a,
        counted=tuple(
            Counted(words=words, current_a=share_a)
            for words, share_a in loads
            if share_a >= LEAST_A
        ),
    )


def _counted(
    flows: "_Flows", part: str, users: Mapping[str, str], *, down: bool
) -> dict[str, float]:
    found: dict[str, float] = {}
    for name, current_a, is_end in flows.from_part(part, down=down, stops=users):
        if is_end:
            found[users[name]] = found.get(users[name], 0.0) + current_a
    return found


def _users(circuit: Circuit) -> dict[str, str]:
    """What uses current: the pieces of loads and coils, and a battery while it charges."""
    label = {one.name: one.label for one in circuit.parts}
    kind = {one.name: one.kind for one in circuit.parts}
    windings = {name for coil in coils_of(circuit) for name in coil.windings}
    found = {}
    for piece in pieces_of(circuit):
        if kind[piece.part] in LOADS:
            found[piece.name] = label[piece.part]
        elif piece.name in windings:
            found[piece.name] = f"coil of {label[piece.part]}"
        elif kind[piece.part] is Kind.BATTERY:
            found[piece.name] = f"{label[piece.part]}, charging"
    return found


class _Flows:
    """Which way current flows through every piece of the healthy circuit in one state."""

    def __init__(self, circuit: Circuit, solution: Solution, state: str) -> None:
        self.solution, self.state = solution, state
        self.pieces = pieces_of(circuit)
        self.out: dict[str, list[tuple[Piece, float, str]]] = {}
        self.into: dict[str, list[tuple[Piece, float, str]]] = {}
        self.flow: dict[str, float] = {}
        for piece in self.pieces:
            current_a = solution.current(piece.name, state)
            self.flow[piece.name] = current_a
            if abs(current_a) <= _NOTHING_A or self._supplies(piece, current_a):
                continue
            start, end = piece.first, piece.second
            if current_a < 0:
                start, end = end, start
            self.out.setdefault(start, []).append((piece, abs(current_a), end))
            self.into.setdefault(end, []).append((piece, abs(current_a), start))

    def _supplies(self, piece: Piece, current_a: float) -> bool:
        """Whether a source gives current: there the way of the loads begins and ends."""
        if piece.law is Law.REGULATOR:
            return True
        # out of the plus post, which is the first terminal of a source
        return piece.law is Law.SOURCE and current_a * piece.emf_v < 0

    def from_part(
        self, part: str, *, down: bool, stops: Iterable[str]
    ) -> list[tuple[str, float, bool]]:
        """Return the pieces that a part's current flows on through, or has come through.

        Each with its share of that current, and whether the way stops there; `stops` names pieces.
        """
        onward, barred = (self.out if down else self.into), set(stops)
        own = max(
            (one for one in self.pieces if one.part == part),
            key=lambda one: abs(self.flow[one.name]),
        )
        if abs(self.flow[own.name]) <= _NOTHING_A:
            return []
        ends = (own.first, own.second) if self.flow[own.name] < 0 else (own.second, own.first)
        start = ends[0] if down else ends[1]
        waiting = {start: abs(self.flow[own.name])}
        heap = [self._rank(start, down)]
        found: dict[str, tuple[float, bool]] = {}
        while heap:
            _, point = heapq.heappop(heap)
            share_a = waiting.pop(point, 0.0)
            pieces = onward.get(point, [])
            total_a = sum(current_a for _, current_a, _ in pieces)
            if share_a <= _NOTHING_A or total_a <= _NOTHING_A:
                continue
            for piece, current_a, other in pieces:
                given_a = share_a * current_a / total_a
                is_end = piece.name in barred
                before_a = found.get(piece.name, (0.0, is_end))[0]
                found[piece.name] = before_a + given_a, is_end
                if is_end:
                    continue
                if other not in waiting:
                    heapq.heappush(heap, self._rank(other, down))
                waiting[other] = waiting.get(other, 0.0) + given_a
        return [(name, current_a, is_end) for name, (current_a, is_end) in found.items()]

    def _rank(self, point: str, down: bool) -> tuple[float, str]:
        """Down the highest volts come first, up the lowest: all that arrives has then arrived."""
        volts = self.solution.voltage(point, self.state)
        return (-volts if down else volts), point
