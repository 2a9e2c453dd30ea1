"""The list of jobs, and what an empty shop still needs."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.http import require_GET

from witnessmark.people.models import Person, Role
from witnessmark.record.core import JobRecord, load
from witnessmark.record.empty_kinds import skip_empty
from witnessmark.record.models import Job
from witnessmark.record.stages import Stage, stages
from witnessmark.shop.models import Bay, Period
from witnessmark.web import gate
from witnessmark.work.marks import MarkState

# The mark that a job's line shows: what asks for the teacher first.
GRAVEST = (MarkState.BROKEN, MarkState.CALLED, MarkState.HOLD)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One job of the list: its mark, where it is, what it was promised for."""

    job: Job
    complaint: str
    state: str
    at: str  # where the mark is: "step 4", "cause"
    stages: tuple[Stage, ...]
    now: Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One thing that an empty shop needs before the first job can begin."""

    title: str
    why: str
    there: str
    is_there: bool
    url: str
    act: str


@require_GET
def jobs(request: HttpRequest) -> HttpResponse:
    """List the jobs that this person may open."""
    rows = list(gate.jobs_of(request.person).filter(closed_at=None))
    records = [load(job) for job in rows if not job.half_done]
    skip_empty(records)
    lines = sorted(
        (_line(record) for record in records),
        key=lambda line: (_rank(line.state), line.job.number),
    )
    half_done = [job for job in rows if job.half_done] if request.person.may_take_in else []
    needs = [] if rows or not request.person.is_teacher else _needs()
    facts = {
        "lines": lines,
        "half_done": half_done,
        "may_take_in": request.person.may_take_in,
        "needs": needs,
        "first_need": next((need for need in needs if not need.is_there), None),
        "closed": gate.jobs_of(request.person).exclude(closed_at=None).order_by("-closed_at")[:8],
    }
    return render(request, "witnessmark/jobs/jobs.html", facts)


def _line(record: JobRecord) -> Line:
    found = stages(record)
    state, at = _gravest(record)
    complaints = [row.words for row in record.complaints if row.is_standing]
    return Line(
        job=record.job,
        complaint=complaints[0] if complaints else "No complaint",
        state=state.value,
        at=at,
        stages=found,
        now=_now(found),
    )


def _now(found: tuple[Stage, ...]) -> Stage:
    """Return the stage a job is in: the one after the last that is passed."""
    passed = [at for at, one in enumerate(found) if one.is_passed]
    return found[min(passed[-1] + 1, len(found) - 1)] if passed else found[0]


def _gravest(record: JobRecord) -> tuple[MarkState, str]:
    """Return the mark that asks for the teacher first, and where it is."""
    states = [(record.states[step.pk], f"step {step.position}") for step in record.steps]
    if record.cause is not None:
        states.insert(0, (record.cause_state, "cause"))
    for grave in GRAVEST:
        for state, at in states:
            if state is grave:
                return state, at
    return MarkState.NONE, ""


def _rank(state: str) -> int:
    """Return where a job stands in the list: what waits for the teacher comes first."""
    waiting = (MarkState.BROKEN.value, MarkState.CALLED.value)
    return waiting.index(state) if state in waiting else len(waiting)


def _needs() -> list[Need]:
    bays, periods = Bay.objects.filter(retired_at=None).count(), Period.objects.count()
    learners = Person.objects.filter(role=Role.LEARNER, is_active=True).count()
    return [
        Need(
            title="Bays and benches",
            why="Where a vehicle stands.",
            there=f"{bays} named",
            is_there=bool(bays),
            url="/shop#bays",
            act="Name the bays",
        ),
        Need(
            title="People",
            why="Learners, and who teaches them.",
            there=f"you and {learners} learners",
            is_there=bool(learners),
            url="/people/here",
            act="Add the learners",
        ),
        Need(
            title="Timetable",
            why="Periods, and the minutes to tools down.",
            there=f"{periods} periods",
            is_there=bool(periods),
            url="/shop#timetable",
            act="Write the timetable",
        ),
        Need(
            title="First vehicle",
            why="Take it in with the owner’s own words.",
            there="",
            is_there=False,
            url="/jobs/new",
            act="Take in a vehicle",
        ),
    ]


urls = [path("jobs", jobs)]
