"""Places in a drawing, as values. All lengths are in px from the upper left corner."""

from dataclasses import dataclass

from witnessmark.papers.circuit.branches import Branch, Node, Sketch


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedBranch:
    """A branch where it stands.

    Attributes
    ----------
    branch
        The branch.
    x, y
        Its middle. [px]
    is_turned
        Whether its second end is the upper one.
    side
        Where its label stands: left, right or above.
    """

    branch: Branch
    x: float
    y: float
    is_turned: bool
    side: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPoint:
    """A point where its ring stands.

    Attributes
    ----------
    node
        The point.
    x, y
        Its middle. [px]
    is_raised
        Whether the letter stands above the line of a bar that goes on to the left.
    more_x
        From where '+2' is drawn. [px]
    is_rail
        Whether it is one of the rails.
    """

    node: Node
    x: float
    y: float
    is_raised: bool
    more_x: float
    is_rail: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedRun:
    """A column's line, with the gaps where symbols stand.

    Attributes
    ----------
    x, top, bottom
        The line. [px]
    branches
        Keys of its branches from the top.
    ends
        Keys of the junctions at its ends.
    """

    x: float
    top: float
    bottom: float
    branches: tuple[str, ...]
    ends: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedBar:
    """A junction's level line.

    Attributes
    ----------
    key
        Key of the junction.
    y, left, right
        The line. [px]
    taps
        Where runs meet it, and how many at each. [px, 1]
    """

    key: str
    y: float
    left: float
    right: float
    taps: tuple[tuple[float, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedTie:
    """A dashed line from one branch to another that moves with it.

    Attributes
    ----------
    left, right
        The two.
    upright_x
        Where it goes up or down; None where both stand at one height. [px]
    """

    left: PlacedBranch
    right: PlacedBranch
    upright_x: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """All places of a drawing.

    Attributes
    ----------
    sketch
        What is drawn.
    width, height
        Of the whole. [px]
    top, bottom
        Heights of the rails. [px]
    branches, points, runs, bars, ties
        What stands where.
    has_bars, has_words
        Whether labels keep a line for belief, and points show their words.
    crossings
        How many columns pass through a foreign bar.
    """

    sketch: Sketch
    width: float
    height: float
    top: float
    bottom: float
    branches: tuple[PlacedBranch, ...]
    points: tuple[PlacedPoint, ...]
    runs: tuple[PlacedRun, ...]
    bars: tuple[PlacedBar, ...]
    ties: tuple[PlacedTie, ...]
    has_bars: bool
    has_words: bool
    crossings: int
