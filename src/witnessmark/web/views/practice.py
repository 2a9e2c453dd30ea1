"""Practice: cases from the Library, an attempt with its tests, and the review afterwards."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from witnessmark.diagnosis.expecting import NotExpectable
from witnessmark.errors import BenchError
from witnessmark.people.devices import people_of
from witnessmark.people.models import Section
from witnessmark.record.acts import practice as acts
from witnessmark.record.circuits import circuit_of
from witnessmark.record.models import PracticeAttempt, PracticeCase
from witnessmark.record.practice import attempts_for, cases_for, review_of
from witnessmark.shop import clock
from witnessmark.shop.models import LibraryItem
from witnessmark.web import gate, practice_facts
from witnessmark.web.general import GeneralCircuit, general_circuits
from witnessmark.web.key_typed import key_as_typed
from witnessmark.web.practice_set import hidden_here, learner_rows, may_see_hidden, tally
from witnessmark.web.refused_entry import (
    RefusedEntry,
    forget_refused,
    lead_back,
    refused_entry,
    render_said,
)
from witnessmark.web.typed import chosen


@require_GET
def cases(request: HttpRequest) -> HttpResponse:
    """List the cases that this person may open, with how far each one is; what is set leads."""
    mine = {
        one.case_id: one
        for one in PracticeAttempt.objects.filter(by=request.person).select_related("end")
    }
    rows = [
        {"case": case, "attempt": mine.get(case.pk)}
        for case in cases_for(request.person).select_related("section", "by")
    ]
    for row in rows:
        if request.person.is_teacher and row["case"].section_id:
            tried = row["case"].attempts.filter(by__role="learner")
            row["ended"], row["begun"] = tried.filter(end__isnull=False).count(), tried.count()
    facts: dict[str, list[Any]] = {"open": [], "ended": []}
    for row in rows:
        is_ended = row["attempt"] is not None and row["attempt"].is_ended
        facts["ended" if is_ended else "open"].append(row)
    facts["open"].sort(key=lambda row: row["case"].section_id is None)
    return render(request, "witnessmark/practice/cases.html", facts)


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Hide a fault in a circuit: for oneself, or as a teacher for a section."""
    asked = request.POST if request.method == "POST" else request.GET
    refused = refused_entry(request)
    general = general_circuits().get(asked.get("general", ""))
    item = None
    if general is None:
        item = get_object_or_404(LibraryItem, kind="circuit", pk=_id(asked.get("sheet", "")))
    sheet = item or general
    facts: dict[str, Any] = {"item": item, "general": general, "sheet": sheet}
    if request.method == "POST":
        try:
            return _hide(request, item, general)
        except BenchError as error:
            which = {"sheet": str(item.pk)} if item else {"general": general.key}
            return lead_back(request, f"/library/practice/new?{urlencode(which)}", error)
    if refused:
        facts |= {"error": refused.error, "typed": refused.typed}
    status = refused.status if refused else 200
    facts["sections"] = Section.objects.filter(retired_at=None)
    if request.person.is_teacher:
        facts |= practice_facts.to_hide(circuit_of(sheet.text, sheet.title))
    return render(request, "witnessmark/practice/new.html", facts, status=status)


def _hide(
    request: HttpRequest, item: LibraryItem | None, general: GeneralCircuit | None
) -> HttpResponse:
    section = chosen(Section.objects.all(), request.POST.get("section", ""))
    by = gate.by(request)
    case = acts.set_case(
        by,
        gate.entry_id(request),
        item=item,
        general=general,
        section=section,
        title=request.POST.get("title", ""),
        chosen=request.POST.get("fault", ""),
        comes_and_goes=bool(request.POST.get("comes_and_goes")),
    )
    forget_refused(request, request.path)
    if section is None:
        acts.begin(by, gate.entry_id(request, "begin_id"), case=case)
    else:
        messages.info(request, f"{case.shown_number} is set for {section.name}.")
    return redirect(_address(case))


@require_GET
def case(request: HttpRequest, number: int) -> HttpResponse:
    """Show one's attempt at a case, its review, or what it is before it is begun."""
    one = _case(request, number)
    attempt = _own(request, one)
    if attempt is None:
        facts = practice_facts.said_of(one) | {"case": one} | _learners(request, one)
        facts |= _hidden(request, one)
        return render(request, "witnessmark/practice/begin.html", facts)
    return _attempt_page(request, attempt)


@require_http_methods(["GET", "POST"])
def act(request: HttpRequest, number: int, what: str) -> HttpResponse:
    """Do one thing in practice; what was typed stays where it is refused."""
    one = _case(request, number)
    if request.method == "GET":  # an address of a form is no page
        return redirect(_address(one))
    attempt, done = _own(request, one), ACTS.get(what)
    if what != "begin" and (attempt is None or done is None):
        raise Http404
    try:
        if what == "begin":
            acts.begin(gate.by(request), gate.entry_id(request), case=one)
            onward = ""
        else:
            onward = done(request, attempt)
    except BenchError as error:
        at = "expected" if isinstance(error, NotExpectable) else error.field
        return lead_back(request, _address(one), error, tried=what, at=at)
    forget_refused(request, _address(one))
    return redirect(_address(one) + onward)


