"""The same operating points by port reduction: one inverse for each pattern of contacts.

Between two scenarios of one pattern little differs: the curved pieces and the faulted ones. Seen
from those few ports the rest of the circuit is a fixed matrix, so Newton works on a handful of
unknowns instead of on every point. `nodal` solves the same equations whole and is the second way.
"""

from collections import OrderedDict
from dataclasses import dataclass, field

import numpy as np

from witnessmark.networks.compiled import Compiled, Flags, Floats, Numbers
from witnessmark.networks.laws import LEAK_S, Laws
from witnessmark.networks.nodal import node_voltages, start_slope

LOWERED_S = 1 / 250  # what a faulted piece keeps at first: to take a good joint out of the
#                      inverse in one step would leave no digits of what it led to
MOST_ROUNDS = 60
MOST_HALVINGS = 40
MOST_INVERSES = 64  # kept for a circuit; 100 points make 80 kB each
REFINEMENTS = 3
TOLERANCE_A = 1e-12  # of a port before refinement


@dataclass(frozen=True, slots=True, kw_only=True)
class _Base:
    """What the scenarios of one pattern share. P pieces, N points without the reference."""

    conductance: Floats  # P, curved pieces as resistances [S]
    inverse: Floats  # N x N
    reach: Floats  # P x N: volts of the points by 1 A drawn through a piece [Ω]
    between: Floats  # P x P: volts across a piece by 1 A through another [Ω]


@dataclass(slots=True)
class Ports:
    """Solves for the volts of every point, and keeps the inverses that it may use again.

    Attributes
    ----------
    book
        The circuit as arrays.
    bases
        What is kept, by pattern; the oldest goes first.
    """

    book: Compiled
    bases: OrderedDict[bytes, _Base] = field(default_factory=OrderedDict)

    def voltages(self, laws: Laws, healthy: Laws) -> Floats:
        """Return the voltage of every point, B x N without the reference. [V]

        Parameters
        ----------
        laws
            How current follows voltage in each of B scenarios.
        healthy
            The same as contacts, fuses and switches stand, but without the faults: scenarios
            that are alike in this share an inverse.

        Returns
        -------
        ndarray
            B x N. [V]
        """
        volts = np.empty((len(laws.conductance), self.book.incidence.shape[1]))
        for rows in _alike(healthy):
            base = self._base(healthy.rows(rows[:1]))
            volts[rows] = _Reduced(base, laws.rows(rows)).volts()
        return volts

    def _base(self, healthy: Laws) -> _Base:
        book = self.book
        conductance = healthy.conductance[0].copy()
        conductance[book.curved] += start_slope(healthy)[0]
        key = conductance.tobytes()
        found = self.bases.get(key)
        if found is not None:
            self.bases.move_to_end(key)
            return found
        matrix = (book.incidence.T * conductance) @ book.incidence
        matrix[np.diag_indices_from(matrix)] += LEAK_S
        inverse = np.linalg.inv(matrix)
        inverse = (inverse + inverse.T) / 2
        reach = book.incidence @ inverse
        found = self.bases[key] = _Base(
            conductance=conductance,
            inverse=inverse,
            reach=reach,
            between=reach @ book.incidence.T,
        )
        while len(self.bases) > MOST_INVERSES:
            self.bases.popitem(last=False)
        return found


def _alike(healthy: Laws) -> list[Numbers]:
    """Rows of scenarios that are one circuit but for their faults."""
    bits = np.packbits(np.concatenate([healthy.conductance > 0, healthy.bends], axis=1), axis=1)
    keys = [row.tobytes() for row in bits]
    groups: dict[bytes, list[int]] = {}
    for number, key in enumerate(keys):
        groups.setdefault(key, []).append(number)
    return [np.array(rows, dtype=np.intp) for rows in groups.values()]


