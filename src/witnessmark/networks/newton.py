"""The nodal equations of many scenarios with fixed contacts, by damped Newton."""

from dataclasses import dataclass

import numpy as np

from witnessmark.networks.compiled import Compiled, Flags, Floats
from witnessmark.networks.pieces import LAMP_EXPONENT, LAMP_KNEE_V

LEAK_S = 1e-9  # from every point to the reference, so that floating points have an answer [S]
MOST_ROUNDS = 100
MOST_HALVINGS = 30
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
    linear = _nodal(book, conductance)
    if not len(book.lamp):
        return _solved(linear, (conductance * emf_v) @ book.incidence)
    return _with_lamps(
        _Laws(book=book, conductance=conductance, emf_v=emf_v, lamp_k=lamp_k, linear=linear)
    )


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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laws:
    """How current follows voltage in each of B scenarios."""

    book: Compiled
    conductance: Floats  # B x P, 0 for lamps and for what does not conduct [S]
    emf_v: Floats  # B x P
    lamp_k: Floats  # B x L, 0 for a lamp that does not conduct
    linear: Floats  # B x N x N: the nodal matrices without the lamps

    def rows(self, chosen: Flags) -> "_Laws":
        """Return the same for some of the scenarios."""
        return _Laws(
            book=self.book,
            conductance=self.conductance[chosen],
            emf_v=self.emf_v[chosen],
            lamp_k=self.lamp_k[chosen],
            linear=self.linear[chosen],
        )

    def tangent(self, lamp_slope: Floats) -> Floats:
        """Return the nodal matrices, B x N x N, with the lamps as resistors of this slope."""
        matrix = self.linear.copy()
        for number, piece in enumerate(self.book.lamp):
            _stamp(matrix, self.book, int(piece), lamp_slope[:, number])
        return matrix

    def balance(self, volts: Floats) -> tuple[Floats, Floats]:
        """Return the current that leaves each point and should be none, and each lamp's slope."""
        across = volts @ self.book.incidence.T
        current = self.conductance * (across - self.emf_v)
        current[:, self.book.lamp], slope = _lamp_law(across[:, self.book.lamp], self.lamp_k)
        return current @ self.book.incidence + LEAK_S * volts, slope

    def is_settled(self, volts: Floats, wrong: Floats, slope: Floats) -> Flags:
        """Return whether what is wrong is no more than rounding."""
        size = np.abs(self.book.incidence)
        terms = self.conductance.copy()
        terms[:, self.book.lamp] = slope
        terms *= np.abs(volts) @ size.T + np.abs(self.emf_v)
        allowed = CURRENT_TOLERANCE_A + ROUNDING * (terms @ size)
        settled: Flags = np.all(np.abs(wrong) <= allowed, axis=1)
        return settled


def _nodal(book: Compiled, conductance: Floats) -> Floats:
    count = book.incidence.shape[1]
    matrix = np.zeros((len(conductance), count, count))
    matrix[:, np.arange(count), np.arange(count)] = LEAK_S
    for piece in range(len(book.pieces)):
        _stamp(matrix, book, piece, conductance[:, piece])
    return matrix


def _stamp(matrix: Floats, book: Compiled, piece: int, siemens: Floats) -> None:
    """Add one piece to the nodal matrices; the reference has no row in them."""
    first, second = int(book.first[piece]) - 1, int(book.second[piece]) - 1
    if first >= 0:
        matrix[:, first, first] += siemens
    if second >= 0:
        matrix[:, second, second] += siemens
    if first >= 0 and second >= 0:
        matrix[:, first, second] -= siemens
        matrix[:, second, first] -= siemens


def _solved(matrix: Floats, right: Floats) -> Floats:
    return np.asarray(np.linalg.solve(matrix, right[..., None])[..., 0], dtype=np.float64)


def _lamp_law(volts: Floats, lamp_k: Floats) -> tuple[Floats, Floats]:
    """Current of each lamp and its slope."""
    square = volts**2 + LAMP_KNEE_V**2
    shape = square ** ((LAMP_EXPONENT - 3) / 2)
    current = lamp_k * volts * shape * square
    slope = lamp_k * shape * (LAMP_KNEE_V**2 + LAMP_EXPONENT * volts**2)
    return current, slope


def _with_lamps(laws: _Laws) -> Floats:
    rated = laws.lamp_k * 6.0 ** (LAMP_EXPONENT - 1)  # each lamp as a resistor at half supply
    feed = (laws.conductance * laws.emf_v) @ laws.book.incidence
    volts = _solved(laws.tangent(rated), feed)
    pending, here = np.arange(len(volts)), volts.copy()
    wrong, slope = laws.balance(here)
    moves = np.ones(len(volts), dtype=np.bool_)
    for _ in range(MOST_ROUNDS):
        goes_on = moves & ~laws.is_settled(here, wrong, slope)
        pending, here = pending[goes_on], here[goes_on]
        wrong, slope = wrong[goes_on], slope[goes_on]
        if not len(pending):
            return volts
        laws = laws.rows(goes_on)
        step = -_solved(laws.tangent(slope), wrong)
        there, wrong, slope = _damped(laws, here, step, wrong)
        moves = np.max(np.abs(there - here), axis=1) >= STALLED_V
        here = there
        volts[pending] = here
    raise AssertionError(f"{len(pending)} scenarios of {laws.book.circuit.name} did not settle")


def _damped(
    laws: _Laws, here: Floats, step: Floats, wrong: Floats
) -> tuple[Floats, Floats, Floats]:
    """Shorten each step until the directional derivative has not risen past half its start."""
    start = np.einsum("bn,bn->b", wrong, step)  # below zero: the content falls along the step
    share = np.ones((len(here), 1))
    for _ in range(MOST_HALVINGS):
        there = here + share * step
        left, slope = laws.balance(there)
        too_far = np.einsum("bn,bn->b", left, step) > -0.5 * start
        if not np.any(too_far):
            break
        share[too_far] *= 0.5
    return there, left, slope
