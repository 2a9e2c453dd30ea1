"""What the board on the wall shows: the period, each bay, the teacher's next looks.

No result is on it, and no name beside a broken mark.
"""

import json
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from witnessmark.record.acts.plans import published_plan
from witnessmark.record.core import JobRecord, load
from witnessmark.record.empty_kinds import skip_empty
from witnessmark.record.handover import handover_of
from witnessmark.record.models import Job, PartOrder, PlannedSitting, Step
from witnessmark.record.weeks import bay_name
from witnessmark.shop.models import Bay, Period, Shop
from witnessmark.shop.periods import moment, period_at, zone
from witnessmark.work import changes as changed
from witnessmark.work.cautions import CAUTIONS
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Hold

ROWS_A_PAGE = 4
TURN_S = 12  # a page stays so long
MOST_LOOKS = 5
HELP_MIN = 15  # a call for help stays on the board so long
BOARD_CAUTIONS = tuple(id for id in CAUTIONS if id != "WHEEL")  # advice rather than danger


@dataclass(frozen=True, slots=True, kw_only=True)
class BayRow:
    """One bay or bench: what is done there, and what the teacher is needed for."""

    kind: str
    number: str
    vehicle: str
    under: str  # who works there; beside a broken mark which step it is
    title: str
    detail: str
    state: MarkState
    label: str
    value: str

    @property
    def is_broken(self) -> bool:
        return self.state is MarkState.BROKEN


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One look of the teacher, on the line of this period."""

    words: str  # "11:15", or "now"
    place: str
    state: MarkState
    share: float  # of what is left of the period, 0 is now


@dataclass(frozen=True, slots=True, kw_only=True)
class PeriodNow:
    """The lesson that runs."""

    name: str
    span: str
    left_min: int  # to tools down
    gone_share: float
    down_share: float  # of the period, at its end, for cleaning


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """Everything on the board."""

    clock: str
    period: PeriodNow | None
    rows: tuple[BayRow, ...]
    page: int
    pages: int
    teacher: str
    looks: tuple[Look, ...]
    more_looks: int
    waiting: str
    coming: tuple[str, str]  # when, what; empty words where no more class is planned
    caution: str


@dataclass(frozen=True, slots=True)
class _Bench:
    """One bay with its job, fetched once."""

    bay: Bay
    job: Job
    record: JobRecord
    planned: list[PlannedSitting]  # of this job, from today on

    def ahead(self, step: Step, now: datetime) -> PlannedSitting | None:
        """Return the planned sitting of a step that is not over yet."""
        return next((one for one in self.planned if one.step_id == step.pk and one.end > now), None)


def page_at(now: datetime, pages: int) -> int:
    """Return which page is on the wall at this moment."""
    return int(now.timestamp() // TURN_S) % pages


def board(now: datetime) -> Board:
    """Return what the board shows at this moment."""
    where = zone()
    local = now.astimezone(where)
    running = period_at(now)
    plan = published_plan()
    planned: dict[object, list[PlannedSitting]] = {}
    if plan is not None:
        today = PlannedSitting.objects.filter(plan=plan, period__date__gte=local.date())
        for one in today.select_related("step", "period").prefetch_related("crew"):
            planned.setdefault(one.job_id, []).append(one)
    jobs = Job.objects.filter(closed_at=None, half_done=False, bay__retired_at=None)
    benches = [
        _Bench(job.bay, job, load(job), planned.get(job.pk, []))
        for job in jobs.exclude(bay=None)
        .select_related("bay", "vehicle")
        .order_by("bay__position", "bay__name", "number")
    ]
    skip_empty(one.record for one in benches)
    rows = sorted((_row(one, now, where) for one in benches), key=lambda row: not row.is_broken)
    pages = max(1, -(-len(rows) // ROWS_A_PAGE))
    page = page_at(now, pages)
    looks = _looks(benches, running, now, where)
    return Board(
        clock=f"{local:%H:%M}",
        period=_period(running, local),
        rows=tuple(rows[page * ROWS_A_PAGE : (page + 1) * ROWS_A_PAGE]),
        page=page + 1,
        pages=pages,
        teacher=plan.published_by.name if plan and plan.published_by else "",
        looks=looks[:MOST_LOOKS],
        more_looks=max(0, len(looks) - MOST_LOOKS),
        waiting=_waiting(),
        coming=_coming(local),
        caution=_caution(benches),
    )


def _minutes(start: datetime, end: datetime) -> int:
    return round((end - start).total_seconds() / 60)


def _period(row: Period | None, local: datetime) -> PeriodNow | None:
    if row is None:
        return None
    starts = datetime.combine(row.date, row.start, tzinfo=local.tzinfo)
    ends = datetime.combine(row.date, row.end, tzinfo=local.tzinfo)
    length_min = _minutes(starts, ends)
    down_min = Shop.objects.values_list("tools_down_minutes", flat=True).first() or 0
    left_min = _minutes(local.replace(second=0, microsecond=0), ends) - down_min
    return PeriodNow(
        name=f"Period {row.number}",
        span=f"{row.start:%H:%M} to {row.end:%H:%M}",
        left_min=max(0, left_min),
        gone_share=min(1.0, _minutes(starts, local) / length_min),
        down_share=min(1.0, down_min / length_min),
    )


def _row(bench: _Bench, now: datetime, where: ZoneInfo) -> BayRow:
    found = (
        _broken(bench, now, where)
        or _called(bench, now, where)
        or _working(bench, now, where)
        or _waits(bench, now, where)
    )
    under, title, detail, state, label, value = found
    return BayRow(
        kind=bench.bay.kind.capitalize(),
        number=bench.bay.name,
        vehicle=bench.job.vehicle.name,
        under=under,
        title=title,
        detail=detail,
        state=state,
        label=label,
        value=value,
    )


_Facts = tuple[str, str, str, MarkState, str, str]


def _broken(bench: _Bench, now: datetime, where: ZoneInfo) -> _Facts | None:
    record = bench.record
    for step in record.steps:
        if record.states[step.pk] is MarkState.BROKEN:
            last = record.marks_on(step.pk)[-1]
            form = record.form(step)
            under = _step_of(bench, step)
            what = _what_changed(last.form, form, last.at, where)
            return under, step.title, what, MarkState.BROKEN, "Broken", _see(bench, step, now)
    if record.cause is not None and record.cause_state is MarkState.BROKEN:
        last = record.marks_on(record.cause.pk)[-1]
        what = _what_changed(last.form, record.cause_form(record.cause), last.at, where)
        return "", "Cause", what, MarkState.BROKEN, "Broken", "see it again"
    return None


def _what_changed(seen: str, form: changed.Form, at: datetime, where: ZoneInfo) -> str:
    """Say that something changed and when, not what to: no result is on the board."""
    found = changed.changes(json.loads(seen), form, where, at)
    times = [one.at for one in found if one.at is not None]
    if not times:
        return "changed since it was marked"
    return f"changed at {max(times).astimezone(where):%H:%M}"


def _see(bench: _Bench, step: Step, now: datetime) -> str:
    ahead = bench.ahead(step, now)
    if ahead is None or ahead.hold_start is None or ahead.hold_start <= now:
        return "see it again"
    return f"see {ahead.hold_start.astimezone(zone()):%H:%M}"


def _called(bench: _Bench, now: datetime, where: ZoneInfo) -> _Facts | None:
    record = bench.record
    for step in record.steps:
        if record.states[step.pk] is MarkState.CALLED:
            calls = [c for c in record.calls if c.step_id == step.pk and c.what == "mark"]
            return _call(bench, step.title, calls[-1].done_at, now, where, step)
    if record.cause_state is MarkState.CALLED:
        calls = [c for c in record.calls if c.what == "cause"]
        return _call(bench, "Cause named", calls[-1].done_at, now, where, None)
    helps = [c for c in record.calls if c.what == "help"]
    if helps and now - helps[-1].received_at < timedelta(minutes=HELP_MIN):
        step = next((s for s in record.steps if s.pk == helps[-1].step_id), None)
        title = step.title if step else "Help is wanted"
        return _call(bench, title, helps[-1].done_at, now, where, step)
    return None


def _call(
    bench: _Bench, title: str, at: datetime, now: datetime, where: ZoneInfo, step: Step | None
) -> _Facts:
    value = f"{at.astimezone(where):%H:%M}"
    detail = _step_of(bench, step) if step else _done(bench)
    return _names(bench, step, now), title, detail, MarkState.CALLED, "Called", value


def _working(bench: _Bench, now: datetime, where: ZoneInfo) -> _Facts | None:
    """A step that runs, or one that the plan has for now."""
    record = bench.record
    running = [s for s in record.steps if record.is_started(s) and not record.is_finished(s)]
    waiting = [
        s for s in record.steps if record.is_finished(s) and record.states[s.pk] is MarkState.HOLD
    ]
    planned = [
        one.step
        for one in bench.planned
        if one.start <= now < one.end and not record.is_finished(one.step)
    ]
    if not (running or waiting or planned):
        return None
    step = (running[-1:] or waiting[-1:] or planned[:1])[0]
    ahead = bench.ahead(step, now)
    is_hold = record.spec(step).hold is Hold.HOLD
    started = [e.done_at for e in record.of_step(record.events, step) if e.what == "started"]
    until = None
    if ahead is not None:
        until = ahead.hold_start if is_hold and ahead.hold_start else ahead.end
    elif started:
        until = started[0] + timedelta(minutes=record.spec(step).minutes)
    label, value = ("Hold", "not yet") if is_hold else ("", "")
    if until is not None:
        left_min = max(0, _minutes(now, until))
        label, value = ("Hold in" if is_hold else "Left"), f"{left_min} min"
        if is_hold and left_min == 0:
            label, value = "Hold", "due"
    state = MarkState.HOLD if is_hold else MarkState.NONE
    detail = _read(bench, step)
    if ahead is not None and not _has_begun(ahead, now, where):
        label, value = "Next", _when(ahead, now, where)
        detail += _handed_over(bench, now, where)
    return _names(bench, step, now), step.title, detail, state, label, value


def _waits(bench: _Bench, now: datetime, where: ZoneInfo) -> _Facts:
    """Nothing runs: what comes next."""
    record = bench.record
    coming = [one for one in bench.planned if one.start > now and not record.is_finished(one.step)]
    if not coming:
        left = [step for step in record.steps if not record.is_finished(step)]
        if not record.steps:
            return "", "No steps yet", "", MarkState.NONE, "", ""
        if not left:
            return "", "All steps are done", _done(bench), MarkState.NONE, "", ""
        return "", left[0].title, _done(bench), MarkState.NONE, "Not planned", ""
    first = min(coming, key=lambda one: one.start)
    names = ", ".join(person.name for person in first.crew.all())
    value = _when(first, now, where)
    detail = _step_of(bench, first.step) + _handed_over(bench, now, where)
    return names, first.step.title, detail, MarkState.NONE, "Next", value


def _handed_over(bench: _Bench, now: datetime, where: ZoneInfo) -> str:
    """Say whether the crew to come has confirmed the handover card; nothing before work began."""
    handover = handover_of(bench.record)
    if not handover.card.has_begun:
        return ""
    if not handover.is_confirmed:
        return ", not handed over"
    return f", handed over {_shortly(handover.confirmed[-1].done_at, now, where)}"


def _has_begun(planned: PlannedSitting, now: datetime, where: ZoneInfo) -> bool:
    """Whether the lesson of a sitting has begun."""
    return moment(planned.period.date, planned.period.start, where) <= now


def _when(planned: PlannedSitting, now: datetime, where: ZoneInfo) -> str:
    """Return when a sitting begins."""
    return _shortly(planned.start, now, where)


def _shortly(at: datetime, now: datetime, where: ZoneInfo) -> str:
    """Return the hour of what is today, else its day."""
    local = at.astimezone(where)
    is_today = local.date() == now.astimezone(where).date()
    return f"{local:%H:%M}" if is_today else f"{local:%a} {local.day}"


def _names(bench: _Bench, step: Step | None, now: datetime) -> str:
    """Return who is on it: the crew of the step; of a started one the job's, else the plan's."""
    crew = bench.job.crew.filter(until=None).select_related("person")
    on_step = [row.person.name for row in crew if step is not None and row.step_id == step.pk]
    planned = [
        person.name
        for one in bench.planned
        if step is not None and one.step_id == step.pk and _has_begun(one, now, zone())
        for person in one.crew.all()
    ]
    on_job = [row.person.name for row in crew if row.step_id is None]
    is_running = step is not None and bench.record.is_started(step)
    named = (on_step or on_job or planned) if is_running else (on_step or planned or on_job)
    return ", ".join(sorted(set(named)))


def _step_of(bench: _Bench, step: Step) -> str:
    return f"step {step.position} of {len(bench.record.steps)}"


def _done(bench: _Bench) -> str:
    steps = bench.record.steps
    done = sum(bench.record.is_finished(step) for step in steps)
    return f"{done} of {len(steps)} steps"


def _read(bench: _Bench, step: Step) -> str:
    """Return how far the step is: readings taken, never what they say."""
    record = bench.record
    spec = record.spec(step)
    asked = {(one.key, position) for one in spec.measurements for position in one.places}
    read = {
        (row.key, row.position) for row in record.of_step(record.readings, step) if row.is_standing
    }
    if asked:
        return f"{len(asked & read)} of {len(asked)} read"
    if step.kind == "find":
        return "1 reading" if len(read) == 1 else f"{len(read)} readings"
    return _step_of(bench, step)


def _looks(
    benches: list[_Bench], running: Period | None, now: datetime, where: ZoneInfo
) -> tuple[Look, ...]:
    """Return the teacher's looks of this period, as planned; what is broken or called is now."""
    if running is None:
        return ()
    ends = moment(running.date, running.end, where)
    left_s = max(1.0, (ends - now).total_seconds())
    found: list[tuple[datetime, Look]] = []

    def add(at: datetime, bench: _Bench, state: MarkState) -> None:
        is_now = at <= now
        found.append(
            (
                max(at, now),
                Look(
                    words="now" if is_now else f"{at.astimezone(where):%H:%M}",
                    place=bay_name(bench.bay),
                    state=state,
                    share=min(1.0, max(0.0, (at - now).total_seconds() / left_s)),
                ),
            )
        )

    for bench in benches:
        record = bench.record
        for step in record.steps:
            state = record.states[step.pk]
            ahead = bench.ahead(step, now)
            is_planned = ahead is not None and ahead.hold_start is not None
            if is_planned and ahead.period_id == running.pk and not state.is_seen:
                add(ahead.hold_start, bench, state)
            elif state in (MarkState.BROKEN, MarkState.CALLED):
                add(now, bench, state)
        if record.cause_state in (MarkState.BROKEN, MarkState.CALLED):
            add(now, bench, record.cause_state)
    return tuple(look for _, look in sorted(found, key=lambda one: one[0]))


