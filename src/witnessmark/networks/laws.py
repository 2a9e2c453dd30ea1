"""How current follows voltage in each of many scenarios with settled contacts."""

from dataclasses import dataclass

import numpy as np

from witnessmark.networks.compiled import Compiled, Flags, Floats, Numbers
from witnessmark.networks.curves import curve_current

LEAK_S = 1e-9  # from every point to the reference, so that floating points have an answer [S]
START_V = 6.0  # half a usual supply: where a curved piece is taken as a resistance at first
NEARLY_A = 1e-6  # beyond it no rounding is asked about
CURRENT_TOLERANCE_A = 1e-14  # beside rounding; behind the leak it is 0.01 mV
ROUNDING = 16 * np.finfo(np.float64).eps  # of the terms that a point's current balance adds up


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """Pieces that follow a curve: B scenarios, C pieces in the order of `Compiled.curved`.

    Attributes
    ----------
    book
        The circuit as arrays.
    bends
        B x C: whether the piece conducts along its curve.
    ohm, emf_v
        B x C. [Ω], [V]
    """

    book: Compiled
    bends: Flags
    ohm: Floats
    emf_v: Floats

    def rows(self, chosen: Flags | Numbers) -> "Bent":
        """Return the same for some of the scenarios."""
        return Bent(
            book=self.book,
            bends=self.bends[chosen],
            ohm=self.ohm[chosen],
            emf_v=self.emf_v[chosen],
        )

    def at(self, across: Floats) -> tuple[Floats, Floats]:
        """Return current and slope at voltages of the first pieces, B x up to C. [A], [S]"""
        current, slope = np.zeros_like(across), np.zeros_like(across)
        start = 0
        for group in self.book.curves:
            own = slice(start, start + len(group.pieces))
            start = own.stop
            if start > across.shape[1]:
                break
            bends = self.bends[:, own]
            if bends.all():
                current[:, own], slope[:, own] = curve_current(
                    group.law,
                    across[:, own],
                    self.ohm[:, own],
                    self.emf_v[:, own],
                    group.constants,
                )
                continue
            rows, columns = np.nonzero(bends)
            to = columns + own.start
            current[rows, to], slope[rows, to] = curve_current(
                group.law,
                across[rows, to],
                self.ohm[rows, to],
                self.emf_v[rows, to],
                group.constants[:, columns],
            )
        return current, slope


@dataclass(slots=True, kw_only=True)
class Flow:
    """Voltages and what flows at them. B scenarios, N points without the reference, P pieces.

    Attributes
    ----------
    volts
        B x N + 1, the reference first. [V]
    current
        B x P. [A]
    slope
        B x C, of the curved pieces. [S]
    """

    volts: Floats
    current: Floats
    slope: Floats

    def write(self, rows: Flags | Numbers, part: "Flow") -> None:
        """Take over what was found for some of the scenarios."""
        self.volts[rows], self.current[rows], self.slope[rows] = (
            part.volts,
            part.current,
            part.slope,
        )

    def rows(self, chosen: Flags | Numbers) -> "Flow":
        """Return the same for some of the scenarios."""
        return Flow(
            volts=self.volts[chosen], current=self.current[chosen], slope=self.slope[chosen]
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Laws:
    """B scenarios, P pieces.

    Attributes
    ----------
    book
        The circuit as arrays.
    conductance
        B x P, 0 for what does not conduct and for what follows a curve. [S]
    emf_v
        B x P. [V]
    bent
        The pieces that follow a curve.
    """

    book: Compiled
    conductance: Floats
    emf_v: Floats
    bent: Bent

    def rows(self, chosen: Flags | Numbers) -> "Laws":
        """Return the same for some of the scenarios."""
        return Laws(
            book=self.book,
            conductance=self.conductance[chosen],
            emf_v=self.emf_v[chosen],
            bent=self.bent.rows(chosen),
        )

    @property
    def source_a(self) -> Floats:
        """B x S: current that each source would push back into its first point. [A]"""
        source = self.book.source
        return self.conductance[:, source] * self.emf_v[:, source]

    def flow(self, volts: Floats) -> Flow:
        """Return what flows at some voltages, B x N + 1, the reference first."""
        book = self.book
        across = volts[:, book.first] - volts[:, book.second]
        current = self.conductance * (across - self.emf_v)
        if not len(book.curved):
            return Flow(volts=volts, current=current, slope=np.zeros((len(volts), 0)))
        curved, slope = self.bent.at(across[:, book.curved])
        current[:, book.curved] += curved  # one of the two is zero
        return Flow(volts=volts, current=current, slope=slope)

    def wrong(self, flow: Flow) -> Floats:
        """Return the current that leaves each point and should be none, B x N. [A]"""
        result: Floats = flow.current @ self.book.incidence
        result += LEAK_S * flow.volts[:, 1:]
        return result

    def is_settled(self, flow: Flow, wrong: Floats) -> Flags:
        """Return whether what is wrong at each point is no more than rounding."""
        settled: Flags = np.abs(wrong).max(axis=1, initial=0.0) < NEARLY_A
        near = np.flatnonzero(settled)
        if not len(near):
            return settled
        book = self.book
        size = np.abs(flow.volts[near])
        terms = self.conductance[near]
        terms[:, book.curved] += flow.slope[near]
        terms *= size[:, book.first] + size[:, book.second] + np.abs(self.emf_v[near])
        allowed = CURRENT_TOLERANCE_A + ROUNDING * (terms @ np.abs(book.incidence))
        settled[near] = np.all(np.abs(wrong[near]) <= allowed, axis=1)
        return settled


def laws_of(book: Compiled, conducts: Flags, ohm: Floats, emf_v: Floats, is_plain: Flags) -> Laws:
    """Return the laws of B scenarios.

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
    is_plain
        B x P: curved pieces that have become plain resistances.

    Returns
    -------
    Laws
        Their laws.
    """
    curved = book.curved
    conductance = conducts / ohm
    bends = conducts[:, curved] & ~is_plain[:, curved]
    plain_emf = emf_v
    if len(curved):
        conductance[:, curved] *= ~bends
        plain_emf = emf_v.copy()
        plain_emf[:, curved] = 0.0
    bent = Bent(book=book, bends=bends, ohm=ohm[:, curved], emf_v=emf_v[:, curved])
    return Laws(book=book, conductance=conductance, emf_v=plain_emf, bent=bent)
