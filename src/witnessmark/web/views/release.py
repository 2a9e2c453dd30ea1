"""The Release stage of a job: the gate, the teacher's signature, the hand-back paper."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_GET, require_http_methods, require_POST

import witnessmark.papers
from witnessmark.errors import BenchError
from witnessmark.papers.handback import SIZES, HandBack, handback_pdf
from witnessmark.record.acts.handback import read_odometer_out, say_advice
from witnessmark.record.acts.marks import ChangedSinceShown, sign_release
from witnessmark.record.core import JobRecord, load
from witnessmark.record.gate import gate_of
from witnessmark.record.models import Job, Release
from witnessmark.record.odometer import ODOMETER, meter_of
from witnessmark.shop import clock
from witnessmark.web import gate as access
from witnessmark.web import places
from witnessmark.web.handback import paper_of
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.views.mark import changed_page, signing, teacher_chosen, teachers
from witnessmark.work.digest import digest
from witnessmark.work.gate import Gate, GateRow, Place, Reason, ReleaseKind
from witnessmark.work.steps import StepKind

PAPERS = Path(witnessmark.papers.__file__).parent
ADDRESS = {ReleaseKind.ROAD_TEST: "road-test", ReleaseKind.OWNER: "owner"}
REASONS_SHOWN = 4  # in one join; the others are counted


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """One reason with the address where it is mended."""

    what: str
    mend: str
    url: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GateJoin:
    """One join of the gate: ink over the seam when it is open."""

    row: GateRow
    state: str  # passed, broken, none
    verdict: str  # within, where every check is
    whys: tuple[Why, ...]
    others: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One piece of advice, and whether the owner was told."""

    key: str
    text: str
    is_said: bool


@require_http_methods(["GET", "POST"])
def release(request: HttpRequest, number: int) -> HttpResponse:
    """Show the gate and the paper; release the vehicle with a teacher's PIN."""
    job = access.job_for(request.person, number)
    if request.method == "GET":
        return _page(request, job)
    kind = _kind_asked(request.POST.get("for", ""))
    if kind is None:
        raise Http404
    try:
        sign_release(
            access.by(request),
            access.entry_id(request),
            job=job,
            kind=kind.value,
            shown_digest=request.POST.get("digest", ""),
            teacher=teacher_chosen(request),
            pin=request.POST.get("pin", ""),
        )
    except ChangedSinceShown as changed:
        return changed_page(request, job, changed, _address(job, kind))
    except BenchError as error:
        return _page(request, job, error)
    said = "for road test" if kind is ReleaseKind.ROAD_TEST else "to the owner"
    messages.info(request, f"{job.vehicle.name} is released {said}.")
    return redirect(places.stage(number, "release"))


@require_POST
def said(request: HttpRequest, number: int) -> HttpResponse:
    """Write down that the owner was told."""
    job = access.job_for(request.person, number)
    try:
        say_advice(
            access.by(request),
            access.entry_id(request),
            job=job,
            key=request.POST.get("key", ""),
        )
    except BenchError as error:
        return _page(request, job, error)
    return redirect(_address(job, ReleaseKind.OWNER))


@require_POST
def odometer(request: HttpRequest, number: int) -> HttpResponse:
    """Write down the odometer, or the hour meter, as the vehicle leaves."""
    job = access.job_for(request.person, number)
    try:
        read_odometer_out(
            access.by(request),
            access.entry_id(request),
            job=job,
            odometer=request.POST.get("odometer", ""),
        )
    except BenchError as error:
        return _page(request, job, error)
    messages.info(request, "The reading is kept.")
    return redirect(_address(job, ReleaseKind.OWNER))


@require_GET
def paper(request: HttpRequest, number: int) -> HttpResponse:
    """Send the hand-back paper as a PDF."""
    job = access.job_for(request.person, number)
    size = request.GET.get("size", request.shop.paper)
    if size not in SIZES:
        raise Http404
    made = handback_pdf(_paper(request, load(job)), size, PAPERS, clock.now())
    answer = HttpResponse(made, content_type="application/pdf")
    name = f"{job.shown_number}-hand-back-{size}.pdf"
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer


