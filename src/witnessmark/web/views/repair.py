"""Size the repair: wire, fuse and joint, from a job's cause or from the Library."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from witnessmark.errors import BenchError
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.core import JobRecord
from witnessmark.record.models import Job, Step
from witnessmark.web import gate, places, repair_facts
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.repair_fields import form_of
from witnessmark.web.repair_form import AtField
from witnessmark.web.repair_kept import kept_of
from witnessmark.web.repair_question import Question, question

PAGE = "witnessmark/repair/repair.html"


@require_GET
def in_library(request: HttpRequest) -> HttpResponse:
    """Size a repair that belongs to no job."""
    return _page(request, _asked(request), {"url": "/library/repair"})


@require_GET
def in_job(request: HttpRequest, number: int) -> HttpResponse:
    """Size the repair of a job's cause."""
    return _job_page(request, gate.job_for(request.person, number))


@require_POST
def keep(request: HttpRequest, number: int) -> HttpResponse:
    """Keep the answer with the job, as a note of the step that does the repair."""
    job = gate.job_for(request.person, number)
    record: JobRecord = head(job, "work")["record"]
    try:
        words = _asked(request, record).answer().note
        step = _step(record, request.POST.get("step", ""))
        add_note(gate.by(request), gate.entry_id(request), job=job, step=step, words=words)
    except BenchError as error:
        return _job_page(request, job, error)
    where = f"step {step.position}" if step else "the job"
    messages.info(request, f"The answer is kept as a note with {where}.")
    return redirect(places.step(number, step.position) if step else places.job(number))


def _asked(request: HttpRequest, record: JobRecord | None = None) -> Question:
    return question(request.POST or request.GET, request.shop, record)


def _job_page(request: HttpRequest, job: Job, error: BenchError | None = None) -> HttpResponse:
    facts = head(job, "work")
    record: JobRecord = facts["record"]
    steps = [step for step in record.steps if step.kind != "find"]
    facts |= {
        "url": places.repair(job.number),
        "under": f"{facts['place']}. Size the repair",
        "steps": [(step, record.states[step.pk].is_seen) for step in steps],
        "kept": kept_of(record),
        "at_step": request.POST.get("step") or _first_left(record, steps),
    }
    return _page(request, _asked(request, record), facts, error)


def _page(
    request: HttpRequest, asked: Question, facts: dict[str, Any], error: BenchError | None = None
) -> HttpResponse:
    if asked.is_asked and not asked.halt and error is None:
        try:
            facts |= repair_facts.answer_facts(asked)
        except BenchError as refused:
            error = refused
    wrong = error.field if isinstance(error, AtField) else ""
    facts |= {
        "asked": asked,
        "typed": asked.typed,
        "form": form_of(asked, wrong),
        "halt": asked.halt,
        "work": asked.work,
        "at": wrong,
        "error": error,
        **repair_facts.joint_facts(asked),
    }
    return render(request, PAGE, facts, status=status_of(error) if error else 200)


def _first_left(record: JobRecord, steps: list[Step]) -> str:
    """Return the first step that is not finished: the answer is for it."""
    left = next((step for step in steps if not record.is_finished(step)), None)
    return str(left.pk) if left else ""


def _step(record: JobRecord, typed: str) -> Step | None:
    if not typed:
        return None
    found = next((step for step in record.steps if str(step.pk) == typed), None)
    if found is None:
        raise Http404
    found.job = record.job
    return found
