"""Bayes over suspects: how likely each is, given complaints, meter readings and a test lamp.

A suspect is one way in which one part fails. How badly it failed is not known, so a suspect is
held as several samples (its severities), and everything here works on arrays over samples. All
products are sums of logarithms, so that fifty readings do not run out of digits.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, logsumexp

from witnessmark.diagnosis.kinds import CLAMP, LAMP, LED, OHMS, VOLTS

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]
Flags = NDArray[np.bool_]

# The chances below are the program's own, from shop habit; no published source. They are gathered
# here so that a shop that knows better has one place to change.
MISREAD: Final = 0.02  # chance that a reading says nothing: wrong point, wrong scale, slipped probe


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter:
    """How exact a reading is: a share of the reading, and a floor in its unit."""

    gain: float
    floor: float


METERS: Final = {
    # meter, probe and the supply's drift between readings; probe contact and the last digits
    VOLTS: Meter(gain=0.006, floor=0.03),
    CLAMP: Meter(gain=0.02, floor=0.1),  # the zero of a DC clamp drifts
    OHMS: Meter(gain=0.01, floor=0.2),  # the leads alone have some tenths of an ohm
}
VOLTMETER: Final = METERS[VOLTS]

DARK, DIM, LIT = 0, 1, 2
# Middle and width of the borders between dark and dim, and between dim and lit. [V]
LAMP_DARK_V: Final = {LAMP: (2.5, 0.5), LED: (3.0, 0.4)}
LAMP_LIT_V: Final = {LAMP: (8.0, 0.7), LED: (5.5, 0.7)}
LAMP_MISREAD: Final = 0.03


def meter_uncertainty(
    voltage_v: Floats | float, resolution_v: float, meter: Meter = VOLTMETER
) -> Floats:
    """Return the standard uncertainty of a meter reading taken on a vehicle.

    Parameters
    ----------
    voltage_v
        Voltage at the point, as predicted. [V]
    resolution_v
        Step of the last digit that was typed; 0.1 for "12.4". [V]
    meter
        How exact the meter is; of a clamp or an ohmmeter, all sizes here are in its own unit.

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
    spread = (meter.gain * np.abs(voltage_v)) ** 2 + meter.floor**2 + resolution_v**2 / 12.0
    return np.asarray(np.sqrt(spread), dtype=np.float64)


def volts_log_likelihood(
    predicted_v: Floats,
    reading_v: float,
    resolution_v: float,
    span_v: float,
    unsteady: Flags | None = None,
    known: Flags | None = None,
    meter: Meter = VOLTMETER,
    blur_v: Floats | float = 0.0,
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
    meter
        How exact the meter is.
    blur_v
        How far each prediction itself may be off, as a standard deviation. [V]

    Returns
    -------
    ndarray
        Natural logarithm of a density. [1/V]
    """
    u_v = np.hypot(meter_uncertainty(predicted_v, resolution_v, meter), blur_v)
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
    predicted_v: Floats,
    reading_v: float,
    resolution_v: float,
    span_v: float,
    meter: Meter = VOLTMETER,
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
    meter
        How exact the meter is.
    """
    u_v = meter_uncertainty(predicted_v, resolution_v, meter)
    log_fit = -0.5 * ((reading_v - predicted_v) / u_v) ** 2 - np.log(u_v * np.sqrt(2.0 * np.pi))
    slip = np.log(MISREAD) - np.log(span_v)
    return np.asarray(expit(slip - log_fit - np.log1p(-MISREAD)), dtype=np.float64)


def lamp_chances(lamp_v: Floats, tool: str = LAMP) -> Floats:
    """Return the chance of dark, dim and lit of a 12 V tester with some volts across it.

    Parameters
    ----------
    lamp_v
        Voltage across the lamp with the lamp in the circuit. [V]
    tool
        "lamp" for a bulb, "led" for an LED tester.

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
    (dark_v, dark_width_v), (lit_v, lit_width_v) = LAMP_DARK_V[tool], LAMP_LIT_V[tool]
    dark = expit((dark_v - volts) / dark_width_v)
    lit = expit((volts - lit_v) / lit_width_v)
    dim = np.clip(1.0 - dark - lit, 0.0, 1.0)
    chances = np.stack([dark, dim, lit], axis=-1)
    chances /= chances.sum(axis=-1, keepdims=True)
    return np.asarray((1.0 - LAMP_MISREAD) * chances + LAMP_MISREAD / 3.0, dtype=np.float64)


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
