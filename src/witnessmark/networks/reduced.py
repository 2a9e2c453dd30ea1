"""Scenarios seen from their ports: the curved pieces, then those that the faults changed."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.networks.compiled import Flags, Floats, Numbers
from witnessmark.networks.laws import Flow, Laws
from witnessmark.networks.nodal import node_voltages
from witnessmark.networks.port_laws import PortLaws

LOWERED_S: Final = 1 / 250  # what a faulted piece keeps at first: to take a good joint out of the
#                             inverse in one step would leave no digits of what it led to
REFINEMENTS: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """What scenarios with contacts alike share, by slot. P pieces, N points.

    Attributes
    ----------
    conductance
        Slot by P, curved pieces as resistances. [S]
    inverse
        Slot by N by N, zero at the reference. [Ω]
    """

    conductance: Floats
    inverse: Floats

    def reach(self, slot: Numbers, first: Numbers, second: Numbers) -> Floats:
        """Return B x Q x N: volts of the points by 1 A into `first` and out of `second`. [Ω]"""
        size = self.inverse.shape[1]
        flat = self.inverse.reshape(-1, size)
        at = slot[:, None] * size
        reach: Floats = flat.take(at + first, axis=0)
        reach -= flat.take(at + second, axis=0)
        return reach

    def applied(self, slot: Numbers, current: Floats) -> Floats:
        """Return B x N: volts of the points by currents into all of them but the reference."""
        volts = np.zeros((len(slot), self.inverse.shape[1]))
        order = np.argsort(slot, kind="stable")
        starts = np.flatnonzero(np.diff(slot[order], prepend=-1))
        for rows in np.split(order, starts[1:]):
            volts[rows, 1:] = current[rows] @ self.inverse[slot[rows[0]], 1:, 1:]
        return volts


@dataclass(slots=True, kw_only=True)
class Reduced:
    """B scenarios, each a base and its Q ports. N points.

    Attributes
    ----------
    base
        The inverses.
    slot
        B: which of them each scenario starts from.
    laws
        How current follows voltage in each of B scenarios.
    first, second
        B x Q: the points of each port.
    reach
        B x Q x N: volts of the points by 1 A through each port. [Ω]
    ports
        How current follows voltage there.
    lowered
        What each piece that was taken down in the base changed of it: B x N [Ω], B [S].
    unsure
        B: where `flow` did not find the volts, and `refine` must.
    """

    base: Base
    slot: Numbers
    laws: Laws
    first: Numbers
    second: Numbers
    reach: Floats
    ports: PortLaws
    lowered: list[tuple[Floats, Floats]]
    unsure: Flags

    def flow(self) -> Flow:
        """Return the voltage of every point and what flows, as far as a port's tolerance goes."""
        book, source_a = self.laws.book, self.laws.source_a
        every = np.broadcast_to(book.source, source_a.shape)
        fed = self.base.reach(self.slot, book.first[every], book.second[every])
        volts: Floats = np.einsum("bs,bsn->bn", source_a, fed)
        if self.first.shape[1]:
            across = _across(volts, self.first, self.second)
            self._lower(volts, across)
            current, unsure = self.ports.currents(across)
            self.unsure[unsure] = True
            volts -= np.einsum("bq,bqn->bn", current, self.reach)
        return self.laws.flow(volts)

    def refine(self, flow: Flow, chosen: Flags) -> None:
        """Bring every point of some scenarios into balance, but for rounding.

        Parameters
        ----------
        flow
            What `flow` gave; written into.
        chosen
            B: which scenarios.
        """
        pending = np.flatnonzero(chosen)
        part, laws, here, own = self, self.laws, flow, pending
        if not chosen.all():
            laws, here = laws.rows(pending), flow.rows(pending)
        for turn in range(REFINEMENTS + 1):
            wrong = laws.wrong(here)
            settled = laws.is_settled(here, wrong)
            if here is not flow:
                flow.write(pending[settled], here.rows(settled))
            left = np.flatnonzero(~settled)
            if not len(left):
                return
            wrong, here, laws = wrong[left], here.rows(left), laws.rows(left)
            part, pending, own = part._rows(own[left], laws), pending[left], np.arange(len(left))
            if turn < REFINEMENTS:
                here = laws.flow(here.volts - part._applied(wrong, here.slope))
        # What stays unsettled is solved whole, from where it was before.
        flow.write(pending, node_voltages(laws, flow.volts[pending]))

    def _lower(self, volts: Floats, across: Floats) -> None:
        """Take faulted pieces down to `LOWERED_S` in the base, one after the other."""
        ports = self.ports
        wanted = (ports.conductance < ports.level) & (ports.level > LOWERED_S)
        wanted[:, : ports.common] = False
        rows = np.arange(len(wanted))
        for at in np.flatnonzero(wanted.any(axis=0)):
            change = np.where(wanted[:, at], LOWERED_S - ports.level[:, at], 0.0)
            reach, column = self.reach[:, at].copy(), ports.between[:, :, at].copy()
            share = change / (1.0 + change * column[rows, at])
            drawn = (share * across[:, at])[:, None]
            volts -= drawn * reach
            across -= drawn * column
            self.reach -= (share[:, None] * column)[:, :, None] * reach[:, None, :]
            ports.between -= (share[:, None] * column)[:, :, None] * column[:, None, :]
            ports.level[:, at] += change
            self.lowered.append((reach, share))

    def _rows(self, chosen: Numbers, laws: Laws) -> "Reduced":
        """Return some of the scenarios; `laws` are theirs."""
        return Reduced(
            base=self.base,
            slot=self.slot[chosen],
            laws=laws,
            first=self.first[chosen],
            second=self.second[chosen],
            reach=self.reach[chosen],
            ports=self.ports.rows(chosen),
            lowered=[(reach[chosen], share[chosen]) for reach, share in self.lowered],
            unsure=self.unsure[chosen],
        )

    def _applied(self, wrong: Floats, steep: Floats) -> Floats:
        """Return the inverse of the whole tangent matrix times a vector of each scenario."""
        moved = self.base.applied(self.slot, wrong)
        for reach, share in self.lowered:
            drawn = share * np.einsum("bn,bn->b", reach[:, 1:], wrong)
            moved -= drawn[:, None] * reach
        if self.first.shape[1]:
            slope = self.ports.slope_of(steep)
            current = self.ports.step(slope, slope * _across(moved, self.first, self.second))
            moved -= np.einsum("bq,bqn->bn", current, self.reach)
        return moved