def _waiting() -> str:
    orders = list(
        PartOrder.objects.filter(arrived_at=None, job__closed_at=None, job__half_done=False)
        .select_related("job__bay", "job__vehicle")
        .order_by("due")
    )
    if not orders:
        return ""
    first = orders[0]
    place = bay_name(first.job.bay) if first.job.bay else first.job.vehicle.name
    due = f", {first.due:%a} {first.due.day}" if first.due else ""
    more = f" and {len(orders) - 1} more" if len(orders) > 1 else ""
    return f"{first.what}, {place}{due}{more}"


def _coming(local: datetime) -> tuple[str, str]:
    rows = Period.objects.filter(date__gte=local.date()).select_related("section")
    for row in rows:
        if (row.date, row.start) > (local.date(), local.time()):
            day = "" if row.date == local.date() else f"{row.date:%a} "
            return f"{day}{row.start:%H:%M}", f"Period {row.number}, {row.section.name}"
    return "", ""


def _caution(benches: list[_Bench]) -> str:
    """Return the gravest caution of the steps that run, with its place."""
    graves: list[tuple[int, str]] = []
    for bench in benches:
        record = bench.record
        for step in record.steps:
            if record.is_started(step) and not record.is_finished(step):
                for id in record.spec(step).cautions:
                    if id in BOARD_CAUTIONS:
                        first = CAUTIONS[id].text.split(". ")[0].rstrip(".")
                        words = f"{bay_name(bench.bay)}: {first[0].lower()}{first[1:]}."
                        graves.append((BOARD_CAUTIONS.index(id), words))
    return min(graves)[1] if graves else ""
