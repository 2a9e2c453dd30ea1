"""Faces of a planar graph, by growing them: the way of Demoucron, Malgrange and Pertuiset.

Begin with one ring and its two faces. What is left falls into fragments; each hangs on vertices
that are placed. A fragment fits into a face that has all of them. Lay one way through a fragment
across a face that it fits into, which cuts the face in two, and begin again. If a fragment fits
nowhere, the graph cannot be drawn without a crossing.
"""

from collections import deque
from collections.abc import Mapping, Sequence

Faces = list[list[int]]


def faces_of(beside: Mapping[int, Sequence[int]], ring: Sequence[int]) -> Faces | None:
    """Return the faces of a graph in one plane, or None if it has none.

    Parameters
    ----------
    beside
        Neighbours of each vertex: no edge twice, no vertex that would cut the graph in two, and no
        edge between two vertices of which both have more than two neighbours.
    ring
        Vertices of some ring in it, in order.

    Returns
    -------
    list of list of int, or None
        Each face as the vertices round it; every edge is passed once in each direction.

    Notes
    -----
    Time grows with the square of the edges; a circuit has few junctions.

    References
    ----------
    G. Demoucron, Y. Malgrange, R. Pertuiset, "Graphes planaires", 1964. From memory, not seen;
    checked against networkx.check_planarity in the tests.

    Examples
    --------
    A ring of four with one chord, which a vertex divides, has three faces:

    >>> beside = {0: [1, 3, 4], 1: [0, 2], 2: [1, 3, 4], 3: [0, 2], 4: [0, 2]}
    >>> len(faces_of(beside, [0, 1, 2, 3]))
    3
    """
    faces: Faces = [list(ring), list(reversed(ring))]
    placed = set(ring)
    while True:
        fragments = _fragments(beside, placed)
        if not fragments:
            return faces
        sets = [set(face) for face in faces]
        best: tuple[list[int], set[int], list[int]] | None = None
        for inner, feet in fragments:
            fits = [number for number, face in enumerate(sets) if feet <= face]
            if not fits:
                return None
            if best is None or len(fits) < len(best[2]):
                best = inner, feet, fits
        assert best is not None
        inner, feet, fits = best
        way = _way(beside, set(inner), feet)
        face = faces.pop(fits[0])
        faces.extend(_cut(face, way))
        placed.update(way)


def _fragments(
    beside: Mapping[int, Sequence[int]], placed: set[int]
) -> list[tuple[list[int], set[int]]]:
    found = []
    seen = set(placed)
    for start in beside:
        if start in seen:
            continue
        seen.add(start)
        inner, feet, waiting = [], set(), [start]
        while waiting:
            vertex = waiting.pop()
            inner.append(vertex)
            for other in beside[vertex]:
                if other in placed:
                    feet.add(other)
                elif other not in seen:
                    seen.add(other)
                    waiting.append(other)
        found.append((inner, feet))
    return found


def _way(beside: Mapping[int, Sequence[int]], inner: set[int], feet: set[int]) -> list[int]:
    """Return a shortest way from one foot through the fragment to another."""
    start = min(feet)
    came = {start: start}
    waiting = deque([start])
    while waiting:
        vertex = waiting.popleft()
        for other in beside[vertex]:
            if other in came or (vertex == start and other not in inner):
                continue
            if other in feet:
                way = [other]
                while vertex != start:
                    way.append(vertex)
                    vertex = came[vertex]
                return [start, *reversed(way)]
            if other in inner:
                came[other] = vertex
                waiting.append(other)
    raise AssertionError("a fragment that hangs on one vertex")


def _cut(face: list[int], way: list[int]) -> tuple[list[int], list[int]]:
    """Return both halves of a face that a way is laid across, round in its own direction."""
    one, other = face.index(way[0]), face.index(way[-1])
    turned = face[one:] + face[:one]
    at = turned.index(way[-1])
    assert one != other
    inside = way[1:-1]
    return turned[: at + 1] + inside[::-1], [*turned[at:], way[0], *inside]
