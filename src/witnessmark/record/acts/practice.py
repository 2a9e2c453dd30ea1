"""Acts of practice: set a case, begin it, test, rank, and name the cause."""

import secrets
from collections.abc import Sequence
from typing import Protocol
from uuid import UUID

from django.db.models import Max

from witnessmark.errors import BenchError
from witnessmark.people.models import Section
from witnessmark.record.acts.by import By, NotAllowed
from witnessmark.record.circuits import circuit_of, rates_of
from witnessmark.record.models import (
    PracticeAttempt,
    PracticeCase,
    PracticeEnd,
    PracticeRanking,
    PracticeTest,
)
from witnessmark.record.models.practice import names_text
from witnessmark.record.practice import (
    cases_for,
    circuit_in,
    hidden_in,
    review_of,
    secret_text,
    seed_of,
)
from witnessmark.shop.models import LibraryItem, Shop
from witnessmark.work.digest import text_digest


class GeneralSheet(Protocol):
    """A circuit that comes with the program."""

    @property
    def key(self) -> str: ...
    @property
    def title(self) -> str: ...
    @property
    def text(self) -> str: ...


LONGEST_TITLE = 80
LONGEST_EXPECTED = 60
MOST_TESTS = 60
MOST_RANKED = 6
_PRESENT = {True: "yes", False: "no", None: "unknown"}


def set_case(
    by: By,
    id: UUID,
    *,
    item: LibraryItem | None = None,
    general: GeneralSheet | None = None,
    section: Section | None = None,
    title: str = "",
    chosen: str = "",
    comes_and_goes: bool = False,
    seed: int | None = None,
) -> PracticeCase:
    """Hide a fault in a copy of a circuit sheet: for oneself, or as a teacher for a section.

    The sheet is one of the Library, or a general one that comes with the program.

    `chosen` is the key of a suspect; without it the fault is drawn by the shop's rates. `seed` is
    given by a demo that must come out alike each time. The copy has the complaints added that the
    fault brings and the sheet has no words for.
    """
    by.must_be_here()
    if section is not None or chosen or title:
        by.must_be_teacher("set a practice case for others")
    if item is None and general is None:
        raise BenchError(
            "No circuit was chosen.",
            "A fault is hidden in a circuit sheet.",
            "Choose one in the Library.",
        )
    if item is not None and item.kind != "circuit":
        raise BenchError(
            f"{item.title} is a {item.get_kind_display()}.",
            "A fault is hidden in a circuit sheet.",
            "Choose a circuit.",
        )
    if len(title.strip()) > LONGEST_TITLE:
        raise BenchError(
            f"“{title.strip()[:24]}…” is {len(title.strip())} signs long.",
            f"A title has at most {LONGEST_TITLE}.",
            "Say it shorter.",
        )
    from witnessmark.diagnosis.practice import draw, hidden_from, rates_where
    from witnessmark.sheets.told_too import with_told_too

    start = secrets.randbits(48) if seed is None else seed
    sheet = item or general
    circuit = circuit_of(sheet.text, sheet.title)
    # What a teacher chooses may be what never happens in this shop.
    rates = rates_where(circuit, chosen, rates_of(Shop.objects.get(pk=1)))
    fault = draw(circuit, start, chosen, comes_and_goes, rates).fault
    text = with_told_too(sheet.text, circuit, fault)
    hidden = hidden_from(circuit_of(text, sheet.title), str(fault), comes_and_goes)
    asked = {
        "item": item,
        "general": "" if general is None else general.key,
        "section": section,
        "title": title,
        "chosen": chosen,
        "comes_and_goes": comes_and_goes,
    }
    with by.act("practice set", id, subject=section, asked=asked) as doing:
        if doing.is_repeated:
            return PracticeCase.objects.get(pk=id)
        last = PracticeCase.objects.aggregate(last=Max("number"))["last"] or 0
        secret = secret_text(
            {
                "case": str(id),
                "comes_and_goes": comes_and_goes,
                "fault": str(hidden.fault),
                "salt": secrets.token_hex(16),
                "seed": start,
            }
            | ({"rates": dict(rates)} if rates else {})
        )
        doing.say(number=last + 1)
        return doing.add(
            PracticeCase(
                id=id,
                number=last + 1,
                title=title.strip() or sheet.title,
                item=item,
                general="" if general is None else general.key,
                text=text,
                digest=text_digest(text),
                told=names_text(one.complaint for one in hidden.complaints),
                secret=secret,
                seal=text_digest(secret),
                section=section,
                by=by.person,
                at=doing.at,
            )
        )


def begin(by: By, id: UUID, *, case: PracticeCase) -> PracticeAttempt:
    """Begin an attempt at a case; one that was begun already is gone on with."""
    by.must_be_here()
    if not cases_for(by.person).filter(pk=case.pk).exists():
        raise NotAllowed(
            f"{case.shown_number} was set for another section.",
            "A case is for the section it was set for.",
            "Start one of your own from the Library.",
        )
    with by.act("practice begun", id, subject=case, asked={"case": case.pk}) as doing:
        if doing.is_repeated:
            return PracticeAttempt.objects.get(pk=id)
        if PracticeAttempt.objects.filter(case=case, by=by.person).exists():
            raise BenchError(
                f"You have begun {case.shown_number} already.",
                "A case is tried once: afterwards the fault is known.",
                "Open your attempt and go on there.",
            )
        doing.say(number=case.number)
        return doing.add(PracticeAttempt(id=id, case=case, by=by.person, at=doing.at))


