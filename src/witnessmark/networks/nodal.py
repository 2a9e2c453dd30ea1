"""The nodal equations of many scenarios with settled contacts, whole, by damped Newton."""

import numpy as np

from witnessmark.networks.compiled import Compiled, Floats
from witnessmark.networks.laws import LEAK_S, Laws

MOST_ROUNDS = 200
MOST_HALVINGS = 40
STALLED_V = 1e-13
START_V = 6.0  # half a usual supply: where a curved piece is taken as a resistance at first


def node_voltages(laws: Laws) -> Floats:
    """Return the voltage of every point, B x N without the reference. [V]

    Kirchhoff's current law at each point but the reference; linear pieces are solved at once,
    curved ones by Newton with a line search on the directional derivative.

    Parameters
    ----------
    laws
        How current follows voltage.

    Returns
    -------
    ndarray
        B x N. [V]
    """
    book = laws.book
    linear = _nodal(book, laws.conductance)
    if not laws.bends.any():
        return solved(linear, laws.feed)
    volts = solved(_tangent(book, linear, start_slope(laws)), laws.feed)
    pending, here = np.arange(len(volts)), volts.copy()
    wrong, slope = laws.balance(here)
    moves = np.ones(len(volts), dtype=np.bool_)
    for _ in range(MOST_ROUNDS):
        goes_on = moves & ~laws.is_settled(here, wrong, slope)
        if not goes_on.all():
            pending, here = pending[goes_on], here[goes_on]
            wrong, slope, linear = wrong[goes_on], slope[goes_on], linear[goes_on]
            laws = laws.rows(goes_on)
        if not len(pending):
            return volts
        step = -solved(_tangent(book, linear, slope), wrong)
        there, wrong, slope = _damped(laws, here, step, wrong)
        moves = np.max(np.abs(there - here), axis=1) >= STALLED_V
        here = there
        volts[pending] = here
    raise AssertionError(f"{len(pending)} scenarios of {book.circuit.name} did not settle")


def start_slope(laws: Laws) -> Floats:
    """Return each curved piece as a resistance to begin with: B x C. [S]

    Parameters
    ----------
    laws
        How current follows voltage in each of B scenarios.
    """
    at = np.full(laws.bends.shape, START_V)
    current, _ = laws.curves(at)
    return np.clip(np.abs(current) / START_V, 1e-4, 10.0) * laws.bends


def _tangent(book: Compiled, linear: Floats, slope: Floats) -> Floats:
    matrix = linear.copy()
    for number, piece in enumerate(book.curved):
        _stamp(matrix, book, int(piece), slope[:, number])
    return matrix


def _nodal(book: Compiled, conductance: Floats) -> Floats:
    count = book.incidence.shape[1]
    matrix = np.zeros((len(conductance), count, count))
    matrix[:, np.arange(count), np.arange(count)] = LEAK_S
    for piece in np.flatnonzero(conductance.any(axis=0)):
        _stamp(matrix, book, int(piece), conductance[:, piece])
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


def solved(matrix: Floats, right: Floats) -> Floats:
    """Return the solutions of many linear equations.

    Parameters
    ----------
    matrix
        B x N x N. [S]
    right
        B x N. [A]
    """
    return np.asarray(np.linalg.solve(matrix, right[..., None])[..., 0], dtype=np.float64)


def _damped(laws: Laws, here: Floats, step: Floats, wrong: Floats) -> tuple[Floats, Floats, Floats]:
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
