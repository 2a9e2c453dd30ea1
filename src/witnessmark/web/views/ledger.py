"""The ledger of a job: what is off, what closed it; a line corrected, a movement taken back."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_http_methods

from witnessmark.errors import BenchError
from witnessmark.people.models import Role
from witnessmark.record.acts.ledger import correct_line, take_back
from witnessmark.record.models import Evidence, Job
from witnessmark.web import gate, ledger_facts, places
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import reason

WHY_CORRECTED = ("Counted again", "Lies elsewhere", "Written wrongly")
WHY_TAKEN_BACK = ("It came off again", "Wrong item", "Entered by mistake")


@require_GET
def ledger(request: HttpRequest, number: int) -> HttpResponse:
    """Show everything that is off or undone, by where it lies, and what closed it."""
    one = gate.job_for(request.person, number)
    facts = head(one, "work")
    record = facts["record"]
    facts |= {
        "balance": record.balance,
        "rows": ledger_facts.rows(record),
        "may_write": one.closed_at is None and request.person.role != Role.OFFICE,
    }
    return render(request, "witnessmark/job/ledger.html", facts)


@require_http_methods(["GET", "POST"])
def line(request: HttpRequest, number: int, line_id: UUID) -> HttpResponse:
    """Correct a line: the old words stay, and what it breaks is said before it is kept."""
    one = gate.job_for(request.person, number)
    facts = head(one, "work")
    row = _entry(facts["record"].lines, line_id)
    error = None
    if request.method == "POST":
        typed = request.POST
        try:
            correct_line(
                gate.by(request),
                gate.entry_id(request),
                line=row,
                what=typed.get("what", ""),
                quantity=typed.get("quantity", ""),
                place=typed.get("place", ""),
                reason=reason(request),
            )
        except BenchError as refused:
            error = refused
        else:
            return _kept(request, one, "The change is kept. The old line stays on the record.")
    used = sorted({one.place for one in facts["record"].lines})
    facts |= {"line": row, "reasons": WHY_CORRECTED, "places_used": used}
    return _page(request, "witnessmark/job/correct_line.html", facts, row, error)


@require_http_methods(["GET", "POST"])
def movement(request: HttpRequest, number: int, movement_id: UUID) -> HttpResponse:
    """Take a movement back: the entry stays, struck through, and the thing is off again."""
    one = gate.job_for(request.person, number)
    facts = head(one, "work")
    row = _entry(facts["record"].movements, movement_id)
    error = None
    if request.method == "POST":
        try:
            take_back(
                gate.by(request), gate.entry_id(request), movement=row, reason=reason(request)
            )
        except BenchError as refused:
            error = refused
        else:
            return _kept(request, one, f"Taken back: {row.line.what} is off again.")
    facts |= {"moved": row, "reasons": WHY_TAKEN_BACK}
    return _page(request, "witnessmark/job/take_back.html", facts, row, error)


def _entry(rows: list[Any], id: UUID) -> Any:
    """Return one entry of the job; another job's is not found."""
    found = next((row for row in rows if row.pk == id), None)
    if found is None:
        raise Http404
    return found


def _kept(request: HttpRequest, one: Job, said: str) -> HttpResponse:
    messages.info(request, said)
    return redirect(f"{places.job(one.number)}/ledger")


def _page(
    request: HttpRequest,
    template: str,
    facts: dict[str, Any],
    row: Evidence,
    error: BenchError | None,
) -> HttpResponse:
    record = facts["record"]
    rows = record.mark_rows(row.step_id)
    step = next((one for one in record.steps if one.pk == row.step_id), None)
    facts |= {
        "error": error,
        "typed": request.POST,
        "newer": getattr(row, "replaced_by", None),
        "breaks": rows[-1] if step is not None and record.states[step.pk].is_seen else None,
        "step": step,
        "under": f"Step {step.position}, {step.title}" if step else facts["place"],
        "back": f"{places.job(record.job.number)}/ledger",
    }
    status = status_of(error) if error else 200
    return render(request, template, facts, status=status)


urls = [
    path("jobs/<int:number>/ledger", ledger),
    path("jobs/<int:number>/ledger/line/<uuid:line_id>", line),
    path("jobs/<int:number>/ledger/movement/<uuid:movement_id>", movement),
]
