"""Weighing: belief from complaints and readings, what they leave unexplained, what fits nothing."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from scipy.special import logsumexp

from witnessmark.diagnosis.belief import Floats, gathered
from witnessmark.diagnosis.dictionary import Dictionary, Mixture, Trouble
from witnessmark.diagnosis.intermittent import joint_log_weight
from witnessmark.diagnosis.kinds import WATCH
from witnessmark.diagnosis.likelihood import (
    SUPPLY_SHARES,
    SUPPLY_SPREAD,
    fits_nobody,
    log_likelihood,
    log_while_away,
)
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.refused import check_reading
from witnessmark.diagnosis.reports import LOOKS, report_log_likelihood
from witnessmark.diagnosis.watching import asks_presence, load_looks
from witnessmark.errors import BenchError

EXPLAINED: Final = 0.5  # a complaint is explained if it would look so more often than not


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
        questioned=tuple(reading.id for reading in readings if fits_nobody(book, joint, reading)),
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
    readings = _once(as_taken(book, complaints, readings))
    logs = book.log_prior[:, None] - 0.5 * ((SUPPLY_SHARES - 1.0) / SUPPLY_SPREAD) ** 2
    for complaint in complaints:
        logs = logs + _report(book, complaint)[:, None]
    return joint_log_weight(
        logs,
        book.comes_and_goes,
        [
            (
                reading.present,
                log_likelihood(book, reading, complaints, ends),
                log_while_away(book, reading),
            )
            for reading in readings
        ],
        complaints,
    )


def as_taken(
    book: Dictionary, complaints: Sequence[Observation], readings: Sequence[TestReading]
) -> tuple[TestReading, ...]:
    """Return readings without a word on the complaint where none is needed.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaints
        What was reported.
    readings
        The readings.
    """
    return tuple(
        one if asks_presence(book, one.test, complaints) else replace(one, present=None)
        for one in readings
    )


def _once(readings: Sequence[TestReading]) -> list[TestReading]:
    """Return readings without what was watched twice and looked alike: it is one observation."""
    kept: list[TestReading] = []
    seen: set[tuple[str, str]] = set()
    for one in readings:
        if one.kind != WATCH or (one.key, one.outcome) not in seen:
            kept.append(one)
        seen.add((one.key, one.outcome))
    return kept


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


def explained(book: Dictionary, belief: Floats, complaint: Observation) -> Floats:
    """Return by repair the chance that the load looks as reported, among its known suspects.

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
    whole, told = (
        np.bincount(book.repair, weights=one, minlength=len(book.repairs))
        for one in (weight, weight * explained_by_sample(book, complaint))
    )
    return np.asarray(told / np.maximum(whole, 1e-300), dtype=np.float64)


def _report(book: Dictionary, complaint: Observation) -> Floats:
    found = trouble(book, complaint.complaint)
    look = complaint.look or found.look
    logs = report_log_likelihood(looks(book, found), look, complaint.source)
    # What is not on the sheet may look like anything: as the average of all looks.
    even = report_log_likelihood(np.full((1, len(LOOKS)), 1 / len(LOOKS)), look, complaint.source)
    return np.where(book.known, logs, even[0])
