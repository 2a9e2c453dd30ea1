"""What each test of a practice case told, and why some told next to nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import meter_uncertainty
from witnessmark.diagnosis.choose import WORTH_BITS
from witnessmark.diagnosis.dictionary import SOMETHING_ELSE, Dictionary
from witnessmark.diagnosis.evidence import Weighed, weigh
from witnessmark.diagnosis.focus import focused
from witnessmark.diagnosis.forecast import predicted, quantile, word_chances
from witnessmark.diagnosis.gains import gains
from witnessmark.diagnosis.kinds import KINDS, LAMPS, VOLTS
from witnessmark.diagnosis.observations import (
    Observation,
    Test,
    TestReading,
    parse_test_key,
    reading_of,
)
from witnessmark.diagnosis.offers import Menu
from witnessmark.diagnosis.practice import Hidden
from witnessmark.diagnosis.practice_answers import Answer
from witnessmark.diagnosis.practice_words import surely_words, wasted_words
from witnessmark.diagnosis.stop import CERTAIN
from witnessmark.diagnosis.words import percent_words, what_words

NARROW_U: Final = 5.0  # a range of so many uncertainties is one value to a meter


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A test that the learner did: its key, what was shown, and how long it took. [min]"""

    key: str
    answer: Answer
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One test of a path.

    Attributes
    ----------
    number, key
        Its place in the path, from 1, and the test.
    where, setting
        Both in words.
    text, outcome
        What it showed; the word of its outcome where it is one.
    present
        Whether the complaint was there meanwhile; None where nobody watched or could see it.
    minutes, at_minutes
        What it took, and the minutes since the beginning. [min]
    belief
        Belief in the true cause after it. [1]
    percent
        The same in words.
    gain_bits
        How much it was expected to tell when it was chosen. [bit]
    wasted
        Why it told little; empty where it was worth its minutes.
    why
        Why it was advised; empty where it was not.
    says_range
        Whether that names a range of readings.
    """

    number: int
    key: str
    where: str
    setting: str
    text: str
    outcome: str
    present: bool | None
    minutes: float
    at_minutes: float
    belief: float
    percent: str
    gain_bits: float
    wasted: str
    why: str = ""
    says_range: bool = False


def reading_from(number: int, taken: Taken) -> TestReading:
    """Return a test that was done as a reading of Find.

    Parameters
    ----------
    number
        Its place in the path, from 1.
    taken
        The test with its answer.
    """
    shown = taken.answer
    test = parse_test_key(taken.key)
    text = "" if shown.outcome else shown.text  # a word is an outcome, not a size
    return reading_of(test, str(number), text, shown.outcome, shown.present)


def steps_of(
    book: Dictionary,
    hidden: Hidden,
    readings: Sequence[TestReading],
    minutes: Sequence[float],
) -> tuple[Step, ...]:
    """Return tests with what each told of the hidden fault.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    hidden
        The hidden fault.
    readings
        The readings, in their order.
    minutes
        Minutes of each. [min]
    """
    true = book.repairs.index(hidden.repair)
    steps, passed = [], 0.0
    for at, reading in enumerate(readings):
        before = weigh(book, hidden.complaints, readings[:at])
        after = weigh(book, hidden.complaints, readings[: at + 1])
        bits = _expected(book, before, reading.test, hidden.complaints)
        passed += minutes[at]
        test = reading.test
        where = what_words(book.places, book.parts, test)
        steps.append(
            Step(
                number=at + 1,
                key=reading.key,
                where=where,
                setting=book.settings[book.state(test.state)].words if test.state else "",
                text=reading.text,
                outcome=reading.outcome,
                present=reading.present,
                minutes=minutes[at],
                at_minutes=passed,
                belief=float(after.repairs[true]),
                percent=percent_words(float(after.repairs[true])),
                gain_bits=bits,
                wasted=_wasted(book, before, readings[:at], reading, hidden, bits, where),
            )
        )
    return tuple(steps)


def _expected(
    book: Dictionary, weighed: Weighed, test: Test, complaints: Sequence[Observation]
) -> float:
    """Return how much a test is expected to tell of the repair. [bit]"""
    book, weighed = focused(book, weighed)
    alone = Menu(tests=(test,), keys=(test.key,), doing=np.ones(1), setup=np.zeros(1))
    return float(gains(book, weighed, alone, complaints).bits[0])


def _wasted(
    book: Dictionary,
    before: Weighed,
    earlier: Sequence[TestReading],
    reading: TestReading,
    hidden: Hidden,
    bits: float,
    where: str,
) -> str:
    """Return why a test told little; empty where it was worth its minutes."""
    asked = [one.key for one in earlier if one.present is not False]
    if reading.key in [one.key for one in earlier if one.id in before.questioned]:
        return ""  # a reading that fits nobody is rightly taken again
    again = reading.key in asked and not hidden.comes_and_goes
    if bits >= WORTH_BITS and not again:
        return ""
    number = len(earlier) + 1
    lead = int(before.repairs.argmax())
    sure = float(before.repairs[lead]) >= CERTAIN and book.repairs[lead] != SOMETHING_ELSE
    range_words = "" if again or sure else _surely(book, before, reading.test, hidden)
    away = reading.present is False
    return wasted_words(number, where, again, sure, range_words, away)


def _surely(book: Dictionary, before: Weighed, test: Test, hidden: Hidden) -> str:
    """Return what a test would show whoever is at fault; empty where that differs."""
    weight = np.where(book.known, before.belief, 0.0)
    kind = KINDS[test.kind]
    if test.kind in LAMPS or not kind.unit:
        share = weight @ word_chances(book, before, test, hidden.complaints) / weight.sum()
        most = int(share.argmax())
        said = dict(zip(kind.outcomes, kind.saying, strict=True))[kind.outcomes[most]]
        return said if share[most] > 0.85 else ""
    sizes = predicted(book, before, test)
    bounded = np.where(np.isinf(sizes), 1e9, sizes)
    low, high = quantile(bounded, weight, 0.05), quantile(bounded, weight, 0.95)
    if test.kind == VOLTS:
        near = NARROW_U * float(meter_uncertainty((low + high) / 2, 0.01))
    else:
        near = 0.15 * abs(high) + 0.5
    return surely_words(low, high, kind.unit) if high - low < near else ""
