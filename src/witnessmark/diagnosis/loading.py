"""A test lamp as a load: what a bulb or an LED tester gets behind an open voltage."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.diagnosis.other_lamps import BENT_V, SETTLED_V, Bulbs, with_others
from witnessmark.networks import Circuit, Law, Piece, Solution, coils_of
from witnessmark.networks.compiled import compiled
from witnessmark.networks.curves import curve_current
from witnessmark.networks.piece import CURVED

COIL_MARGIN: Final = 0.05  # of its limit: a coil so near may move
STRAY_SHARE: Final = 0.005  # of the bulb's current, which a piece off its slope does not answer
LED_V: Final = 2.0  # V: an LED tester's own drop, from memory
LED_OHM: Final = 1000.0  # Ω: its resistor; (12 - 2) V over 1 kΩ is 10 mA


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """What lies behind the points of some operating points, B of them.

    Attributes
    ----------
    volts
        B x node: open voltages, without the reference. [V]
    ohm
        B x node x node: rise of one node for a current put in at another. [Ω]
    slope
        B x piece: slope of each piece's law at its operating point. [S]
    """

    volts: Floats
    ohm: Floats
    slope: Floats


@dataclass(frozen=True, slots=True)
class Places:
    """Rows of the points among the nodes, and of the reference; -1 for the battery's minus."""

    points: Indices
    reference: int


def places_of(circuit: Circuit, letters: Sequence[str], reference: str) -> Places:
    """Return the rows of points and of a reference.

    Parameters
    ----------
    circuit
        The circuit.
    letters
        The points.
    reference
        Letter of where the clip is; empty for the battery's negative post.
    """
    points = np.array([circuit.place[letter] - 1 for letter in letters], dtype=np.intp)
    return Places(points, circuit.place[reference] - 1 if reference else -1)


def open_volts(behind: Behind, at: Places) -> tuple[Floats, Floats]:
    """Return open voltage and resistance behind each point, B x point. [V], [Ω]

    Parameters
    ----------
    behind
        What lies behind the points.
    at
        The points and the reference.
    """
    open_v = behind.volts[:, at.points]
    ohm = behind.ohm[:, at.points, at.points]
    clip = at.reference
    if clip >= 0:
        open_v = open_v - behind.volts[:, [clip]]
        ohm = ohm - behind.ohm[:, at.points, clip] - behind.ohm[:, clip, at.points]
        ohm = ohm + behind.ohm[:, [clip], clip]
    return open_v, np.maximum(ohm, 0.0)


