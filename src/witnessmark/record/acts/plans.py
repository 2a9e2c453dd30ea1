"""Acts on plans: queued, stored as they ended, published as a version."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.db.models import Max

from witnessmark.errors import BenchError
from witnessmark.people.models import Person
from witnessmark.record.acts.by import By
from witnessmark.record.acts.steps import assign_crew
from witnessmark.record.models import Job, Plan, PlannedSitting, Step
from witnessmark.shop.models import Bay, Period
from witnessmark.work.digest import text_digest


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """A crew on a step in one period, on its way into the record."""

    job: Job
    step: Step
    period: Period
    start: datetime
    end: datetime
    crew: tuple[Person, ...]
    bay: Bay | None = None
    hold_start: datetime | None = None
    hold_end: datetime | None = None


def queue_plan(by: By, id: UUID, *, problem: str) -> Plan:
    """Ask for a new plan; the problem is kept as it was."""
    by.must_be_teacher("plan the weeks")
    digest = text_digest(problem)
    with by.act("plan asked for", id, asked={"problem": digest}) as doing:
        if doing.is_repeated:
            return Plan.objects.get(pk=id)
        last = Plan.objects.aggregate(last=Max("version"))["last"] or 0
        plan = doing.add(
            Plan(
                id=id,
                version=last + 1,
                problem=problem,
                status="queued",
                made_by=by.person,
                made_at=doing.at,
            )
        )
        doing.say(version=plan.version, subject=plan)
        return plan


def store_plan(
    by: By,
    id: UUID,
    *,
    plan: Plan,
    status: str,
    result: str = "",
    bound: str = "",
    gap: str = "",
    sittings: Sequence[Sitting] = (),
) -> Plan:
    """Store how a planning run ended, with its sittings if it found any."""
    digest = text_digest(result)
    asked = {"plan": plan.pk, "status": status, "result": digest, "sittings": len(sittings)}
    with by.act("plan stored", id, subject=plan, asked=asked) as doing:
        if doing.is_repeated:
            return Plan.objects.get(pk=plan.pk)
        stored = Plan.objects.select_for_update().get(pk=plan.pk)
        if stored.stored_at is not None:
            raise BenchError(
                f"Plan {stored.version} is stored already.",
                "A plan is computed once.",
                "Ask for a new one.",
            )
        doing.change(stored, status=status, result=result, stored_at=doing.at, bound=bound, gap=gap)
        for one in sittings:
            sitting = PlannedSitting(
                plan=stored,
                job=one.job,
                step=one.step,
                period=one.period,
                start=one.start,
                end=one.end,
                bay=one.bay,
                hold_start=one.hold_start,
                hold_end=one.hold_end,
            )
            doing.add(sitting, crew=one.crew)
        doing.say(version=stored.version, status=status, sittings=len(sittings))
        return stored


def publish_plan(by: By, id: UUID, *, plan: Plan) -> Plan:
    """Publish a stored plan and put its crews on their steps: the board shows it from now on.

    A crew that may not be put on its step holds the whole plan back.
    """
    by.must_be_teacher("publish a plan")
    with transaction.atomic():
        published = _publish(by, id, plan)
        sittings = published.sittings.filter(job__closed_at=None, step__dropped_at=None)
        for sitting in sittings.select_related("job", "step").prefetch_related("crew"):
            assign_crew(
                by,
                uuid5(id, f"crew of {sitting.pk}"),
                job=sitting.job,
                step=sitting.step,
                people=list(sitting.crew.all()),
            )
        return published


def published_plan() -> Plan | None:
    """Return the plan that stands: the last published."""
    return Plan.objects.filter(published_at__isnull=False).order_by("-version").first()


def _publish(by: By, id: UUID, plan: Plan) -> Plan:
    with by.act("plan published", id, subject=plan, asked={"plan": plan.pk}) as doing:
        stored = Plan.objects.select_for_update().get(pk=plan.pk)
        if doing.is_repeated:
            return stored
        if stored.stored_at is None or not stored.sittings.exists():
            raise BenchError(
                f"Plan {stored.version} has no timetable.",
                "Only a plan that was found can be published.",
                "Plan again.",
            )
        if Plan.objects.filter(version__gt=stored.version, published_at__isnull=False).exists():
            raise BenchError(
                f"A newer plan than {stored.version} is published already.",
                "The board never goes back to an older one.",
                "Plan again and publish that.",
            )
        doing.change(stored, published_at=doing.at, published_by=by.person)
        doing.say(version=stored.version)
        return stored
