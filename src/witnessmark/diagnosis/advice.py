"""A test in words: what to do, why, and what each outcome would mean."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.diagnosis.choose import Weighing
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.groups import groups
from witnessmark.diagnosis.kinds import KINDS
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.sentences import entry_label, test_sentence
from witnessmark.diagnosis.why import outcome_words, says_range, why_sentence
from witnessmark.diagnosis.words import Sides, group_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What one outcome of the next test would point to, and whether it is the healthy one."""

    outcome: str
    points_to: str
    share: float
    is_healthy: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One outcome in words that an entry offers: as it is kept, and as it is said."""

    outcome: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """A test, why it is worth doing, and what its outcomes would mean.

    Attributes
    ----------
    key
        Names the test in a stored reading.
    kind, point, reference, state, part
        The test.
    sentence
        What to do.
    why
        Why this test.
    says_range
        Whether the reason names a range of readings.
    label
        Label of the entry.
    unit
        Unit of its entry; empty where the outcome is a word.
    choices
        Outcomes in words.
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
    part: str
    sentence: str
    why: str
    says_range: bool
    label: str
    unit: str
    choices: tuple[Choice, ...]
    minutes: float
    gain_bits: float
    meanings: tuple[Meaning, ...]


def advise(
    book: Dictionary,
    weighed: Weighed,
    weighing: Weighing,
    number: int,
    sides: Sides,
    complaints: Sequence[Observation] = (),
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
    complaints
        What was reported.
    """
    test = weighing.menu.tests[number]
    kind = KINDS[test.kind]
    found = groups(book, weighed, test, complaints)
    return Advice(
        key=test.key,
        kind=test.kind,
        point=test.point,
        reference=test.reference,
        state=test.state,
        part=test.part,
        sentence=test_sentence(book, test),
        why=why_sentence(book, test, found, sides),
        says_range=says_range(test, found),
        label=entry_label(book, test),
        unit=kind.unit,
        choices=tuple(
            Choice(outcome=outcome, words=words)
            for outcome, words in zip(kind.outcomes, kind.saying, strict=True)
        ),
        minutes=float(weighing.minutes[number]),
        gain_bits=float(weighing.gain_bits[number]),
        meanings=tuple(
            Meaning(
                outcome=outcome_words(group, test.kind),
                points_to=group_words(book, group.suspects, sides).rstrip(","),
                share=group.share,
                is_healthy=group.is_healthy,
            )
            for group in found
        ),
    )
