"""Find: the next test leads, its reading is kept, and the cause is named when it is proved."""

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_POST

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.facts import hazard_words
from witnessmark.diagnosis.kinds import EYES, KINDS, WATCH
from witnessmark.diagnosis.run import Share
from witnessmark.diagnosis.stop import CAUSE
from witnessmark.errors import BenchError, Question
from witnessmark.record.acts.sheets import why_no_find
from witnessmark.record.circuits import reading_words
from witnessmark.record.core import JobRecord
from witnessmark.record.models import Job
from witnessmark.shop.library import newest
from witnessmark.web import find_facts, gate, places
from witnessmark.web.find_acts import ACTS
from witnessmark.web.find_explained import CUSTOMER, own_words, told
from witnessmark.web.find_other import as_another_test, other_facts
from witnessmark.web.job_head import head
from witnessmark.web.refused_entry import (
    RefusedEntry,
    forget_refused,
    lead_back,
    refused_entry,
    render_said,
)
from witnessmark.web.repair_link import repair_link


@require_GET
def find(request: HttpRequest, number: int) -> HttpResponse:
    """Show Find as it stands."""
    return _page(request, gate.job_for(request.person, number))


@require_POST
def act(request: HttpRequest, number: int, what: str) -> HttpResponse:
    """Do one thing in Find; what was typed stays where it is refused."""
    job = gate.job_for(request.person, number)
    done = ACTS.get(what)
    if done is None:
        raise Http404
    onward = _address(job, _skipped(request), _lacked(request))
    try:
        said = done(request, job)
    except BenchError as error:
        return lead_back(request, onward, error, tried=what)
    forget_refused(request, onward)
    messages.info(request, said)
    return redirect(onward + ("#next" if what == "reading" else ""))


def _page(request: HttpRequest, job: Job) -> HttpResponse:
    refused = refused_entry(request)
    error = refused.error if refused else None
    facts = head(job, "find")
    record: JobRecord = facts["record"]
    step = find_facts.find_step(record)
    skipped, lacked = _skipped(request), _lacked(request)
    means = find_facts.means_of(request.shop, facts["crew"], lacked)
    found = find_facts.finding(record, request.shop, skipped, means)
    rows = record.of_step(record.readings, step) if step else []
    standing = [row for row in record.complaints if row.is_standing]
    facts |= {
        "error": error,
        "question": error if isinstance(error, Question) else None,
        "tried": refused.tried if refused else "",
        "typed": refused.typed.dict() if refused else {},
        "ticked": _ticked(refused),
        "at": refused.at if refused else "",
        "step": step,
        "under": _under(facts["place"], facts["crew_names"], _quoted(standing, found)),
        "skipped": skipped,
        "skip": ",".join(skipped),
        "lacked": lacked,
        "lack": ",".join(lacked),
        "circuits": newest("circuit"),
        "too_late": None if step else why_no_find(job),
        "has_sheet": found is not None,
        "reads": [
            find_facts.Read(row=row, where=row.what, healthy="", note="", before=None)
            for row in reversed(rows)
            if row.is_standing
        ],
        "photos": [row for row in record.photos if row.is_standing],
        "step_photos": [
            row for row in (record.of_step(record.photos, step) if step else []) if row.is_standing
        ],
        "evidence": [row for row in record.readings if row.is_standing],
        **_cause_facts(record, found),
    }
    if found is not None:
        facts |= find_facts.run_facts(found, rows, asks=record.cause is None)
        facts["untied"] = find_facts.untied(record, found)
        facts["tied"] = find_facts.tied(record, found)
        facts["gone"] = find_facts.gone(facts["tied"], found.run)
        facts["watch_again"] = (
            _address(job, skipped, lacked, kind=WATCH, state=_first_state(found, facts["gone"]))
            + "#other"
        )
        keys = {one.key for one in facts["tied"]}
        facts["all_gone"] = keys == set(found.run.not_there)
        facts["not_told"] = [one for one in found.circuit.complaints if one.key not in keys]
        facts |= _more_facts(record, found, refused)
        facts["set_aside"] = find_facts.set_aside(record, found)
        facts["goes_first"] = find_facts.goes_by_intake(job.happens)
        facts["seen_too"] = _not_seen_here(found)
        advice = found.run.next_test
        if advice is None or facts["typed"].get("test") != advice.key:
            facts["typed"] |= as_another_test(facts["typed"].pop("test", ""))
        is_typed = facts["tried"] == "reading"
        facts["other"] = other_facts(
            found,
            facts["typed"] if is_typed else request.GET.dict(),
            lambda kind, state: _address(job, skipped, lacked, kind=kind, state=state) + "#other",
            is_typed,
        )
        if advice:
            facts["skip_here"] = _address(job, (*skipped, facts["place"]), lacked)
            tool = KINDS[advice.kind].tool
            lack_here = _address(job, skipped, (*lacked, tool))
            facts["lack_here"] = lack_here if tool != EYES else ""
        facts["named"] = {row.pk: reading_words(found.sheet, row) for row in facts["evidence"]}
    facts["evidence"] = [
        (row, facts.get("named", {}).get(row.pk, row.what)) for row in facts["evidence"]
    ]
    status = refused.status if refused else 200
    return render_said(request, "witnessmark/find/find.html", facts, status)


