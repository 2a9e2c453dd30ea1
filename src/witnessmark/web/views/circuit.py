"""Enter a circuit sheet from a paper diagram: a table, what is to mend, the drawing beside it."""

from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from witnessmark.diagnosis.healthy import check_healthy
from witnessmark.errors import BenchError, SheetError
from witnessmark.record.acts.by import Conflict
from witnessmark.record.acts.drafts import end_draft, keep_draft
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.circuits import circuit_of
from witnessmark.sheets.circuit_draft import Draft, read_draft, table_of, write_draft
from witnessmark.sheets.circuit_usual_said import without_usual
from witnessmark.sheets.toml_lines import head_comments
from witnessmark.shop.models import CircuitDraft, LibraryItem
from witnessmark.web import gate
from witnessmark.web.circuit_fits import fits_table
from witnessmark.web.circuit_form import Sent, read_form
from witnessmark.web.circuit_page import Seen, page_facts, see, side_facts
from witnessmark.web.general import general_circuits, without_invented
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import chosen, sent_id
from witnessmark.work.digest import text_digest

PAGE = "witnessmark/library/circuit.html"
BEGINNING = Draft(
    data={
        "parts": [
            {"name": "BAT", "kind": "battery", "plus": "battery +", "minus": "battery −"},
        ],
        "states": [{"name": "off", "words": "everything switched off", "closed": []}],
    }
)


@require_http_methods(["GET", "POST"])
@gate.teachers_only
def enter(request: HttpRequest) -> HttpResponse:
    """Begin a sheet, from nothing, from one in the Library or from a general one; keep it."""
    if request.method == "POST":
        return _kept(request)
    circuits = LibraryItem.objects.filter(kind="circuit")
    item = chosen(circuits, request.GET.get("from") or request.GET.get("copy", ""))
    model = item or general_circuits().get(request.GET.get("general", ""))
    if model is None:
        return _page(request, see(BEGINNING), {"draft_id": uuid4()})
    draft = without_usual(read_draft(model.text, model.title))
    if item is not None and not fits_table(draft.data):
        return redirect(f"/library/new?from={item.pk}")
    if item is not None and "copy" not in request.GET:
        return _page(request, see(draft), {"draft_id": uuid4(), "begun_from": item})
    head = {
        key: words
        for key, words in table_of(draft.data, "circuit").items()
        if key not in ("name", "source")
    }
    comments = draft.comments if item else without_invented(head_comments(model.text))
    draft = Draft(data={**draft.data, "circuit": head}, comments=comments)
    return _page(request, see(draft), {"draft_id": uuid4(), "copied": model.title})


@require_GET
@gate.teachers_only
def half_done(request: HttpRequest, draft_id: UUID) -> HttpResponse:
    """Go on with a sheet that was kept half done."""
    row = get_object_or_404(CircuitDraft, pk=draft_id)
    if row.became:
        return redirect(f"/library/{row.became.pk}")
    try:
        draft = without_usual(read_draft(row.text, str(row)))
    except SheetError:
        return redirect(f"/library/new?draft={row.pk}")
    if not fits_table(draft.data):
        return redirect(f"/library/new?draft={row.pk}")
    return _page(request, see(draft), {"draft_id": row.pk, "base": row.digest, "row": row})


@require_POST
@gate.teachers_only
def look(request: HttpRequest) -> HttpResponse:
    """Say what is to mend, and draw, while it is typed; kept now and then without a word."""
    sent = read_form(request.POST)
    seen = see(sent.draft)
    facts: dict[str, Any] = side_facts(seen, sent.rows) | {"is_look": True}
    facts |= {"was_refused": "refused" in request.POST, "left_count": len(seen.looked.notes)}
    if request.POST.get("keep"):
        try:
            row = _keep(request, seen)
            facts |= {"row": row, "base": row.digest}
        except BenchError as error:
            facts["error"] = error
    return render(request, "witnessmark/library/circuit_side.html", facts)


