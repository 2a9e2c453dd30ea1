"""The way of a load's current: from the battery through the load to ground, and its coils.

The cheapest way through what the state closes; another load on the way is dear, an open contact
dearer. Each contact on the way brings the coil that works it, from the nearest place already on
the way, and so on.
"""

import heapq
from collections.abc import Collection, Mapping, Set
from dataclasses import dataclass
from typing import Final

from witnessmark.networks import LOADS, Circuit, Kind, Law, Piece, State, coils_of, pieces_of
from witnessmark.networks.circuit import BATTERY_MINUS

_LOAD: Final = 50.0
_OPEN: Final = 20.0
_PLAIN: Final = 1.0
FEED, GROUND_SIDE = "feed", "ground"


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Pieces one after another, from supply to ground.

    Attributes
    ----------
    points
        Keys of the points, one more than pieces.
    pieces
        Names of the pieces between them.
    """

    points: tuple[str, ...]
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """The way of a load and of the coils on which it depends.

    Attributes
    ----------
    load
        Name of the load.
    main
        From the battery's plus post through the load to its minus post.
    coils
        One run for each coil, from and to points on the way or a battery post.
    sides
        Parts of the main run: "feed" before the load, "ground" behind it.
    """

    load: str
    main: Run
    coils: tuple[Run, ...]
    sides: Mapping[str, str]


def way_of(circuit: Circuit, load: str, state: str) -> Way | None:
    """Return the way of a load in a state, or None if nothing connects it to the battery.

    Parameters
    ----------
    circuit
        The circuit.
    load
        Name of the load.
    state
        Name of the operating state.
    """
    graph = _Graph(circuit, circuit.state(state))
    piece = next(piece for piece in graph.pieces if piece.part == load)
    plus = next(part.first for part in circuit.parts if part.kind is Kind.BATTERY)
    main = graph.through(piece, {plus}, {BATTERY_MINUS}, {piece.name})
    if main is None:
        return None
    used = set(main.pieces)
    at = main.pieces.index(piece.name)
    feed, ground = set(main.points[: at + 1]), set(main.points[at + 1 :])
    coils: list[Run] = []
    waiting = graph.coils_of(main.pieces)
    while waiting:
        coil = waiting.pop(0)
        if coil.name in used:
            continue
        run = graph.through(coil, feed, ground, used | {coil.name})
        if run is None:
            continue
        coils.append(run)
        used |= set(run.pieces)
        at = run.pieces.index(coil.name)
        feed |= set(run.points[: at + 1])
        ground |= set(run.points[at + 1 :])
        waiting += graph.coils_of(run.pieces)
    at = main.pieces.index(piece.name)
    part_of = {piece.name: piece.part for piece in graph.pieces}
    sides = {part_of[name]: FEED for name in main.pieces[:at]}
    sides |= {part_of[name]: GROUND_SIDE for name in main.pieces[at + 1 :]}
    return Way(load=load, main=main, coils=tuple(coils), sides=sides)


def run_to(circuit: Circuit, place: str, state: str, barred: Set[str] = frozenset()) -> Run | None:
    """Return the cheapest run between the battery's posts through a point or a part.

    Parameters
    ----------
    circuit
        The circuit.
    place
        Key of a point, or name of a part.
    state
        Name of the operating state.
    barred
        Names of pieces that no run goes through.

    Returns
    -------
    Run or None
        None if no current can take such a way.
    """
    graph = _Graph(circuit, circuit.state(state))
    plus = next(part.first for part in circuit.parts if part.kind is Kind.BATTERY)
    found = [
        run
        for piece in graph.pieces
        if piece.name in graph.cost and piece.name not in barred
        if place in (piece.part, piece.first, piece.second)
        if (run := graph.through(piece, {plus}, {BATTERY_MINUS}, {piece.name} | barred)) is not None
    ]
    return min(found, key=graph.cost_of, default=None)


class _Graph:
    """Points joined by pieces, with the cost of going through each."""

    def __init__(self, circuit: Circuit, state: State) -> None:
        self.pieces = pieces_of(circuit)
        self.coils = coils_of(circuit)
        stands = {part.name: state.stand(part) for part in circuit.parts if part.stands}
        windings = {name for coil in self.coils for name in coil.windings}
        self.at: dict[str, list[Piece]] = {}
        self.cost: dict[str, float] = {}
        loads = {part.name for part in circuit.parts if part.kind in LOADS}
        for piece in self.pieces:
            if piece.law in (Law.SOURCE, Law.REGULATOR):
                continue
            self.at.setdefault(piece.first, []).append(piece)
            self.at.setdefault(piece.second, []).append(piece)
            dear = piece.part in loads or piece.name in windings
            closed = not piece.on_at or stands[piece.part] in piece.on_at
            self.cost[piece.name] = _PLAIN + (_LOAD if dear else 0.0) + (0.0 if closed else _OPEN)

    def cost_of(self, run: Run) -> float:
        """Return what it costs to go a run to its end."""
        return sum(self.cost[name] for name in run.pieces)

    def coils_of(self, names: Collection[str]) -> list[Piece]:
        """Return the coils that work the contacts among some pieces."""
        wanted = {
            winding
            for coil in self.coils
            if set(coil.contacts) & set(names)
            for winding in coil.windings
        }
        return [piece for piece in self.pieces if piece.name in wanted]

    def through(
        self, piece: Piece, above: Set[str], below: Set[str], barred: Set[str]
    ) -> Run | None:
        """Return the cheapest run through a piece, from one set of points to another."""
        found = []
        for top, bottom in ((piece.first, piece.second), (piece.second, piece.first)):
            up = self._cheapest(top, above, below | {bottom}, barred)
            if up is None:
                continue
            down = self._cheapest(bottom, below, above | set(up[1]), barred | set(up[2]))
            if down is not None:
                points = (*reversed(up[1]), *down[1])
                names = (*reversed(up[2]), piece.name, *down[2])
                found.append((up[0] + down[0], Run(points=points, pieces=names)))
        return min(found, key=lambda pair: pair[0])[1] if found else None

    def _cheapest(
        self, start: str, goals: Set[str], walls: Set[str], barred: Set[str]
    ) -> tuple[float, list[str], list[str]] | None:
        """Return cost, points and pieces of the cheapest way to any goal, not through a wall."""
        best = {start: 0.0}
        came: dict[str, tuple[str, str]] = {}
        heap = [(0.0, start)]
        while heap:
            cost, point = heapq.heappop(heap)
            if cost > best[point]:
                continue
            if point in goals:
                points, names = [point], []
                while point != start:
                    point, name = came[point]
                    points.append(point)
                    names.append(name)
                return cost, points[::-1], names[::-1]
            for piece in self.at.get(point, ()):
                other = piece.second if piece.first == point else piece.first
                next_cost = cost + self.cost[piece.name]
                if piece.name in barred or (other in walls and other not in goals):
                    continue
                if next_cost < best.get(other, float("inf")):
                    best[other] = next_cost
                    came[other] = (point, piece.name)
                    heapq.heappush(heap, (next_cost, other))
        return None
