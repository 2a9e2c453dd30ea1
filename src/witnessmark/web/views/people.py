"""People: permits, who is here, open devices. For teachers; it never goes on the board."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from witnessmark.errors import BenchError
from witnessmark.people import permits
from witnessmark.people.devices import people_of
from witnessmark.people.models import Device, Person, Role, Section
from witnessmark.record.acts import people as acts
from witnessmark.record.acts.erasing import erase_person
from witnessmark.record.practice import results_of
from witnessmark.shop import clock
from witnessmark.shop.periods import period_at
from witnessmark.web import gate
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import must_choose


@require_http_methods(["GET", "POST"])
@gate.teachers_only
def permit_grid(request: HttpRequest) -> HttpResponse:
    """Show who may use what; one cell at a time is allowed, or taken back, by PIN."""
    if request.method == "GET":
        return render(request, "witnessmark/people/permits.html", _grid(request, request.GET))
    person = must_choose(Person.objects.filter(is_active=True), request.POST.get("who", ""))
    kind, level = request.POST.get("kind", ""), request.POST.get("level", "")
    if kind not in permits.KINDS:
        raise Http404
    try:
        acts.give_permit(
            gate.by(request),
            gate.entry_id(request),
            person=person,
            kind=kind,
            level=level,
            pin=request.POST.get("pin", ""),
        )
    except BenchError as error:
        facts = _grid(request, request.POST) | {"error": error}
        return render(request, "witnessmark/people/permits.html", facts, status=status_of(error))
    section = request.POST.get("section", "")
    return redirect(f"/people?section={section}&who={person.pk}&kind={kind}")


@require_http_methods(["GET", "POST"])
@gate.teachers_only
def who_is_here(request: HttpRequest) -> HttpResponse:
    """List sections and people; add one."""
    facts: dict[str, Any] = {"typed": {}}
    status = 200
    if request.method == "POST":
        try:
            name = _add(request)
        except BenchError as error:
            facts |= {"error": error, "typed": request.POST}
            status = status_of(error)
        else:
            messages.info(request, f"{name} is added.")
            return redirect("/people/here")
    today = timezone.localtime(clock.now()).date()
    sections = list(Section.objects.filter(retired_at=None))
    facts |= {
        "tab": "here",
        "sections": [(section, people_of(section.pk, today)) for section in sections],
        "staff": Person.objects.filter(is_active=True, role__in=[Role.TEACHER, Role.OFFICE]),
    }
    return render(request, "witnessmark/people/here.html", facts, status=status)


@require_http_methods(["GET", "POST"])
@gate.teachers_only
def one_person(request: HttpRequest, person_id: UUID) -> HttpResponse:
    """Give a new PIN, move to another section, end someone's time here."""
    person = get_object_or_404(Person, pk=person_id, erased_at=None)
    facts: dict[str, Any] = {"tab": "here", "one": person}
    status = 200
    if request.method == "POST":
        try:
            said = _change(request, person)
        except BenchError as error:
            facts["error"], status = error, status_of(error)
            facts["tried"] = request.POST.get("act")
        else:
            messages.info(request, said)
            return redirect("/people/here")
    facts |= {
        "sections": Section.objects.filter(retired_at=None),
        "memberships": person.memberships.select_related("section"),
        "results": results_of(person),
    }
    return render(request, "witnessmark/people/one.html", facts, status=status)


@require_GET
@gate.teachers_only
def devices(request: HttpRequest) -> HttpResponse:
    """List open devices, and the ones closed last."""
    everything = Device.objects.select_related("section", "opened_by")
    now = clock.now()
    facts = {
        "tab": "devices",
        "open": everything.filter(closed_at=None, until__gt=now),
        "closed": everything.exclude(closed_at=None, until__gt=now)[:12],
    }
    return render(request, "witnessmark/people/devices.html", facts)


@require_POST
@gate.teachers_only
def close(request: HttpRequest, device_id: UUID) -> HttpResponse:
    """Close a device from afar, for one that was left behind."""
    device = get_object_or_404(Device, pk=device_id)
    acts.close_device(gate.by(request), gate.entry_id(request), device=device)
    messages.info(request, f"{device.name} is closed.")
    return redirect("/people/sign-in")


