"""The weeks ahead as a problem to plan, and a plan back as rows.

Keys of the problem are the ids of the rows, and neither a person's name nor a vehicle's is in it,
nor what a part is called: it is kept with the plan, and people and vehicles can be erased.
"""

import uuid
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

from witnessmark.errors import BenchError
from witnessmark.people import permits
from witnessmark.people.models import Membership, Person, Role
from witnessmark.planning import (
    Bay,
    Job,
    Learner,
    Part,
    Period,
    PlaceKind,
    PlanResult,
    Presence,
    Sitting,
    Step,
    Tool,
    WeekProblem,
    problem_from_text,
    result_to_text,
)
from witnessmark.record.acts.by import By
from witnessmark.record.acts.plans import Sitting as SittingToKeep
from witnessmark.record.acts.plans import store_plan
from witnessmark.record.core import JobRecord, load
from witnessmark.record.models import Job as JobRow
from witnessmark.record.models import PartOrder, Plan, PlannedSitting
from witnessmark.record.models import Step as StepRow
from witnessmark.shop.models import Bay as BayRow
from witnessmark.shop.models import Period as PeriodRow
from witnessmark.shop.models import Shop
from witnessmark.shop.periods import zone
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Hold

WEEKS_DAYS = 14
TICK_MIN = 5
LOOK_AGAIN_MIN = 5  # a crew stands by while the teacher sees a finished step


def weeks_ahead(now: datetime) -> WeekProblem:
    """Return what there is to plan from now on, for two weeks.

    Raises
    ------
    BenchError
        If there is no period ahead, or no job with steps that wait.
    """
    where = zone()
    local = now.astimezone(where)
    jobs, parts = _jobs(local, where)
    periods = _periods(local)
    if not periods:
        raise BenchError(
            f"There is no period of class from {local:%a} {local.day} {local:%b} on.",
            "A plan needs the periods of the next two weeks.",
            "Add them to the shop's week.",
        )
    if not jobs:
        raise BenchError(
            "No job has steps that wait.",
            "A plan needs work to place.",
            "Take in a vehicle, or choose the steps of a job.",
        )
    tools = sorted({key for job in jobs for step in job.steps for key in step.tools})
    return WeekProblem(
        name=f"From {local:%a} {local.day} {local:%b}",
        teacher="Teacher",
        periods=periods,
        learners=_learners(periods),
        bays=tuple(_bay(row) for row in BayRow.objects.filter(retired_at=None)),
        jobs=jobs,
        tools=tuple(Tool(key=key, name=key) for key in tools),
        parts=parts,
        tick_min=TICK_MIN,
    )


def bay_name(row: BayRow) -> str:
    """Return what a place is called: `Bay 1`."""
    return f"{row.kind.capitalize()} {row.name}"


def _bay(row: BayRow) -> Bay:
    return Bay(key=str(row.pk), name=bay_name(row), kind=PlaceKind(row.kind))


def _periods(local: datetime) -> tuple[Period, ...]:
    """Return the periods of two weeks; of one that runs, what is left of it."""
    down_min = Shop.objects.values_list("tools_down_minutes", flat=True).first() or 0
    first, last = local.date(), local.date() + timedelta(days=WEEKS_DAYS - 1)
    rows = PeriodRow.objects.filter(date__range=(first, last)).select_related("section")
    found = []
    for row in rows:
        starts = datetime.combine(row.date, row.start)
        length_min = _minutes(starts, datetime.combine(row.date, row.end))
        usable_min = length_min - down_min
        gone_min = max(0, _minutes(starts, local.replace(tzinfo=None)))
        if usable_min - gone_min < TICK_MIN:
            continue
        found.append(
            Period(
                day=row.date,
                number=row.number,
                start=row.start,
                end=row.end,
                usable_min=usable_min,
                section=str(row.section_id),
                presence=Presence(row.presence),
                gone_min=gone_min,
            )
        )
    return tuple(found)


