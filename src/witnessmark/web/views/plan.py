"""The Plan: the weeks ahead as a timetable, planned again, looked at, published."""

import uuid
from dataclasses import replace
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from witnessmark.papers.timetable import Timetable, busiest_words, make_timetable
from witnessmark.papers.timetable_drawing import promise_lines, timetable_svg
from witnessmark.people.models import Person
from witnessmark.planning import (
    PlanResult,
    Status,
    WeekProblem,
    problem_to_text,
    result_from_text,
)
from witnessmark.record.acts.plans import publish_plan, published_plan, queue_plan
from witnessmark.record.core import load
from witnessmark.record.models import Job, PartOrder, Plan, Step
from witnessmark.record.weeks import bay_name, kept_problem, kept_sittings, weeks_ahead
from witnessmark.shop import clock
from witnessmark.web import gate
from witnessmark.web.drawn import drawn
from witnessmark.web.tasks import plan_weeks

QUALITY = {
    Status.PROVEN_BEST: "Proven best: no plan keeps the promises better.",
    Status.FOUND: "It holds. The time did not last to prove that none is better.",
}


@require_GET
def plan(request: HttpRequest) -> HttpResponse:
    """Show the plan that stands; to a teacher also a newer one that waits to be published."""
    newest = _newest(request.person)
    facts: dict[str, Any] = {"newest": newest, "waiting": _waiting()}
    if newest is not None and newest.stored_at is None:
        facts["is_computing"] = True
    elif newest is not None and not newest.sittings.exists():
        facts["reason"] = result_from_text(newest.result).reason if newest.result else FAILED
    shown = _shown(request.person)
    if shown is not None:
        facts |= _facts(shown)
        facts["may_publish"] = request.person.is_teacher and shown.published_at is None
    return render(request, "witnessmark/plan/plan.html", facts)


FAILED = "The computation ended without an answer. Plan again."


@require_GET
def still_computing(request: HttpRequest, version: int) -> HttpResponse:
    """Answer the page that waits for a plan: nothing yet, or look again."""
    asked = get_object_or_404(Plan, version=version)
    answer = HttpResponse(status=204)
    if asked.stored_at is not None:
        answer.headers["HX-Refresh"] = "true"
    return answer


@require_GET
def printed(request: HttpRequest) -> HttpResponse:
    """Show the weeks as they are hung up: day by day, on paper."""
    shown = _shown(request.person)
    if shown is None:
        raise Http404
    return render(request, "witnessmark/plan/printed.html", _facts(shown))


@require_POST
@gate.teachers_only
def again(request: HttpRequest) -> HttpResponse:
    """Put a planning run into the queue."""
    problem = weeks_ahead(clock.now())
    asked = queue_plan(gate.by(request), gate.entry_id(request), problem=problem_to_text(problem))
    if asked.stored_at is None:
        plan_weeks.enqueue(str(asked.pk))
    return redirect("/plan")


@require_POST
@gate.teachers_only
def publish(request: HttpRequest, version: int) -> HttpResponse:
    """Publish a plan, and put its crews on their steps."""
    chosen = get_object_or_404(Plan, version=version)
    publish_plan(gate.by(request), gate.entry_id(request), plan=chosen)
    messages.success(request, f"Plan {chosen.version} is published: the board shows it.")
    return redirect("/plan")


def _newest(person: Person) -> Plan | None:
    return Plan.objects.order_by("-version").first() if person.is_teacher else None


def _shown(person: Person) -> Plan | None:
    """Return the newest plan with a timetable for a teacher, the published one for others."""
    if not person.is_teacher:
        return published_plan()
    return Plan.objects.filter(sittings__isnull=False).order_by("-version").first()


def timetable_of(shown: Plan) -> Timetable:
    """Return a kept plan as it is drawn: with the marks as they are now."""
    sittings = kept_sittings(shown)
    local = timezone.localtime(clock.now()).replace(tzinfo=None)
    problem = _promised_where_chosen(kept_problem(shown))
    last = datetime.combine(problem.periods[-1].day, problem.periods[-1].end)
    return make_timetable(
        problem,
        sittings,
        now=local if local < last else None,
        hold_states=_states({one.job for one in sittings}),
    )


def _promised_where_chosen(problem: WeekProblem) -> WeekProblem:
    """Leave out the promise of a job whose repair is not chosen: no finish is planned for it."""
    open_ended = {str(job.pk) for job in _without_steps()}
    return replace(
        problem,
        jobs=tuple(
            replace(job, promised=None, promised_by=None) if job.key in open_ended else job
            for job in problem.jobs
        ),
    )


def _without_steps() -> list[Job]:
    """Return the open jobs that have no steps but 'Find the cause', or none at all."""
    work = Step.objects.filter(dropped_at=None).exclude(kind="find").values("job_id")
    jobs = Job.objects.filter(closed_at=None, half_done=False).exclude(pk__in=work)
    return list(jobs.select_related("vehicle"))


def _states(jobs: set[str]) -> dict[tuple[str, str], str]:
    found = {}
    for job in Job.objects.filter(pk__in=[uuid.UUID(key) for key in jobs]):
        record = load(job)
        for step, state in record.states.items():
            found[str(job.pk), str(step)] = str(state)
    return found


def _facts(shown: Plan) -> dict[str, Any]:
    timetable = timetable_of(shown)
    result = result_from_text(shown.result)
    return {
        "plan": shown,
        "title": timetable.title,
        "drawing": drawn(timetable_svg(timetable)),
        "rows": timetable.table(),
        "days": timetable.days(),
        "promises": promise_lines(timetable),
        "teacher_words": busiest_words(timetable),
        "quality": QUALITY[result.status],
        "aims": [aim for aim in result.aims if aim.bound is not None],
        "left_over": _left_over(timetable, result),
        "not_chosen": _without_steps(),
    }


def _left_over(timetable: Timetable, result: PlanResult) -> list[str]:
    jobs = {one.job.key: one.job for one in timetable.promises}
    titles = {
        (job.key, step.key): f"{job.name}: {step.title}"
        for job in jobs.values()
        for step in job.steps
    }
    return [titles[key] for key in result.left_over if key in titles]


def _waiting() -> list[dict[str, Any]]:
    """Return the parts that jobs wait for."""
    orders = PartOrder.objects.filter(
        arrived_at=None, job__closed_at=None, job__half_done=False
    ).select_related("job__bay", "job__vehicle")
    return [
        {
            "what": order.what,
            "place": bay_name(order.job.bay) if order.job.bay else order.job.vehicle.name,
            "due": order.due,
        }
        for order in orders
    ]


urls = [
    path("plan", plan),
    path("plan/print", printed),
    path("plan/again", again),
    path("plan/<int:version>/publish", publish),
    path("plan/<int:version>/waiting", still_computing),
]
