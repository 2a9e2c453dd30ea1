"""Series runs between junctions: what becomes one column of the drawing.

A node that only two branches meet is no junction; it lies inside a run.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from witnessmark.papers.circuit.branches import Branch, Sketch, Symbol


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Branches in series between two junctions.

    Attributes
    ----------
    nodes
        Keys of its nodes from one end to the other, one more than branches.
    branches
        The branches between them.
    """

    nodes: tuple[str, ...]
    branches: tuple[Branch, ...]

    @property
    def first(self) -> str:
        """Key of the junction at its first end."""
        return self.nodes[0]

    @property
    def last(self) -> str:
        """Key of the junction at its last end."""
        return self.nodes[-1]

    @property
    def ohm(self) -> float:
        """Typical resistance of the whole run. [Ω]"""
        return sum(branch.ohm for branch in self.branches)

    def turned(self) -> "Run":
        """Return the same run from its other end."""
        return Run(nodes=self.nodes[::-1], branches=self.branches[::-1])


def runs_of(sketch: Sketch) -> tuple[Run, ...]:
    """Return the runs of a sketch; no run ends where it begins.

    Parameters
    ----------
    sketch
        What is to be drawn.
    """
    at: dict[str, list[Branch]] = {node.key: [] for node in sketch.nodes}
    loops = [branch for branch in sketch.branches if branch.first == branch.second]
    for branch in sketch.branches:
        if branch not in loops:
            at[branch.first].append(branch)
            at[branch.second].append(branch)
    joints = {key for key, ends in at.items() if len(ends) != 2}
    joints |= {sketch.supply, sketch.ground} | _peaks(sketch)
    taken: set[str] = set()
    found: list[Run] = []
    for branch in sketch.branches:
        if branch.key in taken or branch in loops:
            continue
        run = _grown(branch, at, joints)
        taken |= {one.key for one in run.branches}
        found.extend(_opened(run, at))
    found.extend(_looped(branch) for branch in loops)
    return tuple(found)


def _peaks(sketch: Sketch) -> set[str]:
    """Return the pins that a source feeds: there the volts turn, and so does the way down."""
    return {
        branch.first
        for branch in sketch.branches
        if branch.symbol in (Symbol.SUPPLY, Symbol.PULL_UP)
    }


def _grown(branch: Branch, at: dict[str, list[Branch]], joints: set[str]) -> Run:
    """Return the whole run that a branch lies in."""
    ahead = list(_onward(branch, branch.second, at, joints))
    if ahead and ahead[-1][1] == branch.first and branch.first not in joints:
        back = []  # a ring without a junction
    else:
        back = list(_onward(branch, branch.first, at, joints))
    nodes = [node for _, node in reversed(back)] + [branch.first, branch.second]
    nodes += [node for _, node in ahead]
    branches = [one for one, _ in reversed(back)] + [branch] + [one for one, _ in ahead]
    return Run(nodes=tuple(nodes), branches=tuple(branches))


def _onward(
    branch: Branch, node: str, at: dict[str, list[Branch]], joints: set[str]
) -> Iterator[tuple[Branch, str]]:
    start = branch
    while node not in joints:
        (branch,) = [one for one in at[node] if one.key != branch.key]
        if branch.key == start.key:
            return
        node = branch.second if branch.first == node else branch.first
        yield branch, node


def _opened(run: Run, at: dict[str, list[Branch]]) -> Sequence[Run]:
    """Return the run, cut in two where it comes back to where it began."""
    if run.first != run.last:
        return (run,)
    middle = len(run.branches) // 2
    return (
        Run(nodes=run.nodes[: middle + 1], branches=run.branches[:middle]),
        Run(nodes=run.nodes[middle:], branches=run.branches[middle:]),
    )


def _looped(branch: Branch) -> Run:
    """Return a part whose two ends lie on one point: it hangs there, its second end named."""
    return Run(nodes=(branch.first, f"{branch.second}\x00{branch.key}"), branches=(branch,))
