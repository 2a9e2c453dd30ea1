"""Fit: what the readings of a job say about its assembly, and what to read again."""

from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_POST

from witnessmark.errors import BenchError
from witnessmark.record.acts.evidence import keep_reading
from witnessmark.record.acts.sheets import pin_sheet
from witnessmark.record.core import JobRecord, load
from witnessmark.record.fits import assembly_of, fit_of
from witnessmark.record.models import Job, Reading
from witnessmark.shop.library import newest
from witnessmark.shop.models import Instrument, LibraryItem
from witnessmark.web import gate, job_facts, places
from witnessmark.web.fit_facts import (
    block_facts,
    fit_step,
    hole_facts,
    instruments_words,
    next_place,
    places_to_read,
    size_tables,
    with_names,
)
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import chosen, must_choose


@require_GET
def fit(request: HttpRequest, number: int) -> HttpResponse:
    """Show every size of the assembly with its verdict, its oil holes and its order."""
    return _page(request, gate.job_for(request.person, number))


@require_POST
def reading(request: HttpRequest, number: int) -> HttpResponse:
    """Keep one reading of the assembly, with the verdict on what it settles."""
    job = gate.job_for(request.person, number)
    try:
        name = _keep(request, job)
    except BenchError as error:
        return _page(request, job, error)
    messages.info(request, f"{name} is kept.")
    step = request.POST.get("step", "")
    return redirect(f"{places.fit(number)}{f'?step={step}' if step.isdigit() else ''}")


@require_POST
def sheet(request: HttpRequest, number: int) -> HttpResponse:
    """Give the job its own copy of an assembly sheet."""
    job = gate.job_for(request.person, number)
    try:
        none = BenchError(
            "No assembly sheet was chosen.",
            "The sheet says what is measured, and which limits it must keep.",
            "Choose one from the list.",
        )
        sheets = LibraryItem.objects.filter(kind="assembly")
        item = must_choose(sheets, request.POST.get("item", ""), none)
        pin_sheet(gate.by(request), gate.entry_id(request), job=job, item=item)
    except BenchError as error:
        return _page(request, job, error)
    messages.info(request, f"{item.title} belongs to {job.shown_number} now.")
    return redirect(places.fit(number))


def _page(request: HttpRequest, job: Job, error: BenchError | None = None) -> HttpResponse:
    facts = head(job, "work")
    record: JobRecord = facts["record"]
    facts |= {"error": error, "typed": request.POST, "url": places.fit(job.number)}
    facts["job_url"] = places.job(job.number)
    assembly = assembly_of(job)
    if assembly is None:
        facts["sheets"] = newest("assembly")
        page = "witnessmark/job/fit_sheet.html"
    else:
        shop = request.shop
        found = fit_of(assembly, record.readings)
        report = found.report
        at_step = request.POST.get("step") or request.GET.get("step", "")
        step = fit_step(record, found, at_step)
        to_read = places_to_read(found)
        asked = request.POST.get("place") or request.GET.get("place") or next_place(found)
        facts |= {
            "assembly": assembly,
            "tables": size_tables(found, record, shop),
            "hole": hole_facts(found, record, request.GET.get("bush", "")),
            # not “block”: that is a word of the templates themselves
            "side": block_facts(found),
            "along": report.along,
            "order": report.order,
            "remarks": [
                with_names(words, found.rows)
                for words in report.remarks
                if words not in {row.advice for row in report.rows}
            ],
            "step": step,
            "join": _join(record, step),
            "next": [with_names(words, found.rows) for words in report.advice],
            "unread": report.unread,
            "to_read": to_read,
            "place": asked,
            "instruments": Instrument.objects.filter(retired_at=None),
            "instrument": request.POST.get("instrument", "") or _last_instrument(found.rows, asked),
            "under": _under(facts["place"], step, instruments_words(found)),
        }
        page = "witnessmark/job/fit.html"
    return render(request, page, facts, status=status_of(error) if error else 200)


def _keep(request: HttpRequest, job: Job) -> str:
    """Keep what the form holds, and return what it was."""
    assembly = assembly_of(job)
    record = load(job)
    step = None
    if assembly is not None:
        step = fit_step(record, fit_of(assembly, record.readings), request.POST.get("step", ""))
    if assembly is None or step is None:
        raise BenchError(
            f"{job.shown_number} has no step that this reading belongs to.",
            "A reading is kept with the step in which it was taken.",
            "Choose a procedure under Steps first.",
        )
    asked = request.POST.get("place", "")
    place = next((one for one in assembly.places() if str(one) == asked), None)
    if place is None:
        raise BenchError(
            "The form does not say what was read.",
            f"{assembly.name} is read at {', '.join(assembly.positions)}.",
            "Choose the part and the position from the list.",
        )
    keep_reading(
        gate.by(request),
        gate.entry_id(request),
        step=step,
        key=place.characteristic,
        position=place.position,
        text=request.POST.get("text", ""),
        unit=assembly.characteristic(place.characteristic).unit,
        phase="as left" if step.kind == "prove" else "as found",
        instrument=chosen(Instrument.objects.all(), request.POST.get("instrument", "")),
    )
    return assembly.place_names()[place]


def _join(record: JobRecord, step: Any) -> Any:
    if step is None:
        return None
    return job_facts.join(record, step, job_facts.names_in(record), [])


def _under(place: str, step: Any, instruments: str) -> str:
    parts = [f"{place}."]
    if step is not None:
        parts.append(f"Step {step.position}, {step.title[0].lower()}{step.title[1:]}.")
    return " ".join([*parts, instruments]).strip()


def _last_instrument(rows: Sequence[Reading], place: str) -> str:
    """Return the instrument that was last used for what is to be read next."""
    key = place.partition(":")[0]
    used = [row for row in rows if row.key == key]
    last = max(used, key=lambda row: row.received_at, default=None)
    return str(last.instrument_id) if last is not None and last.instrument_id else ""


urls = [
    path("jobs/<int:number>/fit", fit),
    path("jobs/<int:number>/fit/reading", reading),
    path("jobs/<int:number>/fit/sheet", sheet),
]
