"""A graph of runs taken apart where one junction alone holds two halves together."""

from collections.abc import Sequence

Ends = tuple[str, str]


def blocks_of(ends: Sequence[Ends]) -> list[list[int]]:
    """Return the blocks: sets of edges that stay together whichever vertex is taken out.

    Parameters
    ----------
    ends
        Both vertices of each edge; none joins a vertex to itself, two may join the same vertices.

    Returns
    -------
    list of list of int
        Numbers of the edges of each block; each edge is in one.

    References
    ----------
    J. Hopcroft, R. Tarjan, "Efficient algorithms for graph manipulation", 1973. From memory, not
    seen; checked against networkx.biconnected_components in the tests.

    Examples
    --------
    >>> blocks_of([("a", "b"), ("b", "c"), ("c", "a"), ("c", "d")])
    [[3], [0, 1, 2]]
    """
    at: dict[str, list[int]] = {}
    for number, (one, other) in enumerate(ends):
        at.setdefault(one, []).append(number)
        at.setdefault(other, []).append(number)
    depth: dict[str, int] = {}
    low: dict[str, int] = {}
    found: list[list[int]] = []
    for root in at:
        if root not in depth:
            _walk(root, ends, at, depth, low, found)
    return found


def _walk(
    root: str,
    ends: Sequence[Ends],
    at: dict[str, list[int]],
    depth: dict[str, int],
    low: dict[str, int],
    found: list[list[int]],
) -> None:
    """Go down and up the tree of one component, without recursion: a chain may be long."""
    depth[root] = low[root] = 0
    taken: set[int] = set()
    pile: list[int] = []
    way = [(root, -1, iter(at[root]))]
    while way:
        vertex, came, edges = way[-1]
        for edge in edges:
            if edge in taken:
                continue
            taken.add(edge)
            pile.append(edge)
            other = ends[edge][1] if ends[edge][0] == vertex else ends[edge][0]
            if other in depth:
                low[vertex] = min(low[vertex], depth[other])
                continue
            depth[other] = low[other] = depth[vertex] + 1
            way.append((other, edge, iter(at[other])))
            break
        else:
            way.pop()
            if not way:
                continue
            above = way[-1][0]
            low[above] = min(low[above], low[vertex])
            if low[vertex] >= depth[above]:
                cut = pile.index(came)
                found.append(sorted(pile[cut:]))
                del pile[cut:]
