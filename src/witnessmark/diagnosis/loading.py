"""A test lamp as a load: what a bulb or an LED tester gets behind an open voltage."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.networks import Circuit, Law, Piece, Solution, coils_of
from witnessmark.networks.compiled import compiled
from witnessmark.networks.curves import LAMP_KNEE_V, curve_current
from witnessmark.networks.piece import CURVED
from witnessmark.networks.pieces import LAMP_EXPONENT
from witnessmark.networks.test_lamp import LAMP_V, LAMP_W

BENT_V: Final = 0.01  # V: a change in the last round beyond which a case is solved again
ROUNDS: Final = 5  # of letting other lamps answer
SETTLED_V: Final = 1e-3  # V: a change that is not worth another round
COIL_MARGIN: Final = 0.05  # of its limit: a coil so near may move
LIT_V: Final = 1e-6  # V: so well is the bulb's own law solved
STRANGE_V: Final = 0.05  # V: a change across a piece of unknown law that needs a second look
STRAY_SHARE: Final = 0.005  # of the bulb's current, which a piece off its slope does not answer
LED_V: Final = 2.0  # V: an LED tester's own drop, from memory
LED_OHM: Final = 1000.0  # Ω: its resistor; (12 - 2) V over 1 kΩ is 10 mA
PLAIN_S: Final = 5.0  # S: a lamp as steep as that has become a short, and bends no more


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


def _reach(behind: Behind, at: Places, circuit: Circuit, piece: Piece) -> Floats:
    """Return B x point: rise across a piece for a current into the point, out of the clip. [Ω]"""
    one, other = circuit.place[piece.first] - 1, circuit.place[piece.second] - 1
    across = np.zeros_like(behind.volts)
    if one >= 0:
        across += behind.ohm[:, one]
    if other >= 0:
        across -= behind.ohm[:, other]
    reach = across[:, at.points]
    return reach - across[:, [at.reference]] if at.reference >= 0 else reach


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


def _law(volts: Floats, k: Floats) -> tuple[Floats, Floats]:
    """Current and slope of a bulb."""
    square = volts**2 + LAMP_KNEE_V**2
    shape = square ** ((LAMP_EXPONENT - 3.0) / 2.0)
    return k * volts * shape * square, k * shape * (LAMP_KNEE_V**2 + LAMP_EXPONENT * volts**2)


def _lamp(open_v: Floats, ohm: Floats, near_v: Floats | None = None) -> tuple[Floats, Floats]:
    """Return the volts across a bulb behind a resistance, and its current.

    Newton: the law is concave, so that from below no step passes the root, and one step from
    above leads below it.
    """
    k = np.array(LAMP_W / LAMP_V / LAMP_V**LAMP_EXPONENT)
    wanted = np.abs(open_v)
    volts = np.zeros_like(wanted) if near_v is None else np.minimum(np.abs(near_v), wanted)
    for _ in range(60):
        current, slope = _law(volts, k)
        step = (wanted - volts - ohm * current) / (1.0 + ohm * slope)
        volts = np.maximum(volts + step, 0.0)
        if np.abs(step).max(initial=0.0) < LIT_V:
            break
    current, _ = _law(volts, k)
    return np.sign(open_v) * volts, np.sign(open_v) * current


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


def loaded(
    circuit: Circuit, solved: Solution, rows: Indices, behind: Behind, at: Places
) -> tuple[Floats, Flags]:
    """Return B x point: volts across a bulb there, and where that must be solved again.

    The circuit answers the bulb's current along the slopes of its pieces. Other lamps bend: what
    their law gives beside their slope is a current of its own, found by going round a few times.

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
    """
    open_v, ohm = open_volts(behind, at)
    book = compiled(circuit)
    pieces = book.pieces
    bulbs = [number for number, piece in enumerate(pieces) if piece.law is Law.LAMP]
    law_k = [
        np.where(_bends(behind.slope[:, [number]]), pieces[number].curve[0], 0.0)
        for number in bulbs
    ]
    here = [_between(behind.volts[:, :, None], circuit, pieces[number]) for number in bulbs]
    reach = [_reach(behind, at, circuit, pieces[number]) for number in bulbs]  # B x point
    columns = [_column(behind, circuit, pieces[number]) for number in bulbs]  # B x node
    own = [
        _between(column, circuit, pieces[number])
        for column, number in zip(columns, bulbs, strict=True)
    ]
    extra = [np.zeros_like(open_v) for _ in bulbs]
    volts, current = _lamp(open_v, ohm)
    shift = np.zeros_like(open_v)
    for _ in range(ROUNDS if bulbs else 0):
        for bulb, number in enumerate(bulbs):
            change = -reach[bulb] * current
            for other, column in enumerate(columns):
                if other != bulb:
                    change = change - _between(column, circuit, pieces[number]) * extra[other]
            slope = behind.slope[:, [number]]
            extra[bulb] = _bent(here[bulb], law_k[bulb], slope, own[bulb], change)
        before = volts
        bend_v = sum((reach[bulb] * extra[bulb] for bulb in range(len(bulbs))), np.zeros(1))
        volts, current = _lamp(open_v - bend_v, ohm, volts)
        shift = np.abs(volts - before)
        if shift.max(initial=0.0) < SETTLED_V:
            break
    risky = shift > BENT_V

    def change_v(piece: Piece) -> Floats:
        change = -_reach(behind, at, circuit, piece) * current
        for other, column in enumerate(columns):
            change = change - _between(column, circuit, piece) * extra[other]
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
            bends = np.where(
                is_whole, stray_a > STRAY_SHARE * np.abs(current), np.abs(change) > SETTLED_V
            )
            risky |= (np.abs(change) > STRANGE_V) | ((slope > 0) & bends)
    opens_a = np.stack([book.opens_a(circuit.state(name)) for name in solved.states])
    for at_fuse, number in enumerate(book.fuse.tolist()):
        loaded = np.abs(held_a(number) + behind.slope[:, [number]] * change_v(pieces[number]))
        limit_a = np.tile(opens_a[:, at_fuse], len(rows))[:, None]
        risky |= (loaded > 0.95 * limit_a) & (np.abs(held_a(number)) <= limit_a)
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
        risky |= (np.abs(now - was) > BENT_V) & (pulls_in | stays_out)
    return volts, risky


def _bends(slope: Floats) -> Flags:
    """Return where a lamp conducts along its curve: neither open nor shorted."""
    return np.asarray((slope > 0) & (slope < PLAIN_S), dtype=np.bool_)


def _bent(here: Floats, k: Floats, slope: Floats, own: Floats, change: Floats) -> Floats:
    """Return B x point: a bulb's current beside its slope, when its volts want to change.

    The bulb answers its own extra current: D + own * extra(D) = change, by Newton, only where the
    change is worth it. The left side rises with D, as no slope is steeper than the circuit's own.
    """
    extra = np.zeros_like(change)
    row, column = np.nonzero((np.abs(change) > SETTLED_V) & (k > 0))
    if not len(row):
        return extra
    v, k_, g, z = here[row, 0], k[row, 0], slope[row, 0], own[row, 0]
    wanted = change[row, column]
    still = _law(v, k_)[0]
    moved = wanted.copy()
    for _ in range(25):
        bent, steep = _law(v + moved, k_)
        step = (wanted - moved - z * (bent - still - g * moved)) / (1.0 + z * (steep - g))
        step = np.clip(step, -3.0, 3.0)
        moved += step
        if np.abs(step).max() < SETTLED_V / 10:
            break
    extra[row, column] = _law(v + moved, k_)[0] - still - g * moved
    return extra


def _column(behind: Behind, circuit: Circuit, piece: Piece) -> Floats:
    """Return B x node x 1: rise of each node for a current through a piece, backwards."""
    one, other = circuit.place[piece.first] - 1, circuit.place[piece.second] - 1
    column = np.zeros((*behind.volts.shape, 1))
    if one >= 0:
        column += behind.ohm[:, :, [one]]
    if other >= 0:
        column -= behind.ohm[:, :, [other]]
    return column


def _between(nodes: Floats, circuit: Circuit, piece: Piece) -> Floats:
    """Return the difference across a piece, of an array B x node x anything."""
    one, other = circuit.place[piece.first] - 1, circuit.place[piece.second] - 1
    nothing = np.zeros_like(nodes[:, 0])
    first = nodes[:, one] if one >= 0 else nothing
    second = nodes[:, other] if other >= 0 else nothing
    return np.asarray(first - second, dtype=np.float64)
