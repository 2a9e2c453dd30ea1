"""Which test next: the greatest expected gain per minute.

The gain of a test is how much less uncertain, on average over its outcomes, the choice of the
repair will be (the mutual information of outcome and repair). Suspects that one repair heals are
one thing here: nobody needs to tell them apart.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from scipy.special import ndtr

from witnessmark.diagnosis.belief import MISREAD, Flags, Floats, Indices, meter_uncertainty

RESOLUTION_V: Final = 0.01  # V: a meter on its 20 V range
BIN_IN_U: Final = 0.8  # width of an outcome bin over the meter's uncertainty there
NOTHING: Final = 1e-7  # a chance that is left out
BELOW_V: Final = 1.5  # V: how far below 0 V an outcome may lie
ABOVE_V: Final = 2.5  # V: how far above the supply


@dataclass(frozen=True, slots=True)
class _Bins:
    """Outcome bins of a meter, and how likely a predicted voltage ends in each of them."""

    edges_v: Floats
    flat: Floats  # chance of each bin where any value is as likely
    # By how many bins the outcome lies off: the chance of it, by predicted bin. Beyond these the
    # chances are nothing, and a handful of sums is quicker than a product with the whole matrix.
    bands: tuple[tuple[int, Floats], ...]


@lru_cache(maxsize=32)
def _bins(supply_v: float, supply_spread: float) -> _Bins:
    edges = [-BELOW_V]
    while edges[-1] < supply_v + ABOVE_V:
        u_v = float(meter_uncertainty(edges[-1], RESOLUTION_V))
        edges.append(edges[-1] + BIN_IN_U * u_v)
    edges_v = np.array(edges)
    middle_v = (edges_v[:-1] + edges_v[1:]) / 2.0
    u_all_v = np.hypot(meter_uncertainty(middle_v, RESOLUTION_V), supply_spread * middle_v)
    below = ndtr((edges_v[None, :] - middle_v[:, None]) / u_all_v[:, None])
    fit = np.diff(below, axis=1)
    fit /= fit.sum(axis=1, keepdims=True)
    flat = np.diff(edges_v) / (edges_v[-1] - edges_v[0])
    bands = []
    for offset in range(-len(flat) + 1, len(flat)):
        band = np.diagonal(fit, offset)
        if band.max() > NOTHING:
            bands.append((offset, band.copy()))
    return _Bins(edges_v=edges_v, flat=flat, bands=tuple(bands))


def _outcomes(bins: _Bins, spread: Floats) -> Floats:
    """Return the chances of the outcomes for predictions by bin (the last: any value)."""
    settled, any_value = spread[..., :-1], spread[..., -1:]
    count = settled.shape[-1]
    shown = (MISREAD * settled.sum(axis=-1, keepdims=True) + any_value) * bins.flat
    for offset, band in bins.bands:
        low, high = max(0, -offset), min(count, count - offset)
        shown[..., low + offset : high + offset] += (1.0 - MISREAD) * settled[..., low:high] * band
    return np.asarray(shown, dtype=np.float64)


def _information_bits(joint: Floats) -> Floats:
    """Return the mutual information of the last two axes (group, outcome)."""
    joint = joint / joint.sum(axis=(-2, -1), keepdims=True)
    group = joint.sum(axis=-1, keepdims=True)
    outcome = joint.sum(axis=-2, keepdims=True)
    together = group * outcome
    with np.errstate(divide="ignore", invalid="ignore"):
        term = np.where(joint > 0.0, joint * np.log2(joint / together), 0.0)
    return np.asarray(np.maximum(term.sum(axis=(-2, -1)), 0.0), dtype=np.float64)


def _compact(belief: Floats, group: Indices, groups: int) -> tuple[Indices, int]:
    """Put the groups that hardly anybody believes in into one, to spare work."""
    shares = np.bincount(group, weights=belief, minlength=groups)
    held = np.flatnonzero(shares > 5e-4)
    place = np.full(groups, len(held), dtype=np.intp)
    place[held] = np.arange(len(held))
    return place[group], len(held) + 1


def volts_gains(
    belief: Floats,
    group: Indices,
    groups: int,
    predicted_v: Floats,
    unsteady: Flags,
    supply_v: float,
    supply_spread: float = 0.0,
) -> Floats:
    """Return the expected gain of a meter reading at each point.

    Parameters
    ----------
    belief
        Belief in every sample; adds up to 1.
    group
        For every sample, the number of the repair that heals it.
    groups
        How many repairs there are.
    predicted_v
        Sample by test: the voltage predicted. [V]
    unsteady
        Sample by test: where the sample does not say what the meter would read.
    supply_v
        Voltage of the source, which sets the range of outcomes. [V]
    supply_spread
        How far this vehicle's supply may be from the one predicted, as a share. [1]

    Returns
    -------
    ndarray
        Gain of each test. [bit]
    """
    bins = _bins(round(supply_v, 3), round(supply_spread * 400.0) / 400.0)
    count = len(bins.edges_v) - 1
    tests = predicted_v.shape[1]
    place, kept = _compact(belief, group, groups)
    at = np.clip(np.searchsorted(bins.edges_v, predicted_v) - 1, 0, count - 1)
    at = np.where(unsteady, count, at)
    flat_index = (np.arange(tests)[None, :] * kept + place[:, None]) * (count + 1) + at
    each = np.broadcast_to(belief[:, None], predicted_v.shape).ravel()
    spread = np.bincount(
        flat_index.ravel(), weights=each, minlength=tests * kept * (count + 1)
    ).astype(np.float64)
    spread = spread.reshape(tests, kept, count + 1)
    return _information_bits(_outcomes(bins, spread))


def outcome_gains(belief: Floats, group: Indices, groups: int, chances: Floats) -> Floats:
    """Return the expected gain of tests with few outcomes, a test lamp for one.

    Parameters
    ----------
    belief
        Belief in every sample; adds up to 1.
    group
        For every sample, the number of the repair that heals it.
    groups
        How many repairs there are.
    chances
        Sample by test by outcome: the chance of the outcome; each row adds up to 1.

    Returns
    -------
    ndarray
        Gain of each test. [bit]
    """
    place, kept = _compact(belief, group, groups)
    order = np.argsort(place, kind="stable")
    held, starts = np.unique(place[order], return_index=True)
    joint = np.zeros((kept, *chances.shape[1:]))
    joint[held] = np.add.reduceat(belief[order, None, None] * chances[order], starts, axis=0)
    return _information_bits(joint.transpose(1, 0, 2))
