"""The Steps stage of a job: choose a procedure, see it checked, open the work."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_POST

from witnessmark.errors import BenchError
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.core import JobRecord
from witnessmark.record.library import read_sheet
from witnessmark.record.models import Job, Step
from witnessmark.record.steps_check import problems_of
from witnessmark.shop.library import newest
from witnessmark.shop.models import LibraryItem
from witnessmark.web import gate, places
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import must_choose
from witnessmark.work.cautions import cautions_shown
from witnessmark.work.check import Problem
from witnessmark.work.steps import Closing, How, StepKind
from witnessmark.work.steps import Step as StepValue

NUMBERS = {1: "one", 2: "two", 3: "three", 4: "four"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """One step as the list shows it: what is asked on the left, what it will leave on the right."""

    row: Step
    spec: StepValue
    mark: str  # none, hold, witness
    people: str
    waits_for: str
    cautions: str
    leaves: tuple[str, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A procedure of the Library that may be chosen."""

    item: LibraryItem
    minutes: int
    steps: int
    holds: int
    about: str


@require_GET
def steps(request: HttpRequest, number: int) -> HttpResponse:
    """Show the job's steps and their check, or the procedures to choose from."""
    return _page(request, gate.job_for(request.person, number))


@require_POST
def choose(request: HttpRequest, number: int) -> HttpResponse:
    """Make the steps from a procedure of the Library."""
    job = gate.job_for(request.person, number)
    try:
        item = _chosen(request)
        choose_procedure(gate.by(request), gate.entry_id(request), job=job, item=item)
    except BenchError as error:
        return _page(request, job, error)
    messages.info(request, f"The steps are made from {item.title}.")
    return redirect(places.stage(number, "steps"))


@require_POST
def start(request: HttpRequest, number: int) -> HttpResponse:
    """Open the work: from here on the steps stand."""
    job = gate.job_for(request.person, number)
    try:
        start_work(gate.by(request), gate.entry_id(request), job=job)
    except BenchError as error:
        return _page(request, job, error)
    messages.info(request, "Work is open.")
    return redirect(places.job(number))


def _page(request: HttpRequest, job: Job, error: BenchError | None = None) -> HttpResponse:
    facts = head(job, "steps")
    record: JobRecord = facts["record"]
    problems = problems_of(record)
    rows = [_planned(record, step, problems) for step in record.steps]
    has_procedure = any(row.row.kind != "find" for row in rows)
    is_started = job.work_started_at is not None
    may_choose = request.person.is_teacher and not is_started
    asks = "choose" in request.GET and may_choose
    facts |= {
        "error": error,
        "rows": rows,
        "has_procedure": has_procedure,
        "procedure": record.sheet("procedure"),
        "minutes": sum(row.spec.minutes for row in rows),
        "problems": problems,
        "is_started": is_started,
        "may_choose": may_choose,
        "choices": _choices() if may_choose and (asks or not has_procedure) else (),
        "asks": asks,
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/steps/steps.html", facts, status=status)


def _chosen(request: HttpRequest) -> LibraryItem:
    none = BenchError(
        "No procedure was chosen.",
        "The steps are made from one.",
        "Choose one from the list, or put one into the Library.",
    )
    return must_choose(LibraryItem.objects.all(), request.POST.get("item", ""), none)


def _choices() -> tuple[Choice, ...]:
    """Return the newest version of each procedure in the Library, by title."""
    return tuple(_choice(item) for item in newest("procedure"))


def _choice(item: LibraryItem) -> Choice:
    procedure = read_sheet("procedure", item.text, item.title)
    return Choice(
        item=item,
        minutes=procedure.minutes,
        steps=len(procedure.steps),
        holds=sum(step.is_hold for step in procedure.steps),
        about=procedure.about,
    )


def _planned(record: JobRecord, row: Step, problems: tuple[Problem, ...]) -> Planned:
    spec = record.spec(row)
    numbers = {step.key: step.position for step in record.steps}
    needed = sorted(numbers[key] for key in spec.needs if key in numbers)
    return Planned(
        row=row,
        spec=spec,
        mark=spec.hold.value,
        people=_people(spec),
        waits_for=f"after {_numbers(needed)}" if needed else "",
        cautions=", ".join(one.id for one in cautions_shown(spec.cautions)),
        leaves=tuple(_leaves(record, spec)),
        problems=tuple(one for one in problems if one.step == row.key),
    )


def _people(spec: StepValue) -> str:
    least, most = (NUMBERS.get(many, str(many)) for many in (spec.people_min, spec.people_max))
    if least == most:
        return "one learner" if least == "one" else f"{least} learners"
    joined = "or" if spec.people_max == spec.people_min + 1 else "to"
    return f"{least} {joined} {most} learners"


def _numbers(numbers: list[int]) -> str:
    word = "step" if len(numbers) == 1 else "steps"
    return f"{word} {', '.join(str(one) for one in numbers)}"


def _leaves(record: JobRecord, spec: StepValue) -> Any:
    """Say what a step leaves behind: readings, photos, what is off and what is back on."""
    things = {item.key: item for step in record.steps for item in record.spec(step).off}
    for one in spec.measurements:
        at = f" at {', '.join(one.positions)}" if one.positions else ""
        limit = f", {one.limit_text}" if one.limit_text else ""
        yield f"{one.what}{at}{limit}"
    if spec.photos:
        yield "photo: " + "; ".join(one.what for one in spec.photos)
    for how in How:
        items = [item for item in spec.off if item.how is how]
        if items:
            word = "off" if how is How.TAKEN_OFF else how.value
            yield f"{word}: " + ", ".join(_counted(item.what, item.quantity) for item in items)
    for kind in Closing:
        keys = [on.key for on in spec.on if on.kind is kind]
        if keys:
            word = "on" if kind is Closing.BACK_ON else kind.value
            names = (things[key].what if key in things else key for key in keys)
            yield f"{word}: " + ", ".join(names)
    if spec.kind is StepKind.FIND:
        yield "readings and photos that prove the cause"


def _counted(what: str, quantity: str) -> str:
    return what if quantity == "1" else f"{what} ({quantity})"


urls = [
    path("jobs/<int:number>/steps", steps),
    path("jobs/<int:number>/steps/choose", choose),
    path("jobs/<int:number>/steps/start", start),
]
