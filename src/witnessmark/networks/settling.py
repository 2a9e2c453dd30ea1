"""Where contacts and fuses come to rest: many scenarios in many operating states at once.

A row is one scenario in one state. States that start from rest are settled together; those that
follow another one come after it.
"""

from collections.abc import Sequence

import numpy as np

from witnessmark.networks.circuit import State
from witnessmark.networks.compiled import Compiled, Flags, Floats, Numbers
from witnessmark.networks.faulted import Faulted
from witnessmark.networks.laws import Flow, Laws, laws_of
from witnessmark.networks.nodal import Whole
from witnessmark.networks.ports import Ports
from witnessmark.networks.reduced import Reduced
from witnessmark.networks.settled import Settled

ROUNDS_AT_ONCE = 8  # then contacts move one at a time before anything is called chatter


def settle(
    book: Compiled,
    changed: Faulted,
    order: Sequence[State],
    wanted: Flags,
    ports: Ports | None,
    found: Settled,
) -> None:
    """Find where contacts and fuses come to rest, and what flows then.

    Parameters
    ----------
    book
        The circuit as arrays.
    changed
        What the faults of B scenarios change.
    order
        T states, each after the one that it follows.
    wanted
        B x T: which are worked out; the others stay as they are. What a wanted one follows must
        be wanted too.
    ports
        The inverses kept for the circuit; None to solve every point's equation whole.
    found
        Where it is written.
    """
    names = [state.name for state in order]
    before = np.array([names.index(s.after) if s.after else -1 for s in order], dtype=np.intp)
    depth = np.zeros(len(order), dtype=np.intp)
    for number in np.flatnonzero(before >= 0):
        depth[number] = depth[before[number]] + 1
    for level in range(int(depth.max(initial=-1)) + 1):
        scenario, state = np.nonzero(wanted & (depth == level))
        if not len(scenario):
            continue
        layer = _Layer(book, changed, order, scenario, state, ports)
        if level:
            layer.pulled = found.pulled[scenario, before[state]]
            layer.blown = found.opened[scenario, before[state]]
        layer.settle()
        layer.write(found)


