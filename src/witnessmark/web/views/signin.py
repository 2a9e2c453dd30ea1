"""Signing in: a device that a teacher opened, a name on it, a PIN; or a password."""

from datetime import datetime, timedelta
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from witnessmark.errors import BenchError
from witnessmark.people.devices import people_of
from witnessmark.people.models import Person, Section
from witnessmark.people.sign_in import check_password, check_pin
from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import close_device, open_device
from witnessmark.record.practice import results_of
from witnessmark.shop import clock
from witnessmark.shop.models import Period
from witnessmark.shop.periods import moment, period_at, zone
from witnessmark.web import doors, gate
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import must_choose

WITHOUT_TIMETABLE = timedelta(minutes=90)  # how long "this period" is when none is running


@require_GET
def door(request: HttpRequest) -> HttpResponse:
    """Show the names on an open device; ask for a password on a closed one."""
    if request.device is None:
        return _closed(request)
    facts = {"names": _names(request), "next": doors.wanted_page(request)}
    return render(request, "witnessmark/signin/names.html", facts)


@require_http_methods(["GET", "POST"])
def pin(request: HttpRequest, person_id: UUID) -> HttpResponse:
    """Ask the person who was tapped for the PIN."""
    person = next((one for one in _names(request) if one.pk == person_id), None)
    if person is None:
        raise Http404
    facts = {"asked": person, "next": doors.wanted_page(request)}
    if request.method == "POST":
        answer = check_pin(person, request.POST.get("pin", ""), request.device, clock.now())
        if answer.is_ok:
            doors.come_in(request, person, request.device)
            return redirect(doors.wanted_page(request))
        facts["sentence"] = answer.sentence
    status = 422 if "sentence" in facts else 200
    return render(request, "witnessmark/signin/pin.html", facts, status=status)


@require_http_methods(["GET", "POST"])
def password(request: HttpRequest) -> HttpResponse:
    """Sign in a teacher, an aide or the office, on their own device or beside the names."""
    if request.method == "GET":
        return render(
            request, "witnessmark/signin/password.html", {"next": doors.wanted_page(request)}
        )
    person, sentence = _by_password(request)
    if person is None:
        facts = {"sentence": sentence, "typed": request.POST, "next": doors.wanted_page(request)}
        return render(request, "witnessmark/signin/password.html", facts, status=422)
    doors.come_in(request, person, None)
    return redirect(doors.wanted_page(request))


@require_POST
def open_this_device(request: HttpRequest) -> HttpResponse:
    """Let a teacher open this device for a section; nobody is signed in by it."""
    person, sentence = _by_password(request)
    if person is None:
        return _closed(request, sentence)
    try:
        section = _asked_section(request)
        device, token = open_device(
            By(person=person),
            gate.entry_id(request),
            name=request.POST.get("device", ""),
            section=section,
            until=_until(request.POST.get("for", ""), section),
        )
    except BenchError as error:
        return _closed(request, str(error), status_of(error))
    doors.go_out(request)
    response = redirect("/signin")
    doors.remember_device(response, token, device.until)
    return response


@require_http_methods(["GET", "POST"])
def close_this_device(request: HttpRequest) -> HttpResponse:
    """Close the device that this browser is, with any teacher's PIN."""
    if request.device is None:
        return redirect("/signin")
    teachers = _teachers()
    facts = {"teachers": teachers}
    if request.method == "POST":
        teacher = next((one for one in teachers if str(one.pk) == request.POST.get("who")), None)
        if teacher is None:
            raise Http404
        answer = check_pin(teacher, request.POST.get("pin", ""), request.device, clock.now())
        if answer.is_ok:
            by = By(person=teacher, device=request.device)
            close_device(by, gate.entry_id(request), device=request.device)
            doors.go_out(request)
            response = redirect("/signin")
            response.delete_cookie(doors.DEVICE_COOKIE)
            return response
        facts["sentence"] = answer.sentence
    status = 422 if "sentence" in facts else 200
    return render(request, "witnessmark/signin/close.html", facts, status=status)


@require_http_methods(["GET", "POST"])
def me(request: HttpRequest) -> HttpResponse:
    """Show who is signed in, and sign out."""
    if request.person is None:
        return redirect("/signin")
    if request.method == "POST":
        doors.go_out(request)
        messages.info(request, "You are signed out.")
        return redirect("/signin")
    facts = {"results": results_of(request.person)}
    return render(request, "witnessmark/signin/me.html", facts)


def _closed(request: HttpRequest, sentence: str = "", status: int = 422) -> HttpResponse:
    sections = Section.objects.filter(retired_at=None)
    running = period_at(clock.now())
    facts = {
        "sentence": sentence,
        "typed": request.POST,
        "sections": sections,
        "chosen": request.POST.get("section") or (str(running.section_id) if running else ""),
    }
    return render(
        request, "witnessmark/signin/closed.html", facts, status=status if sentence else 200
    )


def _names(request: HttpRequest) -> list[Person]:
    """Return whose names this device may show: its section's members today."""
    if request.device is None:
        return []
    today = timezone.localtime(clock.now()).date()
    return people_of(request.device.section_id, today)


def _teachers() -> list[Person]:
    return [one for one in Person.objects.filter(is_active=True) if one.may_mark]


def _by_password(request: HttpRequest) -> tuple[Person | None, str]:
    person, answer = check_password(
        request.POST.get("handle", ""),
        request.POST.get("password", ""),
        request.device,
        clock.now(),
    )
    return person, answer.sentence


def _asked_section(request: HttpRequest) -> Section:
    none = BenchError(
        "No section was chosen.",
        "A device shows the names of one section.",
        "Choose the section, or add one on the page People.",
    )
    sections = Section.objects.filter(retired_at=None)
    return must_choose(sections, request.POST.get("section", ""), none)


def _until(asked: str, section: Section) -> datetime:
    """Return when the device closes by itself: at the end of the period or of the day."""
    now = clock.now()
    today = timezone.localtime(now).date()
    if asked == "day":
        last = Period.objects.filter(date=today).order_by("-end").first()
        if last is not None and moment(today, last.end, zone()) > now:
            return moment(today, last.end, zone())
        return now + timedelta(hours=8)
    running = period_at(now, section.pk)
    return moment(today, running.end, zone()) if running else now + WITHOUT_TIMETABLE


urls = [
    path("signin", door),
    path("signin/who/<uuid:person_id>", pin),
    path("signin/password", password),
    path("signin/open", open_this_device),
    path("signin/close", close_this_device),
    path("signin/me", me),
]
