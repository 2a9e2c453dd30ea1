"""Practice cases as values: what is hidden, what was done, and who may see it.

The rooms that solve circuits are loaded when they are needed.
"""

import json
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import rfc8785
from django.db.models import Q, QuerySet
from django.utils import timezone

from witnessmark.people.models import Membership, Person
from witnessmark.record.circuits import circuit_of
from witnessmark.record.models import PracticeAttempt, PracticeCase
from witnessmark.shop import clock

if TYPE_CHECKING:
    from witnessmark.diagnosis.practice import Hidden
    from witnessmark.diagnosis.practice_review import Review
    from witnessmark.diagnosis.practice_steps import Taken
    from witnessmark.networks.circuit import Circuit

PRESENT = {"yes": True, "no": False, "unknown": None}


def cases_for(person: Person) -> QuerySet[PracticeCase]:
    """Return the cases that a person may open: their own, and those of their section now.

    A teacher sees every case that was set for a section.
    """
    theirs = Q(section=None, by=person)
    if person.is_teacher:
        return PracticeCase.objects.filter(theirs | Q(section__isnull=False))
    today = timezone.localtime(clock.now()).date()
    now = Membership.objects.filter(
        Q(end=None) | Q(end__gte=today), person=person, start__lte=today
    )
    begun = Q(attempts__by=person)
    return PracticeCase.objects.filter(
        theirs | begun | Q(section__in=now.values("section"))
    ).distinct()


def attempts_for(person: Person) -> QuerySet[PracticeAttempt]:
    """Return the attempts that a person may open: their own; a teacher those of learners too."""
    rows = PracticeAttempt.objects.select_related("case", "by", "end")
    if person.may_mark:
        return rows.filter(Q(by=person) | Q(by__role="learner"))
    return rows.filter(by=person)


def secret_text(facts: dict[str, Any]) -> str:
    """Return what is hidden as canonical JSON."""
    return rfc8785.dumps(facts).decode()


def circuit_in(case: PracticeCase) -> "Circuit":
    """Return the circuit of a case."""
    return circuit_of(case.text, case.title)


def hidden_in(case: PracticeCase) -> "Hidden":
    """Return the hidden fault of a case."""
    from witnessmark.diagnosis.practice import hidden_from

    secret = json.loads(case.secret)
    return hidden_from(
        circuit_in(case),
        secret["fault"],
        secret["comes_and_goes"],
        case.told_keys,
        secret.get("rates"),
    )


def comes_and_goes(case: PracticeCase) -> bool:
    """Return whether the fault of a case comes and goes, which its owner says."""
    return bool(json.loads(case.secret)["comes_and_goes"])


def seed_of(case: PracticeCase) -> int:
    """Return where the dice of a case's meter start."""
    return int(json.loads(case.secret)["seed"])


def taken_in(attempt: PracticeAttempt) -> "list[Taken]":
    """Return the tests of an attempt as values, in their order."""
    from witnessmark.diagnosis.practice_answers import Answer
    from witnessmark.diagnosis.practice_steps import Taken

    return [
        Taken(
            key=row.key,
            answer=Answer(
                text=row.text, outcome=row.outcome, present=PRESENT[row.present], note=row.note
            ),
            minutes=row.minutes,
        )
        for row in attempt.tests.all()
    ]


def results_of(person: Person) -> QuerySet[PracticeAttempt]:
    """Return a person's ended attempts, the newest first: evidence for the record."""
    return (
        PracticeAttempt.objects.filter(by=person, end__isnull=False)
        .select_related("case", "end")
        .order_by("-end__at")
    )


def review_of(attempt: PracticeAttempt, suspect: str, repair: str) -> "Review":
    """Return how an attempt goes if it ends with this cause and repair."""
    case = attempt.case
    taken = tuple(taken_in(attempt))
    return _review(circuit_in(case), hidden_in(case), seed_of(case), taken, suspect, repair)


@lru_cache(maxsize=64)
def _review(
    circuit: "Circuit", hidden: "Hidden", seed: int, taken: "tuple[Taken, ...]", *named: str
) -> "Review":
    """Return a review; one that is read again is not worked out again."""
    from witnessmark.diagnosis.practice_review import review

    return review(circuit, hidden, seed, taken, *named)
