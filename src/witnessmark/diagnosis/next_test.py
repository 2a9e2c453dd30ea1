"""How much each test is expected to tell.

The gain of a test is how much less uncertain, on average over its outcomes, the choice of the
repair will be (the mutual information of outcome and repair). Suspects that one repair mends are
one thing here: nobody needs to tell them apart.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from witnessmark.diagnosis.belief import (
    MISREAD,
    VOLTMETER,
    Flags,
    Floats,
    Indices,
    Meter,
)

RESOLUTION_SHARE: Final = 3.0  # a meter shows digits this much finer than its floor
BIN_IN_U: Final = 1.5  # width of an outcome bin over the meter's uncertainty there
WIDENED: Final = 1.06  # of a bin to either side: with the bins' own width, the meter's noise
LEAST_SHARE: Final = 5e-4  # of belief: repairs below it count as one
MOST_BINS: Final = 56  # for one test; a wider range has wider bins
AT_A_TIME: Final = 64  # tests: what they need stays in the processor's cache
MOST_REPAIRS: Final = 24  # that are told apart; the likeliest ones


class Worth(NamedTuple):
    """What each test is expected to tell.

    Attributes
    ----------
    bits
        Its gain. [bit]
    right
        How likely the likeliest repair is expected to be right after it.
    """

    bits: Floats
    right: Floats

    def less(self, share: Floats, likeliest: float) -> "Worth":
        """Return what is left where only a share of each test tells, by test.

        Parameters
        ----------
        share
            By test. [1]
        likeliest
            How likely the likeliest repair is before any test.
        """
        return Worth(self.bits * share, likeliest + share * (self.right - likeliest))


def compact(belief: Floats, group: Indices, groups: int) -> tuple[Indices, int]:
    """Return for every sample its repair among those worth telling apart, and how many.

    Parameters
    ----------
    belief
        Belief in every sample.
    group
        For every sample, the number of the repair that mends it.
    groups
        How many repairs there are.
    """
    shares = np.bincount(group, weights=belief, minlength=groups)
    order = np.argsort(-shares, kind="stable")[:MOST_REPAIRS]
    held = order[shares[order] > LEAST_SHARE]
    place = np.full(groups, len(held), dtype=np.intp)
    place[held] = np.arange(len(held))
    return place[group], len(held) + 1


def size_gains(
    belief: Floats,
    place: Indices,
    kept: int,
    low: NDArray[np.floating],
    high: NDArray[np.floating],
    unsteady: Flags,
    meter: Meter = VOLTMETER,
    supply_spread: float = 0.0,
) -> Worth:
    """Return what readings of a meter are expected to tell.

    Parameters
    ----------
    belief
        Belief in every sample; adds up to 1.
    place
        For every sample, its repair.
    kept
        How many repairs there are.
    low
        Sample by test: from which size on the sample predicts the reading.
    high
        Sample by test: up to which size.
    unsteady
        Sample by test: where the sample does not say what the meter would read.
    meter
        How exact the meter is.
    supply_spread
        How far this vehicle's supply may be from the one predicted, as a share. [1]

    Returns
    -------
    Worth
        By test.

    Notes
    -----
    Outcomes lie in bins of about the meter's uncertainty, which grows with the size; on the scale
    asinh(gain x / floor) all bins are alike. Each sample is spread evenly from low to high, and a
    bin to either side stands for the meter's noise.
    """
    tests = low.shape[1]
    if not tests:
        return Worth(np.zeros(0), np.zeros(0))
    if tests > AT_A_TIME:
        parts = [
            size_gains(
                belief,
                place,
                kept,
                low[:, at : at + AT_A_TIME],
                high[:, at : at + AT_A_TIME],
                unsteady[:, at : at + AT_A_TIME],
                meter,
                supply_spread,
            )
            for at in range(0, tests, AT_A_TIME)
        ]
        return Worth(*(np.concatenate(one) for one in zip(*parts, strict=True)))
    gain = float(np.hypot(meter.gain, supply_spread))
    floor = float(np.hypot(meter.floor, meter.floor / RESOLUTION_SHARE / np.sqrt(12.0)))
    least = np.arcsinh(gain * np.minimum(low, high) / floor) / (gain * BIN_IN_U)
    most = np.arcsinh(gain * np.maximum(low, high) / floor) / (gain * BIN_IN_U)
    bottom = least.min(axis=0)
    closer = np.minimum(1.0, MOST_BINS / np.maximum(most.max(axis=0) - bottom, 1e-9))
    least, most, bottom = least * closer, most * closer, bottom * closer
    start = np.floor(bottom) - 2.0
    least -= start[None, :] + WIDENED
    most -= start[None, :] - WIDENED
    bins = int(np.ceil(most.max())) + 3
    # A ramp from low to high: its slope begins at one and ends at the other, and each of these
    # kinks is shared between two bins. Adding up gives the share of belief in each bin.
    slope = np.where(unsteady, 0.0, belief[:, None] / (most - least))
    row = (np.arange(tests)[None, :] * kept + place[:, None]) * bins
    where = np.empty((4, *row.shape), dtype=np.intp)
    weight = np.empty((4, *row.shape))
    for at, sign, first in ((least, 1.0, 0), (most, -1.0, 2)):
        whole = at.astype(np.intp)
        later = sign * slope * (at - whole)
        where[first], where[first + 1] = row + whole, row + whole + 1
        weight[first], weight[first + 1] = sign * slope - later, later
    kinks = np.bincount(where.ravel(), weights=weight.ravel(), minlength=tests * kept * bins)
    joint = np.cumsum(kinks.reshape(tests, kept, bins), axis=-1, dtype=np.float64)
    told = joint.sum(axis=(1, 2))
    bits = (1.0 - MISREAD) * np.where(told > 1e-12, told * _information_bits(joint), 0.0)
    now = likeliest(belief, place)
    right = joint.max(axis=1).sum(axis=1) + (1.0 - told) * now
    return Worth(bits, MISREAD * now + (1.0 - MISREAD) * np.maximum(right, now))


def outcome_gains(belief: Floats, place: Indices, kept: int, chances: Floats) -> Worth:
    """Return what tests with few outcomes are expected to tell, a test lamp for one.

    Parameters
    ----------
    belief
        Belief in every sample; adds up to 1.
    place
        For every sample, its repair.
    kept
        How many repairs there are.
    chances
        Sample by test by outcome: the chance of the outcome; each row adds up to 1.

    Returns
    -------
    Worth
        By test.
    """
    count, tests, outcomes = chances.shape
    if not tests:
        return Worth(np.zeros(0), np.zeros(0))
    weight = np.zeros((kept, count))
    weight[place, np.arange(count)] = belief
    joint = (weight @ chances.reshape(count, -1)).reshape(kept, tests, outcomes)
    right = joint.max(axis=0).sum(axis=1)
    return Worth(_information_bits(joint.transpose(1, 0, 2)), right)


def most_bits(belief: Floats, place: Indices, kept: int, alike: Flags) -> Floats:
    """Return a bound on what tests can tell: as if whatever reads otherwise showed its repair.

    Parameters
    ----------
    belief
        Belief in every sample; adds up to 1.
    place
        For every sample, its repair.
    kept
        How many repairs there are.
    alike
        Sample by test: whether the sample reads as others do.

    Returns
    -------
    ndarray
        By test: the uncertainty of the repair less what is left of it among samples that read
        alike. [bit]
    """
    weight = np.zeros((kept, len(belief)), dtype=np.float32)
    weight[place, np.arange(len(belief))] = belief
    joint = (weight @ alike.astype(np.float32)).T.astype(np.float64)
    shares = np.bincount(place, weights=belief, minlength=kept).astype(np.float64)
    now = -_sums(shares[None, :])[0]
    return np.asarray(now + _sums(joint) - _sums(joint.sum(axis=1)[:, None]), dtype=np.float64)


def likeliest(belief: Floats, place: Indices) -> float:
    """Return the share of the likeliest repair.

    Parameters
    ----------
    belief
        Belief in every sample; adds up to 1.
    place
        For every sample, its repair.
    """
    return float(np.bincount(place, weights=belief).max())


def _information_bits(joint: Floats) -> Floats:
    """Return the mutual information of the last two axes (group, outcome)."""
    total = np.maximum(joint.sum(axis=(1, 2)), 1e-300)
    bits = (_sums(joint) - _sums(joint.sum(axis=2)) - _sums(joint.sum(axis=1))) / total + np.log2(
        total
    )
    return np.asarray(np.maximum(bits, 0.0), dtype=np.float64)


def _sums(shares: Floats) -> Floats:
    """Return by row the sum of p log2 p."""
    flat = shares.reshape(len(shares), -1)
    some = np.flatnonzero(flat > 1e-9)
    held = flat.ravel()[some]
    sums = np.bincount(some // flat.shape[1], weights=held * np.log2(held), minlength=len(flat))
    return np.asarray(sums, dtype=np.float64)
