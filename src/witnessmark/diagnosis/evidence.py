"""Weighing: belief from complaints and readings, what they leave unexplained, what fits nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import (
    LAMP_MISREAD,
    LAMP_OUTCOMES,
    LOOKS,
    Flags,
    Floats,
    gathered,
    lamp_chances,
    look_chances,
    misread_chance,
    posterior,
    report_log_likelihood,
    volts_log_likelihood,
)
from witnessmark.diagnosis.dictionary import Dictionary, Trouble
from witnessmark.diagnosis.observations import LAMP, Observation, TestReading
from witnessmark.errors import BenchError

# The battery of the vehicle is not the battery of the sheet: a healthy supply may stand a few
# per cent lower or higher. Each sample is weighed at each of these shares of the sheet's supply.
SUPPLY_SHARES: Final = np.linspace(0.96, 1.04, 17)
SUPPLY_SPREAD: Final = 0.02  # standard deviation of the share; the program's own choice
EXPLAINED: Final = 0.5  # a complaint is explained if it would look so more often than not
RUNS: Final = 0.05  # share of its greatest healthy power from which a load counts as running


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Belief after all observations.

    Attributes
    ----------
    belief
        Belief in every sample; adds up to 1.
    supply
        For every sample, the supply of this vehicle over that of the sheet, as expected.
    supply_spread
        Standard deviation of that share, over all samples. [1]
    suspects
        Belief by suspect.
    repairs
        Belief by repair.
    questioned
        Identifiers of readings that fit no suspect.
    """

    belief: Floats
    supply: Floats
    supply_spread: float
    suspects: Floats
    repairs: Floats
    questioned: tuple[str, ...]


def weigh(
    book: Dictionary, complaints: Sequence[Observation], readings: Sequence[TestReading]
) -> Weighed:
    """Return the belief after complaints and readings.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaints
        What was reported.
    readings
        The readings that stand; one taken while the complaint was away changes no belief.

    Raises
    ------
    BenchError
        If a complaint, point or state is not on the sheet.
    """
    prior = book.log_prior[:, None] - 0.5 * ((SUPPLY_SHARES - 1.0) / SUPPLY_SPREAD) ** 2
    logs = [_report(book, complaint)[:, None] for complaint in complaints]
    counted = [reading for reading in readings if reading.present is not False]
    for reading in readings:
        check_reading(book, reading)
    logs += [_log_likelihood(book, reading) for reading in counted]
    joint = posterior(prior, logs)
    belief = joint.sum(axis=1)
    supply = (joint @ SUPPLY_SHARES) / np.maximum(belief, 1e-300)
    by_share = joint[book.known].sum(axis=0)
    by_share = by_share / max(float(by_share.sum()), 1e-300)
    middle = float(by_share @ SUPPLY_SHARES)
    spread = float(np.sqrt(by_share @ (SUPPLY_SHARES - middle) ** 2))
    supply = np.where(book.known & (belief > 1e-290), supply, 1.0)
    questioned = tuple(r.id for r in counted if _fits_nobody(book, joint, r))
    return Weighed(
        belief=belief,
        supply=supply,
        supply_spread=spread,
        suspects=gathered(belief, book.suspect, len(book.suspects)),
        repairs=gathered(belief, book.repair, len(book.repairs)),
        questioned=questioned,
    )


def check_reading(book: Dictionary, reading: TestReading) -> None:
    """Refuse a reading that this circuit cannot have.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading.

    Raises
    ------
    BenchError
        If its point or state is not on the sheet, or its volts are far above the supply's.
    """
    letters = [place.letter for place in book.places]
    for letter in (reading.point, reading.reference):
        if letter and letter not in letters:
            raise BenchError(
                f"The reading is at point {letter}.",
                f"The sheet has the points {', '.join(letters)}.",
                "Choose the point again.",
            )
    names = [setting.name for setting in book.settings]
    if reading.state not in names:
        raise BenchError(
            f'The reading at {reading.point} was taken in the state "{reading.state}".',
            f"The sheet has the states {', '.join(names)}.",
            "Choose the state again.",
        )
    if reading.kind == LAMP:
        if reading.reference not in book.lamp:
            raise BenchError(
                f"The test lamp is held between {reading.point} and {reading.reference}.",
                "Its clip must be on the battery's negative post.",
                "Move the clip and look again.",
            )
        return
    most_v = 2.0 * book.supply_v + 4.0
    if not abs(reading.voltage_v) <= most_v:
        raise BenchError(
            f"The reading at {reading.point} is {reading.text}.",
            f"This circuit has a supply of {book.supply_v:g} V.",
            "Check the scale of the meter and the decimal point, then read again.",
        )