def _grid(request: HttpRequest, asked: Any) -> dict[str, Any]:
    sections = list(Section.objects.filter(retired_at=None))
    section = next((s for s in sections if str(s.pk) == asked.get("section")), None)
    running = period_at(clock.now())
    if section is None and running is not None:
        section = next((s for s in sections if s.pk == running.section_id), None)
    section = section or (sections[0] if sections else None)
    today = timezone.localtime(clock.now()).date()
    learners = [] if section is None else people_of(section.pk, today)
    learners = [one for one in learners if one.is_learner]
    levels = permits.standing(one.pk for one in learners)
    rows = [
        {
            "person": one,
            "cells": [
                {
                    "kind": kind,
                    "word": word,
                    "level": levels[one.pk].get(kind, "none"),
                    "chosen": str(one.pk) == asked.get("who") and kind == asked.get("kind"),
                }
                for kind, word in permits.KINDS.items()
            ],
        }
        for one in learners
    ]
    chosen = [(row, cell) for row in rows for cell in row["cells"] if cell["chosen"]]
    return {
        "tab": "permits",
        "sections": sections,
        "section": section,
        "kinds": permits.KINDS.values(),
        "rows": rows,
        "chosen": _chosen(*chosen[0]) if chosen else None,
    }


def _chosen(row: dict[str, Any], cell: dict[str, Any]) -> dict[str, Any]:
    person = row["person"]
    given = person.permits.filter(kind=cell["kind"]).select_related("by").order_by("-at")
    return {
        "person": person,
        "kind": cell["kind"],
        "word": cell["word"],
        "level": cell["level"],
        "history": list(given[:6]),
    }


def _add(request: HttpRequest) -> str:
    """Add what the form asks for, and return its name."""
    by, id = gate.by(request), gate.entry_id(request)
    name, pin = request.POST.get("name", ""), request.POST.get("pin", "")
    match request.POST.get("add"):
        case "section":
            return acts.add_section(by, id, name=name).name
        case "learner":
            return acts.add_learner(by, id, name=name, section=_section(request), pin=pin).name
        case "aide":
            return acts.add_aide(by, id, name=name, section=_section(request), pin=pin).name
        case "teacher" | "office" as role:
            return acts.add_teacher(
                by,
                id,
                name=name,
                handle=request.POST.get("handle", ""),
                password=request.POST.get("password", ""),
                pin=pin,
                role=role,
            ).name
    raise Http404


def _change(request: HttpRequest, person: Person) -> str:
    """Do what the form asks for, and return what to say."""
    by, id = gate.by(request), gate.entry_id(request)
    match request.POST.get("act"):
        case "pin":
            acts.set_pin(by, id, person=person, pin=request.POST.get("pin", ""))
            return f"{person.name} has a new PIN."
        case "move":
            section = _section(request)
            today = timezone.localtime(clock.now()).date()
            acts.move_to_section(by, id, person=person, section=section, start=today)
            return f"{person.name} is in {section.name} from today."
        case "leave":
            acts.leave_shop(by, id, person=person)
            return f"{person.name} has left. What was done stays on the record."
        case "erase":
            if request.POST.get("typed", "").strip() != person.name:
                raise BenchError(
                    "The name does not match.",
                    "Erasing cannot be undone, so the name is typed once more.",
                    "Type it as it stands at the top of this page.",
                )
            with_photos = bool(request.POST.get("photos"))
            erase_person(by, id, person=person, photos=with_photos)
            return "The name and the words are erased. The record still holds together."
    raise Http404


def _section(request: HttpRequest) -> Section:
    none = BenchError(
        "No section was chosen.",
        "A learner belongs to a section.",
        "Add a section first, then choose it.",
    )
    return must_choose(Section.objects.all(), request.POST.get("section", ""), none)


urls = [
    path("people", permit_grid),
    path("people/here", who_is_here),
    path("people/here/<uuid:person_id>", one_person),
    path("people/sign-in", devices),
    path("people/devices/<uuid:device_id>/close", close),
]
