"""What a teacher sees of a case that is set for a section: what is hidden, how its learners did."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.practice import named
from witnessmark.networks.faults import Fault
from witnessmark.people.models import Person
from witnessmark.record.models import PracticeAttempt, PracticeCase, PracticeEnd
from witnessmark.record.practice import circuit_in, hidden_in


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenHere:
    """What is hidden in a case, in words."""

    fault: str
    how_bad: str
    repair: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnerRow:
    """One learner of the section, and what they named where they have ended."""

    person: Person
    attempt: PracticeAttempt | None
    named: str


def may_see_hidden(person: Person, case: PracticeCase) -> bool:
    """Return whether a person may see what is hidden before the end: a teacher, for a section."""
    return person.may_mark and case.section_id is not None


def hidden_here(case: PracticeCase) -> HiddenHere:
    """Return what is hidden in a case, for a page that only its teachers see."""
    found = hidden_in(case)
    return HiddenHere(fault=found.words, how_bad=how_bad(found.fault), repair=found.repair)


def how_bad(fault: Fault) -> str:
    """Return how bad a fault is; empty where it is or is not.

    >>> how_bad(Fault(part="G7", mode="high", value=0.372))
    '0.372 Ω added'
    >>> how_bad(Fault(part="BAT", mode="weak", value=40.0))
    '40 % of the charge left'
    >>> how_bad(Fault(part="F1", mode="blown"))
    ''
    """
    if fault.value is None:
        return ""
    size = f"{fault.value:.3g}"
    words = {"high": f"{size} Ω added", "weak": f"{size} % of the charge left"}
    return words.get(fault.mode, f"{size} Ω")


def learner_rows(
    case: PracticeCase, people: Iterable[Person], attempts: Iterable[PracticeAttempt]
) -> list[LearnerRow]:
    """Return how each learner did: those of the section now, then those who have left it."""
    by_person = {row.by_id: row for row in attempts}
    here = [person for person in people if person.is_learner]
    left = [row.by for row in by_person.values() if row.by not in here]
    said = _causes(case, by_person.values())
    return [
        LearnerRow(person=one, attempt=by_person.get(one.pk), named=said.get(one.pk, ""))
        for one in [*here, *left]
    ]


def tally(rows: Iterable[LearnerRow]) -> str:
    """Return how many have ended, and how; empty where nobody has."""
    rows = list(rows)
    ends = [row.attempt.end for row in rows if row.attempt is not None and row.attempt.is_ended]
    if not ends:
        return ""
    order = [key for key, _ in PracticeEnd._meta.get_field("verdict").flatchoices]
    ends.sort(key=lambda end: (order.index(end.verdict), not end.repair_right))
    how = [f"{number} {words}" for words, number in Counter(end.in_words for end in ends).items()]
    have = "has" if len(ends) == 1 else "have"
    return f"{len(ends)} of {len(rows)} {have} ended: {'; '.join(how)}."


def _causes(case: PracticeCase, attempts: Iterable[PracticeAttempt]) -> dict[object, str]:
    """Return what was named by those who have ended, in words."""
    ended = [row for row in attempts if row.is_ended and row.end.suspect]
    if not ended:
        return {}
    words = {one.key: named(one) for one in dictionary_of(circuit_in(case)).suspects}
    return {row.by_id: words.get(row.end.suspect, "") for row in ended}