def reduced(base: Base, slot: Numbers, laws: Laws) -> Reduced:
    """Return scenarios as seen from their ports.

    Parameters
    ----------
    base
        The inverses.
    slot
        B: which of them each scenario starts from.
    laws
        How current follows voltage in each of B scenarios.
    """
    book = laws.book
    common = len(book.curved) - len(book.held)
    level = base.conductance[slot]
    differs = laws.conductance != level
    differs[:, book.curved[:common]] = False
    differs[:, book.held] |= laws.bent.bends[:, common:]
    most = int(differs.sum(axis=1).max(initial=0))
    own = np.argsort(~differs, axis=1, kind="stable")[:, :most]
    shape = (len(slot), common)
    port = np.concatenate([np.broadcast_to(book.curved[:common], shape), own], axis=1)
    used = np.ones(port.shape, dtype=np.bool_)
    used[:, common:] = np.take_along_axis(differs, own, axis=1)
    lamp = port - (len(book.pieces) - len(book.held))
    first, second = book.first[port], book.second[port]
    reach = base.reach(slot, first, second)
    ports = PortLaws(
        bent=laws.bent,
        common=common,
        level=np.where(used, np.take_along_axis(level, port, axis=1), 0.0),
        conductance=np.where(used, np.take_along_axis(laws.conductance, port, axis=1), 0.0),
        lamp=np.where(used, lamp, -1),
        between=_across(reach, first, second),
    )
    return Reduced(
        base=base,
        slot=slot,
        laws=laws,
        first=first,
        second=second,
        reach=reach,
        ports=ports,
        lowered=[],
        unsure=np.zeros(len(slot), dtype=np.bool_),
    )


def _across(volts: Floats, first: Numbers, second: Numbers) -> Floats:
    """Return the volts across the ports, B x Q, or B x anything x Q."""
    size, flat = volts.shape[-1], volts.reshape(-1)
    start = np.arange(0, len(flat), size).reshape(*volts.shape[:-1], 1)
    lift = (slice(None), None) if volts.ndim > 2 else (slice(None),)
    across: Floats = flat.take(start + first[lift])
    across -= flat.take(start + second[lift])
    return across