def do_test(
    by: By, id: UUID, *, attempt: PracticeAttempt, key: str, expected: str, watched: bool
) -> PracticeTest:
    """Do one test: what is expected is said first, then the circuit answers."""
    _must_be_own(by, attempt)
    from witnessmark.diagnosis.expecting import expected_said
    from witnessmark.diagnosis.observations import parse_test_key
    from witnessmark.diagnosis.practice_answers import answer
    from witnessmark.diagnosis.practice_offers import minutes_taken, refuse

    test, of_case = parse_test_key(key), circuit_in(attempt.case)
    refuse(of_case, hidden_in(attempt.case), test)  # before the log is held
    expected = expected_said(of_case, test, expected)
    asked = {"attempt": attempt.pk, "key": key, "expected": expected, "watched": watched}
    with by.act("practice test done", id, subject=attempt.case, asked=asked) as doing:
        if doing.is_repeated:
            return PracticeTest.objects.get(pk=id)
        _must_go_on(attempt)
        case = attempt.case
        circuit, earlier = circuit_in(case), list(attempt.tests.values_list("key", flat=True))
        if len(earlier) >= MOST_TESTS:
            raise BenchError(
                f"{len(earlier)} tests are done.",
                "So many are enough for any circuit.",
                "Name the cause, or give up and read the review.",
            )
        shown = answer(circuit, hidden_in(case), seed_of(case), earlier, test, watched)
        doing.say(number=case.number, test=len(earlier) + 1)
        return doing.add(
            PracticeTest(
                id=id,
                attempt=attempt,
                number=len(earlier) + 1,
                key=test.key,
                expected_aside=doing.words("expected", expected, LONGEST_EXPECTED),
                text=shown.text,
                outcome=shown.outcome,
                present=_PRESENT[shown.present],
                note=shown.note,
                minutes=minutes_taken(circuit, earlier, test),
                at=doing.at,
            )
        )


def rank(by: By, id: UUID, *, attempt: PracticeAttempt, parts: Sequence[str]) -> PracticeRanking:
    """Keep the learner's own ranking of the parts, the likeliest first."""
    _must_be_own(by, attempt)
    names = [part for part in parts if part][:MOST_RANKED]
    known = {part.name for part in circuit_in(attempt.case).parts}
    if not names or not known.issuperset(names):
        raise BenchError(
            "No part was chosen." if not names else "A part is not of this circuit.",
            "A ranking names the parts that you suspect, the likeliest first.",
            "Choose one or more from the list.",
        )
    for at, part in enumerate(parts, start=1):
        if part and part in parts[: at - 1]:
            raise BenchError(
                f"{part} stands twice in the ranking.",
                "A part has one place in it.",
                "Choose another part here, or none.",
                field=f"rank{at}",
            )
    asked = {"attempt": attempt.pk, "parts": names}
    with by.act("practice ranked", id, subject=attempt.case, asked=asked) as doing:
        if doing.is_repeated:
            return PracticeRanking.objects.get(pk=id)
        _must_go_on(attempt)
        doing.say(number=attempt.case.number)
        return doing.add(
            PracticeRanking(
                id=id,
                attempt=attempt,
                after=attempt.tests.count(),
                parts=names_text(names),
                at=doing.at,
            )
        )


def end(
    by: By, id: UUID, *, attempt: PracticeAttempt, suspect: str, repair: str, reasons: str = ""
) -> PracticeEnd:
    """Name the cause and the repair, and end the attempt; without a suspect, give up."""
    _must_be_own(by, attempt)
    from witnessmark.diagnosis.building import dictionary_of

    book = dictionary_of(circuit_in(attempt.case))
    known = {one.key for one in book.suspects[:-1]}
    if suspect and (suspect not in known or repair not in book.repairs):
        raise BenchError(
            "Cause and repair are not both chosen.",
            "A cause is named with what puts it right.",
            "Choose one of each.",
        )
    asked = {"attempt": attempt.pk, "suspect": suspect, "repair": repair, "reasons": reasons}
    found = review_of(attempt, suspect, repair if suspect else "")  # before the log is held
    with by.act("practice ended", id, subject=attempt.case, asked=asked) as doing:
        if doing.is_repeated:
            return PracticeEnd.objects.get(pk=id)
        _must_go_on(attempt)
        if attempt.tests.count() != len(found.path):
            raise BenchError(
                "A test was done while the cause was being named.",
                "The cause is named on all of them.",
                "Look at the last answer, then name the cause again.",
            )
        doing.say(number=attempt.case.number)
        return doing.add(
            PracticeEnd(
                id=id,
                attempt=attempt,
                suspect=suspect,
                repair=repair if suspect else "",
                reasons_aside=doing.words("reasons", reasons, 1000),
                verdict=found.verdict,
                repair_right=found.repair_right,
                minutes=found.minutes,
                best_minutes=found.best_minutes,
                at=doing.at,
            )
        )


def _must_be_own(by: By, attempt: PracticeAttempt) -> None:
    by.must_be_here()
    if attempt.by_id != by.person.pk:
        raise NotAllowed(
            "This attempt is someone else's.",
            "Everybody practises by themselves.",
            "Open your own.",
        )


def _must_go_on(attempt: PracticeAttempt) -> None:
    if PracticeEnd.objects.filter(attempt=attempt).exists():
        raise BenchError(
            f"{attempt.case.shown_number} has ended.",
            "Its seal is open and the fault is known.",
            "Read the review, or start another case.",
        )