def led_volts(open_v: Floats, ohm: Floats) -> Floats:
    """Return the volts across an LED tester, which lights either way round. [V]

    Parameters
    ----------
    open_v
        Open voltage. [V]
    ohm
        Resistance behind it. [Ω]
    """
    size = np.abs(open_v)
    loaded = (size + LED_V * ohm / LED_OHM) / (1.0 + ohm / LED_OHM)
    return np.asarray(np.sign(open_v) * np.where(size > LED_V, loaded, size), dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lit:
    """A bulb at each of M points of B operating points, K lamps in the circuit.

    Attributes
    ----------
    volts, current
        B x M: across the bulb and through it. [V], [A]
    extra
        K x B x M: what each other lamp takes beside its slope. [A]
    rises
        By lamp, B x node: rise of each node for a current through it, backwards. [Ω]
    moving
        B x M: where the lamps found no rest.
    """

    volts: Floats
    current: Floats
    extra: Floats
    rises: Sequence[Floats]
    moving: Flags


def loaded(circuit: Circuit, behind: Behind, at: Places, open_v: Floats, ohm: Floats) -> Lit:
    """Return what a bulb gets at each point, while the other lamps answer it.

    Parameters
    ----------
    circuit
        The circuit.
    behind
        What lies behind its points, at B operating points.
    at
        The points and the reference.
    open_v
        Open voltage of each point. [V]
    ohm
        Resistance behind each point. [Ω]
    """
    pieces = compiled(circuit).pieces
    numbers = [number for number, piece in enumerate(pieces) if piece.law is Law.LAMP]
    rises = [_rise(behind, circuit, pieces[number]) for number in numbers]
    seen = [_between(rise, circuit, pieces[n]) for rise in rises for n in numbers]
    reach = [_reach(rise, at) for rise in rises]
    here = [_between(behind.volts, circuit, pieces[n]) for n in numbers]
    lamps, rows = len(numbers), len(open_v)
    others = Bulbs(
        k=np.array([pieces[n].curve[0] for n in numbers]),
        here=np.array(here).reshape(lamps, rows),
        slope=behind.slope[:, numbers].T,
        reach=np.array(reach).reshape(lamps, *open_v.shape),
        between=np.array(seen).reshape(lamps, lamps, rows),
    )
    volts, current, extra, moving = with_others(open_v, ohm, others)
    return Lit(volts=volts, current=current, extra=extra, rises=rises, moving=moving)


def doubtful(
    circuit: Circuit, solved: Solution, rows: Indices, behind: Behind, at: Places, lit: Lit
) -> Flags:
    """Return B x point: where the bulb may move or blow something, and must be solved again.

    Parameters
    ----------
    circuit
        The circuit.
    solved
        The solution without the bulb.
    rows
        The scenarios that these operating points belong to.
    behind
        What lies behind their points.
    at
        The points and the reference.
    lit
        What the bulb gets there.
    """
    book = compiled(circuit)
    pieces = book.pieces
    doubts = lit.moving | solved.chatter[rows].reshape(-1, 1)
    bending = [lamp for lamp in range(len(lit.extra)) if lit.extra[lamp].any()]

    def change_v(piece: Piece) -> Floats:
        change = -_reach(_rise(behind, circuit, piece), at) * lit.current
        for lamp in bending:
            change -= _between(lit.rises[lamp], circuit, piece)[:, None] * lit.extra[lamp]
        return change

    def held_a(number: int) -> Floats:
        return solved.currents[rows][..., number].reshape(-1, 1)

    ohms = np.stack([book.ohms(circuit.state(name)) for name in solved.states])
    for number, piece in enumerate(pieces):
        if piece.law in CURVED and piece.law is not Law.LAMP:
            change, slope = change_v(piece), behind.slope[:, [number]]
            own_ohm = np.tile(ohms[:, number], len(rows))[:, None]
            was_v = _between(behind.volts[:, :, None], circuit, piece)
            was_a, then_a = (
                curve_current(piece.law, v, own_ohm, book.emf_v[[number]], np.array(piece.curve))[0]
                for v in (was_v, was_v + change)
            )
            stray_a = np.abs(then_a - was_a - slope * change)
            is_whole = np.abs(was_a - held_a(number)) <= 1e-3 * np.abs(was_a) + 1e-6
            conducts = solved.conducts[rows][..., number].reshape(-1, 1)
            bends = np.where(
                is_whole, stray_a > STRAY_SHARE * np.abs(lit.current), np.abs(change) > SETTLED_V
            )
            doubts |= conducts & bends
    most_a = np.abs(lit.current).max(initial=0.0) + np.abs(lit.extra).sum(axis=0).max(initial=0.0)
    opens_a = np.stack([book.opens_a(circuit.state(name)) for name in solved.states])
    for fuse, number in enumerate(book.fuse.tolist()):
        # No branch of a circuit of resistances carries more of the bulb's current than all of it.
        was_a = np.abs(held_a(number))
        limit_a = np.tile(opens_a[:, fuse], len(rows))[:, None]
        if not (was_a + most_a > 0.95 * limit_a).any():
            continue
        then_a = np.abs(held_a(number) + behind.slope[:, [number]] * change_v(pieces[number]))
        doubts |= (then_a > 0.95 * limit_a) & (was_a <= limit_a)
    for relay, coil in enumerate(coils_of(circuit)):
        pulled = solved.pulled[rows][..., relay].reshape(-1, 1)
        windings = [book.place[name] for name in coil.windings]
        start = sum((held_a(number) for number in windings), np.zeros(1))
        moves = [behind.slope[:, [number]] * change_v(pieces[number]) for number in windings]
        was = np.abs(start) * coil.ohm
        now = np.abs(start + sum(moves, np.zeros(1))) * coil.ohm
        # The lamp is there from the start: a relay that it keeps below its pull-in stays at rest.
        pulls_in = ~pulled & (now > (1.0 - COIL_MARGIN) * coil.pull_in_v)
        stays_out = pulled & (now < (1.0 + COIL_MARGIN) * coil.pull_in_v)
        doubts |= (np.abs(now - was) > BENT_V) & (pulls_in | stays_out)
    return doubts


def _rise(behind: Behind, circuit: Circuit, piece: Piece) -> Floats:
    """Return B x node: rise of each node for a current through a piece, backwards. [Ω]

    The row of the inverse stands for the column: reciprocity.
    """
    one, other = circuit.place[piece.first] - 1, circuit.place[piece.second] - 1
    if min(one, other) < 0:
        own = behind.ohm[:, max(one, other)]
        return own if one > other else -own
    return np.asarray(behind.ohm[:, one] - behind.ohm[:, other], dtype=np.float64)


def _reach(rise: Floats, at: Places) -> Floats:
    """Return B x point: rise across a piece for a current into the point, out of the clip. [Ω]

    As far as a current through the piece lifts the point against the clip: reciprocity.
    """
    reach = rise[:, at.points]
    return reach - rise[:, [at.reference]] if at.reference >= 0 else reach


def _between(nodes: Floats, circuit: Circuit, piece: Piece) -> Floats:
    """Return the difference across a piece, of an array B x node x anything."""
    one, other = circuit.place[piece.first] - 1, circuit.place[piece.second] - 1
    nothing = np.zeros_like(nodes[:, 0])
    first = nodes[:, one] if one >= 0 else nothing
    second = nodes[:, other] if other >= 0 else nothing
    return np.asarray(first - second, dtype=np.float64)
