"""The handover card: what a crew reads first, and says if it does not agree."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_http_methods

from witnessmark.errors import BenchError
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.core import JobRecord
from witnessmark.web import gate, job_facts, places
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.work.ledger import LineBalance
from witnessmark.work.steps import How

# What is not as it was, although nothing is missing to the eye.
UNSAFE = (How.DISCONNECTED, How.DRAINED, How.LOOSENED, How.JUMPERED, How.CAPPED)


@require_http_methods(["GET", "POST"])
def handover(request: HttpRequest, number: int) -> HttpResponse:
    """Show the card; keep what a crew finds otherwise as a note on the job."""
    job = gate.job_for(request.person, number)
    error = None
    if request.method == "POST":
        try:
            words = request.POST.get("words", "")
            add_note(gate.by(request), gate.entry_id(request), job=job, words=words)
        except BenchError as refused:
            error = refused
        else:
            messages.info(request, "It is kept with the job. Tell the teacher as well.")
            return redirect(f"{places.job(number)}/handover")
    facts = head(job, "work")
    record: JobRecord = facts["record"]
    steps = job_facts.joins(record)
    todo = [one for one in steps if not one.is_finished]
    facts |= {
        "error": error,
        "typed": request.POST,
        "under": f"{facts['place']}. {facts['crew_names'] or 'No crew yet'}",
        "unsafe": [_unsafe(one) for one in record.balance.still_off if one.line.how in UNSAFE],
        "broken": [one for one in steps if one.is_broken],
        "waiting": [one for one in steps if one.is_finished and one.is_open_hold],
        "next": todo[:2],
        "places": record.balance.by_place,
        "done": [one for one in steps if one.is_finished and not one.is_open_hold],
        "notes": [row for row in record.notes if row.is_standing][-5:],
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/job/handover.html", facts, status=status)


def _unsafe(one: LineBalance) -> str:
    """Say what is not as it was: `Coolant, 9.4 L: drained, Drum C2.`"""
    return f"{one.line.what}, {one.still_off_in_words}: {one.line.how}, {one.line.place}."


urls = [path("jobs/<int:number>/handover", handover)]
