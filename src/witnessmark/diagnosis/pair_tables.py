"""What two faults at once would show, as far as it is worked out."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.diagnosis.dictionary import HEALTHY, Predictions
from witnessmark.networks.fault_modes import FaultMode

ADDED_V: Final = 0.1  # V: what adding the changes of two faults may be off
UNSOLVED_V: Final = 1.5  # V: the same where they do reach a common point


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairs:
    """Every pair of fault modes at a few severities, S of them, in T states.

    Attributes
    ----------
    modes
        The fault modes.
    one, other
        Number of the mode of each of the two.
    first, second
        Number of the single scenario of each of the two.
    log_prior
        Log weight, on the scale of the single faults.
    single
        What the single scenarios show.
    blur_single
        Scenario by state by point: how far the severities that it stands for spread. [V]
    solved
        Solved pairs by state: number of the operating point in the tables below; -1 where the
        changes of the two are added. S x T.
    meets
        S x T: in which states the two do not leave each other alone.
    solved_v, solved_w
        Operating point by point, and by load. [V], [W]
    chatters
        By operating point.
    """

    modes: tuple[FaultMode, ...]
    one: Indices
    other: Indices
    first: Indices
    second: Indices
    log_prior: Floats
    single: Predictions
    blur_single: Floats
    solved: Indices
    meets: Flags
    solved_v: Floats
    solved_w: Floats
    chatters: Flags

    @property
    def nbytes(self) -> int:
        """How many bytes the tables take beside those of the single faults."""
        tables = (self.solved, self.meets, self.solved_v, self.solved_w, self.chatters)
        by_pair = (self.one, self.other, self.first, self.second, self.log_prior)
        return sum(table.nbytes for table in (*by_pair, *tables, self.blur_single))

    def volts(self, state: int, point: int) -> Floats:
        """Return what each pair reads at a point. [V]"""
        volts = _added(self.single.volts[:, state, point], self.first, self.second)
        row, solved = self._solved(state)
        volts[row] = self.solved_v[solved, point]
        return volts

    def power(self, state: int, load: int) -> Floats:
        """Return what a load gets from each pair. [W]"""
        watts = _added(self.single.power[:, state, load], self.first, self.second)
        row, solved = self._solved(state)
        watts[row] = self.solved_w[solved, load]
        return np.maximum(watts, 0.0)

    def unsteady(self, state: int) -> Flags:
        """Return for each pair whether a relay chatters."""
        chatter = self.single.unsteady[:, state]
        flags: Flags = chatter[self.first] | chatter[self.second]
        row, solved = self._solved(state)
        flags[row] = self.chatters[solved]
        return flags

    def blur(self, state: int, point: int) -> Floats:
        """Return the standard deviation of the reading of each pair. [V]"""
        own = self.blur_single[:, state, point]
        extra = np.where(self.meets[:, state], UNSOLVED_V, ADDED_V)
        extra[self.solved[:, state] >= 0] = 0.0
        blur = np.sqrt(own[self.first] ** 2 + own[self.second] ** 2 + extra**2)
        return np.asarray(blur, dtype=np.float64)

    def _solved(self, state: int) -> tuple[Indices, Indices]:
        """Return the pairs that are solved in a state, and their operating points."""
        row = np.flatnonzero(self.solved[:, state] >= 0)
        return row, self.solved[row, state]


def _added(single: Floats, first: Indices, second: Indices) -> Floats:
    """Return the healthy size with the changes that two faults make, each by itself."""
    change = single - single[HEALTHY]
    return np.asarray(single[HEALTHY] + change[first] + change[second], dtype=np.float64)
