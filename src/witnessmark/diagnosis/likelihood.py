"""How likely a reading is under every sample, and whether it fits anybody at all."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import (
    LAMP_MISREAD,
    METERS,
    MISREAD,
    Flags,
    Floats,
    misread_chance,
    volts_log_likelihood,
)
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary, Mixture
from witnessmark.diagnosis.kinds import KINDS, OHMS, SHOW_ANYWAY, VOLTS, WATCH
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.outcomes import (
    follows_supply,
    is_lamp,
    lamp_outcomes,
    sign_chances,
    size,
    wanders,
)
from witnessmark.diagnosis.watching import wrong_chances

# The battery of the vehicle is not the battery of the sheet: a healthy supply may stand a few
# per cent lower or higher. Each sample is weighed at each of these shares of the sheet's supply.
SUPPLY_SHARES: Final = np.linspace(0.96, 1.04, 17)
SUPPLY_SPREAD: Final = 0.02  # standard deviation of the share; the program's own choice
SPAN_OHM: Final = 1000.0  # Ω: over which a senseless reading of ohms is spread


def log_likelihood(
    book: Dictionary,
    reading: TestReading,
    complaints: Sequence[Observation],
    ends: Sequence[Mixture],
) -> Floats:
    """Return sample by supply: the log likelihood of a reading with the fault there.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading.
    complaints
        What was reported.
    ends
        Where a sample stands for a range of severities: the ends of its range.
    """
    test = reading.test
    if not (is_lamp(test) or KINDS[test.kind].unit):
        return np.log(_chance(reading, sign_chances(book, test, complaints)))[:, None]
    flat = ~book.known | wanders(book, test)
    return _log_of_size(book, reading, size(book, test), flat, _blur(book, reading, ends))


def _chance(reading: TestReading, first: Floats) -> Floats:
    """Return the chance of an outcome from that of the first of two."""
    return first if reading.outcome == KINDS[reading.kind].outcomes[0] else 1.0 - first


def log_while_away(book: Dictionary, reading: TestReading) -> Floats | None:
    """Return the log likelihood with the fault away; None where that makes no difference.

    A look, ohms of a part by itself or a wiggle find a bad joint whether or not it plays up just
    then; a swap or a jumper without the complaint tell nothing at all, and a load that is watched
    does what a healthy one does.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading.
    """
    test = reading.test
    if test.kind in SHOW_ANYWAY or reading.present is True:
        return None if test.kind in SHOW_ANYWAY else np.zeros((1, 1))
    healthy = Mixture(corner=np.array([[HEALTHY]]), weight=np.array([[1.0]]))
    if test.kind == WATCH:
        return np.log(_chance(reading, wrong_chances(book, [test], healthy)[:, 0]))[:, None]
    if not (is_lamp(test) or KINDS[test.kind].unit):
        return np.full((1, 1), np.log(0.5))
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


def fits_nobody(
    book: Dictionary,
    joint: Floats,
    reading: TestReading,
) -> bool:
    """Return whether, whoever is at fault, this reading was more likely a slip than true.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    joint
        Belief, sample by supply.
    reading
        The reading.
    """
    test = reading.test
    weight = np.where(book.known[:, None], joint, 0.0)
    total = weight.sum()
    if not total > 0 or (reading.present is False and test.kind not in SHOW_ANYWAY):
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
