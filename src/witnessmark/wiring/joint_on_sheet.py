"""A bad joint in the circuit of its sheet: with how many ohms the volts show that were read."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.optimize import brentq

from witnessmark.errors import BenchError
from witnessmark.networks import Circuit, Fault, Kind, Part, Piece, pieces_of, solve
from witnessmark.networks.faults import HIGH
from witnessmark.wiring.budget import LEAST_A
from witnessmark.wiring.sentences import volts_words

GOOD_DROP_V: Final = 0.02  # of a good joint whose sheet gives no ohms; from memory
_LEAST_OHM: Final = 1e-4
_MOST_OHM: Final = 1e4
_STEPS: Final = 161
_EXACT: Final = 1e-4  # relative, of the ohms


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetJoint:
    """A joint with too many ohms, in the circuit of its sheet and one state of it.

    Attributes
    ----------
    name
        As the sheet names it.
    state_words
        The state in words.
    joint_ohm
        Of the joint as it is now. [Ω]
    current_a
        Through it now. [A]
    good_ohm
        Of the joint as it should be. [Ω]
    good_current_a
        Through it when it is good. [A]
    worst_ohm
        With which it makes most heat. [Ω]
    worst_w
        That heat. [W]
    is_good_by_sheet
        Whether the sheet says how many ohms a good one has.
    """

    name: str
    state_words: str
    joint_ohm: float
    current_a: float
    good_ohm: float
    good_current_a: float
    worst_ohm: float
    worst_w: float
    is_good_by_sheet: bool

    @property
    def drop_v(self) -> float:
        """Across the joint now. [V]"""
        return self.current_a * self.joint_ohm

    @property
    def heat_w(self) -> float:
        """In the joint now. [W]"""
        return self.current_a * self.drop_v

    @property
    def good_heat_w(self) -> float:
        """In the joint as it should be. [W]"""
        return self.good_current_a**2 * self.good_ohm


def joint_on_sheet(circuit: Circuit, part: Part, state: str, drop_v: float) -> SheetJoint:
    """Return the joint with which the solved circuit shows the volts that were read across it.

    Parameters
    ----------
    circuit
        The circuit.
    part
        The joint, or the wire in which it sits.
    state
        Name of the operating state in which it was read.
    drop_v
        Read across the joint, the load switched on. [V]

    Returns
    -------
    SheetJoint
        Every other way that the current finds is counted, and every load as its kind behaves.

    Raises
    ------
    BenchError
        If nothing flows there in that state, or no joint shows such volts.

    References
    ----------
    [1] Kirchhoff's laws; the ohms by bisection between two of the tried ones.
    """
    words = circuit.state(state).words
    piece = next(one for one in pieces_of(circuit) if one.part == part.name)
    own_ohm = part.size("ohms") if part.kind is not Kind.WIRE and part.has("ohms") else None
    good_a = abs(solve(circuit, states=[state]).current(piece.name, state))
    if not good_a >= LEAST_A:
        raise BenchError(
            f"By the sheet no current flows through {part.label} with {words}.",
            "A joint heats only where current flows.",
            "Choose the load whose current it carries.",
        )
    added = np.geomspace(_LEAST_OHM, _MOST_OHM, _STEPS)
    flows_a = _currents_a(circuit, piece, state, added)
    joint_ohm = added + (own_ohm or 0.0)
    shown_v = flows_a * joint_ohm
    if not shown_v[0] < drop_v <= shown_v.max():
        good_v = good_a * (own_ohm or 0.0)
        raise _cannot_be(part, words, drop_v, good_v, float(shown_v.max()))
    at = int(np.argmax(shown_v >= drop_v))
    found = _ohm_that_shows(circuit, piece, state, own_ohm or 0.0, added[at - 1 : at + 1], drop_v)
    heat_w = flows_a**2 * joint_ohm
    worst = int(heat_w.argmax())
    good_ohm = GOOD_DROP_V / good_a if own_ohm is None else own_ohm
    return SheetJoint(
        name=part.label,
        state_words=words,
        joint_ohm=found,
        current_a=drop_v / found,
        good_ohm=good_ohm,
        good_current_a=good_a,
        worst_ohm=float(joint_ohm[worst]),
        worst_w=float(heat_w[worst]),
        is_good_by_sheet=own_ohm is not None,
    )


def _currents_a(circuit: Circuit, piece: Piece, state: str, added: np.ndarray) -> np.ndarray:
    """What flows through the piece with so many ohms added. [A]"""
    faults = [(Fault(part=piece.part, mode=HIGH, value=float(ohm)),) for ohm in added]
    found = solve(circuit, faults, [state])
    return np.abs(found.currents[:, 0, found.piece_place[piece.name]])


def _ohm_that_shows(
    circuit: Circuit,
    piece: Piece,
    state: str,
    own_ohm: float,
    between: np.ndarray,
    drop_v: float,
) -> float:
    """Ohms of the joint with which the circuit shows the volts. [Ω]"""

    def more_v(added_ohm: float) -> float:
        flows_a = _currents_a(circuit, piece, state, np.array([added_ohm]))[0]
        return float(flows_a * (own_ohm + added_ohm) - drop_v)

    low_ohm, high_ohm = (float(one) for one in between)
    return own_ohm + float(brentq(more_v, low_ohm, high_ohm, rtol=_EXACT))


def _cannot_be(part: Part, words: str, drop_v: float, good_v: float, most_v: float) -> BenchError:
    return BenchError(
        f"{volts_words(drop_v)} were read across {part.label}.",
        f"By the sheet it shows {volts_words(good_v)} with {words} when it is good, and at most "
        f"{volts_words(most_v)} however bad it is.",
        "Measure again across the joint itself with that load switched on, or choose the load.",
    )
