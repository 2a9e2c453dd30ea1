"""How current follows voltage in each of many scenarios with settled contacts."""

from dataclasses import dataclass

import numpy as np

from witnessmark.networks.compiled import Compiled, Flags, Floats, Numbers
from witnessmark.networks.curves import curve_current

LEAK_S = 1e-9  # from every point to the reference, so that floating points have an answer [S]
CURRENT_TOLERANCE_A = 1e-14  # beside rounding; behind the leak it is 0.01 mV
ROUNDING = 16 * np.finfo(np.float64).eps  # of the terms that a point's current balance adds up


@dataclass(frozen=True, slots=True, kw_only=True)
class Laws:
    """B scenarios, P pieces, C curved pieces in the order of `Compiled.curved`.

    Attributes
    ----------
    book
        The circuit as arrays.
    conductance
        B x P, 0 for what does not conduct and for what follows a curve. [S]
    emf_v
        B x P. [V]
    bends
        B x C: whether the piece conducts along its curve.
    curved_ohm, curved_emf_v
        B x C. [Ω], [V]
    """

    book: Compiled
    conductance: Floats
    emf_v: Floats
    bends: Flags
    curved_ohm: Floats
    curved_emf_v: Floats

    def rows(self, chosen: Flags | Numbers) -> "Laws":
        """Return the same for some of the scenarios."""
        return Laws(
            book=self.book,
            conductance=self.conductance[chosen],
            emf_v=self.emf_v[chosen],
            bends=self.bends[chosen],
            curved_ohm=self.curved_ohm[chosen],
            curved_emf_v=self.curved_emf_v[chosen],
        )

    @property
    def feed(self) -> Floats:
        """B x N: current that the sources would push into each point. [A]"""
        return (self.conductance * self.emf_v) @ self.book.incidence

    def curves(self, across: Floats) -> tuple[Floats, Floats]:
        """Return current and slope of the curved pieces, B x C, at their voltages. [A], [S]"""
        current = np.zeros_like(across)
        slope = np.zeros_like(across)
        start = 0
        for group in self.book.curves:
            own = slice(start, start + len(group.pieces))
            start = own.stop
            current[:, own], slope[:, own] = curve_current(
                group.law,
                across[:, own],
                self.curved_ohm[:, own],
                self.curved_emf_v[:, own],
                group.constants,
            )
        return np.where(self.bends, current, 0.0), np.where(self.bends, slope, 0.0)

    def currents(self, volts: Floats) -> tuple[Floats, Floats]:
        """Return the current of every piece, B x P, and the slopes of the curved ones, B x C."""
        across = volts @ self.book.incidence.T
        current = self.conductance * (across - self.emf_v)
        if not len(self.book.curved):
            return current, np.zeros((len(volts), 0))
        curved, slope = self.curves(across[:, self.book.curved])
        current[:, self.book.curved] += curved  # one of the two is zero
        return current, slope

    def balance(self, volts: Floats) -> tuple[Floats, Floats]:
        """Return the current that leaves each point and should be none, and the slopes."""
        current, slope = self.currents(volts)
        return current @ self.book.incidence + LEAK_S * volts, slope

    def allowed(self, volts: Floats, slope: Floats) -> Floats:
        """Return how far from balance rounding alone may leave each point. [A]"""
        size = np.abs(self.book.incidence)
        terms = self.conductance.copy()
        terms[:, self.book.curved] += slope
        terms *= np.abs(volts) @ size.T + np.abs(self.emf_v)
        return CURRENT_TOLERANCE_A + ROUNDING * (terms @ size)

    def is_settled(self, volts: Floats, wrong: Floats, slope: Floats) -> Flags:
        """Return whether what is wrong is no more than rounding."""
        settled: Flags = np.all(np.abs(wrong) <= self.allowed(volts, slope), axis=1)
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
    conductance = np.where(conducts, 1.0 / ohm, 0.0)
    bends = conducts[:, curved] & ~is_plain[:, curved]
    conductance[:, curved] = np.where(bends, 0.0, conductance[:, curved])
    plain_emf = emf_v.copy()
    plain_emf[:, curved] = 0.0
    return Laws(
        book=book,
        conductance=conductance,
        emf_v=plain_emf,
        bends=bends,
        curved_ohm=ohm[:, curved],
        curved_emf_v=emf_v[:, curved],
    )
