"""The Work stage of a job: complaint, cause, correction; every step with its mark; the ledger."""

from datetime import datetime, time
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from witnessmark.errors import BenchError
from witnessmark.log.models import Entry
from witnessmark.log.sentences import sentence
from witnessmark.people.models import Person, Section
from witnessmark.record.acts.causes import write_correction
from witnessmark.record.acts.intake import (
    add_complaint,
    give_job_bay,
    give_job_section,
    set_promise,
)
from witnessmark.record.acts.parts import order_part, part_arrived
from witnessmark.record.acts.steps import assign_crew
from witnessmark.record.core import JobRecord, load
from witnessmark.record.handover import Handover, handover_of
from witnessmark.record.models import Job
from witnessmark.shop.models import Bay
from witnessmark.web import gate, job_facts, places
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.refused_entry import render_said
from witnessmark.web.repair_link import repair_link
from witnessmark.web.typed import about, chosen, day, hour, must_choose
from witnessmark.work.marks import MarkState

LOG_SHOWN = 12
PHOTOS_SHOWN = 6


@require_GET
def job(request: HttpRequest, number: int) -> HttpResponse:
    """Show the job as it stands."""
    one = gate.job_for(request.person, number)
    if one.half_done:
        return redirect(f"{places.job(number)}/intake")
    return _page(request, one)


@require_POST
def complaint(request: HttpRequest, number: int) -> HttpResponse:
    """Add what the owner reports, or what was seen here."""
    one = gate.job_for(request.person, number)
    try:
        add_complaint(
            gate.by(request),
            gate.entry_id(request),
            job=one,
            words=request.POST.get("words", ""),
            trust=request.POST.get("trust", "seen here"),
        )
    except BenchError as error:
        return _page(request, one, error)
    messages.info(request, "The complaint is kept.")
    return redirect(places.job(number))


@require_POST
def correction(request: HttpRequest, number: int) -> HttpResponse:
    """Write what was done about the cause, and how it was verified."""
    one = gate.job_for(request.person, number)
    record = load(one)
    replaces = next(
        (row for row in record.corrections if str(row.pk) == request.POST.get("replaces")), None
    )
    try:
        write_correction(
            gate.by(request),
            gate.entry_id(request),
            job=one,
            words=request.POST.get("words", ""),
            replaces=replaces,
        )
    except BenchError as error:
        return _page(request, one, error)
    messages.info(request, "The correction is kept.")
    return redirect(places.job(number))


@require_http_methods(["GET", "POST"])
@gate.takes_in
def crew(request: HttpRequest, number: int) -> HttpResponse:
    """Say who is on the job, where it stands, what was promised and what it waits for."""
    one = gate.job_for(request.person, number)
    error = None
    if request.method == "POST":
        try:
            _settle(request, one)
            return redirect(f"{places.job(number)}/crew")
        except BenchError as refused:
            error = refused
    facts = head(one, "work")
    section = one.section or Section.objects.filter(retired_at=None).first()
    members = [m.person for m in section.memberships.select_related("person")] if section else []
    on_it = {person.pk for person in facts["crew"]}
    facts |= {
        "error": error,
        "members": [
            (person, person.pk in on_it)
            for person in sorted({*members, *facts["crew"]}, key=lambda p: p.name)
            if person.is_active
        ],
        "bays": Bay.objects.filter(retired_at=None),
        "sections": Section.objects.filter(retired_at=None),
        "parts": one.parts.all(),
        "typed": request.POST,
        "at": error.field if error else "",
        "promise": _promise(request, one),
    }
    status = status_of(error) if error else 200
    return render_said(request, "witnessmark/job/crew.html", facts, status)


