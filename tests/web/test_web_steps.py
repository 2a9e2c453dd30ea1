"""The Steps stage: a procedure is chosen, checked, and opens the work."""

from datetime import timedelta
from uuid import uuid4

import pytest

from tests.web.cast import PROCEDURE, TUESDAY
from witnessmark.log.models import Entry
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.acts.steps import assign_crew
from witnessmark.record.models import Job, Step

PAGE = "/jobs/120/steps"
BROKEN = PROCEDURE.replace('[[steps.on]]\nkey = "housing-bolt"\n', "").replace(
    'title = "Thermostat housing"', 'title = "Thermostat, bolts forgotten"'
)


@pytest.fixture
def new_job(cast) -> Job:
    by = By(person=cast.teacher)
    job = open_job(
        by,
        uuid4(),
        number=120,
        section=cast.section,
        complaint="Runs cold.",
        intake=Intake(
            vehicle="Van",
            owner_name="Harbour library",
            owner_phone="555 0142",
            promised=TUESDAY + timedelta(days=10),
        ),
    )
    assign_crew(by, uuid4(), job=job, people=[cast.on_it])
    return job


@pytest.fixture
def procedure(cast):
    return put_in_library(
        By(person=cast.teacher), uuid4(), kind="procedure", text=PROCEDURE, name="thermostat"
    )


def choose(browser, item, id=None):
    return browser.post(f"{PAGE}/choose", {"id": str(id or uuid4()), "item": str(item.pk)})


def start(browser, id=None):
    return browser.post(f"{PAGE}/start", {"id": str(id or uuid4())})


def test_an_empty_library_says_what_to_do(cast, new_job):
    page = cast.browser(cast.teacher).get(PAGE).content.decode()

    assert "No procedure is in the Library." in page
    assert 'href="/library/new"' in page


def test_a_procedure_is_chosen_checked_and_opens_the_work(cast, new_job, procedure):
    teacher = cast.browser(cast.teacher)
    assert "3 steps, 30 min" in teacher.get(PAGE).content.decode()

    assert choose(teacher, procedure).status_code == 302
    page = teacher.get(PAGE).content.decode()
    for words in ("Housing on, to torque", "15 min", "after step 1", "nothing to mend"):
        assert words in page
    assert "Housing bolt at 1, 2, 20 to 30 N·m" in page
    assert "off: Housing bolt (2)" in page
    assert 'aria-label="Hold, not yet marked"' in page

    assert start(teacher).status_code == 302
    new_job.refresh_from_db()
    assert new_job.work_started_at is not None
    assert "passed, work is open" in teacher.get(PAGE).content.decode()


def test_what_is_to_mend_is_named_with_its_step_and_work_stays_shut(cast, new_job):
    item = put_in_library(
        By(person=cast.teacher), uuid4(), kind="procedure", text=BROKEN, name="forgotten"
    )
    teacher = cast.browser(cast.teacher)
    choose(teacher, item)
    page = teacher.get(PAGE).content.decode()

    assert "Housing bolt is taken off in step 1 and never put back." in page
    assert 'href="#s1"' in page
    assert f"/library/new?from={item.pk}" in page
    answer = start(teacher)
    assert answer.status_code == 422
    assert "never put back" in answer.content.decode()
    new_job.refresh_from_db()
    assert new_job.work_started_at is None


def test_another_procedure_replaces_the_steps_and_the_old_ones_stay_on_record(
    cast, new_job, procedure
):
    other = put_in_library(
        By(person=cast.teacher),
        uuid4(),
        kind="procedure",
        text=PROCEDURE.replace('title = "Thermostat housing"', 'title = "Another way"'),
        name="other",
    )
    teacher = cast.browser(cast.teacher)
    choose(teacher, procedure)
    assert "Another way" in teacher.get(f"{PAGE}?choose").content.decode()
    choose(teacher, other)

    assert "Another way" in teacher.get(PAGE).content.decode()
    assert Step.objects.filter(job=new_job, dropped_at=None).count() == 3
    assert Step.objects.filter(job=new_job).count() == 6


def test_once_work_is_open_no_other_procedure_is_offered_or_taken(cast, new_job, procedure):
    teacher = cast.browser(cast.teacher)
    choose(teacher, procedure)
    start(teacher)

    assert "Other procedure" not in teacher.get(f"{PAGE}?choose").content.decode()
    assert choose(teacher, procedure).status_code == 422


def test_looking_changes_nothing(cast, new_job, procedure):
    teacher = cast.browser(cast.teacher)
    before = Entry.objects.count()
    for page in (PAGE, f"{PAGE}?choose"):
        assert teacher.get(page).status_code == 200
    for page in (f"{PAGE}/choose", f"{PAGE}/start"):
        assert teacher.get(page).status_code == 405
    assert Entry.objects.count() == before


def test_a_learner_who_is_not_on_it_is_told_nothing(cast, new_job, procedure):
    stranger = cast.browser(cast.not_on_it)

    assert stranger.get(PAGE).status_code == 404
    assert choose(stranger, procedure).status_code == 404


def test_a_learner_on_it_sees_the_steps_and_cannot_choose_or_start(cast, new_job, procedure):
    learner = cast.browser(cast.on_it)
    assert "The teacher chooses a procedure" in learner.get(PAGE).content.decode()

    assert choose(learner, procedure).status_code == 403
    choose(cast.browser(cast.teacher), procedure)
    assert "Start work" not in learner.get(PAGE).content.decode()
    assert start(learner).status_code == 403
    assert Job.objects.get(pk=new_job.pk).work_started_at is None


def test_sent_twice_makes_one_set_of_steps(cast, new_job, procedure):
    teacher, id = cast.browser(cast.teacher), uuid4()

    assert choose(teacher, procedure, id).status_code == 302
    assert choose(teacher, procedure, id).status_code == 302
    assert Step.objects.filter(job=new_job).count() == 3


@pytest.mark.parametrize("item", ["", "nonsense", "00000000-0000-0000-0000-000000000000"])
def test_no_procedure_is_said_in_words(cast, new_job, item):
    answer = cast.browser(cast.teacher).post(f"{PAGE}/choose", {"id": str(uuid4()), "item": item})

    assert answer.status_code == 422
    assert "No procedure was chosen." in answer.content.decode()
