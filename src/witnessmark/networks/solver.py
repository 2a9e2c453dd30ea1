"""Operating points of a circuit: many scenarios of faults, every operating state, in batch."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Any, Final

import numpy as np

from witnessmark.errors import BenchError
from witnessmark.networks.circuit import Circuit, State
from witnessmark.networks.compiled import Compiled, Flags, Floats, Numbers, compiled
from witnessmark.networks.faulted import faulted
from witnessmark.networks.faults import Fault
from witnessmark.networks.ports import Ports
from witnessmark.networks.settled import nothing_settled, tied
from witnessmark.networks.settling import settle
from witnessmark.networks.test_lamp import Spot

PORTS, NODAL = "ports", "nodal"
ROWS: Final = 512  # scenarios and states solved at once
MOST_BYTES: Final = 64e6  # of the matrices of every point's equation, at once
TIES_S: Final = 1e-6  # a piece that conducts less ties no point to another [S]
# Of a solution, by scenario.
TABLES: Final = (
    *("volts", "currents", "slopes"),
    *("contacts", "pulled", "blown", "chatter", "conducts"),
)
MOST_PARTS: Final = 400  # above it solving every fault would take too long for a lesson


@dataclass(frozen=True, kw_only=True)
class Solution:
    """What the solver found. S scenarios, T states, N points, P pieces, K relays.

    Attributes
    ----------
    scenarios
        The faults of each scenario.
    states
        Names of the states.
    points
        Keys of the points; the first is the reference.
    pieces
        Names of the pieces, "K3.coil".
    relays
        Names of the contacts, "K3.contact".
    volts
        S x T x N, to the battery's negative post. [V]
    currents
        S x T x P, positive from first to second terminal. [A]
    slopes
        S x T x P: by how much the current of a piece rises with the volts across it. [S]
    contacts
        S x T x K: whether the contact is closed.
    pulled
        S x T x coil, as `coils_of` has them: whether the relay or solenoid has pulled in.
    blown
        S x T x P: whether a fuse has blown by too much current.
    chatter
        S x T: whether a relay finds no rest.
    conducts
        S x T x P: whether the piece conducts, as contacts, switches, fuses and faults stand.
    book
        The circuit as arrays.
    """

    scenarios: tuple[tuple[Fault, ...], ...]
    states: tuple[str, ...]
    points: tuple[str, ...]
    pieces: tuple[str, ...]
    relays: tuple[str, ...]
    volts: Floats
    currents: Floats
    slopes: Floats
    contacts: Flags
    pulled: Flags
    blown: Flags
    chatter: Flags
    conducts: Flags
    book: Compiled = field(repr=False)
    point_place: Mapping[str, int] = field(init=False, repr=False)
    state_place: Mapping[str, int] = field(init=False, repr=False)
    piece_place: Mapping[str, int] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        for name, keys in (
            ("point_place", self.points),
            ("state_place", self.states),
            ("piece_place", self.pieces),
        ):
            object.__setattr__(self, name, {key: n for n, key in enumerate(keys)})

    @cached_property
    def floating(self) -> Flags:
        """S x T x N: whether nothing ties the point to the reference.

        What conducts less than a microsiemens, such as an LED that is out, ties nothing: a meter
        of 10 MΩ would move the point by a tenth and more.
        """
        ties = self.conducts & (self.slopes > TIES_S)
        apart: Flags = ~tied(self.book, ties.reshape(-1, len(self.pieces)))
        return apart.reshape(self.volts.shape)

    def voltage(self, point: str, state: str, scenario: int = 0) -> float:
        """Return the voltage of a point. [V]"""
        return float(self.volts[scenario, self.state_place[state], self.point_place[point]])

    def current(self, piece: str, state: str, scenario: int = 0) -> float:
        """Return the current of a piece. [A]"""
        return float(self.currents[scenario, self.state_place[state], self.piece_place[piece]])


def solve(
    circuit: Circuit,
    scenarios: Sequence[Sequence[Fault]] = ((),),
    states: Sequence[str] | None = None,
    way: str = PORTS,
    *,
    lamps: Sequence[Spot | None] = (),
    only: Flags | None = None,
) -> Solution:
    """Return the operating points of a circuit for every scenario and state.

    Parameters
    ----------
    circuit
        The circuit.
    scenarios
        The faults of each scenario; an empty one is the healthy circuit.
    states
        Names of the states wanted; all of them by default. A state that follows another is
        worked out after it in any case.
    way
        "ports" or "nodal": two ways to solve the same equations, the second one plainer and
        slower. [`PORTS` or `NODAL`]
    lamps
        For each scenario, between which points a test lamp is held in every state, if anywhere;
        none by default.
    only
        S x T: which scenarios are wanted in which states; the others stay zero. All by default.

    Returns
    -------
    Solution
        Volts, currents, contacts, blown fuses, chatter and floating points.

    Raises
    ------
    BenchError
        If the circuit has no such state or too many parts, a test lamp's point is not there, or
        the volts find no rest.
    ValueError
        If there are test lamps, and not one for each scenario.

    Notes
    -----
    Kirchhoff's current law with a leak of 1e-9 S from every point to the reference. Contacts by
    fixpoint: all at once, then one at a time; what still finds no rest is chatter, and its volts
    are those of the last round. A fuse blows above twice its rating, the most overloaded first,
    and stays blown in the states that follow.
    """
    if len(circuit.parts) > MOST_PARTS:
        raise BenchError(
            f"{circuit.name} has {len(circuit.parts)} parts.",
            f"At most {MOST_PARTS} are solved.",
            "Split it into circuits that share a supply point.",
        )
    wanted = tuple(states) if states is not None else tuple(s.name for s in circuit.states)
    order = _in_order(circuit, wanted)
    spots = tuple(dict.fromkeys(spot for spot in lamps if spot))
    book = compiled(circuit, spots)
    kept = tuple(tuple(faults) for faults in scenarios)
    held = tuple(lamps) or (None,) * len(kept)
    if len(held) != len(kept):
        raise ValueError(f"{len(held)} test lamps for {len(kept)} scenarios")
    chosen = [order.index(circuit.state(name)) for name in wanted]
    asked = _asked(order, chosen, len(kept), only)
    ports = ports_of(circuit, spots) if way == PORTS else None
    rows_at_once = (
        ROWS if way == PORTS else min(ROWS, int(MOST_BYTES / 8 / len(circuit.points) ** 2))
    )
    found = nothing_settled(book, len(kept), len(order))
    for rows in _chunks(asked.sum(axis=1), rows_at_once):
        lit = [spots.index(spot) if spot else None for spot in held[rows]]
        changed = faulted(book, kept[rows], lit)
        settle(book, changed, order, asked[rows], ports, found.rows(rows))

    def whole(name: str) -> np.ndarray:
        array: np.ndarray = getattr(found, name)
        return array if chosen == list(range(len(order))) else array[:, chosen]

    return Solution(
        scenarios=kept,
        states=wanted,
        points=tuple(point.key for point in circuit.points),
        pieces=tuple(piece.name for piece in book.pieces),
        relays=tuple(book.pieces[number].name for number in book.relays.contact),
        volts=whole("volts"),
        currents=whole("currents"),
        slopes=whole("slopes"),
        contacts=whole("contacts"),
        pulled=whole("pulled"),
        blown=whole("blown"),
        chatter=whole("chatter"),
        conducts=whole("conducts"),
        book=book,
    )


def assembled(found: Sequence[Solution], scenarios: Sequence[tuple[Fault, ...]]) -> Solution:
    """Return the solution of some scenarios out of several solutions of one circuit.

    Parameters
    ----------
    found
        Solutions in the same states.
    scenarios
        The faults of each scenario wanted; each must be among those solved.
    """
    every = [faults for each in found for faults in each.scenarios]
    place = {faults: row for row, faults in enumerate(every)}
    rows = np.array([place[faults] for faults in scenarios], dtype=np.intp)

    tables: dict[str, Any] = {
        name: np.concatenate([getattr(each, name) for each in found])[rows] for name in TABLES
    }
    return replace(found[0], scenarios=tuple(scenarios), **tables)


@lru_cache(maxsize=16)
def ports_of(circuit: Circuit, spots: tuple[Spot, ...] = ()) -> Ports:
    """Return the inverses kept for a circuit, none at first.

    Parameters
    ----------
    circuit
        The circuit.
    spots
        Between which points a test lamp may be held.
    """
    return Ports(compiled(circuit, spots))


def _in_order(circuit: Circuit, wanted: Sequence[str]) -> list[State]:
    """The wanted states and those they follow, each after its forerunner."""
    order: list[State] = []

    def add(state: State) -> None:
        if state not in order:
            if state.after:
                add(circuit.state(state.after))
            order.append(state)

    for name in wanted:
        add(circuit.state(name))
    return order


def _chunks(asked: Numbers, most: int) -> Iterator[slice]:
    """Yield runs of scenarios that ask for about `most` operating points together."""
    start = np.cumsum(asked) - asked
    begins = np.flatnonzero(np.diff(start // most, prepend=-1))
    for begin, end in pairwise([*begins.tolist(), len(asked)]):
        yield slice(begin, end)


def _asked(order: Sequence[State], chosen: Sequence[int], count: int, only: Flags | None) -> Flags:
    """Return which scenarios are worked out in which states, forerunners among them."""
    if only is None:
        return np.ones((count, len(order)), dtype=np.bool_)
    asked = np.zeros((count, len(order)), dtype=np.bool_)
    asked[:, list(chosen)] = only
    names = [state.name for state in order]
    for number in reversed(range(len(order))):
        if order[number].after:
            asked[:, names.index(order[number].after)] |= asked[:, number]
    return asked