def _minutes(start: datetime, end: datetime) -> int:
    return int((end - start).total_seconds() // 60)


def _learners(periods: tuple[Period, ...]) -> tuple[Learner, ...]:
    """Return the learners of the sections that have class, each away outside their membership."""
    sections = {period.section for period in periods}
    rows = (
        Membership.objects.filter(
            section_id__in=sections,
            person__role=Role.LEARNER,
            person__is_active=True,
            start__lte=periods[-1].day,
        )
        .filter(Q(end=None) | Q(end__gte=periods[0].day))
        .order_by("person__name", "person_id", "-start")
    )
    newest: dict[uuid.UUID, Membership] = {}
    for row in rows:
        newest.setdefault(row.person_id, row)
    levels = permits.standing(newest)
    return tuple(
        Learner(
            key=str(person),
            name=str(person),
            section=str(row.section_id),
            permits=frozenset(kind for kind, level in levels[person].items() if level != "none"),
            absences=frozenset(
                period.key
                for period in periods
                if period.day < row.start or (row.end is not None and period.day > row.end)
            ),
        )
        for person, row in newest.items()
    )


def _jobs(local: datetime, where: ZoneInfo) -> tuple[tuple[Job, ...], tuple[Part, ...]]:
    jobs, parts = [], []
    rows = JobRow.objects.filter(closed_at=None, half_done=False).select_related("vehicle", "bay")
    for row in rows:
        record = load(row)
        orders = list(PartOrder.objects.filter(job=row, arrived_at=None))
        mine = [_part(order, row, local.date()) for order in orders]
        steps = tuple(_steps(record, orders, local))
        if not steps:
            continue
        parts += mine
        jobs.append(_job(row, record, steps, where))
    return tuple(jobs), tuple(parts)


def _job(row: JobRow, record: JobRecord, steps: tuple[Step, ...], where: ZoneInfo) -> Job:
    promised = row.promised.astimezone(where) if row.promised else None
    is_standing = row.bay is not None and row.bay.retired_at is None
    return Job(
        key=str(row.pk),
        name=row.shown_number,
        place=PlaceKind(row.bay.kind) if row.bay else PlaceKind.BAY,
        promised=promised.date() if promised else None,
        promised_by=promised.time().replace(second=0, microsecond=0) if promised else None,
        bay_now=str(row.bay_id) if is_standing else None,
        # a vehicle with something off or undone is not pushed to another bay
        immobile_now=is_standing and not record.balance.is_balanced,
        section=str(row.section_id) if row.section_id else "",
        crew_now=frozenset(
            str(person)
            for person in row.crew.filter(until=None, step=None).values_list("person_id", flat=True)
        ),
        may_run_on=True,
        steps=steps,
    )


def _part(order: PartOrder, job: JobRow, today: date) -> Part:
    """Return a part that has not come: when it is due, or tomorrow if that has passed.

    A part without a day is not counted on within these weeks.
    """
    if order.due is None:
        arrives = today + timedelta(days=WEEKS_DAYS)
    else:
        arrives = max(order.due, today + timedelta(days=1))
    return Part(key=str(order.pk), name=f"the part for {job.shown_number}", arrives=arrives)


def _steps(record: JobRecord, orders: list[PartOrder], local: datetime) -> Iterable[Step]:
    """Yield what is left of a job: steps that are not finished, or finished and not seen."""
    left = [row for row in record.steps if not _is_done(record, row)]
    keys = {row.key: str(row.pk) for row in left}
    for row in left:
        spec = record.spec(row)
        is_hold = spec.hold is Hold.HOLD
        waiting = [
            str(order.pk)
            for order in orders
            if order.step_id == row.pk or (order.step_id is None and not record.is_started(row))
        ]
        yield Step(
            key=str(row.pk),
            title=row.title,
            minutes=_minutes_left(record, row, local),
            people_min=spec.people_min,
            people_max=spec.people_max,
            needs=tuple(keys[key] for key in spec.needs if key in keys),
            hold_min=spec.hold_min if is_hold else 0,
            permits=frozenset(spec.permits),
            tools=frozenset(spec.tools),
            parts=frozenset(waiting),
            practice=frozenset(spec.practice),
            wait_after_min=spec.wait_after_min,
            immobilises=bool(spec.off),
            frees=bool(spec.on),
            number=row.position,
        )


def _is_done(record: JobRecord, row: StepRow) -> bool:
    state = record.states[row.pk]
    if record.spec(row).hold is Hold.HOLD:
        return state.is_seen
    return record.is_finished(row) and state is not MarkState.BROKEN


def _minutes_left(record: JobRecord, row: StepRow, local: datetime) -> int:
    """Return the minutes that a step still takes; what was worked this hour is taken off."""
    if record.is_finished(row):
        return LOOK_AGAIN_MIN
    minutes = record.spec(row).minutes
    started = [e.done_at for e in record.of_step(record.events, row) if e.what == "started"]
    if started:
        worked_min = _minutes(started[0], local)
        if 0 <= worked_min < minutes:
            return max(TICK_MIN, minutes - worked_min)
    return minutes


# Back into rows, and out of them.


def sittings_to_keep(result: PlanResult) -> list[SittingToKeep]:
    """Return the sittings of a result with the rows that they name."""
    where = zone()
    jobs = JobRow.objects.in_bulk([uuid.UUID(one.job) for one in result.sittings])
    steps = StepRow.objects.in_bulk([uuid.UUID(one.step) for one in result.sittings])
    people = Person.objects.in_bulk([uuid.UUID(key) for one in result.sittings for key in one.crew])
    bays = BayRow.objects.in_bulk()
    days = {one.day for one in result.sittings}
    periods = {(row.date, row.number): row for row in PeriodRow.objects.filter(date__in=days)}
    found = []
    for one in result.sittings:
        row = periods[one.period]
        starts = datetime.combine(row.date, row.start, tzinfo=where)
        end = starts + timedelta(minutes=one.end_min)
        found.append(
            SittingToKeep(
                job=jobs[uuid.UUID(one.job)],
                step=steps[uuid.UUID(one.step)],
                period=row,
                start=starts + timedelta(minutes=one.start_min),
                end=end,
                bay=bays[uuid.UUID(one.bay)] if one.bay else None,
                crew=tuple(people[uuid.UUID(key)] for key in one.crew),
                hold_start=end - timedelta(minutes=one.hold_min) if one.hold_min else None,
                hold_end=end if one.hold_min else None,
            )
        )
    return found


def store_result(by: By, id: uuid.UUID, *, plan: Plan, result: PlanResult) -> Plan:
    """Store how a planning run ended, with the sittings it found."""
    return store_plan(
        by,
        id,
        plan=plan,
        status=str(result.status),
        result=result_to_text(result),
        bound=str(result.bound) if result.has_plan else "",
        gap=str(result.gap) if result.has_plan else "",
        sittings=sittings_to_keep(result) if result.has_plan else [],
    )


def kept_sittings(plan: Plan) -> tuple[Sitting, ...]:
    """Return the sittings of a plan as values, as its rows say."""
    where = zone()
    rows = (
        PlannedSitting.objects.filter(plan=plan).select_related("period").prefetch_related("crew")
    )
    found = []
    for row in rows:
        starts = datetime.combine(row.period.date, row.period.start, tzinfo=where)
        found.append(
            Sitting(
                job=str(row.job_id),
                step=str(row.step_id),
                day=row.period.date,
                number=row.period.number,
                start_min=_minutes(starts, row.start),
                minutes=_minutes(row.start, row.end),
                hold_min=_minutes(row.hold_start, row.hold_end) if row.hold_start else 0,
                bay=str(row.bay_id) if row.bay_id else None,
                crew=tuple(str(person.pk) for person in row.crew.all()),
            )
        )
    return tuple(found)


def kept_problem(plan: Plan) -> WeekProblem:
    """Return the problem of a plan with names as they are now, for showing it."""
    problem = problem_from_text(plan.problem)
    names = {str(row.pk): row.name for row in Person.objects.filter(role=Role.LEARNER)}
    vehicles = {
        str(row.pk): row.vehicle.name for row in JobRow.objects.select_related("vehicle").all()
    }
    orders = {str(row.pk): row.what for row in PartOrder.objects.all()}
    return replace(
        problem,
        learners=tuple(
            replace(one, name=names.get(one.key, "someone")) for one in problem.learners
        ),
        jobs=tuple(replace(one, name=vehicles.get(one.key, one.name)) for one in problem.jobs),
        parts=tuple(replace(one, name=orders.get(one.key, one.name)) for one in problem.parts),
    )
