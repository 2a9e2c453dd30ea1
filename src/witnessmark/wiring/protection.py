"""Whether a fuse opens before the insulation of its thinnest wire is hurt."""

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import inf
from typing import Final

from scipy.optimize import brentq, minimize_scalar

from witnessmark.wiring.fuses import Fuse
from witnessmark.wiring.heating import Heating
from witnessmark.wiring.sentences import amps_words, time_words

_STEPS: Final = 160
_NEAR: Final = 0.25  # of the wire's time
_MOST_RATINGS: Final = 40.0  # a dead short on a small fuse; beyond, both curves are parallel


class Guard(StrEnum):
    """What a fuse does for a wire."""

    PROTECTS = "protects"
    SLOW = "protects, but not from a slow overload"
    DOES_NOT = "does not protect"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Currents at which the wire may be hurt before the fuse has opened. [A]"""

    from_a: float
    to_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stall:
    """A motor that is held still: what its fuse and its wire do at that current.

    Attributes
    ----------
    current_a
        Current of the held motor. [A]
    least_s, most_s
        The fuse opens no sooner and no later; None where it may stay whole. [s]
    hurt_s
        The wire's insulation is hurt after this time; None for never. [s]
    """

    current_a: float
    least_s: float
    most_s: float | None
    hurt_s: float | None

    @property
    def wire_is_safe(self) -> bool:
        """Whether the fuse opens before the wire is hurt, or the wire bears it."""
        if self.hurt_s is None:
            return True
        return self.most_s is not None and self.most_s < self.hurt_s

    @property
    def sentence(self) -> str:
        """What the stall does to fuse, wire and motor."""
        held = f"Held still, the motor takes {amps_words(self.current_a)}."
        if self.most_s is None:
            opens = " The fuse may never open at that current"
        else:
            opens = f" The fuse opens after {_span(self.least_s, self.most_s)}"
        if self.hurt_s is None:
            wire = ", and the wire bears it."
        elif self.wire_is_safe:
            wire = f", before the wire is hurt ({time_words(self.hurt_s)})."
        else:
            wire = f", and the wire is hurt after {time_words(self.hurt_s)}."
        return f"{held}{opens}{wire} The fuse is there for the wire: it does not save the motor."


@dataclass(frozen=True, slots=True, kw_only=True)
class Protection:
    """A fuse against the wire it feeds.

    Attributes
    ----------
    fuse, wire
        The pair.
    guard
        What the fuse does for the wire.
    gaps
        Where it does not protect at all, by rising current.
    slow
        Currents that the fuse may carry for good and the wire may not; None if there are none.
    """

    fuse: Fuse
    wire: Heating
    guard: Guard
    gaps: tuple[Gap, ...]
    slow: Gap | None

    @property
    def sentences(self) -> tuple[str, ...]:
        """What the fuse does for the wire, with its numbers."""
        wire, fuse = self.wire.size.label, self.fuse.label
        bears = self.wire.amps.allowed_a
        if self.guard is Guard.DOES_NOT and self.fuse.rating_a > bears:
            first = (
                f"The {fuse} does not protect {wire}: the wire bears {amps_words(bears)} here, "
                "less than the fuse carries."
            )
        elif self.guard is Guard.DOES_NOT:
            spans = " and ".join(
                f"{amps_words(gap.from_a)} to {amps_words(gap.to_a)}" for gap in self.gaps
            )
            first = (
                f"The {fuse} does not protect {wire}: from {spans} the wire may be hurt before "
                "the fuse opens."
            )
        else:
            first = (
                f"The {fuse} protects {wire}: in a short circuit it opens before the wire is hurt."
            )
        said = [first]
        if self.slow is not None and self.guard is not Guard.DOES_NOT:
            hurt_s = self.wire.hurt_after_s(self.slow.to_a)
            aged = "" if hurt_s is None else f", at the upper end within {time_words(hurt_s)}"
            said.append(
                f"A slow overload of {amps_words(self.slow.from_a)} to "
                f"{amps_words(self.slow.to_a)} may never open it, and would age the wire{aged}."
            )
        return tuple(said)


def check_protection(fuse: Fuse, wire: Heating) -> Protection:
    """Return whether a fuse opens before the insulation of a wire is hurt.

    Parameters
    ----------
    fuse
        The fuse, with the band in which it opens.
    wire
        The thinnest wire behind it, fully loaded at the start.

    Returns
    -------
    Protection
        It protects where the greatest opening time of the fuse lies below the time that hurts
        the wire, at every current at which the fuse opens for sure, and where its rating is no
        more than the wire bears for years. Between that and the least current that opens it for
        sure lies the slow overload, which no fuse of the rating keeps off.

    References
    ----------
    [1] A protector opens before the wire's rating and sits at the source: aircraft practice,
        AC 43.13-1B 11-47 and 11-48. Seen.

    Examples
    --------
    >>> from witnessmark.wiring.ampacity import Place
    >>> from witnessmark.wiring.fuses import FuseKind, fuse_of
    >>> from witnessmark.wiring.heating import heating_of
    >>> from witnessmark.wiring.insulation import insulation
    >>> from witnessmark.wiring.sizes import awg
    >>> wire = heating_of(awg(18), insulation("pvc-80"), Place())
    >>> str(check_protection(fuse_of(FuseKind.STANDARD, 10), wire).guard)
    'protects'
    >>> str(check_protection(fuse_of(FuseKind.STANDARD, 30), wire).guard)
    'does not protect'
    """
    bears = wire.amps.allowed_a
    gaps = _gaps(fuse, wire)
    slow = Gap(from_a=bears, to_a=fuse.opens_from_a) if bears < fuse.opens_from_a else None
    if gaps or fuse.rating_a > bears * (1 + 1e-9):
        guard = Guard.DOES_NOT
    else:
        guard = Guard.PROTECTS if slow is None else Guard.SLOW
    return Protection(fuse=fuse, wire=wire, guard=guard, gaps=gaps, slow=slow)


def check_stall(fuse: Fuse, wire: Heating, stalled_a: float) -> Stall:
    """Return what fuse and wire do while a motor is held still.

    Parameters
    ----------
    fuse
        The fuse.
    wire
        The thinnest wire behind it.
    stalled_a
        Current of the held motor. [A]

    Returns
    -------
    Stall
        Opening times and the time that hurts the wire.

    Examples
    --------
    >>> from witnessmark.wiring.ampacity import Place
    >>> from witnessmark.wiring.fuses import FuseKind, fuse_of
    >>> from witnessmark.wiring.heating import heating_of
    >>> from witnessmark.wiring.insulation import insulation
    >>> from witnessmark.wiring.sizes import awg
    >>> wire = heating_of(awg(16), insulation("pvc-105"), Place())
    >>> check_stall(fuse_of(FuseKind.STANDARD, 10), wire, 18.9).hurt_s is None
    True
    """
    return Stall(
        current_a=stalled_a,
        least_s=fuse.least_s(stalled_a),
        most_s=fuse.most_s(stalled_a),
        hurt_s=wire.hurt_after_s(stalled_a),
    )


def _gaps(fuse: Fuse, wire: Heating) -> tuple[Gap, ...]:
    """Where the fuse opens for sure, but later than the wire is hurt."""

    def late(current_a: float) -> float:
        hurt_s = wire.hurt_after_s(current_a)
        most_s = fuse.most_s(current_a)
        assert most_s is not None, "a current below the sure opening"
        return most_s / (inf if hurt_s is None else hurt_s) - 1.0

    start, end = fuse.opens_from_a, fuse.rating_a * _MOST_RATINGS
    ratio = (end / start) ** (1 / _STEPS)
    corners = (fuse.rating_a * p.times for p in fuse.band.points if p.most_s is not None)
    at = sorted({*(start * ratio**step for step in range(_STEPS + 1)), *corners})
    lateness = [late(one) for one in at]
    for low, high in pairwise(tuple(zip(at, lateness, strict=True))):
        # a gap that opens and closes between two steps shows by how near both are
        if -_NEAR < max(low[1], high[1]) <= 0:
            top = minimize_scalar(
                lambda one: -late(float(one)), bounds=(low[0], high[0]), method="bounded"
            )
            at.append(float(top.x))
            lateness.append(-float(top.fun))
    steps = sorted(zip(at, lateness, strict=True))
    gaps: list[Gap] = []
    from_a = start if steps[0][1] > 0 else None
    for (before_a, before), (after_a, after) in pairwise(steps):
        if (before > 0) != (after > 0):
            edge = float(brentq(late, before_a, after_a))
            if from_a is None:
                from_a = edge
            else:
                gaps.append(Gap(from_a=from_a, to_a=edge))
                from_a = None
    if from_a is not None:
        gaps.append(Gap(from_a=from_a, to_a=end))
    return tuple(gaps)


def _span(least_s: float, most_s: float) -> str:
    if least_s > 0:
        return f"{time_words(least_s)} to {time_words(most_s)}"
    return f"at most {time_words(most_s)}"
