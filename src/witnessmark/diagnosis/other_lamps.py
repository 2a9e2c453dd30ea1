"""A bulb held somewhere, and the other lamps of the circuit, which bend as it draws current."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.networks.curves import LAMP_KNEE_V, curve_current
from witnessmark.networks.piece import Law
from witnessmark.networks.pieces import LAMP_EXPONENT
from witnessmark.networks.test_lamp import LAMP_V, LAMP_W

ROUNDS: Final = 12  # of letting other lamps answer
SETTLED_V: Final = 1e-3  # V: a change that is not worth another round
BENT_V: Final = 0.01  # V: a change in the last round beyond which a case is solved again
LIT_V: Final = 1e-6  # V: so well is the bulb's own law solved
_NOTHING: Final = np.zeros(1)  # a bulb has no resistance or EMF beside its curve
LEAP: Final = 3  # every so many rounds their course is carried on to its end
MOST_RATIO: Final = 0.9  # of one round's step to the one before, that is carried on
SMALL: Final = 0.3  # of a lamp's volts: a change that is small against them
PLAIN_S: Final = 5.0  # S: a lamp as steep as that has become a short, and bends no more


@dataclass(frozen=True, slots=True, kw_only=True)
class Bulbs:
    """The lamps of a circuit, K of them, at B operating points, with a bulb at one of M points.

    Attributes
    ----------
    k
        K: factor of each law, amperes at one volt above its knee.
    here
        K x B: volts across each. [V]
    slope
        K x B: slope of each law there. [S]
    reach
        K x B x M: rise across each for a current into the point, out of the clip. [Ω]
    between
        K x K x B: rise across the second for a current backwards through the first. [Ω]
    """

    k: Floats
    here: Floats
    slope: Floats
    reach: Floats
    between: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class _Near:
    """The lamps around R bulbs: K x R, and K x K x R between them, as `Bulbs` has them."""

    k: Floats
    here: Floats
    slope: Floats
    reach: Floats
    between: Floats

    def rows(self, chosen: Indices) -> "_Near":
        return _Near(
            k=self.k[:, chosen],
            here=self.here[:, chosen],
            slope=self.slope[:, chosen],
            reach=self.reach[:, chosen],
            between=self.between[..., chosen],
        )


def _near(others: Bulbs, k: Floats, row: Indices, point: Indices) -> _Near:
    return _Near(
        k=k[:, row],
        here=others.here[:, row],
        slope=others.slope[:, row],
        reach=others.reach[:, row, point],
        between=others.between[..., row],
    )


def with_others(open_v: Floats, ohm: Floats, others: Bulbs) -> tuple[Floats, Floats, Floats, Flags]:
    """Return volts and current of a bulb, the other lamps' extra currents, and where they fail.

    The circuit answers the bulb's current along the slopes of its pieces. Other lamps bend: what
    their law gives beside their slope is a current of its own, found by going round until the
    bulb's volts move no more.

    Parameters
    ----------
    open_v
        B x M: what is offered at each point. [V]
    ohm
        B x M: the resistance behind it. [Ω]
    others
        The other lamps.

    Returns
    -------
    tuple of ndarray
        Volts, B x M [V]; current, B x M [A]; extra currents, K x B x M [A]; whether the rounds
        found no rest, B x M.
    """
    volts, current = bulb_at(open_v, ohm)
    extra = np.zeros(others.reach.shape)
    moving = np.zeros(open_v.shape, dtype=np.bool_)
    lit = (others.slope > 0) & (others.slope < PLAIN_S)  # along its curve: not open, no short
    moved = np.abs(others.reach * current) > np.where(lit, _straight_v(others), np.inf)[:, :, None]
    row, point = np.nonzero(moved.any(axis=0))
    lamps = np.flatnonzero(moved.any(axis=(1, 2)))
    near = _near(others, np.where(lit, others.k[:, None], 0.0), row, point)
    offered_v, behind_ohm = open_v[row, point], ohm[row, point]
    held_v, held_a, beside = volts[row, point], current[row, point], extra[:, row, point]
    step = np.zeros_like(beside)
    for turn in range(ROUNDS):
        if not len(row):
            break
        was, last = beside.copy(), step
        for lamp in lamps.tolist():
            change = -near.reach[lamp] * held_a
            for other in lamps.tolist():
                if other != lamp:
                    change -= near.between[other, lamp] * beside[other]
            beside[lamp] = _extra(near, lamp, change)
        before = held_v
        bend_v = (near.reach * beside).sum(axis=0)
        held_v, held_a = bulb_at(offered_v - bend_v, behind_ohm, before)
        volts[row, point], current[row, point], extra[:, row, point] = held_v, held_a, beside
        shift = np.abs(held_v - before)
        moving[row, point] = shift > BENT_V
        step = beside - was
        if turn % LEAP == LEAP - 1:
            beside = beside + _leap(step, last)
        on = np.flatnonzero(shift >= SETTLED_V)
        row, point, near, beside, step = (
            row[on],
            point[on],
            near.rows(on),
            beside[:, on],
            step[:, on],
        )
        offered_v, behind_ohm, held_v, held_a = (
            each[on] for each in (offered_v, behind_ohm, held_v, held_a)
        )
    return volts, current, extra, moving


def _leap(step: Floats, last: Floats) -> Floats:
    """Return how much further steps lead that shrink by the same share each time (Aitken)."""
    ratio = (step * last).sum(axis=0) / np.maximum((last**2).sum(axis=0), 1e-300)
    ratio = np.clip(ratio, -MOST_RATIO, MOST_RATIO)
    return np.asarray(step * ratio / (1.0 - ratio), dtype=np.float64)


def _straight_v(others: Bulbs) -> Floats:
    """Return by lamp and operating point how far its volts may change and its law be its tangent.

    Beside its tangent a lamp takes at most a quarter of slope x change^2 / volts while the change
    is small against its volts; that may move the bulb by a quarter of `SETTLED_V`.
    """
    own_v = np.maximum(np.abs(others.here), LAMP_KNEE_V)
    reach = np.abs(others.reach).max(axis=2, initial=0.0)
    still_v = np.sqrt(SETTLED_V * own_v / np.maximum(others.slope * reach, 1e-12))
    return np.asarray(np.maximum(np.minimum(still_v, SMALL * own_v), SETTLED_V), dtype=np.float64)


def bulb_at(open_v: Floats, ohm: Floats, near_v: Floats | None = None) -> tuple[Floats, Floats]:
    """Return the volts across a bulb behind a resistance, and its current. [V], [A]

    Newton: the law is concave, so that from below no step passes the root, and one step from
    above leads below it.

    Parameters
    ----------
    open_v
        Open voltage. [V]
    ohm
        Resistance behind it. [Ω]
    near_v
        About what is expected. [V]
    """
    k = np.array(LAMP_W / LAMP_V / LAMP_V**LAMP_EXPONENT)
    wanted = np.abs(open_v)
    volts = np.zeros_like(wanted) if near_v is None else np.minimum(np.abs(near_v), wanted)
    for _ in range(60):
        current, slope = _law(volts, k)
        step = (wanted - volts - ohm * current) / (1.0 + ohm * slope)
        volts = np.maximum(volts + step, 0.0)
        if np.abs(step).max(initial=0.0) < LIT_V:
            break
    current, _ = _law(volts, k)
    return np.sign(open_v) * volts, np.sign(open_v) * current


def _law(volts: Floats, k: Floats) -> tuple[Floats, Floats]:
    """Current and slope of a bulb."""
    return curve_current(Law.LAMP, volts, _NOTHING, _NOTHING, k[np.newaxis])


def _extra(near: _Near, lamp: int, change: Floats) -> Floats:
    """Return a lamp's current beside its slope, when its volts want to change. [A]

    The lamp answers its own extra current: D + own * extra(D) = change, by Newton, only where the
    change is worth it. The left side rises with D, as no slope is steeper than the circuit's own.
    """
    extra = np.zeros_like(change)
    worth = np.flatnonzero((np.abs(change) > SETTLED_V) & (near.k[lamp] > 0))
    if not len(worth):
        return extra
    v, k, g, z = (
        each[worth]
        for each in (near.here[lamp], near.k[lamp], near.slope[lamp], near.between[lamp, lamp])
    )
    wanted = change[worth]
    still = _law(v, k)[0]
    moved = wanted.copy()
    for _ in range(25):
        bent, steep = _law(v + moved, k)
        step = (wanted - moved - z * (bent - still - g * moved)) / (1.0 + z * (steep - g))
        step = np.clip(step, -3.0, 3.0)
        moved += step
        if np.abs(step).max() < SETTLED_V / 10:
            break
    extra[worth] = _law(v + moved, k)[0] - still - g * moved
    return extra
