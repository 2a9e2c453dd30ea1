"""A case that a teacher has set: what is hidden, for teachers only; how the learners did."""

import re
from uuid import uuid4

import pytest

from tests.web.cast import PASSWORD
from tests.web.test_web_practice import (  # noqa: F401 - fixtures
    HERE,
    case,
    fan,
    measure,
    read,
    send,
    stranger,
)
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.record.acts import practice
from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import add_teacher
from witnessmark.record.models import PracticeAttempt, PracticeCase, PracticeEnd
from witnessmark.record.practice import circuit_in, hidden_in
from witnessmark.web.practice_set import LearnerRow, tally

FOLD = re.compile(r"<details[^>]*><summary[^>]*>Show what is hidden</summary>(.*?)</details>", re.S)


def shown(page):
    """What stands folded under "Show what is hidden", by its labels."""
    (folded,) = FOLD.findall(page)
    rows = re.findall(r"<dt>([^<]+)</dt><dd>(?:<b>)?([^<]+)", folded)
    return dict(rows)


def test_the_teacher_reads_what_he_chose_and_how_bad_it_was_drawn(cast, case):  # noqa: F811
    teacher = cast.browser(cast.teacher)
    hidden = hidden_in(case)

    told = shown(read(teacher.get(f"{HERE}/1")))
    assert told["Hidden"] == "S9 splice: high resistance"
    assert told["How bad"] == f"{hidden.fault.value:.3g} Ω added"
    assert told["Puts it right"] == "Mend splice S9"


def test_the_teacher_reads_what_was_drawn(cast, fan):  # noqa: F811
    case = practice.set_case(  # noqa: F811
        By(person=cast.teacher), uuid4(), item=fan, section=cast.section
    )

    page = read(cast.browser(cast.teacher).get(f"{HERE}/{case.number}"))
    assert shown(page)["Hidden"] == hidden_in(case).words


def test_no_learner_gets_at_what_is_hidden_by_any_address(cast, case, stranger):  # noqa: F811
    hidden = hidden_in(case)
    isla, mika = cast.browser(cast.on_it), cast.browser(cast.not_on_it)
    for browser in (isla, mika, stranger, cast.browser()):
        for page in (HERE, f"{HERE}/1", f"{HERE}/1/hidden", f"{HERE}/1?hidden=1"):
            answer = read(browser.get(page, follow=True))
            assert "what is hidden" not in answer
            assert hidden.words not in answer and f"{hidden.fault.value:.3g} Ω" not in answer
    send(isla, "begin")
    own = PracticeAttempt.objects.get()
    for page in (f"{HERE}/1", f"{HERE}/1/of/{own.pk}"):
        answer = read(isla.get(page))  # every suspect is offered there as a cause, this one too
        assert "Show what is hidden" not in answer
        assert f"{hidden.fault.value:.3g} Ω" not in answer
    assert mika.get(f"{HERE}/1/of/{own.pk}").status_code == 404


def test_who_only_takes_vehicles_in_is_told_nothing(cast, case):  # noqa: F811
    add_teacher(
        By(person=cast.teacher),
        uuid4(),
        name="Office",
        handle="office",
        password=PASSWORD,
        pin="5192",
        role="office",
    )
    office = cast.browser()
    office.post("/signin/password", {"handle": "office", "password": PASSWORD})

    assert "what is hidden" not in read(office.get(f"{HERE}/1", follow=True))


def test_a_case_of_ones_own_stays_sealed_for_a_teacher_too(cast, fan):  # noqa: F811
    teacher = cast.browser(cast.teacher)
    practice.set_case(By(person=cast.teacher), uuid4(), item=fan)

    page = read(teacher.get(f"{HERE}/1"))
    assert "The fault is hidden" in page and "what is hidden" not in page


def test_a_teacher_who_tries_it_as_well_is_not_told_on_that_page(cast, case):  # noqa: F811
    teacher = cast.browser(cast.teacher)
    send(teacher, "begin")

    assert "what is hidden" not in read(teacher.get(f"{HERE}/1"))


def test_beside_a_learners_tests_the_teacher_may_look_too(cast, case):  # noqa: F811
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    measure(isla, "E")
    own = PracticeAttempt.objects.get()

    page = read(cast.browser(cast.teacher).get(f"{HERE}/1/of/{own.pk}"))
    assert shown(page)["Hidden"] == "S9 splice: high resistance"


@pytest.mark.parametrize(
    ("named", "says"),
    [
        ("G7:high", "1 of 2 has ended: 1 not right."),
        ("", "1 of 2 has ended: 1 given up."),
    ],
)
def test_the_teacher_reads_how_the_learners_did(cast, case, named, says):  # noqa: F811
    isla, teacher = cast.browser(cast.on_it), cast.browser(cast.teacher)
    assert "ended:" not in read(teacher.get(f"{HERE}/1"))
    send(isla, "begin")
    measure(isla, "E")
    book = dictionary_of(circuit_in(case))
    repairs = {one.key: one.repair for one in book.suspects}
    what = {"suspect": named, "repair": repairs[named]} if named else {}
    assert send(isla, "name" if named else "give-up", **what).status_code == 302

    page = read(teacher.get(f"{HERE}/1"))
    assert says in page
    row = page.partition("<b>Isla</b>")[2].partition("</tr>")[0]
    assert ("G7 ground joint: high resistance" in row) == bool(named)
    assert says not in read(cast.browser(cast.not_on_it).get(f"{HERE}/1"))
    assert PracticeCase.objects.count() == 1


def test_a_right_cause_with_a_wrong_repair_is_so_called_everywhere(cast, case):  # noqa: F811
    """The list said "Right, and proved" where the review said that the repair was wrong."""
    isla, teacher = cast.browser(cast.on_it), cast.browser(cast.teacher)
    send(isla, "begin")
    for place in ("D", "E", "F"):
        measure(isla, place)
    send(isla, "name", suspect="S9:high", repair="replace Fan")

    said = "Right cause, wrong repair"
    for browser, page in (
        (isla, HERE),
        (isla, f"{HERE}/1"),
        (isla, "/signin/me"),
        (teacher, f"{HERE}/1"),
        (teacher, f"/people/here/{cast.on_it.pk}"),
    ):
        found = read(browser.get(page))
        assert said in found and "Right, " not in found
    assert f"1 of 2 has ended: 1 {said.lower()}." in read(teacher.get(f"{HERE}/1"))


def test_how_many_have_ended_is_said_from_the_best_end_to_the_worst():
    ends = [("given up", False), ("right", False), ("wrong", False), ("right", True)]
    attempts = [
        PracticeEnd(attempt=PracticeAttempt(), verdict=verdict, repair_right=right).attempt
        for verdict, right in ends
    ]
    assert tally(LearnerRow(person=None, attempt=one, named="") for one in [*attempts, None]) == (
        "4 of 5 have ended: 1 right, and proved; 1 right cause, wrong repair; 1 not right; "
        "1 given up."
    )
