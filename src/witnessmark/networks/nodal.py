"""The nodal equations of many scenarios with settled contacts, whole, by damped Newton."""

import numpy as np

from witnessmark.errors import BenchError
from witnessmark.networks.compiled import Compiled, Flags, Floats
from witnessmark.networks.damping import share_within, shortened
from witnessmark.networks.laws import LEAK_S, START_V, Bent, Flow, Laws

MOST_ROUNDS = 200
STALLED_V = 1e-13
ROUNDING_V = 1e-10  # a step as short as that only mends rounding


def node_voltages(laws: Laws, near: Floats | None = None) -> Flow:
    """Return the voltage of every point and what flows.

    Kirchhoff's current law at each point but the reference; linear pieces are solved at once,
    curved ones by Newton with a line search on the directional derivative.

    Parameters
    ----------
    laws
        How current follows voltage in each of B scenarios.
    near
        B x N + 1: about what is expected, the reference first. [V]

    Returns
    -------
    Flow
        Of B scenarios.

    Raises
    ------
    BenchError
        If the volts of a scenario find no rest.
    """
    book, bends = laws.book, laws.bent.bends.any()
    if near is None or not bends:
        near = np.zeros((len(laws.conductance), len(book.circuit.points)))
        fed = laws.source_a @ book.incidence[book.source]
        whole = _tangent(laws, start_slope(laws.bent)) if bends else laws.conductance
        near[:, 1:] = solved(nodal_matrix(book, whole), fed)
    found = here = laws.flow(near)
    if not bends:
        return found
    pending, moves = np.arange(len(near)), np.ones(len(near), dtype=np.bool_)
    wrong = laws.wrong(here)
    for _ in range(MOST_ROUNDS):
        goes_on = moves & ~laws.is_settled(here, wrong)
        if not goes_on.all():
            if here is not found:
                found.write(pending, here)
            pending, here, wrong = pending[goes_on], here.rows(goes_on), wrong[goes_on]
            laws = laws.rows(goes_on)
        if not len(pending):
            return found
        step = np.zeros_like(here.volts)
        step[:, 1:] = solved(nodal_matrix(book, _tangent(laws, here.slope)), -wrong)
        before = here.volts
        moves = np.max(np.abs(step), axis=1) >= ROUNDING_V
        here, wrong = _damped(laws, before, _within_reach(step, wrong, book.sources_v), wrong)
        moves &= np.max(np.abs(here.volts - before), axis=1) >= STALLED_V
    raise BenchError(
        f"The volts of {book.circuit.name} find no rest.",
        "Feeds that work against each other, or into nothing, may leave them undecided.",
        "Check where each regulated feed and each alternator ends.",
    )


class Whole:
    """B scenarios with every point's equation solved whole.

    Parameters
    ----------
    laws
        How current follows voltage in each of them.

    Attributes
    ----------
    unsure
        B: where `flow` did not find the volts; nowhere.
    """

    def __init__(self, laws: Laws) -> None:
        self.laws = laws
        self.unsure = np.zeros(len(laws.conductance), dtype=np.bool_)

    def flow(self) -> Flow:
        """Return the voltage of every point and what flows."""
        return node_voltages(self.laws)

    def refine(self, flow: Flow, chosen: Flags) -> None:
        """Leave `flow` as it is: exact but for rounding."""


def start_slope(bent: Bent) -> Floats:
    """Return each curved piece as a resistance to begin with: B x C. [S]

    Parameters
    ----------
    bent
        The curved pieces of B scenarios.
    """
    current, _ = bent.at(np.full(bent.bends.shape, START_V))
    return np.clip(np.abs(current) / START_V, 1e-4, 10.0) * bent.bends


def nodal_matrix(book: Compiled, conductance: Floats) -> Floats:
    """Return the nodal matrices of B scenarios, B x N x N, without the reference. [S]

    Parameters
    ----------
    book
        The circuit as arrays.
    conductance
        B x P. [S]
    """
    count = book.incidence.shape[1]
    flat = np.zeros((len(conductance), count * count))
    flat[:, book.cells] = conductance @ book.stamps
    flat[:, :: count + 1] += LEAK_S
    return flat.reshape(-1, count, count)


def _tangent(laws: Laws, slope: Floats) -> Floats:
    """Return the conductance of every piece, curved ones by a slope: B x P. [S]"""
    conductance = laws.conductance.copy()
    conductance[:, laws.book.curved] += slope
    return conductance


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


def _within_reach(step: Floats, wrong: Floats, reach_v: float) -> Floats:
    """Cut each point's step to what all sources give together, as long as it still leads downwards.

    A regulated feed that nothing loads has no slope: its point would be sent millions of volts off.
    """
    cut = np.clip(step, -reach_v, reach_v)
    down = np.einsum("bn,bn->b", wrong, cut[:, 1:]) < 0
    return np.where(down[:, None], cut, step * share_within(step, reach_v))


def _damped(laws: Laws, here: Floats, step: Floats, wrong: Floats) -> tuple[Flow, Floats]:
    """Take as much of each step as does any good."""
    found: list[tuple[Flow, Floats]] = []

    def along(share: Floats) -> Floats:
        there = laws.flow(here + share * step)
        found[:] = [(there, laws.wrong(there))]
        return np.asarray(np.einsum("bn,bn->b", found[0][1], step[:, 1:]), dtype=np.float64)

    shortened(along, np.einsum("bn,bn->b", wrong, step[:, 1:]))
    return found[0]