def _page(request: HttpRequest, one: Job, error: BenchError | None = None) -> HttpResponse:
    facts = head(one, "work")
    record: JobRecord = facts["record"]
    steps = job_facts.joins(record)
    facts |= {
        "error": error,
        "typed": request.POST,
        "joins": steps,
        "broken": [one for one in steps if one.is_broken],
        "now": _next(steps),
        "complaints": [
            (row, row.trust == "seen here") for row in record.complaints if row.is_standing
        ],
        "cause_waits": record.cause is not None and not record.cause_state.is_seen,
        "cause": record.cause,
        "repair": repair_link(record),
        "needs_cause": record.needs_cause,
        "cause_open": record.needs_cause and record.cause is None,
        "cause_state": record.cause_state.value if record.cause or record.needs_cause else "",
        "cause_mark": _last_mark(record),
        "cause_changed": _cause_changed(record),
        "correction": record.correction,
        "correction_proved": _proved(steps),
        "has_fit": record.sheet("assembly") is not None or one.kind == "training",
        "balance": record.balance,
        "photos": [row for row in reversed(record.photos) if row.is_standing][:PHOTOS_SHOWN],
        "photo_count": sum(row.is_standing for row in record.photos),
        **_log(record, whole="log" in request.GET),
        "planned": job_facts.planned_finish(record),
        "steps_left": not steps or not all(step.is_finished for step in steps),
        "waiting": one.parts.filter(arrived_at=None),
        "handover": _handover(record),
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/job/job.html", facts, status=status)


def _handover(record: JobRecord) -> Handover | None:
    """Return the handover of a job that has something to hand over."""
    now = handover_of(record)
    return now if now.card.has_begun and record.job.closed_at is None else None


def _next(steps: list[job_facts.Join]) -> job_facts.Join | None:
    """Return the step that the crew is at: the first that is not finished."""
    return next((one for one in steps if not one.is_finished), None)


def _last_mark(record: JobRecord) -> Any:
    rows = record.mark_rows(record.cause.pk) if record.cause else []
    return rows[-1] if rows else None


def _cause_changed(record: JobRecord) -> tuple[Any, ...]:
    """Return what changed since the cause was marked, if its mark is broken."""
    if record.cause is None or record.cause_state is not MarkState.BROKEN:
        return ()
    form = record.cause_form(record.cause)
    names = job_facts.names_in(record)
    return job_facts.what_changed(_last_mark(record), form, names, record.texts)[0]


def _proved(steps: list[job_facts.Join]) -> bool:
    """Return whether every step that proves the repair is done and its mark stands."""
    proving = [one for one in steps if one.spec.kind in ("prove", "road test")]
    return bool(proving) and all(one.is_finished and not one.is_open_hold for one in proving)


def _log(record: JobRecord, whole: bool) -> dict[str, Any]:
    """Return the last entries of the job's log, or all of them, and whether there are more."""
    found = Entry.objects.filter(job_id=record.job.pk).order_by("-number")
    entries = list(found if whole else found[: LOG_SHOWN + 1])
    shown = entries if whole else entries[:LOG_SHOWN]
    names = job_facts.names_in_log(record, shown)
    return {
        "log": [(entry, sentence(entry, names)) for entry in shown],
        "log_goes_on": len(shown) < len(entries),
    }


def _promise(request: HttpRequest, one: Job) -> dict[str, str]:
    """Return the promise as its form shows it: as it was typed, else as it stands."""
    if request.POST.get("act") == "promise":
        return {name: request.POST.get(name, "") for name in ("promised", "at", "not_before")}
    last, first = (
        None if moment is None else timezone.localtime(moment)
        for moment in (one.promised, one.not_before)
    )
    return {
        "promised": f"{last:%Y-%m-%d}" if last else "",
        "at": f"{last:%H:%M}" if last else "15:00",
        "not_before": f"{first:%Y-%m-%d}" if first else "",
    }


def _settle(request: HttpRequest, one: Job) -> None:
    by, id = gate.by(request), gate.entry_id(request)
    match request.POST.get("act"):
        case "crew":
            named = request.POST.getlist("person")
            people = [must_choose(Person.objects.all(), text) for text in named]
            here = [person for person in people if person.is_active]
            assign_crew(by, id, job=one, people=here)
            messages.info(request, "The crew is kept.")
        case "bay":
            bay = chosen(Bay.objects.all(), request.POST.get("bay", ""))
            give_job_bay(by, id, job=one, bay=bay)
            messages.info(request, "The place is kept.")
        case "section":
            section = must_choose(Section.objects.all(), request.POST.get("section", ""))
            give_job_section(by, id, job=one, section=section)
            messages.info(request, f"{one.shown_number} belongs to {section.name}.")
        case "promise":
            promised, not_before = _promised(request)
            set_promise(by, id, job=one, promised=promised, not_before=not_before)
            messages.info(request, "The promise is kept with the job.")
        case "part":
            typed = request.POST
            order_part(by, id, job=one, what=typed.get("what", ""), due=day(typed.get("due", "")))
            messages.info(request, "The part is written down.")
        case "arrived":
            order = must_choose(one.parts.all(), request.POST.get("part", ""))
            part_arrived(by, id, order=order)
            messages.info(request, f"{order.what}: here.")
        case _:
            raise Http404


def _promised(request: HttpRequest) -> tuple[datetime, datetime | None]:
    """Return the promise that was typed: at the latest, and not before where that is said."""
    typed = request.POST
    with about("promised"):
        promised = day(typed.get("promised", ""))
        if promised is None:
            raise BenchError(
                "No day is promised.", "A promise names a day and an hour.", "Choose the day."
            )
    with about("at"):
        at = hour(typed.get("at", ""))
    with about("not_before"):
        first = day(typed.get("not_before", ""))
    not_before = None if first is None else datetime.combine(first, time(0))
    return (
        timezone.make_aware(datetime.combine(promised, at)),
        None if not_before is None else timezone.make_aware(not_before),
    )


urls = [
    path("jobs/<int:number>", job),
    path("jobs/<int:number>/complaint", complaint),
    path("jobs/<int:number>/correction", correction),
    path("jobs/<int:number>/crew", crew),
]