@require_POST
@gate.teachers_only
def end(request: HttpRequest, draft_id: UUID) -> HttpResponse:
    """Take a half-done sheet off the shelf."""
    row = get_object_or_404(CircuitDraft, pk=draft_id)
    end_draft(gate.by(request), gate.entry_id(request), draft=row)
    messages.info(request, f"The half-done sheet '{row}' is off the shelf.")
    return redirect("/library")


@require_GET
def check(request: HttpRequest, item_id: UUID) -> HttpResponse:
    """Say what each load of a sheet in the Library gets in each state."""
    item = get_object_or_404(LibraryItem, pk=item_id, kind="circuit")
    facts = {"item": item, "healthy": check_healthy(circuit_of(item.text, item.title))}
    return render(request, "witnessmark/library/check.html", facts)


def _kept(request: HttpRequest) -> HttpResponse:
    sent = read_form(request.POST)
    seen = see(sent.draft)
    wanted = request.POST.get("do", "keep")
    try:
        row = _sent_before(request, wanted) or _keep(request, seen, is_second=wanted == "second")
        if wanted == "text":
            return redirect(f"/library/new?draft={row.pk}")
        if wanted != "put":
            messages.info(request, "Kept half done. Go on when you like.")
            return redirect(f"/library/circuit/{row.pk}")
        if seen.looked.circuit is None:
            raise _not_yet(seen)
        item = put_in_library(
            gate.by(request),
            gate.entry_id(request, "put_id"),
            kind="circuit",
            text=seen.looked.text,
            name="the sheet",
            draft=row,
        )
    except BenchError as error:
        return _again(request, sent, seen, error)
    messages.info(request, f"{item} is in the Library.")
    return redirect(f"/library/{item.pk}")


def _sent_before(request: HttpRequest, wanted: str) -> CircuitDraft | None:
    """Return the sheet that this very request has put into the Library already, if it has."""
    if wanted != "put":
        return None
    draft, item = (sent_id(request.POST.get(name, "")) for name in ("draft", "put_id"))
    if draft is None or item is None:
        return None
    return CircuitDraft.objects.filter(pk=draft, became=item).first()


def _again(request: HttpRequest, sent: Sent, seen: Seen, error: BenchError) -> HttpResponse:
    """Show the page once more with everything that was typed."""
    row = CircuitDraft.objects.filter(pk=sent_id(request.POST.get("draft", ""))).first()
    is_ours = row is not None and row.digest == text_digest(write_draft(seen.draft))
    is_unfinished = request.POST.get("do") == "put" and seen.looked.circuit is None
    facts = {
        "draft_id": sent_id(request.POST.get("draft", "")) or uuid4(),
        "base": row.digest if row and is_ours else request.POST.get("base", ""),
        "error": error,
        "is_conflict": isinstance(error, Conflict),
        "is_unfinished": is_unfinished and not isinstance(error, Conflict),
        "row": row,
    }
    return _page(request, seen, facts, status=status_of(error))


def _keep(request: HttpRequest, seen: Seen, is_second: bool = False) -> CircuitDraft:
    draft_id = None if is_second else sent_id(request.POST.get("draft", ""))
    begun = sent_id(request.POST.get("begun_from", ""))
    name = table_of(seen.draft.data, "circuit").get("name", "")
    return keep_draft(
        gate.by(request),
        gate.entry_id(request),
        draft_id=draft_id or uuid4(),
        title=name if isinstance(name, str) else "",
        text=write_draft(seen.draft),
        base=request.POST.get("base", ""),
        begun_from=LibraryItem.objects.filter(pk=begun).first() if begun else None,
    )


def _not_yet(seen: Seen) -> BenchError:
    count = len(seen.looked.notes)
    return BenchError(
        f"It is kept half done: {count} {'thing is' if count == 1 else 'things are'} left.",
        "Only a whole sheet goes into the Library.",
        "Each is said at its row, or beside the table.",
    )


def _page(
    request: HttpRequest, seen: Seen, facts: dict[str, Any], status: int = 200
) -> HttpResponse:
    return render(request, PAGE, page_facts(seen) | facts, status=status)
