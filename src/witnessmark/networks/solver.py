"""Operating points of a circuit: many scenarios of faults, every operating state, in batch."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from witnessmark.networks.circuit import Circuit, State
from witnessmark.networks.compiled import Compiled, Faulted, Flags, Floats, compiled, faulted
from witnessmark.networks.faults import Fault
from witnessmark.networks.newton import node_voltages, piece_currents

CHUNK = 256
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
    parts = [
        _solve_chunk(book, kept[start : start + CHUNK], order)
        for start in range(0, max(len(kept), 1), CHUNK)
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
    )


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

    closed: Flags  # B x K
    blown: Flags  # B x P


@dataclass(slots=True)
class _Found:
    volts: Floats
    currents: Floats
    contacts: Flags
    blown: Flags
    chatter: Flags
    floating: Flags


def _solve_chunk(
    book: Compiled, scenarios: Sequence[Sequence[Fault]], order: Sequence[State]
) -> _Found:
    changed = faulted(book, scenarios)
    count, pieces = changed.ohm.shape
    rests: dict[str, _Rest] = {}
    found = _Found(
        volts=np.zeros((count, len(order), len(book.circuit.points))),
        currents=np.zeros((count, len(order), pieces)),
        contacts=np.zeros((count, len(order), len(book.relays.coil)), dtype=np.bool_),
        blown=np.zeros((count, len(order), pieces), dtype=np.bool_),
        chatter=np.zeros((count, len(order)), dtype=np.bool_),
        floating=np.zeros((count, len(order), len(book.circuit.points)), dtype=np.bool_),
    )
    for number, state in enumerate(order):
        if state.after:
            before = rests[state.after]
            rest = _Rest(before.closed.copy(), before.blown.copy())
        else:
            rest = _Rest(
                np.zeros((count, len(book.relays.coil)), dtype=np.bool_),
                np.zeros((count, pieces), dtype=np.bool_),
            )
        _settle(book, changed, state, rest, found, number)
        rests[state.name] = rest
    return found


def _settle(
    book: Compiled, changed: Faulted, state: State, rest: _Rest, found: _Found, number: int
) -> None:
    """Move contacts and blow fuses until nothing moves; write what was found."""
    relays = book.relays
    switches = book.closed_switches(state)
    most = ROUNDS_AT_ONCE + 4 * len(relays.coil) + 2 * len(book.fuse) + 4
    pending = np.arange(len(rest.closed))
    conducted = np.zeros_like(rest.blown)
    for turn in range(most):
        some = changed.rows(np.isin(np.arange(len(rest.closed)), pending))
        closed, blown = rest.closed[pending], rest.blown[pending]
        conducts = _conducts(book, some, switches, closed, blown)
        volts = node_voltages(book, conducts, some.ohm, some.emf_v)
        currents = piece_currents(book, volts, conducts, some.ohm, some.emf_v)
        found.volts[pending, number, 1:] = volts
        found.currents[pending, number] = currents
        conducted[pending] = conducts
        moves = _relay_moves(book, volts, conducts, closed)
        blows = _next_blown(book, currents, blown)
        if turn >= ROUNDS_AT_ONCE:
            moves = _only_first(moves)
        moving = moves.any(axis=1) | blows.any(axis=1)
        rest.blown[pending] |= blows
        found.chatter[pending, number] = moving if turn == most - 1 else False
        if turn < most - 1:
            rest.closed[pending] ^= moves
        pending = pending[moving]
        if not len(pending):
            break
    found.floating[:, number] = ~_tied(book, conducted)
    found.contacts[:, number] = _contact_closed(book, changed, rest.closed)
    found.blown[:, number] = rest.blown


def _contact_closed(book: Compiled, changed: Faulted, closed: Flags) -> Flags:
    contact = book.relays.contact
    conducting = closed ^ book.relays.closes_at_rest
    result: Flags = (conducting | changed.stays_closed[:, contact]) & ~changed.stays_open[
        :, contact
    ]
    return result


def _conducts(
    book: Compiled, changed: Faulted, switches: Flags, closed: Flags, blown: Flags
) -> Flags:
    conducts = ~changed.is_open & ~blown
    switch = book.switch
    conducts[:, switch] &= (switches | changed.stays_closed[:, switch]) & ~changed.stays_open[
        :, switch
    ]
    conducts[:, book.relays.contact] &= _contact_closed(book, changed, closed)
    return conducts


def _relay_moves(book: Compiled, volts: Floats, conducts: Flags, closed: Flags) -> Flags:
    across = np.abs(volts @ book.incidence[book.relays.coil].T)
    across = np.where(conducts[:, book.relays.coil], across, 0.0)  # volts do not move an open coil
    pulls = ~closed & (across >= book.relays.pull_in_v)
    drops = closed & (across < book.relays.drop_out_v)
    return pulls | drops


def _next_blown(book: Compiled, currents: Floats, blown: Flags) -> Flags:
    """The most overloaded fuse of each scenario; the others may be saved by it."""
    blows = np.zeros_like(blown)
    if len(book.fuse):
        load = np.abs(currents[:, book.fuse]) / book.blow_a
        worst = np.argmax(load, axis=1)
        rows = np.arange(len(load))
        blows[rows, book.fuse[worst]] = load[rows, worst] > 1
    return blows


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