@require_GET
def of_learner(request: HttpRequest, number: int, attempt_id: UUID) -> HttpResponse:
    """Show a teacher how a learner's attempt went; to anybody else it does not exist."""
    attempt = get_object_or_404(attempts_for(request.person), pk=attempt_id, case__number=number)
    if not attempt.is_ended:
        facts = practice_facts.attempt_facts(attempt, {}) | _hidden(request, attempt.case)
        return render(request, "witnessmark/practice/under_way.html", facts)
    return _review_page(request, attempt)


def _attempt_page(request: HttpRequest, attempt: PracticeAttempt) -> HttpResponse:
    refused = refused_entry(request)
    if hasattr(attempt, "end"):
        return _review_page(request, attempt, refused)
    tried = refused.tried if refused else ""
    asked = refused.typed if refused and tried == "test" else request.GET
    facts = practice_facts.attempt_facts(attempt, asked.dict())
    facts |= {"tried": tried, "watched": bool(asked.get("watched"))}
    if refused:
        facts |= {"error": refused.error, "at": refused.at, "typed": refused.typed}
    if refused and tried == "rank":
        facts["ranks"] = practice_facts.rank_fields(refused.typed.getlist("part"))
    facts |= _learners(request, attempt.case)
    status = refused.status if refused else 200
    return render_said(request, "witnessmark/practice/attempt.html", facts, status)


def _review_page(
    request: HttpRequest, attempt: PracticeAttempt, refused: RefusedEntry | None = None
) -> HttpResponse:
    found = review_of(attempt, attempt.end.suspect, attempt.end.repair)
    is_own = attempt.by_id == request.person.pk
    facts = practice_facts.review_facts(attempt, found, is_own)
    facts |= {"is_own": is_own, **(_learners(request, attempt.case) if is_own else {})}
    facts["error"] = refused.error if refused else None
    status = refused.status if refused else 200
    return render(request, "witnessmark/practice/review.html", facts, status=status)


def _learners(request: HttpRequest, one: PracticeCase) -> dict[str, Any]:
    """Return how each learner of a case's section did, for a teacher; nothing for others."""
    if not request.person.may_mark or one.section_id is None:
        return {}
    today = timezone.localtime(clock.now()).date()
    tried = attempts_for(request.person).filter(case=one, by__role="learner")
    rows = learner_rows(one, people_of(one.section_id, today), tried)
    return {"learners": rows, "tally": tally(rows)}


def _hidden(request: HttpRequest, one: PracticeCase) -> dict[str, Any]:
    """Return what is hidden in a case of a section, for a teacher; nothing for others."""
    return {"hidden": hidden_here(one)} if may_see_hidden(request.person, one) else {}


def _test(request: HttpRequest, attempt: PracticeAttempt) -> str:
    """Do the test that was chosen; what is expected is said first."""
    typed = request.POST
    key = key_as_typed(typed.dict())
    row = acts.do_test(
        gate.by(request),
        gate.entry_id(request),
        attempt=attempt,
        key=key,
        expected=typed.get("expected", ""),
        watched=bool(typed.get("watched")),
    )
    asked = {"kind": typed.get("kind", ""), "state": typed.get("state", "")}
    if typed.get("watched"):
        asked["watched"] = "1"
    return f"?{urlencode({key: word for key, word in asked.items() if word})}#answer{row.number}"


def _rank(request: HttpRequest, attempt: PracticeAttempt) -> str:
    acts.rank(
        gate.by(request),
        gate.entry_id(request),
        attempt=attempt,
        parts=request.POST.getlist("part"),
    )
    messages.info(request, "Your ranking is kept.")
    return "#ranking"


def _end(request: HttpRequest, attempt: PracticeAttempt) -> str:
    suspect, repair = request.POST.get("suspect", ""), request.POST.get("repair", "")
    if not suspect:
        raise BenchError(
            "No cause was chosen.",
            "A cause is a part, and what is wrong with it.",
            "Choose the part, then what is wrong with it.",
            field="suspect",
        )
    if not repair:
        raise BenchError(
            "It does not say what puts it right.",
            "A cause is named with its repair.",
            "Choose the repair.",
            field="repair",
        )
    acts.end(
        gate.by(request),
        gate.entry_id(request),
        attempt=attempt,
        suspect=suspect,
        repair=repair,
        reasons=request.POST.get("reasons", ""),
    )
    return ""


def _give_up(request: HttpRequest, attempt: PracticeAttempt) -> str:
    acts.end(gate.by(request), gate.entry_id(request), attempt=attempt, suspect="", repair="")
    return ""


ACTS: dict[str, Callable[[HttpRequest, PracticeAttempt], str]] = {
    "test": _test,
    "rank": _rank,
    "name": _end,
    "give-up": _give_up,
}


def _case(request: HttpRequest, number: int) -> PracticeCase:
    """Return a case that this person may open; to a stranger it does not exist."""
    return get_object_or_404(
        cases_for(request.person).select_related("section", "by"), number=number
    )


def _own(request: HttpRequest, one: PracticeCase) -> PracticeAttempt | None:
    rows = PracticeAttempt.objects.select_related("case", "end")
    return rows.filter(case=one, by=request.person).first()


def _address(one: PracticeCase) -> str:
    return f"/library/practice/{one.number}"


def _id(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise Http404 from None
