"""A circuit as arrays: what lies between which points, what follows which law."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from witnessmark.networks.circuit import Circuit, State
from witnessmark.networks.fuses import link_melts_a, opens_at
from witnessmark.networks.piece import CURVED, Law, Piece
from witnessmark.networks.pieces import LIMIT, LINK, coils_of, pieces_of, shorts_of
from witnessmark.networks.test_lamp import Spot, held_lamps

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.intp]


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
        The circuit's pieces, then where its wires could be shorted, then test lamps that may be
        held somewhere.
    first, second
        P: number of the point, 0 the reference.
    incidence
        P x N: +1 at first, -1 at second.
    cells, stamps
        Where the nodal matrix, laid out flat, is not zero, and P x cells: what 1 S of each piece
        adds there.
    ohm, emf_v
        P, healthy. [Ω], [V]
    curves, curved
        The curved pieces by law, and the numbers of them all in that order; test lamps last.
    source
        Numbers of the straight pieces with an EMF.
    fuse, switch, short, held
        Numbers of the pieces that can open by too much current, that a state sets, that only a
        scenario makes conduct (shorts and test lamps), and of the test lamps among these.
    relays
        Coils and contacts.
    """

    circuit: Circuit
    pieces: tuple[Piece, ...]
    place: dict[str, int]
    first: Numbers
    second: Numbers
    incidence: Floats
    cells: Numbers
    stamps: Floats
    ohm: Floats
    emf_v: Floats
    curves: tuple[Curves, ...]
    curved: Numbers
    source: Numbers
    fuse: Numbers
    switch: Numbers
    short: Numbers
    held: Numbers
    relays: Relays

    @property
    def sources_v(self) -> float:
        """Volts of all sources one on top of the other: no point lies further off. [V]"""
        return float(np.abs(self.emf_v).sum())

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
def compiled(circuit: Circuit, spots: tuple[Spot, ...] = ()) -> Compiled:
    """Return the arrays of a circuit.

    Parameters
    ----------
    circuit
        The circuit.
    spots
        Between which points a test lamp may be held.

    Returns
    -------
    Compiled
        Its pieces as arrays.
    """
    lamps = held_lamps(circuit, spots)
    pieces = (*pieces_of(circuit), *shorts_of(circuit), *lamps)
    held = np.arange(len(pieces) - len(lamps), len(pieces), dtype=np.intp)
    first = np.array([circuit.place[piece.first] for piece in pieces], dtype=np.intp)
    second = np.array([circuit.place[piece.second] for piece in pieces], dtype=np.intp)
    incidence = np.zeros((len(pieces), len(circuit.points)))
    rows = np.arange(len(pieces))
    incidence[rows, first] += 1
    incidence[rows, second] -= 1
    incidence = np.ascontiguousarray(incidence[:, 1:])
    cells, stamps = _stamps(first, second, len(circuit.points) - 1)
    fixed = pieces[: len(pieces) - len(lamps)]
    curves = [_curves(fixed, law) for law in CURVED if any(p.law is law for p in fixed)]
    if lamps:
        constants = np.array([piece.curve for piece in lamps]).T
        curves.append(Curves(law=Law.LAMP, pieces=held, constants=constants))
    straight = [piece.law not in CURVED and piece.emf_v != 0 for piece in pieces]
    short = [piece.law is Law.SHORT for piece in fixed]
    return Compiled(
        circuit=circuit,
        pieces=pieces,
        place={piece.name: number for number, piece in enumerate(pieces)},
        first=first,
        second=second,
        incidence=incidence,
        cells=cells,
        stamps=stamps,
        ohm=np.array([piece.ohm if piece.ohm > 0 else 1.0 for piece in pieces]),
        emf_v=np.array([piece.emf_v for piece in pieces]),
        curves=tuple(curves),
        curved=np.concatenate([_numbers([]), *(group.pieces for group in curves)]),
        source=_numbers(straight),
        fuse=_numbers([piece.rating_a > 0 or piece.band == LINK for piece in pieces]),
        switch=_numbers([bool(piece.on_at) for piece in pieces]),
        short=np.concatenate([_numbers(short), held]),
        held=held,
        relays=_relays(circuit, pieces),
    )


def _numbers(chosen: Sequence[bool]) -> Numbers:
    return np.flatnonzero(np.array(chosen, dtype=np.bool_))


def _stamps(first: Numbers, second: Numbers, count: int) -> tuple[Numbers, Floats]:
    """Return the flat places of the nodal matrix that pieces reach, and what 1 S of each adds.

    The matrix has N = `count` rows; the reference has none.
    """
    piece = np.tile(np.arange(len(first)), 4)
    row = np.concatenate([first, second, first, second]) - 1
    column = np.concatenate([first, second, second, first]) - 1
    siemens = np.repeat([1.0, 1.0, -1.0, -1.0], len(first))
    inside = (row >= 0) & (column >= 0)
    place = (row * count + column)[inside]
    leak = np.arange(count) * (count + 1)
    cells, number = np.unique(np.concatenate([leak, place]), return_inverse=True)
    stamps = np.zeros((len(first), len(cells)))
    np.add.at(stamps, (piece[inside], number[count:]), siemens[inside])
    return cells, stamps


def _curves(pieces: Sequence[Piece], law: Law) -> Curves:
    numbers = _numbers([piece.law is law for piece in pieces])
    constants = np.array([pieces[number].curve for number in numbers]).T
    return Curves(law=law, pieces=numbers, constants=np.ascontiguousarray(constants))


def _relays(circuit: Circuit, pieces: Sequence[Piece]) -> Relays:
    place = {piece.name: number for number, piece in enumerate(pieces)}
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
