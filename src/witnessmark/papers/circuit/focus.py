"""What matters for a complaint: the loads' ways to both rails, their coils, and the next test."""

from collections.abc import Iterable
from dataclasses import dataclass

from witnessmark.diagnosis.path import Run, Way, run_to, way_of
from witnessmark.networks import Circuit, pieces_of
from witnessmark.papers.circuit.parts import branches_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Focus:
    """What is drawn of a circuit, and what of it strong.

    Attributes
    ----------
    branches
        Keys of the branches that are drawn.
    main
        The strong way: points and branches from the battery's plus to its minus post.
    others
        The ways of coils and of other loads, each from one rail or point to another.
    """

    branches: frozenset[str]
    main: Run
    others: tuple[Run, ...] = ()


def focus_of(
    circuit: Circuit,
    troubles: Iterable[tuple[str, str]],
    asked: Iterable[str] = (),
    state: str = "",
) -> Focus | None:
    """Return the focus on some loads, or None if nothing joins any of them to the battery.

    Parameters
    ----------
    circuit
        The circuit, whole.
    troubles
        Name of each load, the one that is drawn strong first, and the operating state in which it
        is looked at.
    asked
        Points and parts of the test that is asked for: they are drawn too, wherever they lie.
    state
        The operating state of that test; empty for that of the first load.
    """
    ways: list[Way] = []
    told = list(dict.fromkeys(troubles))
    for load, at in told:
        way = way_of(circuit, load, at)
        if way is not None:
            ways.append(way)
    if not ways:
        return None
    others: list[Run] = []
    seen = set(ways[0].main.pieces)
    for run in [run for way in ways for run in (way.main, *way.coils)]:
        others.extend(_fresh(run, seen))
    pieces = pieces_of(circuit)
    # What is inside a part, as the field of an alternator, has no branch in a drawing.
    inside = {piece.name for piece in pieces} - {one.key for one in branches_of(circuit)}
    for place in asked:
        drawn = {key for run in (ways[0].main, *others) for key in run.points}
        drawn |= {piece.part for piece in pieces if piece.name in seen}
        way_there = None if place in drawn else run_to(circuit, place, state or told[0][1], inside)
        if way_there is not None:
            others.extend(_fresh(way_there, seen))
    return Focus(branches=frozenset(seen), main=ways[0].main, others=tuple(others))


def _fresh(run: Run, seen: set[str]) -> Iterable[Run]:
    """Return the stretches of a run that are not drawn yet, each from a drawn point to another."""
    stretch: list[str] = []
    points: list[str] = []
    for at, piece in enumerate(run.pieces):
        if piece not in seen:
            points = points or [run.points[at]]
            points.append(run.points[at + 1])
            stretch.append(piece)
        if stretch and (piece in seen or at == len(run.pieces) - 1):
            yield Run(points=tuple(points), pieces=tuple(stretch))
            seen.update(stretch)
            stretch, points = [], []
