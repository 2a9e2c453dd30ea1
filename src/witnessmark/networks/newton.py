"""The nodal equations of many scenarios with fixed contacts, by damped Newton."""

from collections.abc import Callable
from functools import partial

import numpy as np

from witnessmark.networks.compiled import Compiled, Flags, Floats
from witnessmark.networks.pieces import LAMP_EXPONENT, LAMP_KNEE_V

LEAK_S = 1e-9  # from every point to the reference, so that floating points have an answer [S]
MOST_ROUNDS = 100
CURRENT_TOLERANCE_A = 1e-14  # beside rounding; behind the leak it is 0.01 mV
STALLED_V = 1e-13
ROUNDING = 16 * np.finfo(np.float64).eps  # of the terms that a point's current balance adds up


def node_voltages(book: Compiled, conducts: Flags, ohm: Floats, emf_v: Floats) -> Floats:
    """Return the voltage of every point, for B scenarios with settled contacts.

    Kirchhoff's current law at each point but the reference; linear pieces are solved at once,
    lamps by Newton with a line search on the directional derivative.

    Parameters
    ----------
    book
        The circuit as arrays.
    conducts
        B x P: which pieces conduct.
    ohm
        B x P: resistances. [Ω]
    emf_v
        B x P: EMF of the sources. [V]

    Returns
    -------
    ndarray
        B x N, without the reference. [V]
    """
    conductance = np.where(conducts, 1.0 / np.where(ohm > 0, ohm, 1.0), 0.0)
    conductance[:, book.lamp] = 0.0
    lamp_k = np.where(conducts[:, book.lamp], book.lamp_k, 0.0)
    linear = _stamped(book, conductance)
    feed: Floats = (conductance * emf_v) @ book.incidence
    if not len(book.lamp):
        return _solved(linear, feed)
    return _with_lamps(book, linear, feed, lamp_k)


def piece_currents(
    book: Compiled, volts: Floats, conducts: Flags, ohm: Floats, emf_v: Floats
) -> Floats:
    """Return the current of every piece, positive from its first to its second terminal.

    Parameters
    ----------
    book
        The circuit as arrays.
    volts
        B x N: voltages of the points. [V]
    conducts
        B x P: which pieces conduct.
    ohm
        B x P: resistances. [Ω]
    emf_v
        B x P: EMF of the sources. [V]

    Returns
    -------
    ndarray
        B x P. [A]
    """
    across = volts @ book.incidence.T
    current = np.where(conducts, (across - emf_v) / np.where(ohm > 0, ohm, 1.0), 0.0)
    lamp = book.lamp
    lit, _ = _lamp_law(across[:, lamp], np.where(conducts[:, lamp], book.lamp_k, 0.0))
    current[:, lamp] = lit
    return current


def _stamped(book: Compiled, conductance: Floats) -> Floats:
    matrix: Floats = (book.incidence.T[None] * conductance[:, None, :]) @ book.incidence
    diagonal = np.arange(book.incidence.shape[1])
    matrix[:, diagonal, diagonal] += LEAK_S
    return matrix


def _solved(matrix: Floats, right: Floats) -> Floats:
    return np.asarray(np.linalg.solve(matrix, right[..., None])[..., 0], dtype=np.float64)


def _lamp_law(volts: Floats, lamp_k: Floats) -> tuple[Floats, Floats]:
    """Current of each lamp and its slope."""
    square = volts**2 + LAMP_KNEE_V**2
    shape = square ** ((LAMP_EXPONENT - 3) / 2)
    current = lamp_k * volts * shape * square
    slope = lamp_k * shape * (LAMP_KNEE_V**2 + LAMP_EXPONENT * volts**2)
    return current, slope


def _with_lamps(book: Compiled, linear: Floats, feed: Floats, lamp_k: Floats) -> Floats:
    between = book.incidence[book.lamp]  # L x N

    def residual(laws: tuple[Floats, Floats, Floats], rows: Floats) -> tuple[Floats, Floats]:
        matrix, source, k = laws
        current, slope = _lamp_law(rows @ between.T, k)
        return (matrix @ rows[..., None])[..., 0] + current @ between - source, slope

    rated = lamp_k * 6.0 ** (LAMP_EXPONENT - 1)  # each lamp as a resistor at half supply
    volts = _solved(linear + _lamp_stamps(between, rated), feed)
    pending = np.arange(len(volts))
    for _ in range(MOST_ROUNDS):
        here = volts[pending]
        wrong, slope = residual((linear[pending], feed[pending], lamp_k[pending]), here)
        tangent = linear[pending] + _lamp_stamps(between, slope)
        terms = (np.abs(tangent) @ np.abs(here)[..., None])[..., 0] + np.abs(feed[pending])
        unsettled = np.any(np.abs(wrong) > CURRENT_TOLERANCE_A + ROUNDING * terms, axis=1)
        pending, here, wrong = pending[unsettled], here[unsettled], wrong[unsettled]
        if not len(pending):
            return volts
        step = -_solved(tangent[unsettled], wrong)
        laws = (linear[pending], feed[pending], lamp_k[pending])
        chosen = _damped(partial(residual, laws), here, step, wrong)
        stalled = np.max(np.abs(chosen - here), axis=1) < STALLED_V
        volts[pending] = chosen
        pending = pending[~stalled]
        if not len(pending):
            return volts
    raise AssertionError(f"{len(pending)} scenarios of {book.circuit.name} did not settle")


def _lamp_stamps(between: Floats, slope: Floats) -> Floats:
    stamps: Floats = (between.T[None] * slope[:, None, :]) @ between
    return stamps


def _damped(
    residual: Callable[[Floats], tuple[Floats, Floats]], here: Floats, step: Floats, wrong: Floats
) -> Floats:
    """Shorten each step until the directional derivative has not risen past half its start."""
    start = np.sum(wrong * step, axis=1)  # below zero: the content falls along the step
    share = np.ones(len(here))
    for _ in range(30):
        there = here + share[:, None] * step
        slope = np.sum(residual(there)[0] * step, axis=1)
        too_far = slope > -0.5 * start
        if not np.any(too_far):
            break
        share[too_far] *= 0.5
    return here + share[:, None] * step