class _Layer:
    """Rows that do not wait for one another: moves contacts and blows fuses until nothing moves."""

    def __init__(
        self,
        book: Compiled,
        changed: Faulted,
        order: Sequence[State],
        scenario: Numbers,
        state: Numbers,
        ports: Ports | None,
    ) -> None:
        self.book, self.ports = book, ports
        self.scenario, self.state = scenario, state
        self.number = np.array([book.circuit.states.index(each) for each in order], dtype=np.uint16)
        self.ohms = np.stack([book.ohms(each) for each in order])
        self.on = np.stack([book.on(each) for each in order])
        self.opens_a = np.stack([book.opens_a(each) for each in order])
        self.changed = own = changed.rows(scenario)
        self.ohm, self.emf_v = own.sizes(self.ohms[state], book.emf_v)
        self.always = ~own.is_open
        self.always[:, book.short] &= own.stays_closed[:, book.short]
        switch = book.switch
        self.always[:, switch] &= (self.on[state] | own.stays_closed[:, switch]) & ~own.stays_open[
            :, switch
        ]
        rows = len(scenario)
        self.pulled = np.zeros((rows, book.relays.count), dtype=np.bool_)
        self.blown = np.zeros((rows, len(book.fuse)), dtype=np.bool_)
        self.chatter = np.zeros(rows, dtype=np.bool_)
        self.conducts = np.zeros(own.is_open.shape, dtype=np.bool_)
        self.flow = Flow(
            volts=np.zeros((rows, len(book.circuit.points))),
            current=np.zeros(own.is_open.shape),
            slope=np.zeros((rows, len(book.curved))),
        )

    def settle(self) -> None:
        """Find where everything comes to rest."""
        book = self.book
        most = ROUNDS_AT_ONCE + 4 * book.relays.count + 2 * len(book.fuse) + 4
        pending = np.arange(len(self.scenario))
        alone = np.zeros(len(pending), dtype=np.bool_)
        stood: list[Flags] = []  # by turn
        since = np.zeros(len(pending), dtype=np.intp)
        for turn in range(most):
            conducts = self.always[pending]
            conducts[:, book.fuse] &= ~self.blown[pending]
            conducts[:, book.relays.contact] &= self._closed(pending)
            laws = laws_of(
                book,
                conducts,
                self.ohm[pending],
                self.emf_v[pending],
                self.changed.is_plain[pending],
            )
            points = self._points(laws, pending)
            flow = points.flow()
            moves, blows = self._wants(flow, pending)
            still = np.asarray(~(moves.any(axis=1) | blows.any(axis=1)), dtype=np.bool_)
            # No relay moves by volts that were not found: with hysteresis it would stay so.
            points.refine(flow, still | points.unsure)
            moves, blows = self._wants(flow, pending)
            moving = moves.any(axis=1) | blows.any(axis=1)
            again = moving & self._stood_so(stood, since, pending)
            wanders = moving & ((again & alone[pending]) | (turn == most - 1))
            if wanders.any():
                self.chatter[pending] = wanders
                points.refine(flow, wanders)
            rests = wanders | ~moving
            self.flow.write(pending, flow)
            self.conducts[pending] = conducts
            turns_alone = ~alone[pending] & (again | (turn == ROUNDS_AT_ONCE - 1))
            alone[pending] |= turns_alone
            since[pending[turns_alone]] = turn
            moves = np.where(alone[pending, None], _only_first(moves), moves)
            self.blown[pending] |= blows
            self.pulled[pending] ^= moves & ~rests[:, None]
            pending = pending[~rests]
            if not len(pending):
                return

    def _wants(self, flow: Flow, rows: Numbers) -> tuple[Flags, Flags]:
        """Return which relays want to move, and which fuse wants to blow."""
        moves = _moves(self.book, flow.current, self.pulled[rows])
        return moves, self._next_blown(flow.current, rows)

    def _stood_so(self, stood: list[Flags], since: Numbers, rows: Numbers) -> Flags:
        """Return whether contacts and fuses stood so before: they would go round for ever."""
        now = np.concatenate([self.pulled, self.blown], axis=1)
        stood.append(now)
        again = np.zeros(len(rows), dtype=np.bool_)
        for turn, before in enumerate(stood[:-1]):
            again |= (turn >= since[rows]) & (before[rows] == now[rows]).all(axis=1)
        return again

    def write(self, found: Settled) -> None:
        """Write what was found."""
        book, at = self.book, (self.scenario, self.state)
        found.volts[at], found.currents[at] = self.flow.volts, self.flow.current
        slopes = self.conducts / self.ohm
        bends = self.conducts[:, book.curved] & ~self.changed.is_plain[:, book.curved]
        slopes[:, book.curved] = np.where(bends, self.flow.slope, slopes[:, book.curved])
        found.slopes[at] = slopes
        found.conducts[at], found.chatter[at] = self.conducts, self.chatter
        found.pulled[at], found.opened[at] = self.pulled, self.blown
        found.contacts[at] = self._closed(slice(None))
        found.blown[at[0][:, None], at[1][:, None], book.fuse] = self.blown

    def _points(self, laws: Laws, rows: Numbers) -> Reduced | Whole:
        """Return the circuits of some rows as contacts and fuses stand, to be solved."""
        if self.ports is None:
            return Whole(laws)
        pulled, blown = self.pulled[rows], self.blown[rows]
        number = self.number[self.state[rows], None].view(np.uint8)
        stands = [number, np.packbits(pulled, axis=1), np.packbits(blown, axis=1)]
        names = [row.tobytes() for row in np.concatenate(stands, axis=1)]

        def healthy(chosen: Numbers) -> Laws:
            return self._healthy(self.state[rows[chosen]], pulled[chosen], blown[chosen])

        return self.ports.reduced(laws, names, healthy)

    def _healthy(self, state: Numbers, pulled: Flags, blown: Flags) -> Laws:
        """Return the laws of a circuit without a fault, as its contacts and fuses stand."""
        book, relays = self.book, self.book.relays
        conducts = np.ones((len(state), len(book.pieces)), dtype=np.bool_)
        conducts[:, book.short] = False
        conducts[:, book.fuse] &= ~blown
        conducts[:, book.switch] &= self.on[state]
        conducts[:, relays.contact] &= pulled[:, relays.contact_of] ^ relays.rests
        emf_v = np.broadcast_to(book.emf_v, conducts.shape)
        return laws_of(book, conducts, self.ohms[state], emf_v, np.zeros_like(conducts))

    def _closed(self, rows: Numbers | slice) -> Flags:
        """Return for each contact whether it is closed."""
        relays = self.book.relays
        closed = self.pulled[rows][:, relays.contact_of] ^ relays.rests
        held = self.changed.stays_closed[rows][:, relays.contact]
        result: Flags = (closed | held) & ~self.changed.stays_open[rows][:, relays.contact]
        return result

    def _next_blown(self, currents: Floats, rows: Numbers) -> Flags:
        """The most overloaded fuse of each scenario; the others may be saved by it."""
        fuse = self.book.fuse
        blows = np.zeros((len(rows), len(fuse)), dtype=np.bool_)
        if len(fuse):
            load = np.abs(currents[:, fuse]) / self.opens_a[self.state[rows]]
            worst = np.argmax(load, axis=1)
            each = np.arange(len(load))
            blows[each, worst] = load[each, worst] > 1
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
