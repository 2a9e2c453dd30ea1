"""The handover card: read first, confirmed by PIN at the vehicle, or said not to agree."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_http_methods

from witnessmark.errors import BenchError
from witnessmark.people.models import Role
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.acts.handover import take_over
from witnessmark.record.core import JobRecord
from witnessmark.record.handover import OPEN_HOLD, handover_of
from witnessmark.record.models import Job
from witnessmark.web import gate, job_facts, places
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.told_once import told_once
from witnessmark.work.ledger import LineBalance
from witnessmark.work.marks import MarkState


@require_http_methods(["GET", "POST"])
def handover(request: HttpRequest, number: int) -> HttpResponse:
    """Show the card; keep that a crew has the vehicle, or what it finds otherwise."""
    job = gate.job_for(request.person, number)
    if request.method == "GET":
        return _page(request, job)
    try:
        said = _keep(request, job)
    except BenchError as error:
        return _page(request, job, error)
    messages.info(request, said)
    return redirect(f"{places.job(number)}/handover")


def _keep(request: HttpRequest, job: Job) -> str:
    by, id, typed = gate.by(request), gate.entry_id(request), request.POST
    match typed.get("act", "note"):
        case "have it":
            take_over(
                by,
                id,
                job=job,
                shown_digest=typed.get("digest", ""),
                looked_at=typed.getlist("looked_at"),
                pin=typed.get("pin", ""),
            )
            return f"{request.person.name} has it. Work can go on."
        case "note":
            add_note(by, id, job=job, words=typed.get("words", ""))
            return "It is kept with the job. Tell the teacher as well."
    raise Http404


def _page(request: HttpRequest, job: Job, error: BenchError | None = None) -> HttpResponse:
    facts = head(job, "work")
    record: JobRecord = facts["record"]
    now = handover_of(record)
    steps = job_facts.joins(record, with_find=True)
    may_write = job.closed_at is None and request.person.role != Role.OFFICE
    has_it = request.person.pk in {row.by_id for row in now.confirmed}
    facts |= {
        "error": error,
        "typed": request.POST,
        "under": f"{facts['place']}. {facts['crew_names'] or 'No crew yet'}",
        "handover": now,
        "unsafe": [_unsafe(one) for one in now.card.unsafe],
        "broken": [one for one in steps if one.is_broken],
        "waiting": [
            one for one in steps if one.is_finished and one.is_open_hold and one.step.kind != "find"
        ],
        "complaints": told_once(record.complaints),
        "cause": record.cause,
        "cause_said": _cause_said(record),
        "onward": _onward(record),
        "next": [one for one in steps if not one.is_finished and one.step.kind != "find"][:2],
        "places": record.balance.by_place,
        "done": [one for one in steps if one.is_finished and not one.is_open_hold],
        "notes": now.notes,
        "may_write": may_write,
        "may_confirm": may_write and not has_it,
        "checks": _checks(request, now.card.checks, error),
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/job/handover.html", facts, status=status)


def _cause_said(record: JobRecord) -> str:
    """Return how far the cause is; empty where there is none to find."""
    if record.cause is None:
        return "Not named yet." if record.needs_cause else ""
    if record.cause_state.is_seen:
        return f"Marked by {record.mark_rows(record.cause.pk)[-1].by.name}."
    return "Its mark is broken." if record.cause_state is MarkState.BROKEN else "Not marked yet."


def _onward(record: JobRecord) -> tuple[str, str, str] | None:
    """Return what comes next beside the steps: in words, its link and what it leads to."""
    job, cause = record.job, record.cause
    address = places.job(job.number)
    work = [step for step in record.steps if step.kind != "find"]
    if job.closed_at is not None:
        return "The vehicle is handed back.", "", ""
    if cause is None and record.needs_cause:
        return "The cause is not named yet.", f"{address}/find", "find the cause"
    if cause is not None and record.cause_state is MarkState.BROKEN:
        return (
            "The mark on the cause is broken.",
            f"{address}/cause/mark",
            "the teacher sees it again",
        )
    if cause is not None and not record.cause_state.is_seen:
        return "The cause is named.", f"{address}/cause/mark", "the teacher marks it"
    if not work:
        marked = (
            f"The cause is marked: {cause.statement.rstrip('.')}." if cause else "No steps yet."
        )
        return marked, f"{address}/steps", "choose the steps"
    waits = any(record.states[step.pk] in (*OPEN_HOLD, MarkState.BROKEN) for step in work)
    if not waits and all(record.is_finished(step) for step in work):
        return "Every step is done.", f"{address}/release", "the gate"
    return None


def _checks(request: HttpRequest, checks: Any, error: BenchError | None) -> list[Any]:
    """Return each check and whether it was ticked; after a change it is looked at again."""
    ticked = request.POST.getlist("looked_at") if error and status_of(error) != 409 else []
    return [(check, check.key in ticked) for check in checks]


def _unsafe(one: LineBalance) -> str:
    """Say what is not as it was: `Coolant, 9.4 L: drained, Drum C2.`"""
    return f"{one.line.what}, {one.still_off_in_words}: {one.line.how}, {one.line.place}."


urls = [path("jobs/<int:number>/handover", handover)]