def _more_facts(
    record: JobRecord, found: find_facts.Finding, refused: RefusedEntry | None
) -> dict[str, Any]:
    """Return of what the owner says it is asked whether it says more, and what is explained.

    Until something is read or more is said, the question stands above the next test.
    """
    asks = own_words(record, found)
    by_owner = [row for row in record.complaints if row.is_standing and row.trust == CUSTOMER]
    is_tried = refused is not None and refused.tried == "more"
    return {
        "asks_more": asks,
        "asks_now": record.cause is None
        and (is_tried or (not found.readings and len(by_owner) == len(asks))),
        "tapped": refused.typed.getlist("key") if refused and is_tried else [],
        "told": told(record, found, record.cause) if record.cause else [],
    }


def _quoted(standing: list[Any], found: find_facts.Finding | None) -> list[str]:
    """Return what the owner says in words of their own, not what was tapped for it on the sheet."""
    known = {one.words for one in found.circuit.complaints} if found else set()
    quoted: list[str] = []
    for row in standing:
        own = row.trust == CUSTOMER and row.words not in known
        if own and not any(row.words in words for words in quoted):
            quoted.append(row.words)
    return quoted


def _first_state(found: find_facts.Finding, rows: list[find_facts.Tied]) -> str:
    """Return the state in which the first of some complaints is told; empty where there is none."""
    keys = {row.key for row in rows[:1]}
    return next((one.state for one in found.circuit.complaints if one.key in keys), "")


def _ticked(refused: RefusedEntry | None) -> list[str]:
    """Return the readings and photos that were ticked to show the cause."""
    if refused is None:
        return []
    return [*refused.typed.getlist("reading"), *refused.typed.getlist("photo")]


def _cause_facts(record: JobRecord, found: find_facts.Finding | None) -> dict[str, Any]:
    cause = record.cause
    marks = record.mark_rows(cause.pk) if cause else []
    is_started = record.job.work_started_at is not None
    return {
        "cause": cause,
        "cause_state": record.cause_state.value,
        "cause_mark": marks[-1] if marks else None,
        "cause_seen": record.cause_state.is_seen,
        "may_name": found is not None and found.run.stop.kind == CAUSE,
        "repair": None if found and hazard_words(found.circuit) else repair_link(record),
        "onward": "Go to Work" if is_started else "On to the steps",
        "onward_url": places.stage(record.job.number, "work" if is_started else "steps"),
        "statement": "" if found is None else first_statement(found),
    }


def first_statement(found: find_facts.Finding) -> str:
    """Return a first sentence for the cause, which its crew may write better."""
    lead = found.run.belief[0]
    if not lead.part:
        return ""
    if len(lead.parts) > 1:
        return f"{_of_each(found, lead)}."
    part = found.circuit.part(lead.part)
    words = f"{part.label}: {lead.words.removeprefix(f'{lead.part}, ')}."
    for proof in found.run.proof:
        for reading in reversed(found.readings):
            if reading.key == proof.key:
                unit = KINDS[reading.kind].unit
                text = reading.text if unit in reading.text else f"{reading.text} {unit}"
                return f"{words} {proof.point} read {text}."
    return words


def _of_each(found: find_facts.Finding, lead: Share) -> str:
    """Return what is wrong with each of two parts, by their names."""
    known = {one.key: one.words for one in dictionary_of(found.circuit, found.rates).suspects}
    each = zip(lead.parts, lead.key.split(" + "), strict=True)
    return "; ".join(f"{found.circuit.part(name).label}: {known[key]}" for name, key in each)


def _under(place: str, crew: str, quoted: list[str]) -> str:
    """Return the line under the title: place, crew, and what the owner says."""
    parts = [place, crew or "No crew yet"]
    words = [f"“{one}”" for one in quoted]
    if words:
        parts.append(f"Owner: {' '.join(words)}")
    return ". ".join(parts[:2]) + (f". {parts[2]}" if len(parts) > 2 else ".")


def _not_seen_here(found: find_facts.Finding) -> set[str]:
    """Return keys of the complaints that the owner reports and nobody here has seen yet."""
    seen = {one.complaint for one in found.complaints if one.source == "here"}
    return {one.complaint for one in found.complaints} - seen


def _skipped(request: HttpRequest) -> tuple[str, ...]:
    """Return the points and parts that the crew said it cannot reach."""
    return _said(request, "skip")


def _lacked(request: HttpRequest) -> tuple[str, ...]:
    """Return the tools that the crew said it does not have."""
    return _said(request, "lack")


def _said(request: HttpRequest, name: str) -> tuple[str, ...]:
    said = request.POST.get(name, "") or request.GET.get(name, "")
    return tuple(dict.fromkeys(word.strip() for word in said.split(",") if word.strip()))


def _address(job: Job, skipped: tuple[str, ...], lacked: tuple[str, ...], **more: str) -> str:
    address = places.stage(job.number, "find")
    told = {"skip": ",".join(skipped), "lack": ",".join(lacked), **more}
    query = urlencode({key: words for key, words in told.items() if words})
    return f"{address}?{query}" if query else address
