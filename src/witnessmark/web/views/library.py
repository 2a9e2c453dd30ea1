"""The Library: sheets and procedures that people write, checked when they are put in."""

import re
import unicodedata
from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_http_methods

from witnessmark.errors import BenchError, SheetError
from witnessmark.record.acts.drafts import keep_draft
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.circuits import circuit_of
from witnessmark.record.library import circuit_title
from witnessmark.record.models import Job
from witnessmark.shop.library import half_done
from witnessmark.shop.models import CircuitDraft, LibraryItem
from witnessmark.web import gate
from witnessmark.web.general import general_circuits, general_groups
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import chosen, sent_id

ICONS = {"circuit": "find", "assembly": "fit", "procedure": "sheet", "week": "plan"}
LARGEST_BYTES = 500_000


@require_GET
def shelves(request: HttpRequest) -> HttpResponse:
    """List what is in the Library, the newest version of each."""
    newest: dict[tuple[str, str], LibraryItem] = {}
    for item in LibraryItem.objects.select_related("added_by").order_by("version"):
        newest[item.kind, item.title] = item
    shelf = [
        {
            "word": f"{word[0].upper()}{word[1:]}s",
            "icon": ICONS[kind],
            "sheets": sorted(
                (item for item in newest.values() if item.kind == kind), key=lambda one: one.title
            ),
        }
        for kind, word in LibraryItem.KINDS
    ]
    facts = {
        "shelves": shelf,
        "half_done": half_done() if request.person.is_teacher else (),
        "general": general_groups(),
    }
    return render(request, "witnessmark/library/shelves.html", facts)


@require_GET
def one(request: HttpRequest, item_id: UUID) -> HttpResponse:
    """Show one sheet as it was written, and its other versions."""
    item = get_object_or_404(LibraryItem.objects.select_related("added_by"), pk=item_id)
    facts = {
        "item": item,
        "lines": item.text.splitlines(),
        "versions": LibraryItem.objects.filter(kind=item.kind, title=item.title).order_by(
            "-version"
        ),
        "jobs": gate.jobs_of(request.person).filter(sheets__item=item).distinct(),
    }
    if item.kind == "circuit":
        facts |= _circuit_facts(item.text, item.title) | {"waiting": _without_circuit(request)}
    return render(request, "witnessmark/library/one.html", facts)


def _without_circuit(request: HttpRequest) -> QuerySet[Job]:
    """Return the open jobs whose cause is to be found, and that have no circuit sheet yet."""
    waiting = gate.jobs_of(request.person).filter(closed_at=None, half_done=False, causes=None)
    told = waiting.filter(complaints__isnull=False).exclude(sheets__kind="circuit")
    return told.distinct().order_by("number")


def _circuit_facts(text: str, title: str) -> dict[str, Any]:
    """Return a circuit's drawing at rest and its parts; what draws is loaded when it is needed."""
    from witnessmark.papers.circuit.table import part_rows
    from witnessmark.web.circuit_drawing import whole_drawing

    try:
        circuit = circuit_of(text, title)
    except BenchError:  # put in before a rule that it breaks; its text is shown all the same
        return {}
    return {"drawing": whole_drawing(circuit), "parts": part_rows(circuit)}


@require_GET
def as_file(request: HttpRequest, item_id: UUID) -> HttpResponse:
    """Hand out a sheet as the file that it is."""
    item = get_object_or_404(LibraryItem, pk=item_id)
    name = "-".join(re.findall(r"\w+", item.title.casefold()))[:60] or item.kind
    return HttpResponse(
        item.text,
        content_type="text/plain; charset=utf-8",
        headers={"Content-Disposition": content_disposition_header(True, f"{name}.toml")},
    )


@require_GET
def general(request: HttpRequest, key: str) -> HttpResponse:
    """Show a general circuit as it is written, to start a sheet from."""
    circuit = general_circuits().get(key)
    if circuit is None:
        raise Http404
    facts = {"circuit": circuit, "lines": circuit.text.splitlines()}
    facts |= _circuit_facts(circuit.text, circuit.title)
    return render(request, "witnessmark/library/general.html", facts)


