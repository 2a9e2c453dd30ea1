"""The frame of a drawing: runs from the top down in columns, and the stops along each."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from witnessmark.papers.circuit.branches import Branch, Node, Sketch, Symbol
from witnessmark.papers.circuit.runs import Run
from witnessmark.papers.circuit.shapes import (
    AIR_PX,
    HANDLE_UP_PX,
    RING_PX,
    SHAPES,
    label_of,
    words_up_px,
)
from witnessmark.papers.circuit.standing import Standing

NO_NODE: Final = Node(key="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A branch or a point on a run, with its reach above and below its middle.

    Attributes
    ----------
    key
        Place of the branch, or key of the node.
    branch
        The branch; None for a point.
    node
        The node of a point.
    up, down
        Reach. [px]
    """

    key: str
    branch: Branch | None
    node: Node
    up: float
    down: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """All that lengths are worked out from.

    Attributes
    ----------
    sketch
        What is drawn.
    runs
        Runs from the top down.
    stops
        Stops of each run between its two bars, from the top.
    nodes
        Every node by its key.
    has_bars
        Whether labels keep a line for belief.
    has_words
        Whether points show their words.
    """

    sketch: Sketch
    runs: tuple[Run, ...]
    stops: tuple[tuple[Stop, ...], ...]
    nodes: Mapping[str, Node]
    has_bars: bool
    has_words: bool

    @property
    def bars(self) -> tuple[str, ...]:
        """Keys of the junctions, each once."""
        return tuple(dict.fromkeys(key for run in self.runs for key in (run.first, run.last)))

    def spans(self, columns: Mapping[int, int]) -> dict[str, tuple[int, int]]:
        """Return the first and last column of each junction's bar.

        Parameters
        ----------
        columns
            Column of each run, by its number.
        """
        found: dict[str, tuple[int, int]] = {}
        for at, run in enumerate(self.runs):
            for key in (run.first, run.last):
                low, high = found.get(key, (columns[at], columns[at]))
                found[key] = min(low, columns[at]), max(high, columns[at])
        return found


def frame_of(
    sketch: Sketch, runs: Sequence[Run], standing: Standing, has_bars: bool, has_words: bool
) -> Frame:
    """Return the frame: every run turned so that its upper end comes first.

    Parameters
    ----------
    sketch
        What is drawn.
    runs
        Its runs.
    standing
        Where they stand.
    has_bars
        Whether labels keep a line for belief.
    has_words
        Whether points show their words.
    """
    nodes = {node.key: node for node in sketch.nodes}
    for run in runs:  # the second end of a part that lies on one point at both ends
        for key in run.nodes:
            origin = nodes.get(key.partition("\x00")[0], NO_NODE)
            nodes.setdefault(key, Node(key=key, letter=origin.letter, words=origin.words))
    ranks = standing.heights
    upright = [run if ranks[run.first] < ranks[run.last] else run.turned() for run in runs]
    parts = [branch.part for branch in tied_branches(sketch)]
    middle = {one.key for one in tied_branches(sketch) if parts.count(one.part) > 2}
    return Frame(
        sketch=sketch,
        runs=tuple(upright),
        stops=tuple(tuple(_stops(run, nodes, has_bars, has_words, middle)) for run in upright),
        nodes=nodes,
        has_bars=has_bars,
        has_words=has_words,
    )


def tied_branches(sketch: Sketch) -> list[Branch]:
    """Return the branches that a tie may end at.

    Parameters
    ----------
    sketch
        What is drawn.
    """
    tied = {key for pair in sketch.ties for key in pair}
    return [branch for branch in sketch.branches if branch.key in tied]


def _stops(
    run: Run,
    nodes: Mapping[str, Node],
    has_bars: bool,
    has_words: bool,
    middle: Collection[str],
) -> list[Stop]:
    """Return the stops of a run; a middle one of its part has its label above its ties."""
    stops = []
    for at, branch in enumerate(run.branches):
        if at and nodes[run.nodes[at]].letter:
            stops.append(point_stop(nodes[run.nodes[at]], has_words))
        half = SHAPES[branch.symbol].half
        reach = max(half, label_of(branch, has_bars).height / 2.0) + AIR_PX / 2.0
        place = place_of(branch.key)
        up = max(reach, label_of(branch, has_bars).height + 6.0) if branch.key in middle else reach
        stops.append(Stop(key=place, branch=branch, node=NO_NODE, up=up, down=reach))
    return stops


def place_of(branch_key: str) -> str:
    """Return what the place of a branch is called, which no point can be called.

    Parameters
    ----------
    branch_key
        Key of the branch.
    """
    return f"\x02{branch_key}"


def point_stop(node: Node, has_words: bool) -> Stop:
    """Return the stop of a point; room for the probe is kept whether it is there or not.

    Parameters
    ----------
    node
        The point.
    has_words
        Whether its words stand beside its letter.
    """
    up, down = (HANDLE_UP_PX, RING_PX) if node.letter else (AIR_PX, AIR_PX)
    up += words_up_px(node, has_words)
    return Stop(key=node.key, branch=None, node=node, up=up, down=down)


def is_rail(frame: Frame, key: str) -> bool:
    """Return whether a junction is one of the rails.

    Parameters
    ----------
    frame
        The frame.
    key
        Key of the junction.
    """
    return bool(key) and key in (frame.sketch.supply, frame.sketch.ground)


def has_battery(run: Run) -> bool:
    """Return whether a battery lies in a run.

    Parameters
    ----------
    run
        The run.
    """
    return any(branch.symbol is Symbol.BATTERY for branch in run.branches)
