"""The next test: all tests compared by expected gain per minute, and the best put into words."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Floats, lamp_chances
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.forecast import groups
from witnessmark.diagnosis.next_test import outcome_gains, volts_gains
from witnessmark.diagnosis.observations import LAMP, VOLTS, Test
from witnessmark.diagnosis.sentences import (
    Sides,
    entry_label,
    group_words,
    outcome_words,
    test_sentence,
    why_sentence,
)

READ_MINUTES: Final = 1.0  # to hold the probe, look and write it down; the program's own figure
NEGLIGIBLE: Final = 1e-6  # of the strongest belief: such samples cannot move a gain
WORTH_BITS: Final = 0.04  # a test that tells less is not worth its minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What one outcome of the next test would point to."""

    outcome: str
    points_to: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """A test, why it is worth doing, and what its outcomes would mean.

    Attributes
    ----------
    key
        Names the test in a stored reading.
    kind, point, reference, state
        The test.
    sentence
        What to do.
    why
        Why this test.
    label
        Label of the entry.
    minutes
        What it takes from where the crew stands now. [min]
    gain_bits
        Expected gain. [bit]
    meanings
        What each outcome would point to.
    """

    key: str
    kind: str
    point: str
    reference: str
    state: str
    sentence: str
    why: str
    label: str
    minutes: float
    gain_bits: float
    meanings: tuple[Meaning, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """All tests with their gains and minutes.

    Attributes
    ----------
    tests
        The tests.
    gain_bits
        Expected gain of each. [bit]
    minutes
        Minutes of each. [min]
    """

    tests: tuple[Test, ...]
    gain_bits: Floats
    minutes: Floats

    def best(self, least_bits: float = WORTH_BITS) -> int | None:
        """Return the number of the best test, or None if none tells more than so little."""
        worth = self.gain_bits > least_bits
        if not worth.any():
            return None
        rate = np.where(worth, self.gain_bits / self.minutes, -1.0)
        return int(rate.argmax())


def minutes_of(book: Dictionary, test: Test, last: Test | None) -> float:
    """Return the minutes of a test after the one before it.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    last
        The test before it; None at the start.
    """
    minutes = READ_MINUTES
    if last is None or last.state != test.state:
        minutes += book.settings[book.state(test.state)].minutes
    if last is None or last.point != test.point:
        minutes += book.places[book.point(test.point)].minutes
    return minutes


def compare(
    book: Dictionary,
    weighed: Weighed,
    last: Test | None = None,
    done: Collection[str] = (),
    out_of_reach: Collection[str] = (),
) -> Weighing:
    """Return every test that can be done with its expected gain and its minutes.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    last
        The test before, which set up the state and gave access to the point.
    done
        Keys of tests whose answer is known; they are not offered again.
    out_of_reach
        Letters of points that the crew cannot reach.
    """
    tests: list[Test] = []
    gains: list[float] = []
    count = len(book.repairs)
    # Any reading that some suspect predicts speaks against 'something else', which predicts
    # nothing. That is no reason to take it: a test is worth what it tells among the suspects.
    held = np.where(book.known, weighed.belief, 0.0)
    some = held > NEGLIGIBLE * held.max()
    belief, repair = weighed.belief[some] / weighed.belief[some].sum(), book.repair[some]
    supply = weighed.supply[some][:, None]
    letters = [place.letter for place in book.places]
    for number, setting in enumerate(book.settings):
        blind = book.unsteady[some, number, :]
        volts = book.volts[some, number, :] * supply
        bits = volts_gains(
            belief, repair, count, volts, blind, book.supply_v, weighed.supply_spread
        )
        tests += [Test(kind=VOLTS, point=letter, state=setting.name) for letter in letters]
        gains += bits.tolist()
        for reference, lamp_v in book.lamp.items():
            chances = lamp_chances(lamp_v[some, number, :] * supply)
            chances[blind] = 1.0 / chances.shape[-1]
            bits = outcome_gains(belief, repair, count, chances)
            tests += [
                Test(kind=LAMP, point=letter, state=setting.name, reference=reference)
                for letter in letters
            ]
            gains += bits.tolist()
    kept = [
        place
        for place, test in enumerate(tests)
        if test.key not in done
        and test.point not in out_of_reach
        and test.reference not in out_of_reach
        and test.point != test.reference
    ]
    chosen = tuple(tests[place] for place in kept)
    return Weighing(
        tests=chosen,
        gain_bits=np.array([gains[place] for place in kept]),
        minutes=np.array([minutes_of(book, test, last) for test in chosen]),
    )


def advise(
    book: Dictionary, weighed: Weighed, weighing: Weighing, number: int, sides: Sides
) -> Advice:
    """Return one of the compared tests in words.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    weighing
        The compared tests.
    number
        Which of them.
    sides
        On which side of the complained load each part lies.
    """
    test = weighing.tests[number]
    found = groups(book, weighed, test)
    return Advice(
        key=test.key,
        kind=test.kind,
        point=test.point,
        reference=test.reference,
        state=test.state,
        sentence=test_sentence(book, test),
        why=why_sentence(book, test, found, sides),
        label=entry_label(book, test),
        minutes=float(weighing.minutes[number]),
        gain_bits=float(weighing.gain_bits[number]),
        meanings=tuple(
            Meaning(
                outcome=outcome_words(group),
                points_to=group_words(book, group.suspects, sides).rstrip(","),
                share=group.share,
            )
            for group in found
        ),
    )