@require_http_methods(["GET", "POST"])
@gate.teachers_only
def put_in(request: HttpRequest) -> HttpResponse:
    """Put in a file or a text; every mistake is shown at its line, and the text stays."""
    if request.method == "GET":
        return render(request, "witnessmark/library/put_in.html", _form(_earlier(request)))
    typed = {key: request.POST.get(key, "") for key in ("kind", "text", "draft", "base")}
    draft = chosen(CircuitDraft.objects.all(), typed["draft"])
    try:
        name, typed["text"] = _sent(request)
        if request.POST.get("do") == "keep" and typed["kind"] == "circuit":
            return _kept(request, typed)
        item = put_in_library(
            gate.by(request),
            gate.entry_id(request),
            kind=typed["kind"],
            text=typed["text"],
            name=name,
            draft=draft if typed["kind"] == "circuit" else None,
        )
    except BenchError as error:
        facts = _form(typed) | {"error": error, "may_keep": typed["kind"] == "circuit"}
        if isinstance(error, SheetError):
            facts |= {"mistakes": error.mistakes, "lines": _marked(typed["text"], error)}
        return render(request, "witnessmark/library/put_in.html", facts, status=status_of(error))
    messages.info(request, f"{item} is in the Library.")
    return redirect(f"/library/{item.pk}")


def _kept(request: HttpRequest, typed: dict[str, str]) -> HttpResponse:
    """Keep the text of a circuit sheet half done, and go on in its table where that shows it."""
    draft = keep_draft(
        gate.by(request),
        gate.entry_id(request),
        draft_id=sent_id(typed["draft"]) or uuid4(),
        title=circuit_title(typed["text"]),
        text=typed["text"],
        base=typed["base"],
    )
    messages.info(request, "Kept half done.")
    return redirect(f"/library/circuit/{draft.pk}")


def _form(typed: dict[str, str]) -> dict[str, Any]:
    return {"kinds": LibraryItem.KINDS, "typed": typed}


def _earlier(request: HttpRequest) -> dict[str, str]:
    """Return the version or half-done sheet that a new one starts from, if one was asked for."""
    draft = chosen(CircuitDraft.objects.all(), request.GET.get("draft", ""))
    if draft is not None:
        kept = {"draft": str(draft.pk), "base": draft.digest}
        return {"kind": "circuit", "text": _to_write(draft), **kept}
    item = chosen(LibraryItem.objects.all(), request.GET.get("from", ""))
    if item is None:
        return {"kind": "", "text": ""}
    return {"kind": item.kind, "text": item.text, "changed": item.title}


def _to_write(draft: CircuitDraft) -> str:
    """Return a half-done sheet as a text; one that the table kept gets its usual sizes."""
    # Loaded here: they bring the numerical libraries, and the shop opens without them.
    from witnessmark.sheets.circuit_draft import read_draft, write_draft
    from witnessmark.sheets.circuit_look import look_through

    try:
        typed = read_draft(draft.text, str(draft))
    except SheetError:
        return draft.text
    # Who writes a text arranges it as they like, and says every size.
    return look_through(typed).text if write_draft(typed) == draft.text else draft.text


def _sent(request: HttpRequest) -> tuple[str, str]:
    """Return the name and text of what was sent: a file, or else what was typed."""
    file = request.FILES.get("file")
    if file is None:
        text = request.POST.get("text", "").replace("\r\n", "\n")
        if not text.strip():
            raise BenchError(
                "There is no text and no file.",
                "A sheet is a text that says what the parts are.",
                "Choose a file, or write into the field.",
            )
        return "the text", text
    if file.size > LARGEST_BYTES:
        raise BenchError(
            f"{file.name} has {file.size // 1000} kB.",
            f"A sheet has at most {LARGEST_BYTES // 1000} kB.",
            "Choose the text file of the sheet.",
        )
    try:
        text = file.read().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BenchError(
            f"{file.name} is not a text in UTF-8.",
            "A sheet is a plain text file.",
            "Save it as plain text in UTF-8 and choose it again.",
        ) from None
    return file.name, unicodedata.normalize("NFC", text).replace("\r\n", "\n")


def _marked(text: str, error: SheetError) -> list[tuple[str, bool]]:
    """Return the lines of a text, and whether each has something to mend."""
    bad = {mistake.line for mistake in error.mistakes}
    return [(line, number in bad) for number, line in enumerate(text.splitlines(), 1)]


urls = [
    path("library", shelves),
    path("library/new", put_in),
    path("library/general/<slug:key>", general),
    path("library/<uuid:item_id>", one),
    path("library/<uuid:item_id>/file", as_file),
]
