"""What is done in Find: each act keeps one thing and returns a sentence that says so."""

from django.http import HttpRequest, QueryDict

from witnessmark.diagnosis.facts import hazard_words
from witnessmark.diagnosis.kinds import KINDS
from witnessmark.diagnosis.observations import TestReading
from witnessmark.diagnosis.stop import CAUSE
from witnessmark.errors import BenchError
from witnessmark.quantities import parse
from witnessmark.record.acts.causes import name_cause
from witnessmark.record.acts.evidence import keep_reading
from witnessmark.record.acts.intake import add_complaint
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.acts.replacing import must_show_sheet
from witnessmark.record.acts.sheets import pin_sheet, start_find
from witnessmark.record.acts.steps import call_teacher
from witnessmark.record.core import JobRecord, load
from witnessmark.record.models import Complaint, Job, PinnedSheet, Step
from witnessmark.record.ties import NONE_OF_IT
from witnessmark.shop.models import LibraryItem
from witnessmark.web import find_facts, gate
from witnessmark.web.find_more import complaint_asked, keep_more
from witnessmark.web.key_typed import key_as_typed
from witnessmark.web.typed import chosen, picture


def _open(request: HttpRequest, job: Job) -> str:
    """Open Find, with a circuit sheet from the Library or without."""
    by = gate.by(request)
    item = chosen(LibraryItem.objects.filter(kind="circuit"), request.POST.get("sheet", ""))
    step = find_facts.find_step(load(job))
    if step is None:
        start_find(by, gate.entry_id(request), job=job)
    elif item is None and step.pk != gate.entry_id(request):  # else this form has opened it
        raise BenchError(
            "No sheet was chosen.",
            "Find is open; without a sheet a cause is proved by readings and photos.",
            "Choose the sheet of this vehicle's circuit, or go on without.",
        )
    if item is None:
        return "Find is open. Without a circuit sheet, a cause is proved by readings and photos."
    pin_sheet(by, gate.entry_id(request, "sheet_id"), job=job, item=item)
    return f"The job has its own copy of “{item.title}”."


def _complaint(request: HttpRequest, job: Job) -> str:
    """Tie a complaint to the sheet's, or say that it was seen here too."""
    record = load(job)
    found = _finding(request, record)
    key = request.POST.get("key")
    known = {one.key: one.words for one in found.circuit.complaints}
    if key is None:
        raise BenchError(
            "No complaint was chosen.",
            "Find starts from what the load does: dead, weak, or on when it should not.",
            "Choose the one that fits, or say that none does.",
        )
    if key not in known and key != NONE_OF_IT:
        raise BenchError(
            "The complaint that was tapped is not on the job's circuit sheet.",
            "A complaint is tied to one that the sheet has.",
            "Choose from the list as it is now, or say that none fits.",
        )
    asked = request.POST.get("complaint", "")
    row = complaint_asked(record, asked) if asked or key == NONE_OF_IT else None
    add_complaint(
        gate.by(request),
        gate.entry_id(request),
        job=job,
        words=known[key] if row is None else row.words,
        trust="seen here" if row is None else row.trust,
        key=key,
        sheet=found.sheet,
        comes_and_goes=_goes(request, job, row),
        replaces=row,
    )
    return "The complaint is kept."


def _goes(request: HttpRequest, job: Job, row: Complaint | None) -> bool | None:
    """Return whether it comes and goes: as the form says, else as the owner said at intake."""
    first = "" if row is None else find_facts.goes_by_intake(job.happens)
    return find_facts.GOES.get(request.POST.get("goes", first))


def _more(request: HttpRequest, job: Job) -> str:
    """Say what else the owner complains of."""
    record = load(job)
    return keep_more(request, job, record, _finding(request, record))


def _reading(request: HttpRequest, job: Job) -> str:
    """Keep what a meter, a lamp, eyes or fingers showed."""
    record = load(job)
    step = _step(record)
    found = _finding(request, record)
    typed = request.POST
    if words := hazard_words(found.circuit, found.qualified):
        raise BenchError("Nothing is read here.", words, "Step back and tell the teacher.")
    _must_be_typed(typed)
    key = typed.get("test", "") or key_as_typed(typed.dict())
    reading = _typed_reading(found, key, typed)
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


