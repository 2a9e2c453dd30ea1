"""Find: the next test leads, its reading is kept, and the cause is named when it is proved."""

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from witnessmark.diagnosis.facts import hazard_words
from witnessmark.diagnosis.kinds import EYES, KINDS
from witnessmark.diagnosis.stop import CAUSE
from witnessmark.errors import BenchError, Question
from witnessmark.quantities import parse
from witnessmark.record.acts.causes import name_cause
from witnessmark.record.acts.evidence import keep_reading
from witnessmark.record.acts.intake import NO_KEY, add_complaint
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.acts.sheets import pin_sheet, start_find, why_no_find
from witnessmark.record.acts.steps import call_teacher
from witnessmark.record.circuits import reading_words
from witnessmark.record.core import JobRecord
from witnessmark.record.models import Job, Step
from witnessmark.shop.library import newest
from witnessmark.shop.models import LibraryItem
from witnessmark.web import find_facts, gate, places
from witnessmark.web.empty_fields import empty_field, must_be_typed
from witnessmark.web.job_head import head
from witnessmark.web.key_typed import key_as_typed
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import chosen, picture

GOES = {"yes": True, "no": False}  # said of a complaint: it comes and goes; else nobody said


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
    try:
        said = done(request, job)
    except BenchError as error:
        return _page(request, job, error, tried=what)
    messages.info(request, said)
    onward = _address(job, _skipped(request), _lacked(request))
    return redirect(onward + ("#next" if what == "reading" else ""))


def _page(
    request: HttpRequest, job: Job, error: BenchError | None = None, tried: str = ""
) -> HttpResponse:
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
        "tried": tried,
        "typed": request.POST.dict() if tried else {},
        "at": "" if request.POST.get("outcome") else empty_field(tried, request.POST, MUST_SAY),
        "step": step,
        "under": _under(facts["place"], facts["crew_names"], standing),
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
        facts |= find_facts.run_facts(found, rows)
        facts["untied"] = find_facts.untied(record, found.circuit)
        facts["tied"] = find_facts.tied(record, found.circuit)
        facts["set_aside"] = find_facts.set_aside(record)
        facts["goes_first"] = find_facts.goes_by_intake(job.happens)
        facts["seen_too"] = _not_seen_here(found)
        advice = found.run.next_test
        if advice is None or facts["typed"].get("test") != advice.key:
            facts["typed"] |= find_facts.as_another_test(facts["typed"].pop("test", ""))
        if advice:
            facts["skip_here"] = _address(job, (*skipped, facts["place"]), lacked)
            tool = KINDS[advice.kind].tool
            lack_here = _address(job, skipped, (*lacked, tool))
            facts["lack_here"] = lack_here if tool != EYES else ""
        facts["named"] = {row.pk: reading_words(found.sheet, row) for row in facts["evidence"]}
    facts["evidence"] = [
        (row, facts.get("named", {}).get(row.pk, row.what)) for row in facts["evidence"]
    ]
    status = status_of(error) if error else 200
    return render(request, "witnessmark/find/find.html", facts, status=status)


def _cause_facts(record: JobRecord, found: find_facts.Finding | None) -> dict[str, Any]:
    cause = record.cause
    marks = record.mark_rows(cause.pk) if cause else []
    return {
        "cause": cause,
        "cause_state": record.cause_state.value,
        "cause_mark": marks[-1] if marks else None,
        "cause_seen": record.cause_state.is_seen,
        "may_name": found is not None and found.run.stop.kind == CAUSE,
        "repair_url": find_facts.repair_url(record, found),
        "statement": "" if found is None else _statement(found),
    }


