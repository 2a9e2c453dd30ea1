"""What the suspects would show in a test, and what a circuit without a fault shows."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Floats
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary, Mixture
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.kinds import KINDS
from witnessmark.diagnosis.observations import Observation, Test
from witnessmark.diagnosis.outcomes import (
    follows_supply,
    is_lamp,
    lamp_outcomes,
    sign_chances,
    size,
)

LOW: Final = 0.05  # a range leaves out one in twenty at either end
HIGH: Final = 0.95


def quantile(values: Floats, weights: Floats, at: float) -> float:
    """Return the value below which a share of the weight lies.

    Parameters
    ----------
    values
        The values.
    weights
        Their weights.
    at
        Share of the weight, 0 to 1. [1]
    """
    order = np.argsort(values)
    passed = np.cumsum(weights[order])
    place = int(np.searchsorted(passed, at * passed[-1]))
    return float(values[order[min(place, len(order) - 1)]])


def predicted(book: Dictionary, weighed: Weighed, test: Test) -> Floats:
    """Return what every sample predicts that the meter shows, or that the lamp gets.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far, which knows how high this vehicle's supply stands.
    test
        The test.
    """
    sizes = size(book, test)
    return sizes * weighed.supply if follows_supply(test.kind) or is_lamp(test) else sizes


def word_chances(
    book: Dictionary, weighed: Weighed, test: Test, complaints: Sequence[Observation]
) -> Floats:
    """Return sample by outcome: the chances of each word that a lamp, eyes or fingers may show.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far, which knows how high this vehicle's supply stands.
    test
        A test whose outcome is a word.
    complaints
        What was reported.
    """
    if is_lamp(test):
        return lamp_outcomes(predicted(book, weighed, test), test)
    first = sign_chances(book, test, complaints)
    return np.stack([first, 1.0 - first], axis=-1)


def healthy_size(book: Dictionary, test: Test) -> float:
    """Return what a circuit without a fault would show, in the unit of the test.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    healthy = Mixture(corner=np.array([[HEALTHY]]), weight=np.array([[1.0]]))
    return float(size(book, test, healthy)[0])


def healthy_outcome(book: Dictionary, test: Test) -> str:
    """Return the outcome of a healthy circuit, where it is a word.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    outcomes = KINDS[test.kind].outcomes
    if is_lamp(test):
        chances = lamp_outcomes(np.array([healthy_size(book, test)]), test)[0]
        return outcomes[int(chances.argmax())]
    return outcomes[1]
