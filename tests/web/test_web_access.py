"""Who may open what; looking changes nothing; nobody acts without the form's token."""

from datetime import date, time

import pytest
from django.test import Client

from witnessmark.log.models import Entry
from witnessmark.record.acts.by import By, NotAllowed
from witnessmark.record.models import Plan, PlannedSitting
from witnessmark.shop import clock
from witnessmark.shop.models import Period

JOB_PAGES = [
    "/jobs/114",
    "/jobs/114/ledger",
    "/jobs/114/handover",
    "/jobs/114/repair",
    "/jobs/114/step/1",
    "/jobs/114/step/2",
    "/jobs/114/step/2/mark",
]
TEACHER_PAGES = [
    "/people",
    "/people/here",
    "/people/sign-in",
    "/shop",
    "/library/new",
    "/library/circuit",
    "/jobs/new",
    "/jobs/114/crew",
]
SHARED_PAGES = ["/jobs", "/library", "/library/repair", "/signin/me"]


@pytest.mark.parametrize("page", JOB_PAGES)
def test_the_crew_and_the_teacher_open_a_job_and_a_stranger_finds_nothing(cast, job, page):
    assert cast.browser(cast.on_it).get(page).status_code == 200
    assert cast.browser(cast.teacher).get(page).status_code == 200
    assert cast.browser(cast.not_on_it).get(page).status_code == 404


def test_whom_the_published_plan_names_may_open_the_job_and_write_in_it(cast, job):
    def name_in_plan(version, crew):
        now = clock.now()
        plan = Plan.objects.create(
            version=version, made_by=cast.teacher, made_at=now, published_at=now
        )
        period = Period.objects.first() or Period.objects.create(
            date=date(2026, 11, 24),
            number=3,
            start=time(10, 40),
            end=time(12, 0),
            section=cast.section,
        )
        sitting = PlannedSitting.objects.create(
            plan=plan,
            job=job,
            step=job.steps.first(),
            period=period,
            start=now,
            end=now,
        )
        sitting.crew.set(crew)

    learner = cast.browser(cast.not_on_it)
    name_in_plan(1, [cast.not_on_it])
    assert learner.get("/jobs/114").status_code == 200
    assert "114" in learner.get("/jobs").content.decode()
    By(person=cast.not_on_it).must_work_on(job)
    name_in_plan(2, [cast.on_it])  # the next plan names someone else
    assert learner.get("/jobs/114").status_code == 404
    with pytest.raises(NotAllowed, match="crew"):
        By(person=cast.not_on_it).must_work_on(job)


@pytest.mark.parametrize("page", TEACHER_PAGES)
def test_a_teachers_page_is_closed_to_learners(cast, job, page):
    assert cast.browser(cast.teacher).get(page).status_code == 200
    assert cast.browser(cast.on_it).get(page).status_code == 403


@pytest.mark.parametrize("page", [*JOB_PAGES, *TEACHER_PAGES, *SHARED_PAGES])
def test_looking_changes_nothing(cast, job, page):
    teacher = cast.browser(cast.teacher)
    before = Entry.objects.count()
    assert teacher.get(page).status_code == 200
    assert Entry.objects.count() == before


@pytest.mark.parametrize("page", [*JOB_PAGES, *TEACHER_PAGES, "/jobs", "/library"])
def test_without_signing_in_there_is_only_the_door(cast, job, page):
    assert cast.browser().get(page).headers["Location"].startswith("/signin?next=")


@pytest.mark.parametrize(
    "page",
    ["/jobs/114/step/1/start", "/jobs/114/step/2/mark", "/jobs/new", "/people", "/signin/open"],
)
def test_a_form_without_its_token_does_nothing(cast, job, page):
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = cast.browser(cast.teacher).cookies
    before = Entry.objects.count()
    assert strict.post(page, {}).status_code == 403
    assert Entry.objects.count() == before


def test_a_learner_who_left_the_crew_finds_the_job_no_more(cast, job):
    from uuid import uuid4

    from witnessmark.record.acts.by import By
    from witnessmark.record.acts.steps import assign_crew

    learner = cast.browser(cast.on_it)
    assert learner.get("/jobs/114").status_code == 200
    assign_crew(By(person=cast.teacher), uuid4(), job=job, people=[cast.not_on_it])
    assert learner.get("/jobs/114").status_code == 404


@pytest.mark.parametrize("page", ["/jobs", "/jobs/114", "/jobs/114/step/1", "/signin", "/board"])
def test_a_shared_device_keeps_no_page_to_go_back_to(cast, job, page):
    kept = cast.browser(cast.on_it).get(page).headers["Cache-Control"]
    assert "no-store" in kept
