"""What flows through the ports of many scenarios: Newton on a handful of unknowns.

B scenarios, Q ports. The current of a port is what flows there beside the base: the circuit with
contacts as they stand, without a fault, every curved piece a resistance.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.networks.compiled import Flags, Floats, Numbers
from witnessmark.networks.curves import curve_current
from witnessmark.networks.damping import share_within, shortened
from witnessmark.networks.laws import START_V, Bent
from witnessmark.networks.piece import Law

MOST_ROUNDS: Final = 60
NEARLY_SINGULAR: Final = 1e-9
TOLERANCE_A: Final = 1e-7  # of a port: the refinement, a step of the same Newton, does the rest


@dataclass(slots=True, kw_only=True)
class PortLaws:
    """How current follows voltage at the ports: curved pieces that all have, then each its own.

    Attributes
    ----------
    bent
        The curved pieces.
    common
        How many of the ports are curved pieces that all scenarios have.
    level
        B x Q: what the base has at the port. [S]
    conductance
        B x Q: what lies there really, 0 for what follows a curve. [S]
    lamp
        B x Q: number of the test lamp that burns at the port; below 0 for none.
    between
        B x Q x Q: volts across one port by 1 A through another. [Ω]
    """

    bent: Bent
    common: int
    level: Floats
    conductance: Floats
    lamp: Numbers
    between: Floats

    def rows(self, chosen: Flags | Numbers) -> "PortLaws":
        """Return the same for some of the scenarios."""
        return PortLaws(
            bent=self.bent.rows(chosen),
            common=self.common,
            level=self.level[chosen],
            conductance=self.conductance[chosen],
            lamp=self.lamp[chosen],
            between=self.between[chosen],
        )

    def at(self, across: Floats) -> tuple[Floats, Floats]:
        """Return current beside the base and its slope, of every port. [A], [S]"""
        extra = self.conductance - self.level
        current, slope = extra * across, extra
        if self.common:
            own = slice(0, self.common)
            curved, steep = self.bent.at(across[:, own])
            current[:, own] += curved  # where it is not 0, the conductance is
            slope[:, own] += steep
        if len(self.bent.book.held):
            lit = np.nonzero(self.lamp >= 0)
            curved, steep = self._lit(lit, across[lit])
            current[lit] += curved
            slope[lit] += steep
        return current, slope

    def _lit(self, lit: tuple[Numbers, ...], volts: Floats) -> tuple[Floats, Floats]:
        if not len(lit[0]):
            return np.zeros(0), np.zeros(0)
        lamp = self.lamp[lit]
        at = (lit[0], lamp + self.common)
        constants = self.bent.book.curves[-1].constants[:, lamp]
        return curve_current(Law.LAMP, volts, self.bent.ohm[at], self.bent.emf_v[at], constants)

    def slope_of(self, steep: Floats) -> Floats:
        """Return the slopes of the ports by those of the curved pieces, B x C. [S]"""
        slope = self.conductance - self.level
        slope[:, : self.common] += steep[:, : self.common]
        if len(self.bent.book.held):
            lit = np.nonzero(self.lamp >= 0)
            slope[lit] += steep[lit[0], self.lamp[lit] + self.common]
        return slope

    def step(self, slope: Floats, wrong: Floats) -> Floats:
        """Solve (1 + slope * between) step = wrong for every scenario. [A]"""
        matrix = slope[..., None] * self.between
        ports = np.arange(matrix.shape[1])
        matrix[:, ports, ports] += 1.0
        try:
            found = np.linalg.solve(matrix, wrong[..., None])
        except np.linalg.LinAlgError:
            # An island that a feed without load leaves to nothing but the leak: a step is enough.
            matrix[:, ports, ports] += NEARLY_SINGULAR
            found = np.linalg.solve(matrix, wrong[..., None])
        return np.asarray(found[..., 0], dtype=np.float64)

    def across(self, current: Floats) -> Floats:
        """Return how far currents through the ports pull their volts down. [V]"""
        return np.asarray(np.einsum("bqr,br->bq", self.between, current), dtype=np.float64)

    def currents(self, free: Floats) -> tuple[Floats, Numbers]:
        """Return the current of every port, and the scenarios in which it was not found.

        `free` are the volts of each port while none flows there.

        A straight port's equation is linear, so each step keeps it solved.
        """
        bends = self.bent.bends[:, : self.common]
        lit = np.nonzero(self.lamp >= 0)
        slope = self.conductance - self.level
        slope[:, : self.common][bends] = 0.0
        slope[lit] = self._lit(lit, np.full(len(lit[0]), START_V))[0] / START_V
        current = self.step(slope, slope * free)
        if not bends.any() and not len(lit[0]):
            return current, np.zeros(0, dtype=np.intp)
        whole, pending, part = current, np.arange(len(current)), self
        across = free - self.across(current)
        lawful, slope = self.at(across)
        reach_v = self.bent.book.sources_v
        for _ in range(MOST_ROUNDS):
            wrong = lawful - current
            goes_on = np.abs(wrong).max(axis=1) > TOLERANCE_A
            if not goes_on.all():
                pending, current, across = pending[goes_on], current[goes_on], across[goes_on]
                wrong, slope, part = wrong[goes_on], slope[goes_on], part.rows(goes_on)
            if not len(pending):
                break
            step = part.step(slope, wrong)
            moved = -part.across(step)
            within = share_within(moved, reach_v)
            step, moved = step * within, moved * within
            current, across, lawful, slope = part._damped(current, across, step, moved, wrong)
            whole[pending] = current
        return whole, pending

    def _damped(
        self, current: Floats, across: Floats, step: Floats, moved: Floats, wrong: Floats
    ) -> tuple[Floats, Floats, Floats, Floats]:
        """Take as much of each step as does any good."""
        found: list[Floats] = []

        def along(share: Floats) -> Floats:
            flows, stands = current + share * step, across + share * moved
            found[:] = flows, stands, *self.at(stands)
            return np.asarray(np.einsum("bq,bq->b", found[2] - flows, moved), dtype=np.float64)

        shortened(along, np.einsum("bq,bq->b", wrong, moved))
        flows, stands, lawful, slope = found
        return flows, stands, lawful, slope