def _typed_reading(found: find_facts.Finding, key: str, typed: QueryDict) -> TestReading:
    """Return what was typed as a reading; what is wrong with a value is said at its field."""
    text, outcome = typed.get("text", ""), typed.get("outcome", "")
    answered = typed.get("answered", "")
    try:
        return find_facts.typed_reading(found.circuit, found.rates, key, text, outcome, answered)
    except BenchError as error:
        if text and not error.field:
            error.field = "text"
        raise


def _look(request: HttpRequest, job: Job) -> str:
    """Keep a reading or an observation that is no test of a circuit."""
    record = load(job)
    what = request.POST.get("what", "").strip()
    if not what:
        raise BenchError(
            "It does not say what was read or seen.",
            "A reading names the part and the place: lining, left rear shoe.",
            "Write it beside the value.",
            field="what",
        )
    text = request.POST.get("value", "").strip()
    if not text:
        raise BenchError(
            f"It does not say what {what} was like.",
            "What was read is a value with its unit; what was seen is a word.",
            "Write one of them.",
            field="value",
        )
    by, id, step = gate.by(request), gate.entry_id(request), _step(record)
    try:
        found = parse(text)
    except BenchError:
        found = None
    if found is not None and not found.unit:
        raise BenchError(
            f"“{text}” has no unit.",
            "A number alone does not say what was measured: 1.8 V, 1.8 mm, 1.8 Ω.",
            "Write it with its unit, or what was seen in words: 3 strands broken.",
            field="value",
        )
    if found is None:
        kept = keep_reading(by, id, step=step, key=what, outcome=text)
    else:
        kept = keep_reading(by, id, step=step, key=what, text=text)
    return f"{what}: {kept.shown} is kept."


def _photo(request: HttpRequest, job: Job) -> str:
    sent = picture(request)
    step = _step(load(job))
    caption = request.POST.get("caption", "")
    keep_photo(gate.by(request), gate.entry_id(request), step=step, content=sent, caption=caption)
    return "The photo is kept."


def _cause(request: HttpRequest, job: Job) -> str:
    """Name the cause that the run has proved."""
    record = load(job)
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
    return _named(request)


def _evidence(request: HttpRequest, job: Job) -> str:
    """Name a cause that was read or seen on the part itself; the sheet has its tests in words."""
    record = load(job)
    readings, photos = set(request.POST.getlist("reading")), set(request.POST.getlist("photo"))
    name_cause(
        gate.by(request),
        gate.entry_id(request),
        job=job,
        statement=request.POST.get("statement", ""),
        how="evidence",
        step=find_facts.find_step(record),
        sheet=record.sheet("circuit"),
        readings=[row for row in record.readings if str(row.pk) in readings],
        photos=[row for row in record.photos if str(row.pk) in photos],
        replaces=record.cause,
    )
    return _named(request)


def _named(request: HttpRequest) -> str:
    if request.person.may_mark:
        return "The cause is named. Now look, and mark it."
    return "The cause is named. The teacher marks it."


def _call(request: HttpRequest, job: Job) -> str:
    what = "cause" if request.POST.get("what") == "cause" else "help"
    call_teacher(gate.by(request), gate.entry_id(request), job=job, what=what)
    return "The teacher is called."


def _must_be_typed(typed: QueryDict) -> None:
    """Refuse a reading of which nothing is typed, and no outcome was chosen."""
    if typed.get("text", "").strip() or typed.get("outcome"):
        return
    kind = KINDS.get(typed.get("kind", ""))
    if kind is not None and not kind.unit:
        raise BenchError(
            "It does not say what the test showed.",
            "A reading is a value, or what was seen.",
            "Choose what it shows.",
            field="outcome",
        )
    raise BenchError(
        "Nothing is typed.",
        "A reading is a value, or what was seen.",
        "Type what the test shows.",
        field="text",
    )


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
    must_show_sheet(found.sheet, _shown_sheet(request, record.job))
    return found


def _shown_sheet(request: HttpRequest, job: Job) -> PinnedSheet | None:
    return chosen(PinnedSheet.objects.filter(job=job), request.POST.get("sheet", ""))


ACTS = {
    "open": _open,
    "complaint": _complaint,
    "more": _more,
    "reading": _reading,
    "look": _look,
    "photo": _photo,
    "cause": _cause,
    "evidence": _evidence,
    "call": _call,
}
