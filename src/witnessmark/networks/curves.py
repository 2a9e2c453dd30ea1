"""Curved laws: the current of a lamp, LED, diode, motor or regulator, and its slope.

Every law rises with the voltage, so that a circuit of them has one operating point.
"""

from collections.abc import Callable, Mapping
from math import log
from typing import Final

import numpy as np
from numpy.typing import NDArray

from witnessmark.networks.piece import Law
from witnessmark.networks.pieces import LAMP_EXPONENT

Floats = NDArray[np.float64]
Curve = tuple[Floats, Floats]

LAMP_KNEE_V: Final = 0.05  # below it a lamp is a plain resistance, so that its slope stays finite
TANGENT_A: Final = 50.0  # of a diode: above it the curve goes on along its tangent


def curve_current(
    law: Law, volts: Floats, ohm: Floats, emf_v: Floats, constants: Floats
) -> tuple[Floats, Floats]:
    """Return the currents of pieces of one curved law, and their slopes.

    Parameters
    ----------
    law
        One of the curved laws.
    volts
        Any shape: voltage from first to second terminal. [V]
    ohm
        The same shape: resistance of each piece. [Ω]
    emf_v
        The same shape: regulated volts of a regulator. [V]
    constants
        Number of constants by pieces, the last axis of `volts`; see `Piece.curve`.

    Returns
    -------
    tuple of ndarray
        Currents from first to second terminal and their derivatives, of the shape of
        `volts`. [A], [S]

    References
    ----------
    Lamp: I ~ V^0.55, seen on a page citing an electrical handbook. Diode: Shockley's equation.
    Motor: armature resistance, back-EMF with speed, torque with current (textbook DC motor).
    """
    return _LAWS[law](volts, ohm, emf_v, constants)


def _lamp(volts: Floats, ohm: Floats, emf_v: Floats, constants: Floats) -> Curve:
    square = volts**2 + LAMP_KNEE_V**2
    shape = constants[0] * square ** ((LAMP_EXPONENT - 3) / 2)
    return shape * volts * square, shape * (LAMP_KNEE_V**2 + LAMP_EXPONENT * volts**2)


def _led(volts: Floats, ohm: Floats, emf_v: Floats, constants: Floats) -> Curve:
    drop_v, knee_v = constants
    over = (volts - drop_v) / knee_v
    current = knee_v / ohm * np.logaddexp(0.0, over)
    return current, 1.0 / (ohm * (1.0 + np.exp(np.minimum(-over, 700.0))))


def _diode(volts: Floats, ohm: Floats, emf_v: Floats, constants: Floats) -> Curve:
    saturation_a, slope_v = constants
    exponent = volts / slope_v
    held = np.minimum(exponent, np.log(TANGENT_A / saturation_a))
    growth = np.exp(held)
    current = saturation_a * (growth * (1.0 + exponent - held) - 1.0)
    return current, saturation_a / slope_v * growth


def _motor(volts: Floats, ohm: Floats, emf_v: Floats, constants: Floats) -> Curve:
    back_v, still_a, linear_a, square_a = constants
    size = np.abs(volts)
    over = np.maximum(size - still_a * ohm, 0.0)  # of which speed and its torque make use
    b = linear_a * ohm + back_v
    root = np.sqrt(b**2 + 4.0 * square_a * ohm * over)
    speed = 2.0 * over / (b + root)  # the same as (root - b) / 2a, whole when a is 0
    turns = size > still_a * ohm
    current = np.where(turns, still_a + linear_a * speed + square_a * speed**2, size / ohm)
    slope = np.where(turns, (linear_a + 2.0 * square_a * speed) / root, 1.0 / ohm)
    return np.sign(volts) * current, slope


def _regulator(volts: Floats, ohm: Floats, emf_v: Floats, constants: Floats) -> Curve:
    limit_a, knee_a = constants
    wanted = (emf_v + volts) / ohm
    current, share = _soft(wanted / knee_a)
    capped, capped_share = _soft((wanted - limit_a) / knee_a)
    return knee_a * (current - capped), (share - capped_share) / ohm


def _soft(x: Floats) -> Curve:
    """ln(1 + e^x) and its slope."""
    return np.logaddexp(0.0, x), 1.0 / (1.0 + np.exp(np.minimum(-x, 700.0)))


_LAWS: Final[Mapping[Law, Callable[[Floats, Floats, Floats, Floats], Curve]]] = {
    Law.LAMP: _lamp,
    Law.LED: _led,
    Law.DIODE: _diode,
    Law.MOTOR: _motor,
    Law.REGULATOR: _regulator,
}


def spice_current(law: Law, across: str, ohm: float, emf_v: float, curve: tuple[float, ...]) -> str:
    """Return the same law as a formula for ngspice.

    Parameters
    ----------
    law
        One of the curved laws.
    across
        The voltage as ngspice writes it, "V(1,2)".
    ohm
        Resistance. [Ω]
    emf_v
        Regulated volts. [V]
    curve
        Its constants, see `Piece.curve`.
    """
    v = across
    match law:
        case Law.LAMP:
            power = (LAMP_EXPONENT - 1) / 2
            knee = LAMP_KNEE_V**2
            return f"{curve[0]:.15g}*{v}*pow({v}*{v}+{knee:.15g},{power:.15g})"
        case Law.LED:
            drop_v, knee_v = curve
            over = f"(({v}-{drop_v:.15g})/{knee_v:.15g})"
            return f"{knee_v / ohm:.15g}*{_spice_soft(over)}"
        case Law.DIODE:
            saturation_a, slope_v = curve
            exponent = f"({v}/{slope_v:.15g})"
            held = f"min({exponent},{log(TANGENT_A / saturation_a):.15g})"
            return f"{saturation_a:.15g}*(exp({held})*(1+{exponent}-{held})-1)"
        case Law.MOTOR:
            back_v, still_a, linear_a, square_a = curve
            size = f"abs({v})"
            over = f"max({size}-{still_a * ohm:.15g},0)"
            b = linear_a * ohm + back_v
            root = f"sqrt({b * b:.15g}+{4.0 * square_a * ohm:.15g}*{over})"
            speed = f"(2*{over}/({b:.15g}+{root}))"
            turning = f"{still_a:.15g}+{linear_a:.15g}*{speed}+{square_a:.15g}*{speed}*{speed}"
            held_still = f"min({size},{still_a * ohm:.15g})/{ohm:.15g}"
            return f"sgn({v})*({held_still}+{turning}-{still_a:.15g})"
        case Law.REGULATOR:
            limit_a, knee_a = curve
            wanted = f"(({emf_v:.15g}+{v})/{ohm:.15g})"
            below = _spice_soft(f"({wanted}/{knee_a:.15g})")
            above = _spice_soft(f"(({wanted}-{limit_a:.15g})/{knee_a:.15g})")
            return f"{knee_a:.15g}*({below}-{above})"
        case _:
            raise AssertionError(f"{law} is no curved law")


def _spice_soft(x: str) -> str:
    """ln(1 + e^x) without overflow."""
    return f"(max({x},0)+ln(1+exp(-abs({x}))))"
