"""Weighing: belief from complaints and readings, what they leave unexplained, what fits nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import logsumexp

from witnessmark.diagnosis.belief import (
    LAMP_MISREAD,
    METERS,
    MISREAD,
    Flags,
    Floats,
    gathered,
    misread_chance,
    volts_log_likelihood,
)
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary, Mixture, Trouble
from witnessmark.diagnosis.intermittent import joint_log_weight
from witnessmark.diagnosis.kinds import KINDS, LOOK, OHMS, VOLTS
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.outcomes import (
    follows_supply,
    is_lamp,
    lamp_outcomes,
    load_looks,
    sign_chances,
    size,
    wanders,
)
from witnessmark.diagnosis.refused import must_be_on_the_sheet, must_not_hurt
from witnessmark.diagnosis.reports import LOOKS, report_log_likelihood
from witnessmark.errors import BenchError

# The battery of the vehicle is not the battery of the sheet: a healthy supply may stand a few
# per cent lower or higher. Each sample is weighed at each of these shares of the sheet's supply.
SUPPLY_SHARES: Final = np.linspace(0.96, 1.04, 17)
SUPPLY_SPREAD: Final = 0.02  # standard deviation of the share; the program's own choice
EXPLAINED: Final = 0.5  # a complaint is explained if it would look so more often than not
SPAN_OHM: Final = 1000.0  # Ω: over which a senseless reading of ohms is spread


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
        The readings that stand. One taken while the complaint was away speaks for faults that
        come and go, and clears nobody.

    Raises
    ------
    BenchError
        If a complaint, point, part or state is not on the sheet, or a test hurts.
    """
    logs = log_weights(book, complaints, readings)
    joint = np.exp(logs - logsumexp(logs))
    belief = joint.sum(axis=1)
    supply = (joint @ SUPPLY_SHARES) / np.maximum(belief, 1e-300)
    by_share = joint[book.known].sum(axis=0)
    by_share = by_share / max(float(by_share.sum()), 1e-300)
    middle = float(by_share @ SUPPLY_SHARES)
    spread = float(np.sqrt(by_share @ (SUPPLY_SHARES - middle) ** 2))
    supply = np.where(book.known & (belief > 1e-290), supply, 1.0)
    return Weighed(
        belief=belief,
        supply=supply,
        supply_spread=spread,
        suspects=gathered(belief, book.suspect, len(book.suspects)),
        repairs=gathered(belief, book.repair, len(book.repairs)),
        questioned=tuple(
            reading.id for reading in readings if _fits_nobody(book, joint, reading, complaints)
        ),
    )


def log_weights(
    book: Dictionary,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
    ends: Sequence[Mixture] = (),
) -> Floats:
    """Return the log weight of every sample at every supply, not normalised.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaints
        What was reported.
    readings
        The readings that stand.
    ends
        Where a sample stands for a range of severities: the ends of its range. The volts read
        are then taken as spread evenly over it.
    """
    for reading in readings:
        check_reading(book, reading)
    logs = book.log_prior[:, None] - 0.5 * ((SUPPLY_SHARES - 1.0) / SUPPLY_SPREAD) ** 2
    for complaint in complaints:
        logs = logs + _report(book, complaint)[:, None]
    return joint_log_weight(
        logs,
        book.comes_and_goes,
        [
            (
                reading.present,
                _log_likelihood(book, reading, complaints, ends),
                _log_while_away(book, reading),
            )
            for reading in readings
        ],
        complaints,
    )


def check_reading(book: Dictionary, reading: TestReading) -> None:
    """Refuse a reading that this circuit cannot have, or a test that hurts.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading.

    Raises
    ------
    BenchError
        If its point, part or state is not on the sheet, the test hurts, or its volts are far
        above the supply's.
    """
    must_be_on_the_sheet(book, reading.test)
    must_not_hurt(book, reading.test)
    most_v = 2.0 * book.supply_v + 4.0
    if reading.kind == VOLTS and not abs(reading.value) <= most_v:
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
    return load_looks(book, found, book.mix.of(book.solved.power[:, state, load]))


def explained_by_sample(book: Dictionary, complaint: Observation) -> Floats:
    """Return, for every sample, the chance that the load looks as reported.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaint
        The report.
    """
    found = trouble(book, complaint.complaint)
    return looks(book, found)[:, LOOKS.index(complaint.look or found.look)]


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
    weight = np.where(book.known, belief, 0.0)
    column = explained_by_sample(book, complaint)
    return float((weight * column).sum() / max(weight.sum(), 1e-300))


def _report(book: Dictionary, complaint: Observation) -> Floats:
    found = trouble(book, complaint.complaint)
    look = complaint.look or found.look
    logs = report_log_likelihood(looks(book, found), look, complaint.source)
    # What is not on the sheet may look like anything: as the average of all looks.
    even = report_log_likelihood(np.full((1, len(LOOKS)), 1 / len(LOOKS)), look, complaint.source)
    return np.where(book.known, logs, even[0])