def _statement(found: find_facts.Finding) -> str:
    """Return a first sentence for the cause, which its crew may write better."""
    lead = found.run.belief[0]
    if not lead.part:
        return ""
    if len(lead.parts) > 1:
        return f"{lead.words}."
    part = found.circuit.part(lead.part)
    words = f"{part.label}: {lead.words.removeprefix(f'{lead.part}, ')}."
    for proof in found.run.proof:
        for reading in reversed(found.readings):
            if reading.key == proof.key:
                unit = KINDS[reading.kind].unit
                text = reading.text if unit in reading.text else f"{reading.text} {unit}"
                return f"{words} {proof.point} read {text}."
    return words


def _under(place: str, crew: str, complaints: list[Any]) -> str:
    """Return the line under the title: place, crew, and what the owner says."""
    parts = [place, crew or "No crew yet"]
    words = [f"“{row.words}”" for row in complaints if row.trust == "the customer says"]
    if words:
        parts.append(f"Owner: {' '.join(words)}")
    return ". ".join(parts[:2]) + (f". {parts[2]}" if len(parts) > 2 else ".")


def _not_seen_here(found: find_facts.Finding) -> set[str]:
    """Return keys of the complaints that the customer reports and nobody here has seen yet."""
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


def _address(job: Job, skipped: tuple[str, ...], lacked: tuple[str, ...]) -> str:
    address = places.stage(job.number, "find")
    told = {"skip": ",".join(skipped), "lack": ",".join(lacked)}
    query = urlencode({key: words for key, words in told.items() if words})
    return f"{address}?{query}" if query else address


def _open(request: HttpRequest, job: Job) -> str:
    """Open Find, with a circuit sheet from the Library or without."""
    by = gate.by(request)
    item = chosen(LibraryItem.objects.filter(kind="circuit"), request.POST.get("sheet", ""))
    record = head(job, "find")["record"]
    if find_facts.find_step(record) is None:
        start_find(by, gate.entry_id(request), job=job)
    if item is None:
        return "Find is open. Without a circuit sheet, a cause is proved by readings and photos."
    pin_sheet(by, gate.entry_id(request, "sheet_id"), job=job, item=item)
    return f"The job has its own copy of “{item.title}”."


def _complaint(request: HttpRequest, job: Job) -> str:
    """Tie a complaint to the sheet's, or say that it was seen here too."""
    record = head(job, "find")["record"]
    found = _finding(request, record)
    key = request.POST.get("key", "")
    known = {one.key: one.words for one in found.circuit.complaints}
    if key not in known and key != NO_KEY:
        raise BenchError(
            "No complaint was chosen.",
            "Find starts from what the load does: dead, weak, or on when it should not.",
            "Choose the one that fits, or say that none does.",
        )
    row = next(
        (one for one in record.complaints if str(one.pk) == request.POST.get("complaint")), None
    )
    add_complaint(
        gate.by(request),
        gate.entry_id(request),
        job=job,
        words=known[key] if row is None else row.words,
        trust="seen here" if row is None else row.trust,
        key=key,
        comes_and_goes=GOES.get(request.POST.get("goes", "")),
        replaces=row,
    )
    return "The complaint is kept."


def _reading(request: HttpRequest, job: Job) -> str:
    """Keep what a meter, a lamp, eyes or fingers showed."""
    record = head(job, "find")["record"]
    step = _step(record)
    found = _finding(request, record)
    typed = request.POST
    if words := hazard_words(found.circuit, found.qualified):
        raise BenchError("Nothing is read here.", words, "Step back and tell the teacher.")
    must_be_typed(typed)
    key = typed.get("test", "") or key_as_typed(typed.dict())
    reading = find_facts.typed_reading(
        found.circuit,
        found.rates,
        key,
        typed.get("text", ""),
        typed.get("outcome", ""),
        typed.get("answered", ""),
    )
    kept = keep_reading(
        gate.by(request),
        gate.entry_id(request),
        step=step,
        key=key,
        text="" if reading.outcome else reading.text,
        unit="" if reading.outcome else KINDS[reading.kind].unit,
        outcome=reading.outcome,
        present=typed.get("present", "unknown"),
    )
    return f"{reading.place}: {kept.shown} is kept."


