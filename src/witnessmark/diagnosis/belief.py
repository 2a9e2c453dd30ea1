"""Bayes over suspects: how likely each is, given complaints, meter readings and a test lamp.

A suspect is one way in which one part fails. How badly it failed is not known, so a suspect is
held as several samples (its severities), and everything here works on arrays over samples. All
products are sums of logarithms, so that fifty readings do not run out of digits.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, logsumexp

from witnessmark.errors import BenchError

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]
Flags = NDArray[np.bool_]

# The chances below are the program's own, from shop habit; no published source. They are gathered
# here so that a shop that knows better has one place to change.
METER_GAIN: Final = 0.006  # of the reading: meter, probe and the supply's drift between readings
METER_FLOOR_V: Final = 0.03  # V: probe contact and the last digits
MISREAD: Final = 0.02  # chance that a reading says nothing: wrong point, wrong scale, slipped probe
UNSTEADY: Final = -1.0  # the u of a point whose reading wanders (a chattering relay): any value

DARK, DIM, LIT = 0, 1, 2
LAMP_OUTCOMES: Final = ("dark", "dim", "lit")
LAMP_DARK_V: Final = (2.5, 0.5)  # V, V: middle and width of the border between dark and dim
LAMP_LIT_V: Final = (8.0, 0.7)  # V, V: between dim and lit, on a 12 V lamp
LAMP_MISREAD: Final = 0.03

WORKS, WEAK, DEAD, ON = 0, 1, 2, 3
LOOKS: Final = ("works", "weak", "dead", "on")
DEAD_POWER: Final = (0.10, 0.03)  # share of healthy power: middle and width of the soft border
WORKS_POWER: Final = (0.85, 0.04)
ON_POWER: Final = (0.25, 0.06)  # share of full power at which a load that should rest is noticed

# Rows: how it truly looks. Columns: what is reported. Rows add up to 1.
REPORTED: Final[dict[str, Floats]] = {
    "customer": np.array(
        [
            [0.945, 0.03, 0.02, 0.005],
            [0.06, 0.73, 0.20, 0.01],
            [0.03, 0.12, 0.84, 0.01],
            [0.05, 0.03, 0.02, 0.90],
        ]
    ),
    "here": np.array(
        [
            [0.974, 0.020, 0.005, 0.001],
            [0.030, 0.945, 0.020, 0.005],
            [0.005, 0.025, 0.965, 0.005],
            [0.020, 0.005, 0.005, 0.970],
        ]
    ),
}


def meter_uncertainty(voltage_v: Floats | float, resolution_v: float) -> Floats:
    """Return the standard uncertainty of a meter reading taken on a vehicle.

    Parameters
    ----------
    voltage_v
        Voltage at the point, as predicted. [V]
    resolution_v
        Step of the last digit that was typed; 0.1 for "12.4". [V]

    Returns
    -------
    ndarray
        Standard uncertainty, of the shape of `voltage_v`. [V]

    Notes
    -----
    Root sum of squares of a share of the reading, a floor, and the rounding of the last digit
    (a rectangle, resolution / sqrt(12)). The share is wider than a good meter's, because the
    supply also moves between two readings.

    Examples
    --------
    >>> round(float(meter_uncertainty(12.0, 0.1)), 3)
    0.083
    """
    spread = (METER_GAIN * np.abs(voltage_v)) ** 2 + METER_FLOOR_V**2 + resolution_v**2 / 12.0
    return np.asarray(np.sqrt(spread), dtype=np.float64)


def volts_log_likelihood(
    predicted_v: Floats,
    reading_v: float,
    resolution_v: float,
    span_v: float,
    unsteady: Flags | None = None,
    known: Flags | None = None,
) -> Floats:
    """Return the log likelihood of one meter reading for every sample.

    Parameters
    ----------
    predicted_v
        Voltage that each sample predicts at the point. [V]
    reading_v
        The reading. [V]
    resolution_v
        Step of the last digit typed. [V]
    span_v
        Width of the range over which a senseless reading is spread evenly. [V]
    unsteady
        Samples whose reading wanders there, so that any value fits alike.
    known
        Samples that predict anything at all; 'something else' does not.

    Returns
    -------
    ndarray
        Natural logarithm of a density. [1/V]
    """
    u_v = meter_uncertainty(predicted_v, resolution_v)
    log_flat = -np.log(span_v)
    distance = (reading_v - predicted_v) / u_v
    log_fit = -0.5 * distance**2 - np.log(u_v * np.sqrt(2.0 * np.pi))
    log_density = np.logaddexp(np.log1p(-MISREAD) + log_fit, np.log(MISREAD) + log_flat)
    flat = np.zeros(predicted_v.shape, dtype=np.bool_)
    if unsteady is not None:
        flat = flat | unsteady
    if known is not None:
        flat = flat | ~known
    return np.asarray(np.where(flat, log_flat, log_density), dtype=np.float64)


def misread_chance(
    predicted_v: Floats, reading_v: float, resolution_v: float, span_v: float
) -> Floats:
    """Return, for every sample, the chance that the reading was a slip if that sample is true.

    Parameters
    ----------
    predicted_v
        Voltage that each sample predicts at the point. [V]
    reading_v
        The reading. [V]
    resolution_v
        Step of the last digit typed. [V]
    span_v
        Width of the range over which a senseless reading is spread evenly. [V]
    """
    u_v = meter_uncertainty(predicted_v, resolution_v)
    log_fit = -0.5 * ((reading_v - predicted_v) / u_v) ** 2 - np.log(u_v * np.sqrt(2.0 * np.pi))
    slip = np.log(MISREAD) - np.log(span_v)
    return np.asarray(expit(slip - log_fit - np.log1p(-MISREAD)), dtype=np.float64)


def lamp_chances(lamp_v: Floats) -> Floats:
    """Return the chance of dark, dim and lit of a 12 V test lamp with some volts across it.

    Parameters
    ----------
    lamp_v
        Voltage across the lamp with the lamp in the circuit. [V]

    Returns
    -------
    ndarray
        One axis more than `lamp_v`: the chances of dark, dim, lit, which add up to 1.

    Notes
    -----
    Light goes with about the 3.4th power of the voltage, so at 6 V a tenth of the light is left
    (law of incandescent lamps, seen quoted from an electrical handbook). The borders are soft:
    two people call the same glow by two names. Where they lie is the program's own choice.
    """
    volts = np.abs(lamp_v)
    dark = expit((LAMP_DARK_V[0] - volts) / LAMP_DARK_V[1])
    lit = expit((volts - LAMP_LIT_V[0]) / LAMP_LIT_V[1])
    dim = np.clip(1.0 - dark - lit, 0.0, 1.0)
    chances = np.stack([dark, dim, lit], axis=-1)
    chances /= chances.sum(axis=-1, keepdims=True)
    return np.asarray((1.0 - LAMP_MISREAD) * chances + LAMP_MISREAD / 3.0, dtype=np.float64)


def look_chances(power_share: Floats, full_share: Floats, should_run: bool) -> Floats:
    """Return the chance that a load looks as if it works, is weak, is dead, or is on unasked.

    Parameters
    ----------
    power_share
        Power of the load over its healthy power in the same state. [1]
    full_share
        Power of the load over the most it has in any state when healthy. [1]
    should_run
        Whether the healthy load runs in this state.

    Returns
    -------
    ndarray
        Last axis: works, weak, dead, on.
    """
    shape = np.shape(power_share)
    chances = np.zeros((*shape, len(LOOKS)))
    if should_run:
        chances[..., DEAD] = expit((DEAD_POWER[0] - power_share) / DEAD_POWER[1])
        chances[..., WORKS] = expit((power_share - WORKS_POWER[0]) / WORKS_POWER[1])
        chances[..., WEAK] = np.clip(1.0 - chances[..., DEAD] - chances[..., WORKS], 0.0, 1.0)
    else:
        chances[..., ON] = expit((full_share - ON_POWER[0]) / ON_POWER[1])
        chances[..., WORKS] = 1.0 - chances[..., ON]
    return np.asarray(chances / chances.sum(axis=-1, keepdims=True), dtype=np.float64)


def report_log_likelihood(looks: Floats, look: str, source: str) -> Floats:
    """Return the log likelihood of one report, "weak" or so, for every sample.

    Parameters
    ----------
    looks
        Chances of how the load truly looks, as `look_chances` gives them.
    look
        What was reported: "works", "weak", "dead" or "on".
    source
        "customer" (the customer says) or "here" (seen here): trusted differently.
    """
    if look not in LOOKS:
        raise BenchError(
            f'The complaint looks like "{look}".',
            "It must be one of works, weak, dead, on.",
            "Choose the one that comes nearest.",
        )
    if source not in REPORTED:
        raise BenchError(
            f'The complaint comes from "{source}".',
            'It must be "customer" (the customer says) or "here" (seen here).',
            "Say who saw it.",
        )
    return np.asarray(np.log(looks @ REPORTED[source][:, LOOKS.index(look)]), dtype=np.float64)


def posterior(log_prior: Floats, log_likelihoods: list[Floats]) -> Floats:
    """Return the belief in every sample: prior times likelihoods, adding up to 1.

    Parameters
    ----------
    log_prior
        Natural logarithm of the weights before any observation; need not be normalised.
    log_likelihoods
        One array for each observation. [natural logarithm]

    Examples
    --------
    Two suspects, alike at first; a reading three times as likely under the second:

    >>> even = np.log(np.array([1.0, 1.0]))
    >>> posterior(even, [np.log(np.array([0.2, 0.6]))]).round(2).tolist()
    [0.25, 0.75]
    """
    log_weight = sum(log_likelihoods, log_prior)
    return np.asarray(np.exp(log_weight - logsumexp(log_weight)), dtype=np.float64)


def gathered(belief: Floats, index: Indices, count: int) -> Floats:
    """Return the belief of samples added up by suspect or by repair.

    Parameters
    ----------
    belief
        Belief in every sample.
    index
        For every sample, the number of its suspect or repair.
    count
        How many suspects or repairs there are.
    """
    return np.bincount(index, weights=belief, minlength=count).astype(np.float64)


def entropy_bits(shares: Floats) -> float:
    """Return the entropy of shares that add up to 1, in bits: how much is not known yet.

    Parameters
    ----------
    shares
        Shares of belief that add up to 1.

    Examples
    --------
    >>> entropy_bits(np.array([0.5, 0.25, 0.25]))
    1.5
    """
    held = shares[shares > 0.0]
    return float(-(held * np.log2(held)).sum())
