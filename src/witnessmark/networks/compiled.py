"""A circuit and its scenarios as arrays: what lies between which points, what faults change."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from witnessmark.networks.battery import resistance_rise, rest_voltage
from witnessmark.networks.circuit import Circuit, State
from witnessmark.networks.faults import (
    ACROSS_SHORT,
    BLOWN,
    COIL_OPEN,
    HIGH,
    HOLD_OPEN,
    JAMMED,
    NO_OUTPUT,
    OPEN,
    OVERCHARGES,
    PULL_OPEN,
    SHORT,
    SHORT_TO_GROUND,
    SHORT_TO_SUPPLY,
    STUCK_CLOSED,
    STUCK_OPEN,
    WEAK,
    Fault,
)
from witnessmark.networks.fuses import link_melts_a, opens_at
from witnessmark.networks.kinds import Kind
from witnessmark.networks.piece import CURVED, Law, Piece
from witnessmark.networks.pieces import LIMIT, LINK, coils_of, pieces_of, shorts_of

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.intp]

LOST_REGULATION = 1.15  # of its volts: an alternator that overcharges, 14.2 V become 16.3 V
_SHORTED_OHM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Relays:
    """Which pieces are coils and contacts, and when they move. K relays, W windings, C contacts.

    Attributes
    ----------
    winding, winding_of
        Numbers of the coil pieces, and the relay of each.
    contact, contact_of, rests
        Numbers of the contact pieces, the relay of each, and whether it conducts at rest.
    ohm
        K: ampere-turns times this are volts. [Ω]
    pull_in_v, drop_out_v
        K: the volts at which it moves. [V]
    """

    winding: Numbers
    winding_of: Numbers
    contact: Numbers
    contact_of: Numbers
    rests: Flags
    ohm: Floats
    pull_in_v: Floats
    drop_out_v: Floats

    @property
    def count(self) -> int:
        """How many relays there are."""
        return len(self.ohm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Curves:
    """The pieces of one curved law: their numbers, and constants by pieces."""

    law: Law
    pieces: Numbers
    constants: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Compiled:
    """What no fault changes. P pieces, N points without the reference.

    Attributes
    ----------
    pieces
        The circuit's pieces, then where its wires could be shorted.
    first, second
        P: number of the point, 0 the reference.
    incidence
        P x N: +1 at first, -1 at second.
    ohm, emf_v
        P, healthy. [Ω], [V]
    curves, curved
        The curved pieces by law, and the numbers of them all in that order.
    fuse, switch, short
        Numbers of the pieces that can open by too much current, that a state sets, and that
        only a fault makes conduct.
    relays
        Coils and contacts.
    """

    circuit: Circuit
    pieces: tuple[Piece, ...]
    place: dict[str, int]
    first: Numbers
    second: Numbers
    incidence: Floats
    ohm: Floats
    emf_v: Floats
    curves: tuple[Curves, ...]
    curved: Numbers
    fuse: Numbers
    switch: Numbers
    short: Numbers
    relays: Relays

    def on(self, state: State) -> Flags:
        """Return for each switch whether the state closes it."""
        stands = {part.name: state.stand(part) for part in self.circuit.parts if part.stands}
        return np.array(
            [
                stands[piece.part] in piece.on_at
                for piece in (self.pieces[number] for number in self.switch)
            ],
            dtype=np.bool_,
        )

    def opens_a(self, state: State) -> Floats:
        """Return for each fuse the current at which it opens while the state is held. [A]"""
        return np.array([_opens_a(self.pieces[number], state.held_s) for number in self.fuse])

    def ohms(self, state: State) -> Floats:
        """Return the healthy resistances in a state, senders as it sets them. [Ω]"""
        if not state.sizes:
            return self.ohm
        ohm = self.ohm.copy()
        for name, value in state.sizes:
            ohm[self.place[name]] = value
        return ohm


def _opens_a(piece: Piece, held_s: float) -> float:
    if piece.band == LINK:
        return link_melts_a(piece.area_mm2, held_s)
    return piece.rating_a * (1.0 if piece.band == LIMIT else opens_at(piece.band, held_s))


@lru_cache(maxsize=64)
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
    pieces = (*pieces_of(circuit), *shorts_of(circuit))
    first = np.array([circuit.place[piece.first] for piece in pieces], dtype=np.intp)
    second = np.array([circuit.place[piece.second] for piece in pieces], dtype=np.intp)
    incidence = np.zeros((len(pieces), len(circuit.points)))
    rows = np.arange(len(pieces))
    incidence[rows, first] += 1
    incidence[rows, second] -= 1
    place = {piece.name: number for number, piece in enumerate(pieces)}
    curves = tuple(_curves(pieces, law) for law in CURVED if any(p.law is law for p in pieces))
    return Compiled(
        circuit=circuit,
        pieces=pieces,
        place=place,
        first=first,
        second=second,
        incidence=np.ascontiguousarray(incidence[:, 1:]),
        ohm=np.array([piece.ohm if piece.ohm > 0 else 1.0 for piece in pieces]),
        emf_v=np.array([piece.emf_v for piece in pieces]),
        curves=curves,
        curved=np.concatenate([_none(), *(group.pieces for group in curves)]),
        fuse=_numbers([piece.rating_a > 0 or piece.band == LINK for piece in pieces]),
        switch=_numbers([bool(piece.on_at) for piece in pieces]),
        short=_numbers([piece.law is Law.SHORT for piece in pieces]),
        relays=_relays(circuit, pieces, place),
    )


def _none() -> Numbers:
    return np.zeros(0, dtype=np.intp)


def _numbers(chosen: Sequence[bool]) -> Numbers:
    return np.flatnonzero(np.array(chosen, dtype=np.bool_))


def _curves(pieces: Sequence[Piece], law: Law) -> Curves:
    numbers = _numbers([piece.law is law for piece in pieces])
    constants = np.array([pieces[number].curve for number in numbers]).T
    return Curves(law=law, pieces=numbers, constants=np.ascontiguousarray(constants))


def _relays(circuit: Circuit, pieces: Sequence[Piece], place: dict[str, int]) -> Relays:
    coils = coils_of(circuit)
    windings = [(place[name], at) for at, coil in enumerate(coils) for name in coil.windings]
    contacts = [(place[name], at) for at, coil in enumerate(coils) for name in coil.contacts]
    return Relays(
        winding=np.array([number for number, _ in windings], dtype=np.intp),
        winding_of=np.array([at for _, at in windings], dtype=np.intp),
        contact=np.array([number for number, _ in contacts], dtype=np.intp),
        contact_of=np.array([at for _, at in contacts], dtype=np.intp),
        rests=np.array([pieces[number].rests for number, _ in contacts], dtype=np.bool_),
        ohm=np.array([coil.ohm for coil in coils]),
        pull_in_v=np.array([coil.pull_in_v for coil in coils]),
        drop_out_v=np.array([coil.drop_out_v for coil in coils]),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Faulted:
    """What the faults of B scenarios change. Arrays are B x P.

    Attributes
    ----------
    more_ohm
        Added to the healthy resistance; of a short its whole resistance, the healthy one
        taken off. [Ω]
    ohm_times
        Factor of the healthy resistance, before anything is added. [1]
    emf_times
        Factor of the healthy EMF. [1]
    is_open
        Whether the piece never conducts.
    stays_open, stays_closed
        A switch or contact that never closes, or never opens.
    is_plain
        A curved piece that has become a plain resistance: a jammed motor, a shorted lamp.
    """

    more_ohm: Floats
    ohm_times: Floats
    emf_times: Floats
    is_open: Flags
    stays_open: Flags
    stays_closed: Flags
    is_plain: Flags

    def sizes(self, book: Compiled, state: State) -> tuple[Floats, Floats]:
        """Return resistance and EMF of every piece in a state, B x P. [Ω], [V]"""
        ohm = book.ohms(state) * self.ohm_times + self.more_ohm
        return ohm, book.emf_v * self.emf_times

    def rows(self, chosen: Flags | Numbers | slice) -> "Faulted":
        """Return the same for some of the scenarios."""
        return Faulted(
            more_ohm=self.more_ohm[chosen],
            ohm_times=self.ohm_times[chosen],
            emf_times=self.emf_times[chosen],
            is_open=self.is_open[chosen],
            stays_open=self.stays_open[chosen],
            stays_closed=self.stays_closed[chosen],
            is_plain=self.is_plain[chosen],
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
        more_ohm=np.zeros(shape),
        ohm_times=np.ones(shape),
        emf_times=np.ones(shape),
        is_open=np.zeros(shape, dtype=np.bool_),
        stays_open=np.zeros(shape, dtype=np.bool_),
        stays_closed=np.zeros(shape, dtype=np.bool_),
        is_plain=np.zeros(shape, dtype=np.bool_),
    )
    kinds = {part.name: part.kind for part in book.circuit.parts}
    for row, faults in enumerate(scenarios):
        for fault in faults:
            role = fault.piece or _ROLE.get((kinds[fault.part], fault.mode), "")
            role = role or _ROLE.get((kinds[fault.part], ""), "")
            name = f"{fault.part}.{role}" if role else fault.part
            _apply(book, result, row, book.place[name], fault)
    return result


# The piece that a mode changes, by kind and mode; an empty mode for all the others of the kind.
_ROLE = {
    (Kind.RELAY, ""): "contact",
    (Kind.RELAY, COIL_OPEN): "coil",
    (Kind.RELAY, ACROSS_SHORT): "diode",
    (Kind.SOLENOID, ""): "contact",
    (Kind.SOLENOID, PULL_OPEN): "pull",
    (Kind.SOLENOID, HOLD_OPEN): "hold",
    (Kind.ALTERNATOR, ""): "output",
    (Kind.WIRE, SHORT_TO_GROUND): "ground",
    (Kind.WIRE, SHORT_TO_SUPPLY): "supply",
}


def _apply(book: Compiled, result: Faulted, row: int, piece: int, fault: Fault) -> None:
    match fault.mode:
        case mode if mode in (OPEN, BLOWN, COIL_OPEN, PULL_OPEN, HOLD_OPEN, NO_OUTPUT):
            result.is_open[row, piece] = True
            lamp = book.place.get(f"{fault.part}.lamp")
            if mode == NO_OUTPUT and lamp is not None:  # it warns, as at standstill
                result.stays_closed[row, lamp] = True
                result.stays_open[row, book.place[f"{fault.part}.field"]] = True
        case mode if mode in (STUCK_OPEN, STUCK_CLOSED):
            stays = result.stays_open if mode == STUCK_OPEN else result.stays_closed
            stays[row, piece] = True
            rest = book.place.get(f"{fault.part}.rest")
            if rest is not None and not fault.piece:  # the same armature works both contacts
                other = result.stays_closed if mode == STUCK_OPEN else result.stays_open
                other[row, rest] = True
        case mode if mode == HIGH:
            assert fault.value is not None, "a high resistance without its ohms"
            result.more_ohm[row, piece] += fault.value
        case mode if mode in (SHORT_TO_GROUND, SHORT_TO_SUPPLY):
            assert fault.value is not None, "a short without its ohms"
            result.stays_closed[row, piece] = True
            result.more_ohm[row, piece] += fault.value - book.ohm[piece]
        case mode if mode in (SHORT, ACROSS_SHORT):
            result.is_plain[row, piece] = True
            ohm = _SHORTED_OHM if fault.value is None else fault.value
            result.more_ohm[row, piece] += ohm - book.ohm[piece]
        case mode if mode == JAMMED:
            result.is_plain[row, piece] = True
        case mode if mode == OVERCHARGES:
            result.emf_times[row, piece] *= LOST_REGULATION
        case mode if mode == WEAK:
            assert fault.value is not None, "a weak battery without its charge"
            result.emf_times[row, piece] *= rest_voltage(fault.value) / rest_voltage(100)
            result.ohm_times[row, piece] *= resistance_rise(fault.value)
        case mode:
            raise AssertionError(f"no such fault mode: {mode}")
