"""What forms send as a choice: one of the rows offered, nothing, or something never offered."""

from uuid import uuid4

import pytest

from tests.web.bench import do_first_step, send
from tests.web.cast import TEACHER_PIN
from witnessmark.log.models import Entry
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import give_job_bay
from witnessmark.record.models import Movement
from witnessmark.shop.models import Bay

NEVER_OFFERED = ("nobody", "²", "{", "00000000-0000-4000-8000-000000000000")
# the address of a form, what it sends beside the choice, the name of the choice, its answer
FORMS = {
    "bay": ("/jobs/114/crew", {"act": "bay"}, "bay", 404),
    "class": ("/jobs/114/crew", {"act": "section"}, "section", 404),
    "crew": ("/jobs/114/crew", {"act": "crew"}, "person", 404),
    "part": ("/jobs/114/crew", {"act": "arrived"}, "part", 404),
    "movement": ("/jobs/114/step/1/move", {"kind": "back on"}, "line", 404),
    "period": ("/shop", {"act": "presence", "presence": "out"}, "period", 404),
    "zero set in": (
        "/shop",
        {"act": "instrument", "name": "M", "kind": "meter", "resolution": "0.01 V"},
        "set_in",
        404,
    ),
    "permit": (
        "/people",
        {"kind": "press", "level": "allowed", "pin": TEACHER_PIN},
        "who",
        404,
    ),
    "section of a learner": (
        "/people/here",
        {"add": "learner", "name": "Joss", "pin": "5937"},
        "section",
        422,
    ),
    "mark": ("/jobs/114/step/2/mark", {"digest": "", "pin": TEACHER_PIN}, "who", 422),
    "circuit sheet": (
        "/jobs/114/find/open",
        {"sheet_id": "00000000-0000-4000-8000-000000000001"},
        "sheet",
        404,
    ),
    "assembly sheet": ("/jobs/114/fit/sheet", {}, "item", 422),
    "procedure": ("/jobs/114/steps/choose", {}, "item", 422),
}


@pytest.mark.parametrize("never_offered", NEVER_OFFERED)
@pytest.mark.parametrize("form", FORMS)
def test_a_choice_that_was_never_offered_changes_nothing(cast, job, form, never_offered):
    address, typed, name, answer = FORMS[form]
    do_first_step(cast.browser(cast.on_it))
    before = Entry.objects.count()
    sent = {"id": str(uuid4()), **typed, name: never_offered}
    assert cast.browser(cast.teacher).post(address, sent).status_code == answer
    assert Entry.objects.count() == before


def test_a_choice_left_open_is_nothing_chosen(cast, job):
    give_job_bay(By(person=cast.teacher), uuid4(), job=job, bay=Bay.objects.get())
    sent = {"id": str(uuid4()), "act": "bay", "bay": ""}
    assert cast.browser(cast.teacher).post("/jobs/114/crew", sent).status_code == 302
    job.refresh_from_db()
    assert job.bay is None


def test_a_line_of_another_job_is_never_offered(cast, job):
    from witnessmark.record.acts.intake import Intake, open_job

    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    by, line = By(person=cast.teacher), job.ledger.get()
    other = open_job(by, uuid4(), intake=Intake(vehicle="Six", kind="training"), complaint="")
    typed = {"id": str(uuid4()), "line": str(line.pk), "kind": "back on"}
    teacher = cast.browser(cast.teacher)
    assert teacher.post(f"/jobs/{other.number}/step/1/move", typed).status_code == 404
    assert not Movement.objects.exists()
    assert send(crew, 1, "move", line=str(line.pk), kind="back on").status_code == 302