class _Reduced:
    """Scenarios of one pattern, seen from their ports: the curved pieces, then the faulted ones.

    B scenarios, Q ports. The current of a port is what flows there beside the base.
    """

    def __init__(self, base: _Base, laws: Laws) -> None:
        self.base, self.laws = base, laws
        book = laws.book
        differs = laws.conductance != base.conductance
        differs[:, book.curved] = False
        most = int(differs.sum(axis=1).max(initial=0))
        faulted = np.argsort(~differs, axis=1, kind="stable")[:, :most]
        count = len(laws.conductance)
        curved = np.broadcast_to(book.curved, (count, len(book.curved)))
        self.port = np.concatenate([curved, faulted], axis=1)
        used = np.take_along_axis(differs, faulted, axis=1)
        self.used = np.concatenate([np.ones(curved.shape, dtype=np.bool_), used], axis=1)
        self.bends = np.zeros(self.port.shape, dtype=np.bool_)
        self.bends[:, : curved.shape[1]] = laws.bends
        self.curved_count = curved.shape[1]
        self.level = np.where(self.used, base.conductance[self.port], 0.0)
        real = np.take_along_axis(laws.conductance, self.port, axis=1)
        self.conductance = np.where(self.used, real, 0.0)
        self.reach = base.reach[self.port] * self.used[..., None]
        both = self.used[:, :, None] & self.used[:, None, :]
        self.between = base.between[self.port[:, :, None], self.port[:, None, :]] * both
        self.lowered: list[tuple[Floats, Floats]] = []

    def volts(self) -> Floats:
        """Return the voltage of every point, B x N. [V]"""
        volts = self.laws.feed @ self.base.inverse
        if self.port.shape[1]:
            across = self._across(volts)
            volts, across = self._lower(volts, across)
            current = self._newton(across)
            volts -= np.einsum("bq,bqn->bn", current, self.reach)
        return self._refined(volts)

    def _across(self, volts: Floats) -> Floats:
        every = volts @ self.laws.book.incidence.T
        return np.where(self.used, np.take_along_axis(every, self.port, axis=1), 0.0)

    def _lower(self, volts: Floats, across: Floats) -> tuple[Floats, Floats]:
        """Take faulted pieces down to `LOWERED_S` in the base, one after the other."""
        wanted = self.used & ~self.bends & (self.conductance < self.level)
        wanted &= self.level > LOWERED_S
        wanted[:, : self.curved_count] = False
        rows = np.arange(len(wanted))
        while wanted.any():
            at = np.argmax(wanted, axis=1)
            change = np.where(wanted[rows, at], LOWERED_S - self.level[rows, at], 0.0)
            reach, column = self.reach[rows, at].copy(), self.between[rows, :, at].copy()
            share = change / (1.0 + change * column[rows, at])
            drawn = (share * across[rows, at])[:, None]
            volts -= drawn * reach
            across -= drawn * column
            self.reach -= (share[:, None] * column)[:, :, None] * reach[:, None, :]
            self.between -= (share[:, None] * column)[:, :, None] * column[:, None, :]
            self.level[rows, at] += change
            self.lowered.append((reach, share))
            wanted[rows, at] = False
        return volts, across

    def _laws(self, across: Floats) -> tuple[Floats, Floats]:
        """Current beside the base and its slope, of every port."""
        extra = self.conductance - self.level
        current, slope = extra * across, extra.copy()
        if self.curved_count:
            own = slice(0, self.curved_count)
            curve, steep = self.laws.curves(across[:, own])
            bends = self.bends[:, own]
            level = self.level[:, own]
            current[:, own] = np.where(bends, curve - level * across[:, own], current[:, own])
            slope[:, own] = np.where(bends, steep - level, slope[:, own])
        return current, slope

    def _step(self, slope: Floats, wrong: Floats) -> Floats:
        """Solve (1 + slope * between) step = wrong for every scenario."""
        matrix = slope[..., None] * self.between
        ports = np.arange(matrix.shape[1])
        matrix[:, ports, ports] += 1.0
        return np.asarray(np.linalg.solve(matrix, wrong[..., None])[..., 0], dtype=np.float64)

    def _newton(self, free: Floats) -> Floats:
        """Return the current of every port; `free` are its volts while none flows there."""
        slope = np.where(self.bends, 0.0, self.conductance - self.level)
        current = self._step(slope, slope * free)
        if not self.bends.any():
            return current
        across = free - np.einsum("bqr,br->bq", self.between, current)
        whole, pending = current, np.arange(len(current))
        part = self
        for _ in range(MOST_ROUNDS):
            lawful, slope = part._laws(across)
            wrong = lawful - current
            goes_on = np.abs(wrong).max(axis=1) > TOLERANCE_A
            if not goes_on.all():
                pending, current, across = pending[goes_on], current[goes_on], across[goes_on]
                wrong, slope = wrong[goes_on], slope[goes_on]
                part = part._rows(goes_on)
            if not len(pending):
                break
            step = part._step(slope, wrong)
            moved = -np.einsum("bqr,br->bq", part.between, step)
            share = part._damped(across, current, step, moved, np.sum(wrong * moved, axis=1))
            current, across = current + share * step, across + share * moved
            whole[pending] = current
        return whole

    def _rows(self, chosen: Flags) -> "_Reduced":
        part = object.__new__(_Reduced)
        part.base, part.laws = self.base, self.laws.rows(chosen)
        part.curved_count = self.curved_count
        for name in ("port", "used", "bends", "level", "conductance", "reach", "between"):
            setattr(part, name, getattr(self, name)[chosen])
        part.lowered = [(reach[chosen], share[chosen]) for reach, share in self.lowered]
        return part

    def _damped(
        self, across: Floats, current: Floats, step: Floats, moved: Floats, start: Floats
    ) -> Floats:
        """Shorten each step until the directional derivative has not risen past half its start."""
        share = np.ones((len(across), 1))
        for _ in range(MOST_HALVINGS):
            lawful, _ = self._laws(across + share * moved)
            left = np.sum((lawful - current - share * step) * moved, axis=1)
            too_far = left > -0.5 * start
            if not too_far.any():
                break
            share[too_far] *= 0.5
        return share

    def _refined(self, volts: Floats) -> Floats:
        """Bring the balance of every point down to rounding; what stays is solved whole."""
        pending, part = np.arange(len(volts)), self
        for _ in range(REFINEMENTS):
            here = volts[pending]
            wrong, slope = part.laws.balance(here)
            left = ~part.laws.is_settled(here, wrong, slope)
            if not left.any():
                return volts
            pending, part = pending[left], part._rows(left)
            volts[pending] -= part._applied(wrong[left], slope[left])
        here = volts[pending]
        left = ~part.laws.is_settled(here, *part.laws.balance(here))
        if left.any():
            volts[pending[left]] = node_voltages(part.laws.rows(left))
        return volts

    def _applied(self, wrong: Floats, slope: Floats) -> Floats:
        """Return the inverse of the whole tangent matrix times a vector of each scenario."""
        moved = wrong @ self.base.inverse
        for reach, share in self.lowered:
            moved -= (share * np.sum(reach * wrong, axis=1))[:, None] * reach
        if not self.port.shape[1]:
            return moved
        extra = self.conductance - self.level
        own = slice(0, self.curved_count)
        extra[:, own] = np.where(self.bends[:, own], slope - self.level[:, own], extra[:, own])
        current = self._step(extra, extra * self._across(moved))
        back: Floats = np.einsum("bq,bqn->bn", current, self.reach)
        return moved - back
