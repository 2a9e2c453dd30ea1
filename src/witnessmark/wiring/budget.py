"""Where a circuit loses its volts: every part on the way of a load, there and back."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks import LOADS, Circuit, Solution, pieces_of
from witnessmark.quantities import show
from witnessmark.wiring.drop import DropLimits
from witnessmark.wiring.sentences import amps_words, volts_words
from witnessmark.wiring.sources import Source

LEAST_A: Final = 0.05  # a load that takes less is off
ON_SHARE: Final = 0.05  # of its greatest: less strays in from other loads by way of a ground
_SHOWN_V: Final = 0.01
TOGETHER: Final = "Feed and ground together"


class Side(StrEnum):
    """Which side of the load a part is on."""

    FEED = "feed"
    LOAD = "load"
    GROUND = "ground"


# Kinds of parts by how they lose volts; a kind that is not listed is "other".
_GROUP: Final = {
    "wire": "wire",
    "connector": "connection",
    "splice": "connection",
    "ground": "connection",
    "fuse": "fuse",
    "link": "fuse",
    "switch": "switch",
    "selector": "switch",
    "relay": "switch",
    "solenoid": "switch",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """One part on the way, and what it loses.

    Attributes
    ----------
    piece
        Name of the piece, "K3.contact".
    words
        Name and words of its part.
    side
        Feed, load or ground.
    group
        "wire", "connection", "fuse", "switch", "load" or "other".
    drop_v
        Along the way. [V]
    """

    piece: str
    words: str
    side: Side
    group: str
    drop_v: float

    @property
    def lost(self) -> str:
        """What it loses, in words."""
        return volts_words(self.drop_v)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One sum or one joint against its limit, with the names of its pieces."""

    name: str
    pieces: tuple[str, ...]
    drop_v: float
    allowed_v: float
    passed: bool
    sentence: str

    @property
    def word(self) -> str:
        """Whether it keeps its limit, in a word."""
        return "within" if self.passed else "outside"


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """Volts of one load in one state, from the battery's plus post and back to its minus.

    Attributes
    ----------
    load
        Words of the load.
    state
        Words of the state.
    current_a
        Through the load. [A]
    supply_v
        Between the battery's posts. [V]
    losses
        Every part on the way, the load among them.
    lines
        Sums and joints against the chosen limits.
    source
        Whose limits.
    """

    load: str
    state: str
    current_a: float
    supply_v: float
    losses: tuple[Loss, ...]
    lines: tuple[Line, ...]
    source: Source

    def lost_v(self, side: Side) -> float:
        """Return what one side loses. [V]"""
        return sum(loss.drop_v for loss in self.losses if loss.side is side)

    @property
    def is_within(self) -> bool:
        """Whether every sum and joint keeps its limit."""
        return all(line.passed for line in self.lines)

    @property
    def sentence(self) -> str:
        """What the load gets and what is lost, in one sentence."""
        supply_v = round(self.supply_v, 2)
        lost_v = round(self.lost_v(Side.FEED) + self.lost_v(Side.GROUND), 2)
        word = "within" if self.is_within else "outside"
        # what the load gets is the difference of what is printed, so that the three add up
        return (
            f"{self.load} gets {show(supply_v - lost_v, 'V', _SHOWN_V)} of "
            f"{show(supply_v, 'V', _SHOWN_V)} at {amps_words(self.current_a)}; "
            f"{show(lost_v, 'V', _SHOWN_V)} is lost on the way, {word} the limits."
        )

    @property
    def past(self) -> str:
        """What a healthy circuit says that is outside its limits; empty within them."""
        if self.is_within:
            return ""
        return (
            "This is the healthy circuit as its sheet has it: it was built so, and this repair "
            "does not change it. Take the vehicle maker's limit, or choose the one that fits."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCurrent:
    """What one load takes in one state of the healthy circuit."""

    load: str
    words: str
    state: str
    state_words: str
    current_a: float

    @property
    def key(self) -> str:
        """Load and state, as a form sends them."""
        return f"{self.load} {self.state}"

    @property
    def label(self) -> str:
        """Load, state and current in a line."""
        return f"{self.words}, {self.state_words}: {amps_words(self.current_a)}"


def loads_of(circuit: Circuit, solution: Solution) -> tuple[LoadCurrent, ...]:
    """Return what every load takes in every state in which it is on.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved, healthy first.

    Returns
    -------
    tuple of LoadCurrent
        In the order of parts, then states.
    """
    found = []
    for part in circuit.parts:
        if part.kind not in LOADS:
            continue
        takes = {
            state.name: abs(solution.current(part.name, state.name)) for state in circuit.states
        }
        least_a = max(LEAST_A, ON_SHARE * max(takes.values()))
        for state in circuit.states:
            current_a = takes[state.name]
            if current_a >= least_a:
                found.append(
                    LoadCurrent(
                        load=part.name,
                        words=part.label,
                        state=state.name,
                        state_words=state.words,
                        current_a=current_a,
                    )
                )
    return tuple(found)


def current_through(circuit: Circuit, solution: Solution, part: str, state: str) -> float:
    """Return the greatest current of a part's pieces in a state of the healthy circuit.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved, healthy first.
    part
        Name of the part.
    state
        Name of the operating state.

    Returns
    -------
    float
        Without its direction. [A]
    """
    names = [piece.name for piece in pieces_of(circuit) if piece.part == part]
    return max((abs(solution.current(name, state)) for name in names), default=0.0)


def budget(
    circuit: Circuit,
    solution: Solution,
    *,
    load: str,
    state: str,
    points: Sequence[str],
    pieces: Sequence[str],
    limits: DropLimits,
    scenario: int = 0,
) -> Budget:
    """Return what each part on the way of a load loses, summed and judged.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved in that state.
    load
        Name of the load.
    state
        Name of the operating state.
    points
        Keys of the points on the way, from the battery's plus post to its minus post.
    pieces
        Names of the pieces between them, one less than points.
    limits
        The chosen set of limits.
    scenario
        Number of the scenario in the solution; 0 is the first.

    Returns
    -------
    Budget
        The drops add up to the volts between the battery's posts.

    Raises
    ------
    BenchError
        If the load takes nothing in that state.
    """
    assert len(points) == len(pieces) + 1, "a way has one point more than pieces"
    part_of = {piece.name: piece.part for piece in pieces_of(circuit)}
    where = circuit.state(state)
    named = circuit.part(load)
    at = next(number for number, piece in enumerate(pieces) if part_of[piece] == load)
    current_a = abs(solution.current(pieces[at], state, scenario))
    if current_a < LEAST_A:
        raise BenchError(
            f"{named.label} takes no current with {where.words}.",
            "Volts are lost only where current flows.",
            "Choose a state in which it is switched on.",
        )
    losses = []
    for number, piece in enumerate(pieces):
        part = circuit.part(part_of[piece])
        side = Side.LOAD if number == at else Side.FEED if number < at else Side.GROUND
        drop = solution.voltage(points[number], state, scenario)
        drop -= solution.voltage(points[number + 1], state, scenario)
        losses.append(
            Loss(
                piece=piece,
                words=part.label,
                side=side,
                group="load" if side is Side.LOAD else _GROUP.get(part.kind.value, "other"),
                drop_v=drop,
            )
        )
    supply_v = solution.voltage(points[0], state, scenario)
    supply_v -= solution.voltage(points[-1], state, scenario)
    return Budget(
        load=named.label,
        state=where.words,
        current_a=current_a,
        supply_v=supply_v,
        losses=tuple(losses),
        lines=lines_of(losses, supply_v, limits),
        source=limits.source,
    )


def lines_of(losses: Sequence[Loss], supply_v: float, limits: DropLimits) -> tuple[Line, ...]:
    """Return the sums and joints of a way against a set of limits.

    Parameters
    ----------
    losses
        Every part on the way.
    supply_v
        Between the battery's posts. [V]
    limits
        The chosen set of limits.

    Returns
    -------
    tuple of Line
        The whole first, then what the set names beside it.
    """
    feed = [loss for loss in losses if loss.side is Side.FEED]
    ground = [loss for loss in losses if loss.side is Side.GROUND]
    lines = [_sum(TOGETHER, [*feed, *ground], limits.allowed_v(supply_v))]
    if limits.feed_v is not None:
        lines.append(_sum("Feed", feed, limits.feed_v))
    if limits.ground_v is not None:
        lines.append(_sum("Ground side", ground, limits.ground_v))
    if limits.connection_v is not None:
        joints = [one for one in (*feed, *ground) if one.group == "connection"]
        lines += [_sum(joint.words, [joint], limits.connection_v) for joint in joints]
    return tuple(lines)


def _sum(name: str, losses: Sequence[Loss], allowed_v: float) -> Line:
    drop_v = sum(loss.drop_v for loss in losses)
    passed = drop_v <= allowed_v * (1 + 1e-9)
    sentence = f"{name}: {volts_words(drop_v)} of {volts_words(allowed_v)}."
    if not passed:
        sentence = f"{name}: {volts_words(drop_v)}, more than {volts_words(allowed_v)}."
        worst = max(losses, key=lambda loss: loss.drop_v)
        if len(losses) > 1:
            sentence += f" Most of it in {worst.words}, {volts_words(worst.drop_v)}."
    return Line(
        name=name,
        pieces=tuple(loss.piece for loss in losses),
        drop_v=drop_v,
        allowed_v=allowed_v,
        passed=passed,
        sentence=sentence,
    )
