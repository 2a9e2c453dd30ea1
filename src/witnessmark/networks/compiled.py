"""A circuit and its scenarios as arrays: what lies between which points, what faults change."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from witnessmark.networks.battery import resistance_rise, rest_voltage
from witnessmark.networks.circuit import Circuit, Kind, State
from witnessmark.networks.faults import (
    BLOWN,
    COIL_OPEN,
    HIGH,
    OPEN,
    STUCK_CLOSED,
    STUCK_OPEN,
    WEAK,
    Fault,
)
from witnessmark.networks.pieces import Law, Piece, pieces_of

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True)
class Relays:
    """Which pieces are coil and contact of each relay, and when it moves."""

    coil: Numbers
    contact: Numbers
    pull_in_v: Floats
    drop_out_v: Floats
    closes_at_rest: Flags


@dataclass(frozen=True, slots=True, kw_only=True)
class Compiled:
    """What no fault changes. P pieces, N points without the reference."""

    circuit: Circuit
    pieces: tuple[Piece, ...]
    first: Numbers  # P, number of the point, 0 the reference
    second: Numbers
    incidence: Floats  # P x N: +1 at first, -1 at second
    ohm: Floats
    emf_v: Floats
    lamp: Numbers  # numbers of the lamps among the pieces
    lamp_k: Floats
    fuse: Numbers
    blow_a: Floats
    switch: Numbers
    relays: Relays

    def closed_switches(self, state: State) -> Flags:
        """Return for each switch whether the state closes it."""
        names = [self.pieces[number].name for number in self.switch]
        return np.array([name in state.closed for name in names], dtype=np.bool_)


def compiled(circuit: Circuit) -> Compiled:
    """Return the arrays of a circuit.

    Parameters
    ----------
    circuit
        The circuit.

    Returns
    -------
    Compiled
        Its pieces as arrays.
    """
    pieces = pieces_of(circuit)
    first = np.array([circuit.place[piece.first] for piece in pieces], dtype=np.intp)
    second = np.array([circuit.place[piece.second] for piece in pieces], dtype=np.intp)
    incidence = np.zeros((len(pieces), len(circuit.points)))
    rows = np.arange(len(pieces))
    incidence[rows, first] += 1
    incidence[rows, second] -= 1
    by_law = {law: _numbers(pieces, law) for law in Law}
    relays = [part for part in circuit.parts if part.kind is Kind.RELAY]
    place = {piece.name: number for number, piece in enumerate(pieces)}
    return Compiled(
        circuit=circuit,
        pieces=pieces,
        first=first,
        second=second,
        incidence=np.ascontiguousarray(incidence[:, 1:]),
        ohm=np.array([piece.ohm for piece in pieces]),
        emf_v=np.array([piece.emf_v for piece in pieces]),
        lamp=by_law[Law.LAMP],
        lamp_k=np.array([pieces[number].lamp_k for number in by_law[Law.LAMP]]),
        fuse=by_law[Law.FUSE],
        blow_a=np.array([pieces[number].blow_a for number in by_law[Law.FUSE]]),
        switch=by_law[Law.SWITCH],
        relays=Relays(
            coil=np.array([place[f"{part.name}.coil"] for part in relays], dtype=np.intp),
            contact=np.array([place[f"{part.name}.contact"] for part in relays], dtype=np.intp),
            pull_in_v=np.array([part.pull_in_v for part in relays]),
            drop_out_v=np.array([part.drop_out_v for part in relays]),
            closes_at_rest=np.array([part.closes_at_rest for part in relays], dtype=np.bool_),
        ),
    )


def _numbers(pieces: Sequence[Piece], law: Law) -> Numbers:
    return np.array([n for n, piece in enumerate(pieces) if piece.law is law], dtype=np.intp)


@dataclass(frozen=True, slots=True, kw_only=True)
class Faulted:
    """What the faults of B scenarios change. Arrays are B x P."""

    ohm: Floats
    emf_v: Floats
    is_open: Flags
    stays_open: Flags  # a switch or contact that never closes
    stays_closed: Flags

    def rows(self, chosen: Flags | slice) -> "Faulted":
        """Return the same for some of the scenarios."""
        return Faulted(
            ohm=self.ohm[chosen],
            emf_v=self.emf_v[chosen],
            is_open=self.is_open[chosen],
            stays_open=self.stays_open[chosen],
            stays_closed=self.stays_closed[chosen],
        )


def faulted(book: Compiled, scenarios: Sequence[Sequence[Fault]]) -> Faulted:
    """Return what the faults of each scenario change.

    Parameters
    ----------
    book
        The circuit as arrays.
    scenarios
        The faults of each scenario; none for a healthy circuit.

    Returns
    -------
    Faulted
        Arrays of one row per scenario.
    """
    shape = (len(scenarios), len(book.pieces))
    result = Faulted(
        ohm=np.broadcast_to(book.ohm, shape).copy(),
        emf_v=np.broadcast_to(book.emf_v, shape).copy(),
        is_open=np.zeros(shape, dtype=np.bool_),
        stays_open=np.zeros(shape, dtype=np.bool_),
        stays_closed=np.zeros(shape, dtype=np.bool_),
    )
    place = {piece.name: number for number, piece in enumerate(book.pieces)}
    kinds = {part.name: part.kind for part in book.circuit.parts}
    for row, faults in enumerate(scenarios):
        for fault in faults:
            main = ".contact" if kinds[fault.part] is Kind.RELAY else ""
            _apply(result, row, place[fault.part + main], place.get(f"{fault.part}.coil"), fault)
    return result


def _apply(result: Faulted, row: int, piece: int, coil: int | None, fault: Fault) -> None:
    match fault.mode:
        case mode if mode in (OPEN, BLOWN):
            result.is_open[row, piece] = True
        case mode if mode == COIL_OPEN:
            assert coil is not None, "only a relay has a coil"
            result.is_open[row, coil] = True
        case mode if mode == STUCK_OPEN:
            result.stays_open[row, piece] = True
        case mode if mode == STUCK_CLOSED:
            result.stays_closed[row, piece] = True
        case mode if mode == HIGH:
            assert fault.value is not None, "a high resistance without its ohms"
            result.ohm[row, piece] += fault.value
        case mode if mode == WEAK:
            assert fault.value is not None, "a weak battery without its charge"
            lost = 1 - rest_voltage(fault.value) / rest_voltage(100)
            result.emf_v[row, piece] *= 1 - lost
            result.ohm[row, piece] *= resistance_rise(fault.value)
        case mode:
            raise AssertionError(f"no such fault mode: {mode}")
