"""Taking in a vehicle: what the owner says, the vehicle, its condition, keys and promise."""

from collections.abc import Callable, Iterable
from datetime import date, datetime, time
from typing import Any, TypeVar

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from witnessmark.errors import BenchError, Several, refuse_all
from witnessmark.people.models import Section
from witnessmark.record.acts.intake import open_job, save_intake
from witnessmark.record.intake_form import Intake, slips_half_done
from witnessmark.record.intake_form import slips as all_slips
from witnessmark.record.models import Job
from witnessmark.record.odometer import with_distance
from witnessmark.shop import clock
from witnessmark.shop.models import Bay
from witnessmark.web import gate, places
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import chosen, day, hour

HAPPENS = ("Always", "Cold", "Hot", "Wet", "After a bump", "Not sure")
KEYS = ("1 set", "2 sets", "None")
LAST_HOUR = "15:00"  # a promise without an hour
OWN_WORDS = ("says", "owner_name", "owner_phone", "owner_address", "lamps", "condition")
PAGE = (  # the fields that may be refused, in the order of the page; first what is of none
    *("", "says", "vehicle", "year", "odometer", "owner_name", "owner_phone"),
    *("not_before", "promised", "promised_time"),
)
Value = TypeVar("Value")
TYPED = ("vehicle", "make", "model", "serial", "plate", *OWN_WORDS)


@require_http_methods(["GET", "POST"])
@gate.takes_in
def intake(request: HttpRequest, number: int | None = None) -> HttpResponse:
    """Fill in the form: keep it half done, or make a job of it."""
    job = None
    if number is not None:
        kept = Job.objects.select_related("vehicle__owner", "bay", "section")
        job = get_object_or_404(kept, number=number, half_done=True)
    if request.method == "GET":
        return _form(request, job, _kept(job), status=200)
    form, slips = _read(request)
    is_half_done = request.POST.get("act") == "keep"
    try:
        if slips:
            now = clock.now()
            more = slips_half_done(form) if is_half_done else all_slips(form, form.says, now)
            refuse_all(_by_field([*slips, *more]))
        if is_half_done:
            job = save_intake(gate.by(request), gate.entry_id(request), intake=form, job=job)
            messages.info(request, "Kept, half done. Anyone in the office can go on.")
            return redirect(f"{places.job(job.number)}/intake")
        job = open_job(
            gate.by(request),
            gate.entry_id(request),
            intake=form,
            complaint=form.says,
            job=job,
            section=chosen(Section.objects.all(), request.POST.get("section", "")),
            bay=chosen(Bay.objects.all(), request.POST.get("bay", "")),
        )
    except BenchError as error:
        return _form(request, job, request.POST.dict(), status=status_of(error), error=error)
    messages.info(request, f"{job.shown_number} is open.")
    return redirect(places.job(job.number))


def _form(
    request: HttpRequest, job: Job | None, typed: dict[str, Any], *, status: int, **more: Any
) -> HttpResponse:
    happens = request.POST.getlist("happens") or str(typed.get("happens", "")).split(", ")
    error: BenchError | None = more.get("error")
    each = _by_field(error.each) if isinstance(error, Several) else []
    facts = {
        "job": job,
        "typed": typed,
        "each": {one.field: one for one in each},
        "at": each[0].field if each else error.field if error else "",
        "happens": [(word, word in happens) for word in HAPPENS],
        "keys": [(word, word == typed.get("keys", KEYS[0])) for word in KEYS],
        "sections": Section.objects.filter(retired_at=None),
        "bays": Bay.objects.filter(retired_at=None),
        **more,
    }
    return render(request, "witnessmark/jobs/intake.html", facts, status=status)


def _kept(job: Job | None) -> dict[str, Any]:
    """Return a kept intake as its form was typed."""
    if job is None:
        return {}
    vehicle, owner = job.vehicle, job.vehicle.owner
    keys, _, hook = job.keys.partition(", hook ")
    return {
        "kind": job.kind,
        "vehicle": vehicle.name,
        "make": vehicle.make,
        "model": vehicle.kind,
        "serial": vehicle.serial,
        "plate": vehicle.plate,
        "year": vehicle.year or "",
        "odometer": vehicle.odometer,
        "owner_name": owner.name if owner else "",
        "owner_phone": owner.phone if owner else "",
        "owner_address": owner.address if owner else "",
        "lamps": job.lamps,
        "condition": job.condition,
        "keys": keys,
        "hook": hook,
        "says": job.says,
        "happens": job.happens,
        "old_parts": {True: "yes", False: "no", None: ""}[job.old_parts_wanted],
        "not_before": _shown_day(job.not_before),
        "promised": _shown_day(job.promised),
        "promised_time": f"{timezone.localtime(job.promised):%H:%M}" if job.promised else "",
    }


def _by_field(slips: Iterable[BenchError]) -> list[BenchError]:
    """Return one slip of each field, in the order of the page."""
    first: dict[str, BenchError] = {}
    for one in slips:
        first.setdefault(one.field, one)
    return sorted(first.values(), key=lambda one: PAGE.index(one.field))


def _read(request: HttpRequest) -> tuple[Intake, list[BenchError]]:
    """Return the form's values, each as it was typed, and what cannot be read at all."""
    typed, slips = request.POST, list[BenchError]()
    hook = typed.get("hook", "").strip()
    keys = typed.get("keys", "")
    at = _told(slips, "promised_time", hour, typed.get("promised_time") or LAST_HOUR)
    first = _told(slips, "not_before", day, typed.get("not_before", ""))
    last = _told(slips, "promised", day, typed.get("promised", ""))
    form = Intake(
        kind=typed.get("kind", "customer"),
        year=_told(slips, "year", _year, typed.get("year", "").strip()),
        keys=f"{keys}, hook {hook}" if hook else keys,
        happens=", ".join(typed.getlist("happens")),
        old_parts_wanted={"yes": True, "no": False}.get(typed.get("old_parts", "")),
        not_before=_moment(first, time(0, 0)),
        promised=_moment(last, at or hour(LAST_HOUR)),
        odometer=with_distance(typed.get("odometer", "")),
        **{name: typed.get(name, "").strip() for name in TYPED},
    )
    return form, slips


def _year(text: str) -> int | None:
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) == 4):
        raise BenchError(
            f"“{text}” is not a year.",
            "A year has four figures.",
            "Write it as 2009.",
        )
    return int(text)


def _moment(asked: date | None, at: time) -> datetime | None:
    return timezone.make_aware(datetime.combine(asked, at)) if asked else None


def _told(
    slips: list[BenchError], field: str, read: Callable[[str], Value], text: str
) -> Value | None:
    """Return what a field says; None, and one slip more, where it cannot be read."""
    try:
        return read(text)
    except BenchError as error:
        error.field = field
        slips.append(error)
        return None


def _shown_day(moment: datetime | None) -> str:
    return f"{timezone.localtime(moment):%Y-%m-%d}" if moment else ""


urls = [path("jobs/new", intake), path("jobs/<int:number>/intake", intake)]