def _log_likelihood(
    book: Dictionary,
    reading: TestReading,
    complaints: Sequence[Observation],
    ends: Sequence[Mixture],
) -> Floats:
    """Return sample by supply: the log likelihood of a reading with the fault there."""
    test = reading.test
    if not (is_lamp(test) or KINDS[test.kind].unit):
        chance = sign_chances(book, test, complaints)
        first = reading.outcome == KINDS[test.kind].outcomes[0]
        return np.log(chance if first else 1.0 - chance)[:, None]
    flat = ~book.known | wanders(book, test)
    return _log_of_size(book, reading, size(book, test), flat, _blur(book, reading, ends))


def _log_while_away(book: Dictionary, reading: TestReading) -> Floats | None:
    """Return the log likelihood with the fault away; None where that makes no difference.

    A look or ohms of a part by itself find a bad joint whether or not it plays up just then; a
    wiggle, a swap or a jumper without the complaint tell nothing at all.
    """
    test = reading.test
    if test.kind in (LOOK, OHMS) or reading.present is True:
        return None if test.kind in (LOOK, OHMS) else np.zeros((1, 1))
    if not (is_lamp(test) or KINDS[test.kind].unit):
        return np.full((1, 1), np.log(0.5))
    healthy = Mixture(corner=np.array([[HEALTHY]]), weight=np.array([[1.0]]))
    wandering = wanders(book, test, healthy)
    return _log_of_size(book, reading, size(book, test, healthy), wandering)


def _blur(book: Dictionary, reading: TestReading, ends: Sequence[Mixture]) -> Floats | float:
    """Return how far a sample that stands for a range may be off; evenly spread over it."""
    if not ends or reading.kind == OHMS or is_lamp(reading.test):
        return 0.0
    sizes = np.stack([size(book, reading.test, mix) for mix in ends])
    blur = (sizes.max(axis=0) - sizes.min(axis=0)) / np.sqrt(12.0)
    return np.append(blur, np.zeros(len(book.suspect) - len(blur)))[:, None]


def _log_of_size(
    book: Dictionary,
    reading: TestReading,
    predicted: Floats,
    flat: Flags,
    blur: Floats | float = 0.0,
) -> Floats:
    """Return sample by supply: the log likelihood of volts, amps, ohms or a lamp."""
    kind = reading.kind
    shares = SUPPLY_SHARES if follows_supply(kind) or is_lamp(reading.test) else np.ones(1)
    if kind == OHMS:
        return _log_of_ohms(reading, predicted, flat)[:, None]
    sizes = predicted[:, None] * shares[None, :]
    if is_lamp(reading.test):
        outcomes = KINDS[kind].outcomes
        column = lamp_outcomes(sizes, reading.test)[..., outcomes.index(reading.outcome)]
        return np.log(np.where(flat[:, None], 1.0 / len(outcomes), column))
    return volts_log_likelihood(
        sizes,
        reading.value,
        reading.resolution,
        _span(book, reading),
        unsteady=flat[:, None],
        meter=METERS[kind],
        blur_v=blur,
    )


def _log_of_ohms(reading: TestReading, predicted: Floats, flat: Flags) -> Floats:
    """Return by sample the log likelihood of ohms; "open" is a reading like any other."""
    without_end = np.isinf(predicted) | flat
    log_slip = np.log(MISREAD / SPAN_OHM)
    if reading.outcome:
        chance = np.where(np.isinf(predicted), 1.0 - MISREAD, MISREAD)
        return np.log(np.where(flat, 0.5, chance))
    logs = volts_log_likelihood(
        np.where(without_end, 0.0, predicted),
        reading.value,
        reading.resolution,
        SPAN_OHM,
        meter=METERS[OHMS],
    )
    logs = np.where(np.isinf(predicted), log_slip, logs)
    return np.where(flat, -np.log(SPAN_OHM), logs)


def _span(book: Dictionary, reading: TestReading) -> float:
    if reading.kind == VOLTS:
        return book.span_v
    return 1.3 * float(book.solved.amps.max()) + 1.0


def _fits_nobody(
    book: Dictionary,
    joint: Floats,
    reading: TestReading,
    complaints: Sequence[Observation],
) -> bool:
    """Return whether, whoever is at fault, this reading was more likely a slip than true."""
    test = reading.test
    weight = np.where(book.known[:, None], joint, 0.0)
    total = weight.sum()
    if not total > 0 or (reading.present is False and test.kind not in (LOOK, OHMS)):
        return False
    if not (is_lamp(test) or KINDS[test.kind].unit):
        return False  # eyes and fingers err often enough without a slip
    predicted, unsteady = size(book, test), wanders(book, test)[:, None]
    sizes = predicted[:, None] * (SUPPLY_SHARES if test.kind != OHMS else np.ones(1))[None, :]
    if is_lamp(test):
        outcomes = KINDS[test.kind].outcomes
        column = lamp_outcomes(sizes, test)[..., outcomes.index(reading.outcome)]
        slip = np.where(column < LAMP_MISREAD, 1.0, 0.0)
    elif reading.outcome:
        slip = np.where(np.isinf(sizes), 0.0, 1.0)
    else:
        span = SPAN_OHM if test.kind == OHMS else _span(book, reading)
        bounded = np.where(np.isinf(sizes), 1e9, sizes)
        slip = misread_chance(bounded, reading.value, reading.resolution, span, METERS[test.kind])
    return bool((weight * np.where(unsteady, 0.0, slip)).sum() / total > 0.5)