def _page(request: HttpRequest, job: Job, error: BenchError | None = None) -> HttpResponse:
    facts = head(job, "release")
    record: JobRecord = facts["record"]
    tested = any(record.spec(step).kind is StepKind.ROAD_TEST for step in record.steps)
    drives = tested or job.kind == "customer"  # a vehicle may be tried on the road in any case
    given = {row.kind: row for row in record.releases}
    kind = _kind(request, drives, tested, given)
    gate = gate_of(record, kind.value)
    told = {row.key for row in record.said}
    release = given.get(kind.value)
    size = request.GET.get("size", request.shop.paper)
    meter, unit = meter_of(job)
    facts |= signing(request, error) | {
        "kind": kind,
        "for_owner": kind is ReleaseKind.OWNER,
        "kinds": _kinds(job, kind, given) if drives else (),
        "gate": gate,
        "joins": [_join(record, row) for row in gate.rows],
        "title": _title(gate, release),
        "release": release,
        "is_broken": any(row.is_broken for row in gate.rows),
        "first": _first(record, gate),
        "advice": [
            Said(key=one.key, text=one.text, is_said=one.key in told) for one in record.advice
        ],
        "may_say": request.person.may_take_in and job.closed_at is None,
        "digest": digest(record.release_form(kind.value)),
        "paper": _paper(request, record),
        "meter": meter,
        "unit": unit,
        "is_distance": meter == ODOMETER,
        "odometer": request.POST.get("odometer", job.odometer_out),
        "size": size if size in SIZES else request.shop.paper,
        "sizes": tuple(SIZES),
        "under": facts["about"],
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/release/release.html", facts, status=status)


def _paper(request: HttpRequest, record: JobRecord) -> HandBack:
    able = teachers()
    able.sort(key=lambda one: one.pk != request.person.pk)
    signer = able[0].name if able else ""
    return paper_of(record, request.shop, signer, with_owner=request.person.may_take_in)


def _kind_asked(words: str) -> ReleaseKind | None:
    return next((kind for kind, address in ADDRESS.items() if address == words), None)


def _kind(
    request: HttpRequest, drives: bool, tested: bool, given: dict[str, Release]
) -> ReleaseKind:
    """Return which release is looked at: a road test that is a step comes first, until given."""
    asked = _kind_asked(request.POST.get("for", "") or request.GET.get("for", ""))
    if asked is not None and drives:
        return asked
    if tested and ReleaseKind.ROAD_TEST.value not in given:
        return ReleaseKind.ROAD_TEST
    return ReleaseKind.OWNER


def _address(job: Job, kind: ReleaseKind) -> str:
    return f"{places.stage(job.number, 'release')}?for={ADDRESS[kind]}"


def _kinds(job: Job, now: ReleaseKind, given: dict[str, Release]) -> list[dict[str, Any]]:
    words = {ReleaseKind.ROAD_TEST: "For road test", ReleaseKind.OWNER: "To the owner"}
    return [
        {
            "words": words[kind],
            "url": _address(job, kind),
            "current": kind is now,
            "given": given.get(kind.value),
        }
        for kind in (ReleaseKind.ROAD_TEST, ReleaseKind.OWNER)
    ]


def _title(gate: Gate, release: Release | None) -> str:
    if release is not None:
        return "handed back" if gate.kind is ReleaseKind.OWNER else "released for road test"
    if gate.is_open:
        return "gate open"
    left = len(gate.reasons)
    return f"gate shut, {left} thing{'' if left == 1 else 's'} left"


def _join(record: JobRecord, row: GateRow) -> GateJoin:
    state = "broken" if row.is_broken else "passed" if row.is_open else "none"
    whys = tuple(_why(record, reason) for reason in row.reasons)
    return GateJoin(
        row=row,
        state=state,
        verdict=row.verdict,
        whys=whys[:REASONS_SHOWN],
        others=len(whys[REASONS_SHOWN:]),
    )


def _first(record: JobRecord, gate: Gate) -> Why | None:
    """Return what to do first: see a broken mark again, or else the first thing to mend."""
    rows = sorted(gate.rows, key=lambda row: not row.is_broken)
    reasons = [reason for row in rows for reason in row.reasons]
    if not reasons:
        return None
    first = reasons[0]
    why = _why(record, first)
    return replace(why, mend=f"{why.mend}: step {first.number}") if first.number else why


def _why(record: JobRecord, reason: Reason) -> Why:
    return Why(what=reason.what, mend=reason.mend, url=_mended_at(record, reason))


def _mended_at(record: JobRecord, reason: Reason) -> str:
    """Return the address of the page where a reason is mended."""
    number = record.job.number
    match reason.where:
        case Place.STEP if not reason.number:
            return places.stage(number, "steps")
        case Place.STEP:
            step = places.step(number, reason.number)
            kinds = {row.position: row.kind for row in record.steps}
            if kinds[reason.number] == StepKind.FIND.value:
                return places.stage(number, "find")
            return f"{step}/mark" if reason.mend == "See it again" else step
        case Place.LEDGER:
            return f"{places.job(number)}/ledger"
        case Place.CAUSE if record.cause is not None:
            return f"{places.job(number)}/cause/mark"
        case Place.CAUSE:
            return places.stage(number, "find")
        case Place.CORRECTION:
            return f"{places.job(number)}#words"
        case _:
            return f"{places.stage(number, 'release')}#said"


urls = [
    path("jobs/<int:number>/release", release),
    path("jobs/<int:number>/release/said", said),
    path("jobs/<int:number>/release/odometer", odometer),
    path("jobs/<int:number>/release/paper.pdf", paper),
]
