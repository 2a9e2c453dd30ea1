"""One step on a phone: cautions, what to do, readings, what comes off, photos, the call."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from witnessmark.errors import BenchError, Question
from witnessmark.quantities import kind_of, parse
from witnessmark.record.acts.evidence import add_note, correct_reading, keep_reading
from witnessmark.record.acts.ledger import move, take_off
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.acts.steps import (
    blocking,
    call_teacher,
    finish_step,
    start_step,
    tell_teacher,
    tick_cautions,
    warnings,
)
from witnessmark.record.circuits import reading_words
from witnessmark.record.core import JobRecord
from witnessmark.record.models import PinnedSheet, Reading, Step
from witnessmark.shop.models import Instrument
from witnessmark.web import gate, job_facts, places
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.refused_entry import forget_refused, lead_back, refused_entry
from witnessmark.web.typed import chosen, must_choose, picture, reason
from witnessmark.work.cautions import CAUTIONS, teacher_stays
from witnessmark.work.steps import CLOSED_BY, How, OldPart

REASONS = ("Misread", "Measured again", "Wrong place")
Act = Callable[[HttpRequest, Step], str]


@require_GET
def step(request: HttpRequest, number: int, position: int) -> HttpResponse:
    """Show one step to its crew."""
    one = gate.step_for(request.person, number, position)
    if one.kind == "find":
        return redirect(places.stage(number, "find"))
    return _page(request, one)


@require_POST
def act(request: HttpRequest, number: int, position: int, what: str) -> HttpResponse:
    """Do one thing on a step; what was typed stays where it is refused."""
    one = gate.step_for(request.person, number, position)
    done = ACTS.get(what)
    if done is None:
        raise Http404
    try:
        said = done(request, one)
    except BenchError as error:
        return _page(request, one, error, tried=what)
    messages.info(request, said)
    return redirect(f"{places.step(number, position)}#{ANCHORS.get(what, 'main')}")


@require_http_methods(["GET", "POST"])
def correct(request: HttpRequest, number: int, reading_id: UUID) -> HttpResponse:
    """Correct a reading: the old one stays, and what it breaks is said before it is kept."""
    one = gate.job_for(request.person, number)
    found = Reading.objects.select_related("step", "by", "instrument", "replaced_by__by")
    reading = get_object_or_404(found, pk=reading_id, job=one)
    facts = head(one, "find" if reading.step.kind == "find" else "work")
    record: JobRecord = facts["record"]
    if request.method == "POST":
        try:
            _correct(request, reading, record.sheet("circuit"))
        except BenchError as error:
            return lead_back(request, request.path, error)
        forget_refused(request, request.path)
        messages.info(request, "The change is kept. The old value stays on the record.")
        return redirect(places.step(number, reading.step.position))
    refused = refused_entry(request)
    error = refused.error if refused else None
    reading.step.job = one
    asked = record.spec(reading.step).measurement(reading.key)
    rows = record.mark_rows(reading.step_id)
    facts |= {
        "error": error,
        "question": error if isinstance(error, Question) else None,
        "typed": refused.typed if refused else {},
        "reading": reading,
        "name": asked.named(reading.position)
        if asked
        else reading_words(record.sheet("circuit"), reading),
        "limit": asked.limit_text if asked else "",
        "reasons": REASONS,
        "newer": getattr(reading, "replaced_by", None),
        "breaks": rows[-1] if record.states[reading.step_id].is_seen else None,
        "instruments": _instruments(asked.instrument if asked else "", reading.unit),
        "back": places.step(number, reading.step.position),
        "under": f"Step {reading.step.position}, {reading.step.title}",
    }
    status = refused.status if refused else 200
    return render(request, "witnessmark/job/correct.html", facts, status=status)


def _page(
    request: HttpRequest, one: Step, error: BenchError | None = None, tried: str = ""
) -> HttpResponse:
    facts = head(one.job, "work")
    record: JobRecord = facts["record"]
    one = next(row for row in record.steps if row.pk == one.pk)
    spec = record.spec(one)
    given = job_facts.crews(record).get(one.pk, [])
    shown = job_facts.join(record, one, job_facts.names_in(record), given)
    ticks = {row.detail: row for row in record.of_step(record.events, one) if row.what == "ticked"}
    left = [read for read in shown.reads if read.reading is None]
    off_here = {row.key for row in shown.off}
    facts |= {
        "error": error,
        "question": error if isinstance(error, Question) else None,
        "tried": tried,
        "typed": request.POST if tried else {},
        "one": shown,
        "spec": spec,
        "of": len(record.steps),
        "cautions": [(CAUTIONS[id], ticks.get(id)) for id in CAUTIONS if id in spec.cautions],
        "teacher_stays": teacher_stays(spec.cautions),
        "blocked_by": [] if shown.is_started else blocking(record, one),
        "warned_by": warnings(record, one),
        "read_count": len(shown.reads) - len(left),
        "next_read": left[0] if left else None,
        "then_read": left[1] if len(left) > 1 else None,
        "instruments": _instruments(left[0].instrument, left[0].unit) if left else [],
        "still_off": [
            (line, [way.value for way in CLOSED_BY[line.line.how]])
            for line in record.balance.still_off
        ],
        "to_take": [item for item in spec.off if item.key not in off_here],
        "ways_off": [way.value for way in How],
        "old_parts": [part.value for part in OldPart],
        "places_used": sorted({row.place for row in record.lines}),
        "photos": [row for row in record.of_step(record.photos, one) if row.is_standing],
        "photos_left": _photos_left(record, one),
        "notes": [row for row in record.of_step(record.notes, one) if row.is_standing],
        "has_fit": record.sheet("assembly") is not None,
        "may_finish": shown.is_started and not shown.is_finished,
        "is_hold": spec.hold == "hold",
        "is_witness": spec.hold == "witness",
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/job/step.html", facts, status=status)


def _photos_left(record: JobRecord, one: Step) -> list[Any]:
    taken = {row.key for row in record.of_step(record.photos, one) if row.is_standing}
    return [need for need in record.spec(one).photos if need.key not in taken]


def _instruments(kind: str, unit: str) -> list[Instrument]:
    """Return the instruments that read such a unit, those of the asked kind first."""
    asked = kind_of(unit)
    rows = [
        row
        for row in Instrument.objects.filter(retired_at=None)
        if kind_of(parse(row.resolution).unit) == asked
    ]
    return sorted(rows, key=lambda row: (row.kind.casefold() != kind.casefold(), row.name))


def _instrument(request: HttpRequest) -> Instrument | None:
    return chosen(Instrument.objects.all(), request.POST.get("instrument", ""))


def _start(request: HttpRequest, one: Step) -> str:
    by = gate.by(request)
    ticked = request.POST.getlist("caution")
    if ticked:
        tick_cautions(by, gate.entry_id(request, "tick_id"), step=one, cautions=ticked)
    start_step(by, gate.entry_id(request), step=one)
    return f"Step {one.position} is started."


def _reading(request: HttpRequest, one: Step) -> str:
    typed = request.POST
    kept = keep_reading(
        gate.by(request),
        gate.entry_id(request),
        step=one,
        key=typed.get("key", ""),
        position=typed.get("position", ""),
        text=typed.get("text", ""),
        instrument=_instrument(request),
    )
    return f"{kept.shown} is kept."


def _note(request: HttpRequest, one: Step) -> str:
    words = request.POST.get("words", "")
    add_note(gate.by(request), gate.entry_id(request), job=one.job, step=one, words=words)
    return "The note is kept."


def _off(request: HttpRequest, one: Step) -> str:
    typed = request.POST
    line = take_off(
        gate.by(request),
        gate.entry_id(request),
        step=one,
        key=typed.get("key", ""),
        what=typed.get("what", ""),
        how=typed.get("how", "taken off"),
        quantity=typed.get("quantity", ""),
        unit=typed.get("unit", ""),
        place=typed.get("other_place", "").strip() or typed.get("place", ""),
    )
    return f"{line.what}: {line.place}."


def _move(request: HttpRequest, one: Step) -> str:
    line = must_choose(one.job.ledger.all(), request.POST.get("line", ""))
    moved = move(
        gate.by(request),
        gate.entry_id(request),
        line=line,
        kind=request.POST.get("kind", ""),
        quantity=request.POST.get("quantity", ""),
        old=request.POST.get("old", ""),
        step=one,
        answered=request.POST.get("answered", ""),
    )
    return f"{line.what}: {moved.kind}."


def _photo(request: HttpRequest, one: Step) -> str:
    sent = picture(request)
    keep_photo(
        gate.by(request),
        gate.entry_id(request),
        step=one,
        content=sent,
        key=request.POST.get("key", ""),
        caption=request.POST.get("caption", ""),
    )
    return "The photo is kept."


def _call(request: HttpRequest, one: Step) -> str:
    what = request.POST.get("what", "help")
    call_teacher(gate.by(request), gate.entry_id(request), job=one.job, step=one, what=what)
    return "The teacher is called."


def _tell(request: HttpRequest, one: Step) -> str:
    tell_teacher(gate.by(request), gate.entry_id(request), step=one)
    return "The teacher is told. Work goes on."


def _finish(request: HttpRequest, one: Step) -> str:
    finish_step(gate.by(request), gate.entry_id(request), step=one)
    return f"Step {one.position} is finished."


def _correct(request: HttpRequest, reading: Reading, circuit: PinnedSheet | None) -> None:
    text = request.POST.get("text", "")
    if reading.step.kind == "find" and circuit is not None:
        from witnessmark.web.find_facts import must_be_believable  # it computes: loaded when used

        answered = request.POST.get("answered", "")
        must_be_believable(circuit, request.shop, reading, text, answered)
    correct_reading(
        gate.by(request),
        gate.entry_id(request),
        reading=reading,
        reason=reason(request),
        text="" if reading.outcome else text,
        outcome=text if reading.outcome else "",
        instrument=_instrument(request),
    )


ACTS: dict[str, Act] = {
    "start": _start,
    "reading": _reading,
    "note": _note,
    "off": _off,
    "move": _move,
    "photo": _photo,
    "call": _call,
    "tell": _tell,
    "finish": _finish,
}
ANCHORS = {"reading": "readings", "off": "ledger", "move": "ledger", "photo": "photo"}

urls = [
    path("jobs/<int:number>/step/<int:position>", step),
    path("jobs/<int:number>/step/<int:position>/<slug:what>", act),
    path("jobs/<int:number>/reading/<uuid:reading_id>/correct", correct),
]
