"""Columns and heights of one block between its poles, without a crossing.

Every junction is a level bar, every run an upright column. Heights follow the volts that the poles
drive through the block; columns follow its faces from left to right: the bars of two junctions
share a column only where a way leads down from one to the other, so nothing ever crosses.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from witnessmark.papers.circuit.blocks import Ends
from witnessmark.papers.circuit.planar import Faces, faces_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A block as it stands.

    Attributes
    ----------
    columns
        Column of each edge, from the left.
    order
        Its vertices from the upper pole down.
    """

    columns: tuple[int, ...]
    order: tuple[str, ...]


def is_flat(ends: Sequence[Ends]) -> bool:
    """Return whether a block can be drawn without a crossing.

    Parameters
    ----------
    ends
        Both vertices of each of its edges.
    """
    return len(ends) < 6 or _faces(ends, 0) is not None


def stand_block(ends: Sequence[Ends], ohms: Sequence[float], poles: Ends) -> Block | None:
    """Return where the edges of a block stand, or None if some would have to cross.

    Parameters
    ----------
    ends
        Both vertices of each edge.
    ohms
        Resistance of each edge, by which the heights follow. [Ω]
    poles
        Upper and lower pole; the block must stay whole with an edge between them added.

    References
    ----------
    R. Tamassia, I. Tollis, "A unified approach to visibility representations of planar graphs",
    1986. From memory, not seen; the tests look for crossings in what comes out.
    """
    if len(ends) == 1:
        return Block(columns=(0,), order=poles)
    order = _by_volts(ends, ohms, poles)
    with_poles = [*ends, poles]
    faces = _faces(with_poles, len(ends))
    if faces is None:
        return None
    height = {vertex: at for at, vertex in enumerate(order)}
    names = list(dict.fromkeys(vertex for pair in with_poles for vertex in pair))
    number = {vertex: at for at, vertex in enumerate(names)}
    side = {
        (one, other): at
        for at, face in enumerate(faces)
        for one, other in zip(face, face[1:] + face[:1], strict=True)
    }
    sides = []
    for at, ends_at in enumerate(with_poles):
        upper = number[min(ends_at, key=height.__getitem__)]
        edge = len(names) + at
        sides.append((side[upper, edge], side[edge, upper]))
    outside, first = sides.pop()
    across = _longest(sides, first, outside, len(faces))
    return Block(columns=tuple(across[left] for left, _ in sides), order=tuple(order))


def _faces(ends: Sequence[Ends], through: int) -> Faces | None:
    """Return the faces of a block; each edge is a vertex of its own, after the vertices."""
    names = list(dict.fromkeys(vertex for pair in ends for vertex in pair))
    number = {vertex: at for at, vertex in enumerate(names)}
    beside: dict[int, list[int]] = {at: [] for at in range(len(names) + len(ends))}
    for at, (one, other) in enumerate(ends):
        edge = len(names) + at
        beside[edge] = [number[one], number[other]]
        beside[number[one]].append(edge)
        beside[number[other]].append(edge)
    start, goal = beside[len(names) + through]
    came = {start: start}
    waiting = [start]
    for place in waiting:
        for near in beside[place]:
            if near not in came and near != len(names) + through:
                came[near] = place
                waiting.append(near)
    ring = [goal]
    while ring[-1] != start:
        ring.append(came[ring[-1]])
    return faces_of(beside, [*ring, len(names) + through])


def _by_volts(ends: Sequence[Ends], ohms: Sequence[float], poles: Ends) -> list[str]:
    """Return the vertices by falling volts; every one but the poles has a higher and a lower."""
    names = list(dict.fromkeys(vertex for pair in ends for vertex in pair))
    number = {vertex: at for at, vertex in enumerate(names)}
    flows = np.zeros((len(names), len(names)))
    for at, (pair, ohm) in enumerate(zip(ends, ohms, strict=True)):
        one, other = number[pair[0]], number[pair[1]]
        # No two ways are quite alike, or two vertices could stand at one height.
        siemens = (1.0 + 0.1 * ((at * 0.6180339887) % 1.0)) / ohm
        flows[one, one] += siemens
        flows[other, other] += siemens
        flows[one, other] -= siemens
        flows[other, one] -= siemens
    held = np.zeros(len(names))
    for pole in poles:
        flows[number[pole]] = 0.0
        flows[number[pole], number[pole]] = 1.0
    held[number[poles[0]]] = 1.0
    volts = np.linalg.solve(flows, held)
    inner = sorted(
        (name for name in names if name not in poles), key=lambda name: -volts[number[name]]
    )
    return [poles[0], *inner, poles[1]]


def _longest(sides: Sequence[tuple[int, int]], first: int, last: int, count: int) -> list[int]:
    """Return how many columns lie left of each face: the longest way there from the first."""
    onward: list[list[int]] = [[] for _ in range(count)]
    due = [0] * count
    for left, right in sides:
        onward[left].append(right)
        due[right] += 1
    across = [0] * count
    waiting = [first]
    for face in waiting:
        for right in onward[face]:
            across[right] = max(across[right], across[face] + 1)
            due[right] -= 1
            if not due[right]:
                waiting.append(right)
    assert waiting[-1] == last, "faces that lead round in a ring"
    return across