def _look(request: HttpRequest, job: Job) -> str:
    """Keep a reading or an observation that is no test of a circuit."""
    record = head(job, "find")["record"]
    what = request.POST.get("what", "").strip()
    if not what:
        raise BenchError(
            "It does not say what was read or seen.",
            "A reading names the part and the place: lining, left rear shoe.",
            "Write it beside the value.",
        )
    text = request.POST.get("value", "").strip()
    by, id, step = gate.by(request), gate.entry_id(request), _step(record)
    try:
        parse(text)
    except BenchError:
        kept = keep_reading(by, id, step=step, key=what, outcome=text)
    else:
        kept = keep_reading(by, id, step=step, key=what, text=text)
    return f"{what}: {kept.shown} is kept."


def _photo(request: HttpRequest, job: Job) -> str:
    sent = picture(request)
    step = _step(head(job, "find")["record"])
    caption = request.POST.get("caption", "")
    keep_photo(gate.by(request), gate.entry_id(request), step=step, content=sent, caption=caption)
    return "The photo is kept."


def _cause(request: HttpRequest, job: Job) -> str:
    """Name the cause that the run has proved."""
    record = head(job, "find")["record"]
    found = _finding(request, record)
    run = found.run
    if run.stop.kind != CAUSE:
        raise BenchError(
            "The readings leave more than one cause.", run.stop.sentence, "Take the next test."
        )
    counted = {reading.id for reading in found.readings}
    name_cause(
        gate.by(request),
        gate.entry_id(request),
        job=job,
        statement=request.POST.get("statement", ""),
        how="find",
        step=_step(record),
        sheet=found.sheet,
        suspect=run.belief[0].key,
        belief=[
            {"suspect": share.words, "share": share.percent}
            for share in run.belief[: find_facts.SHOWN_SUSPECTS]
        ],
        readings=[row for row in record.readings if str(row.pk) in counted],
        proof=[proof.sentence for proof in run.proof],
        replaces=record.cause,
    )
    return "The cause is named. The teacher marks it."


def _evidence(request: HttpRequest, job: Job) -> str:
    """Name a cause that was read or seen on the part itself."""
    record = head(job, "find")["record"]
    readings, photos = set(request.POST.getlist("reading")), set(request.POST.getlist("photo"))
    name_cause(
        gate.by(request),
        gate.entry_id(request),
        job=job,
        statement=request.POST.get("statement", ""),
        how="evidence",
        step=find_facts.find_step(record),
        readings=[row for row in record.readings if str(row.pk) in readings],
        photos=[row for row in record.photos if str(row.pk) in photos],
        replaces=record.cause,
    )
    return "The cause is named. The teacher marks it."


def _call(request: HttpRequest, job: Job) -> str:
    what = "cause" if request.POST.get("what") == "cause" else "help"
    call_teacher(gate.by(request), gate.entry_id(request), job=job, what=what)
    return "The teacher is called."


def _step(record: JobRecord) -> Step:
    step = find_facts.find_step(record)
    if step is None:
        raise BenchError(
            "Find is not open on this job yet.",
            "Readings belong to the step 'Find the cause'.",
            "Open Find first.",
        )
    step.job = record.job
    return step


def _finding(request: HttpRequest, record: JobRecord) -> find_facts.Finding:
    found = find_facts.finding(record, request.shop)
    if found is None:
        raise BenchError(
            "This job has no circuit sheet.",
            "The next test is worked out from the circuit.",
            "Choose a sheet from the Library.",
        )
    return found


MUST_SAY = {
    "reading": ("text",),
    "look": ("what", "value"),
    "cause": ("statement",),
    "evidence": ("statement",),
}
ACTS = {
    "open": _open,
    "complaint": _complaint,
    "reading": _reading,
    "look": _look,
    "photo": _photo,
    "cause": _cause,
    "evidence": _evidence,
    "call": _call,
}