def trouble(book: Dictionary, key: str) -> Trouble:
    """Return the complaint that a key names.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    key
        Key of the complaint in the sheet.

    Raises
    ------
    BenchError
        If the sheet has no such complaint.
    """
    for found in book.troubles:
        if found.key == key:
            return found
    known = ", ".join(found.key for found in book.troubles) or "none"
    raise BenchError(
        f'The complaint is "{key}".',
        f"The sheet has the complaints {known}.",
        "Choose one of them, or add it to the sheet.",
    )


def looks(book: Dictionary, found: Trouble) -> Floats:
    """Return, for every sample, the chances of how the complained load looks.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    found
        The complaint: its load and state.
    """
    state, load = book.state(found.state), book.loads.index(found.load)
    healthy_w = float(book.healthy_power[state, load])
    most_w = float(book.healthy_power[:, load].max())
    power_w = book.power[:, state, load]
    should_run = healthy_w > RUNS * most_w
    share = power_w / healthy_w if should_run else np.zeros_like(power_w)
    full = power_w / most_w if most_w > 0 else np.zeros_like(power_w)
    return look_chances(share, full, should_run)


def explained(book: Dictionary, belief: Floats, complaint: Observation) -> float:
    """Return the chance that the load looks as reported, under a belief in known suspects.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    belief
        Weight of every sample; 'something else' explains nothing.
    complaint
        The report.
    """
    found = trouble(book, complaint.complaint)
    weight = np.where(book.known, belief, 0.0)
    column = looks(book, found)[:, LOOKS.index(complaint.look or found.look)]
    return float((weight * column).sum() / max(weight.sum(), 1e-300))


def _report(book: Dictionary, complaint: Observation) -> Floats:
    found = trouble(book, complaint.complaint)
    look = complaint.look or found.look
    logs = report_log_likelihood(looks(book, found), look, complaint.source)
    # What is not on the sheet may look like anything: as the average of all looks.
    even = report_log_likelihood(np.full((1, len(LOOKS)), 1 / len(LOOKS)), look, complaint.source)
    return np.where(book.known, logs, even[0])


def _reads_v(book: Dictionary, reading: TestReading) -> tuple[Floats, Flags]:
    """Return sample by supply: what the meter or lamp would get; and where that wanders."""
    state, point = book.state(reading.state), book.point(reading.point)
    unsteady = book.unsteady[:, state, point]
    if reading.kind == LAMP:
        volts = book.lamp[reading.reference][:, state, point]
    else:
        volts = book.volts[:, state, point]
        if reading.reference:
            other = book.point(reading.reference)
            volts = volts - book.volts[:, state, other]
            unsteady = unsteady | book.unsteady[:, state, other]
    return volts[:, None] * SUPPLY_SHARES[None, :], unsteady[:, None]


def _log_likelihood(book: Dictionary, reading: TestReading) -> Floats:
    """Return sample by supply: the log likelihood of a reading."""
    volts, unsteady = _reads_v(book, reading)
    known = book.known[:, None]
    if reading.kind == LAMP:
        column = lamp_chances(volts)[..., LAMP_OUTCOMES.index(reading.outcome)]
        return np.log(np.where(known & ~unsteady, column, 1.0 / len(LAMP_OUTCOMES)))
    return volts_log_likelihood(
        volts, reading.voltage_v, reading.resolution_v, book.span_v, unsteady, known
    )


def _fits_nobody(book: Dictionary, joint: Floats, reading: TestReading) -> bool:
    """Return whether, whoever is at fault, this reading was more likely a slip than true."""
    weight = np.where(book.known[:, None], joint, 0.0)
    total = weight.sum()
    if not total > 0:
        return False
    volts, unsteady = _reads_v(book, reading)
    if reading.kind == LAMP:
        column = lamp_chances(volts)[..., LAMP_OUTCOMES.index(reading.outcome)]
        slip = np.where(column < LAMP_MISREAD, 1.0, 0.0)
    else:
        slip = misread_chance(volts, reading.voltage_v, reading.resolution_v, book.span_v)
    return bool((weight * np.where(unsteady, 0.0, slip)).sum() / total > 0.5)
