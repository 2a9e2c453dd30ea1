"""The teacher's mark: everything that was seen stands in front of the PIN."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_http_methods

from witnessmark.errors import BenchError
from witnessmark.people.models import Person
from witnessmark.people.sign_in import require_pin
from witnessmark.record.acts.by import By
from witnessmark.record.acts.marks import ChangedSinceShown, mark_cause, mark_step
from witnessmark.record.acts.steps import not_yet
from witnessmark.record.circuits import reading_words
from witnessmark.record.core import JobRecord, load
from witnessmark.record.models import Cause, Job, Step
from witnessmark.shop import clock
from witnessmark.web import gate, job_facts, ledger_facts, places
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.repair_link import repair_link
from witnessmark.web.typed import must_choose
from witnessmark.work.cautions import CAUTIONS
from witnessmark.work.changes import filled
from witnessmark.work.digest import digest

TOO_CLOSE = "too close to call"
OUTSIDE = "outside"


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, number: int, position: int) -> HttpResponse:
    """Show all that a mark on a step is bound to; sign it with a teacher's PIN."""
    one = gate.step_for(request.person, number, position)
    if request.method == "GET":
        return _step_page(request, one)
    try:
        said = (
            _not_yet(request, one) if request.POST.get("act") == "not yet" else _mark(request, one)
        )
    except ChangedSinceShown as changed:
        return changed_page(request, one.job, changed, f"{places.step(number, position)}/mark")
    except BenchError as error:
        return _step_page(request, one, error)
    messages.info(request, said)
    return redirect(places.job(number))


@require_http_methods(["GET", "POST"])
def cause(request: HttpRequest, number: int) -> HttpResponse:
    """Show all that a mark on the cause is bound to; sign it with a teacher's PIN."""
    job = gate.job_for(request.person, number)
    standing = load(job).cause
    if standing is None:
        raise Http404
    standing.job = job
    if request.method == "GET":
        return _cause_page(request, standing)
    try:
        mark_cause(
            gate.by(request),
            gate.entry_id(request),
            cause=standing,
            shown_digest=request.POST.get("digest", ""),
            teacher=teacher_chosen(request),
            pin=request.POST.get("pin", ""),
        )
    except ChangedSinceShown as changed:
        return changed_page(request, job, changed, f"{places.job(number)}/cause/mark")
    except BenchError as error:
        return _cause_page(request, standing, error)
    messages.info(request, "The cause is marked.")
    return redirect(places.job(number))


def teachers() -> list[Person]:
    """Return who may mark, by name."""
    return [one for one in Person.objects.filter(is_active=True) if one.may_mark]


def teacher_chosen(request: HttpRequest) -> Person:
    """Return whose PIN follows; the act refuses one who may not mark."""
    nobody = BenchError(
        "Nobody was chosen to sign.", "A mark is one teacher's.", "Choose whose PIN follows."
    )
    return must_choose(Person.objects.all(), request.POST.get("who", ""), nobody)


def _mark(request: HttpRequest, one: Step) -> str:
    mark_step(
        gate.by(request),
        gate.entry_id(request),
        step=one,
        shown_digest=request.POST.get("digest", ""),
        teacher=teacher_chosen(request),
        pin=request.POST.get("pin", ""),
        accepted=request.POST.get("accepted", ""),
    )
    return f"Step {one.position} is marked."


def _not_yet(request: HttpRequest, one: Step) -> str:
    teacher = teacher_chosen(request)
    require_pin(teacher, request.POST.get("pin", ""), request.device, clock.now())
    not_yet(
        By(person=teacher, device=request.device),
        gate.entry_id(request),
        step=one,
        words=request.POST.get("missing", ""),
    )
    return f"Step {one.position} is not marked yet. What is missing stands on the step."


def _step_page(request: HttpRequest, one: Step, error: BenchError | None = None) -> HttpResponse:
    facts = head(one.job, "work")
    record: JobRecord = facts["record"]
    one = next(row for row in record.steps if row.pk == one.pk)
    shown = job_facts.join(record, one, job_facts.names_in(record), [])
    lines = record.of_step(record.lines, one)
    ticks = [row for row in record.of_step(record.events, one) if row.what == "ticked"]
    facts |= signing(request, error) | {
        "one": shown,
        "spec": record.spec(one),
        "digest": digest(record.form(one)),
        "photos": [row for row in record.of_step(record.photos, one) if row.is_standing],
        "notes": [row for row in record.of_step(record.notes, one) if row.is_standing],
        "off": [(row, job_facts.earlier(lines, row)) for row in lines if row.is_standing],
        "moved": list(ledger_facts.movements(record.of_step(record.movements, one))),
        "ticks": [(row, CAUTIONS.get(row.detail)) for row in ticks],
        "too_close": any(
            read.verdict is not None and read.verdict.word == TOO_CLOSE for read in shown.reads
        ),
        "outside": [
            read.name
            for read in shown.reads
            if read.verdict is not None and read.verdict.word == OUTSIDE
        ],
        "stands": record.states[one.pk].is_seen,
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/job/mark.html", facts, status=status)


def _cause_page(request: HttpRequest, one: Cause, error: BenchError | None = None) -> HttpResponse:
    # The numeric libraries are loaded with the first of these pages, not with the program.
    from witnessmark.web.find_explained import told
    from witnessmark.web.find_facts import finding

    facts = head(one.job, "find")
    record: JobRecord = facts["record"]
    shown = record.cause_seen(one)
    by_id = {str(row.pk): row for row in record.readings}
    photos = {str(row.pk): row for row in record.photos}
    names = dict(shown.measurements)
    sheet = one.sheet or record.sheet("circuit")
    rows = record.mark_rows(one.pk)
    facts |= signing(request, error) | {
        "cause": one,
        "repair": repair_link(record),
        "complaints": told(record, finding(record, request.shop), one),
        "readings": [
            (
                # a cause that was named before it kept its sheet has the key alone
                reading_words(sheet, by_id[seen.id])
                if names[seen.key] == seen.key
                else filled(names[seen.key], record.texts),
                seen.position,
                by_id[seen.id],
            )
            for seen in shown.readings
        ],
        "photos": [photos[one.id] for one in shown.photos if photos[one.id].is_standing],
        "state": record.cause_state.value,
        "mark": rows[-1] if rows else None,
        "digest": digest(record.cause_form(one)),
        "stands": record.cause_state.is_seen,
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/job/mark_cause.html", facts, status=status)


def signing(request: HttpRequest, error: BenchError | None) -> dict[str, Any]:
    """Return what both pages need: who may sign, and whose device this is."""
    able = teachers()
    able.sort(key=lambda one: one.pk != request.person.pk)  # who is signed in comes first
    whose = "" if request.person.is_teacher else f"On {request.person.name}’s device. "
    return {
        "error": error,
        "typed": request.POST,
        "teachers": able,
        "under": f"{whose}Nobody is signed in by it; the PIN is for this one mark.",
    }


def changed_page(
    request: HttpRequest, job: Job, error: ChangedSinceShown, again: str
) -> HttpResponse:
    """Show old and new side by side: nothing was signed, the PIN was not used."""
    facts = head(job, "work")
    names = job_facts.names_in(facts["record"])
    facts |= {
        "changes": job_facts.said_of(error.changes, names, facts["record"].texts),
        "shown": error.shown_digest,
        "now": error.digest,
        "again": again,
    }
    return render(request, "witnessmark/job/mark_changed.html", facts, status=409)


urls = [
    path("jobs/<int:number>/step/<int:position>/mark", step),
    path("jobs/<int:number>/cause/mark", cause),
]
