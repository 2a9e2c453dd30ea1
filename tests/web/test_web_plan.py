"""The Plan page: planned again, published, printed; who may do what."""

from datetime import timedelta
from uuid import uuid4

import pytest

from tests.web.cast import PASSWORD, TUESDAY
from tests.web.shop_floor import set_up
from witnessmark.planning import check_plan, problem_from_text
from witnessmark.record.acts.parts import order_part
from witnessmark.record.acts.people import add_teacher, give_permit
from witnessmark.record.models import Crew, Plan
from witnessmark.record.specs import spec_of
from witnessmark.record.weeks import kept_sittings, weeks_ahead
from witnessmark.shop import clock


@pytest.fixture
def at_once(settings, monkeypatch):
    """Run queued work at once, and not for long."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}
    monkeypatch.setattr("witnessmark.web.tasks.PLAN_SECONDS", 1.0)


@pytest.fixture
def floor(cast, at_once):
    return set_up(cast)


def page(browser, address="/plan"):
    answer = browser.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def planned_again(browser):
    answer = browser.post("/plan/again", {"id": str(uuid4())})
    assert answer.status_code == 302, answer.content.decode()
    return Plan.objects.latest("version")


def test_an_empty_plan_says_what_to_do_next(cast):
    said = page(cast.browser(cast.teacher))
    assert "There is no plan yet." in said
    assert "Plan the weeks" in said and "Plan again" not in said


def test_the_open_jobs_become_a_problem_without_a_name_in_it(floor):
    text = Plan.objects  # nothing is kept yet
    assert not text.exists()
    problem = weeks_ahead(clock.now())
    assert {job.name for job in problem.jobs} == {"J-114", "J-115", "J-116"}
    assert problem.periods[0].gone_min == 32  # it is 11:12 in a period from 10:40
    names = {person.name for person in floor.learners}
    assert not names & {one.name for one in problem.learners}
    assert len(problem.learners) == len(names)


def test_a_teacher_plans_looks_and_publishes(floor):
    browser = floor.cast.browser(floor.cast.teacher)
    plan = planned_again(browser)
    problem = problem_from_text(plan.problem)
    assert plan.status in ("proven best", "found")
    assert check_plan(problem, kept_sittings(plan)) == ()
    said = page(browser)
    assert f"Publish plan {plan.version}" in said
    assert "Show as table" in said
    assert "Bound" in said
    learner = floor.cast.browser(floor.cast.on_it)
    assert "There is no plan yet." in page(learner)
    answer = browser.post(f"/plan/{plan.version}/publish", {"id": str(uuid4())})
    assert answer.status_code == 302, answer.content.decode()
    assert "Bays, bench and teacher" in page(learner)
    first = plan.sittings.first()
    assert set(first.crew.all()) == {
        row.person for row in Crew.objects.filter(step=first.step, until=None)
    }


def test_publishing_twice_makes_one_crew(floor):
    browser = floor.cast.browser(floor.cast.teacher)
    plan = planned_again(browser)
    sent = {"id": str(uuid4())}
    browser.post(f"/plan/{plan.version}/publish", sent)
    crews = Crew.objects.count()
    browser.post(f"/plan/{plan.version}/publish", sent)
    assert Crew.objects.count() == crews > 0


def test_a_plan_is_queued_until_it_is_computed(floor, settings):
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    browser = floor.cast.browser(floor.cast.teacher)
    plan = planned_again(browser)
    assert (plan.status, plan.stored_at) == ("queued", None)
    assert "is being computed" in page(browser)
    answer = browser.get(f"/plan/{plan.version}/waiting")
    assert (answer.status_code, "HX-Refresh" in answer.headers) == (204, False)


def test_a_new_plan_keeps_to_the_published_one(floor):
    browser = floor.cast.browser(floor.cast.teacher)
    first = planned_again(browser)
    browser.post(f"/plan/{first.version}/publish", {"id": str(uuid4())})
    second = planned_again(browser)
    assert second.version == first.version + 1
    places = [{(s.step, s.period) for s in kept_sittings(one)} for one in (first, second)]
    assert places[0] == places[1]


def test_looking_changes_nothing(floor):
    browser = floor.cast.browser(floor.cast.teacher)
    planned_again(browser)
    before = list(Plan.objects.values())
    for address in ("/plan", "/plan/print"):
        page(browser, address)
    assert list(Plan.objects.values()) == before
    assert browser.get("/plan/again").status_code == 405


@pytest.mark.parametrize("address", ["/plan/again", "/plan/1/publish"])
def test_a_learner_cannot_plan_or_publish(floor, address):
    planned_again(floor.cast.browser(floor.cast.teacher))
    learner = floor.cast.browser(floor.cast.on_it)
    assert learner.post(address, {"id": str(uuid4())}).status_code == 403
    assert not Plan.objects.filter(published_at__isnull=False).exists()
    assert Plan.objects.count() == 1
    said = page(learner)
    assert "Plan again" not in said
    assert "Publish" not in said


def test_a_stranger_is_sent_to_the_door(floor):
    for address in ("/plan", "/plan/print"):
        assert "/signin" in floor.cast.browser().get(address).headers["Location"]


def test_a_computation_that_fails_says_so_and_can_be_asked_again(floor, monkeypatch):
    def broken(*_, **__):
        raise ZeroDivisionError

    monkeypatch.setattr("witnessmark.web.tasks.solve_week", broken)
    browser = floor.cast.browser(floor.cast.teacher)
    plan = planned_again(browser)
    assert plan.status == "failed"
    said = page(browser)
    assert "ended without an answer" in said
    assert "Plan again" in said


def test_a_waiting_part_moves_its_steps_and_stands_on_the_page(floor):
    due = TUESDAY.date() + timedelta(days=2)
    job = floor.jobs["tractor"]
    order_part(floor.by, uuid4(), job=job, what="brake cylinder", due=due)
    browser = floor.cast.browser(floor.cast.teacher)
    plan = planned_again(browser)
    mine = [one for one in kept_sittings(plan) if one.job == str(job.pk)]
    assert mine
    assert min(one.day for one in mine) >= due
    assert "Brake cylinder, Bay 2, due Thu 26 Nov." in page(browser)


def test_a_shop_without_jobs_is_told_so(cast, at_once):
    answer = cast.browser(cast.teacher).post("/plan/again", {"id": str(uuid4())})
    assert answer.status_code == 422
    assert "No job has steps that wait." in answer.content.decode()


def test_another_teacher_may_publish_what_one_has_published(floor):
    browser = floor.cast.browser(floor.cast.teacher)
    plan = planned_again(browser)
    browser.post(f"/plan/{plan.version}/publish", {"id": str(uuid4())})
    crews = Crew.objects.count()
    other = add_teacher(
        floor.by, uuid4(), name="M. Corse", handle="corse", password=PASSWORD, pin="8052"
    )
    answer = floor.cast.browser(other).post(f"/plan/{plan.version}/publish", {"id": str(uuid4())})
    assert answer.status_code == 302, answer.content.decode()
    assert Crew.objects.count() == crews


def test_a_plan_whose_crew_may_not_is_not_published_by_half(floor):
    browser = floor.cast.browser(floor.cast.teacher)
    plan = planned_again(browser)
    last = plan.sittings.exclude(step__spec__contains='"permits":[]').last()
    for person in last.crew.all():
        for kind in spec_of(last.step).permits:
            give_permit(floor.by, uuid4(), person=person, kind=kind, level="none")
    crews = Crew.objects.count()
    answer = browser.post(f"/plan/{plan.version}/publish", {"id": str(uuid4())})
    assert answer.status_code == 403
    assert "A permit is missing" in answer.content.decode()
    assert not Plan.objects.filter(published_at__isnull=False).exists()
    assert Crew.objects.count() == crews
