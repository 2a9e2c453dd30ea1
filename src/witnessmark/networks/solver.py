"""Operating points of a circuit: many scenarios of faults, every operating state, in batch."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from witnessmark.networks.circuit import Circuit, State
from witnessmark.networks.compiled import (
    Compiled,
    Faulted,
    Flags,
    Floats,
    Numbers,
    compiled,
    faulted,
)
from witnessmark.networks.faults import Fault
from witnessmark.networks.laws import Laws, laws_of
from witnessmark.networks.nodal import node_voltages
from witnessmark.networks.ports import Ports

PORTS, NODAL = "ports", "nodal"
CHUNK = 256
PORT_CHUNK = 1024
ROUNDS_AT_ONCE = 8  # then contacts move one at a time before anything is called chatter


@dataclass(frozen=True, slots=True, kw_only=True)
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
    contacts
        S x T x K: whether the contact is closed.
    blown
        S x T x P: whether a fuse has blown by too much current.
    chatter
        S x T: whether a relay finds no rest.
    floating
        S x T x N: whether nothing ties the point to the reference.
    conducts
        S x T x P: whether the piece conducts, as contacts, switches, fuses and faults stand.
    """

    scenarios: tuple[tuple[Fault, ...], ...]
    states: tuple[str, ...]
    points: tuple[str, ...]
    pieces: tuple[str, ...]
    relays: tuple[str, ...]
    volts: Floats
    currents: Floats
    contacts: Flags
    blown: Flags
    chatter: Flags
    floating: Flags
    conducts: Flags
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

    Returns
    -------
    Solution
        Volts, currents, contacts, blown fuses, chatter and floating points.

    Raises
    ------
    BenchError
        If the circuit has no such state.

    Notes
    -----
    Kirchhoff's current law with a leak of 1e-9 S from every point to the reference. Contacts by
    fixpoint: all at once, then one at a time; what still finds no rest is chatter, and its volts
    are those of the last round. A fuse blows above twice its rating, the most overloaded first,
    and stays blown in the states that follow.
    """
    wanted = tuple(states) if states is not None else tuple(s.name for s in circuit.states)
    order = _in_order(circuit, wanted)
    book = compiled(circuit)
    kept = tuple(tuple(faults) for faults in scenarios)
    chunk = PORT_CHUNK if way == PORTS else CHUNK
    parts = [
        _solve_chunk(book, kept[start : start + chunk], order, way)
        for start in range(0, max(len(kept), 1), chunk)
    ]
    chosen = [order.index(circuit.state(name)) for name in wanted]

    def whole(name: str) -> np.ndarray:
        return np.concatenate([getattr(part, name) for part in parts], axis=0)[:, chosen]

    return Solution(
        scenarios=kept,
        states=wanted,
        points=tuple(point.key for point in circuit.points),
        pieces=tuple(piece.name for piece in book.pieces),
        relays=tuple(book.pieces[number].name for number in book.relays.contact),
        volts=whole("volts"),
        currents=whole("currents"),
        contacts=whole("contacts"),
        blown=whole("blown"),
        chatter=whole("chatter"),
        floating=whole("floating"),
        conducts=whole("conducts"),
    )


@lru_cache(maxsize=16)
def ports_of(circuit: Circuit) -> Ports:
    """Return the inverses kept for a circuit, none at first.

    Parameters
    ----------
    circuit
        The circuit.
    """
    return Ports(compiled(circuit))


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


@dataclass(slots=True)
class _Rest:
    """Where relays and fuses stand; the next state may start from it."""

    pulled: Flags  # B x K
    blown: Flags  # B x P


@dataclass(slots=True)
class _Found:
    volts: Floats
    currents: Floats
    contacts: Flags
    blown: Flags
    chatter: Flags
    floating: Flags
    conducts: Flags


def _solve_chunk(
    book: Compiled,
    scenarios: Sequence[Sequence[Fault]],
    order: Sequence[State],
    way: str,
) -> _Found:
    changed = faulted(book, scenarios)
    count, pieces = changed.more_ohm.shape
    rests: dict[str, _Rest] = {}
    found = _Found(
        volts=np.zeros((count, len(order), len(book.circuit.points))),
        currents=np.zeros((count, len(order), pieces)),
        contacts=np.zeros((count, len(order), len(book.relays.contact)), dtype=np.bool_),
        blown=np.zeros((count, len(order), pieces), dtype=np.bool_),
        chatter=np.zeros((count, len(order)), dtype=np.bool_),
        floating=np.zeros((count, len(order), len(book.circuit.points)), dtype=np.bool_),
        conducts=np.zeros((count, len(order), pieces), dtype=np.bool_),
    )
    for number, state in enumerate(order):
        if state.after:
            before = rests[state.after]
            rest = _Rest(before.pulled.copy(), before.blown.copy())
        else:
            rest = _Rest(
                np.zeros((count, book.relays.count), dtype=np.bool_),
                np.zeros((count, pieces), dtype=np.bool_),
            )
        _Settling(book, changed, state, way).settle(rest, found, number)
        rests[state.name] = rest
    return found


class _Settling:
    """One operating state: moves contacts and blows fuses until nothing moves."""

    def __init__(self, book: Compiled, changed: Faulted, state: State, way: str) -> None:
        self.book, self.changed, self.state = book, changed, state
        self.ports = ports_of(book.circuit) if way == PORTS else None
        self.ohm, self.emf_v = changed.sizes(book, state)
        self.opens_a = book.opens_a(state)
        self.always = ~changed.is_open
        self.always[:, book.short] &= changed.stays_closed[:, book.short]
        switch = book.switch
        self.on = book.on(state)
        self.always[:, switch] &= (self.on | changed.stays_closed[:, switch]) & ~changed.stays_open[
            :, switch
        ]

    def settle(self, rest: _Rest, found: _Found, number: int) -> None:
        """Find where everything comes to rest, and write what was found."""
        book = self.book
        most = ROUNDS_AT_ONCE + 4 * book.relays.count + 2 * len(book.fuse) + 4
        pending = np.arange(len(rest.pulled))
        for turn in range(most):
            pulled, blown = rest.pulled[pending], rest.blown[pending]
            conducts = self.always[pending] & ~blown
            conducts[:, book.relays.contact] &= self._closed(pulled, pending)
            laws = laws_of(
                book,
                conducts,
                self.ohm[pending],
                self.emf_v[pending],
                self.changed.is_plain[pending],
            )
            volts = self._voltages(laws, pulled, blown)
            currents, _ = laws.currents(volts)
            found.volts[pending, number, 1:] = volts
            found.currents[pending, number] = currents
            found.conducts[pending, number] = conducts
            moves = _moves(book, currents, pulled)
            blows = self._next_blown(currents, blown)
            if turn >= ROUNDS_AT_ONCE:
                moves = _only_first(moves)
            moving = moves.any(axis=1) | blows.any(axis=1)
            rest.blown[pending] |= blows
            found.chatter[pending, number] = moving if turn == most - 1 else False
            if turn < most - 1:
                rest.pulled[pending] ^= moves
            pending = pending[moving]
            if not len(pending):
                break
        found.floating[:, number] = ~_tied(book, found.conducts[:, number])
        found.contacts[:, number] = self._closed(rest.pulled, slice(None))
        found.blown[:, number] = rest.blown

    def _voltages(self, laws: Laws, pulled: Flags, blown: Flags) -> Floats:
        if self.ports is None:
            return node_voltages(laws)
        book, relays = self.book, self.book.relays
        conducts = ~blown
        conducts[:, book.short] = False
        conducts[:, book.switch] &= self.on
        conducts[:, relays.contact] &= pulled[:, relays.contact_of] ^ relays.rests
        ohm = np.broadcast_to(book.ohms(self.state), conducts.shape)
        emf_v = np.broadcast_to(book.emf_v, conducts.shape)
        healthy = laws_of(book, conducts, ohm, emf_v, np.zeros_like(conducts))
        return self.ports.voltages(laws, healthy)

    def _closed(self, pulled: Flags, rows: Numbers | slice) -> Flags:
        """Return for each contact whether it is closed."""
        relays, changed = self.book.relays, self.changed
        closed = pulled[:, relays.contact_of] ^ relays.rests
        result: Flags = (
            closed | changed.stays_closed[rows][:, relays.contact]
        ) & ~changed.stays_open[rows][:, relays.contact]
        return result

    def _next_blown(self, currents: Floats, blown: Flags) -> Flags:
        """The most overloaded fuse of each scenario; the others may be saved by it."""
        blows = np.zeros_like(blown)
        fuse = self.book.fuse
        if len(fuse):
            load = np.abs(currents[:, fuse]) / self.opens_a
            worst = np.argmax(load, axis=1)
            rows = np.arange(len(load))
            blows[rows, fuse[worst]] = load[rows, worst] > 1
        return blows


def _moves(book: Compiled, currents: Floats, pulled: Flags) -> Flags:
    """Which relays pull in or drop out: by their ampere-turns, which an open coil has not."""
    relays = book.relays
    turns = np.zeros(pulled.shape)
    for winding, of in zip(relays.winding, relays.winding_of, strict=True):
        turns[:, of] += currents[:, winding]
    strength = np.abs(turns) * relays.ohm
    moves: Flags = (~pulled & (strength >= relays.pull_in_v)) | (
        pulled & (strength < relays.drop_out_v)
    )
    return moves


def _only_first(moves: Flags) -> Flags:
    first = np.zeros_like(moves)
    if moves.shape[1]:
        rows = np.arange(len(moves))
        at = np.argmax(moves, axis=1)
        first[rows, at] = moves[rows, at]
    return first


def _tied(book: Compiled, conducts: Flags) -> Flags:
    """Which points a conducting way ties to the reference."""
    ends = np.zeros((len(book.pieces), len(book.circuit.points)))  # floats: the product is BLAS
    pieces = np.arange(len(book.pieces))
    ends[pieces, book.first] = ends[pieces, book.second] = 1
    tied = np.zeros((len(conducts), len(book.circuit.points)), dtype=np.bool_)
    tied[:, 0] = True
    while True:
        live = conducts & (tied[:, book.first] | tied[:, book.second])
        reached = tied | (live @ ends > 0)
        if np.array_equal(reached, tied):
            return tied
        tied = reached
