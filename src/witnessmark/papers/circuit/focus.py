"""What matters for a complaint: the loads' ways to both rails, and the coils on the way."""

from collections.abc import Iterable
from dataclasses import dataclass

from witnessmark.diagnosis.path import Run, Way, way_of
from witnessmark.networks import Circuit


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


def focus_of(circuit: Circuit, troubles: Iterable[tuple[str, str]]) -> Focus | None:
    """Return the focus on some loads, or None if nothing joins any of them to the battery.

    Parameters
    ----------
    circuit
        The circuit, whole.
    troubles
        Name of each load, the one that is drawn strong first, and the operating state in which it
        is looked at.
    """
    ways: list[Way] = []
    for load, state in dict.fromkeys(troubles):
        way = way_of(circuit, load, state)
        if way is not None:
            ways.append(way)
    if not ways:
        return None
    others: list[Run] = []
    seen = set(ways[0].main.pieces)
    for run in [run for way in ways for run in (way.main, *way.coils)]:
        others.extend(_fresh(run, seen))
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
