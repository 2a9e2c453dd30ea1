"""What the hand-back paper of a job says, as it stands now or as it was signed."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.utils import timezone

from witnessmark.metrology import Verdict
from witnessmark.papers.handback import HandBack, PaperCheck, PaperMark, PaperPart
from witnessmark.record.circuits import is_read_at, reading_words
from witnessmark.record.core import JobRecord
from witnessmark.record.gate import standing_of
from witnessmark.record.models import Cause, Mark, Reading, Release, StoredVerdict
from witnessmark.record.odometer import meter_of
from witnessmark.shop import clock
from witnessmark.shop.models import Shop
from witnessmark.work.amounts import amount, amount_in_words
from witnessmark.work.digest import digest, short
from witnessmark.work.gate import ReleaseKind
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Closing, Phase

PROOFS_SHOWN = 4
COMES_BACK = (
    "Bring the vehicle and this paper to the school. The job number above finds every reading, "
    "photo and mark of this work."
)


def paper_of(record: JobRecord, shop: Shop, teacher: str, with_owner: bool) -> HandBack:
    """Return the paper; `with_owner` is for those who may see whose vehicle it is."""
    job = record.job
    owner = job.vehicle.owner if with_owner else None
    release = _release(record, ReleaseKind.OWNER)
    signed = release.mark if release is not None else None
    form_digest = signed.digest if signed is not None else _digest_now(record)
    steps = standing_of(record).steps
    return HandBack(
        school=shop.name,
        vehicle=job.vehicle.name,
        facts=_facts(record, "" if owner is None else owner.name),
        job=job.shown_number,
        date=_day(clock.now() if signed is None else signed.done_at),
        complaints=tuple(row.words for row in record.complaints if row.is_standing)
        or ("None. It is a training unit.",),
        cause="Not named yet." if record.cause is None else record.cause.statement,
        proof=() if record.cause is None else tuple(_proof(record, record.cause)),
        correction="Not written yet." if record.correction is None else record.correction.words,
        checks=tuple(
            PaperCheck(what=one.what, read=one.shown, limit=one.limit, word=one.word)
            for step in steps
            for one in step.checks
            if one.word is not None
        ),
        marks=tuple(_marks(record)),
        advice=tuple(one.text for one in record.advice),
        accepted=tuple(
            f"Step {one.number}, {one.title}: {one.accepted}" for one in steps if one.accepted
        ),
        parts=tuple(_parts(record)),
        more=tuple(_more(record)),
        teacher=teacher if signed is None else signed.by.name,
        receiver="owner" if owner is None or not owner.name else owner.name,
        signed="" if signed is None else f"{signed.by.name}, {_moment(signed.done_at)}",
        same_person=signed is not None and signed.same_person,
        digest=form_digest,
        demo=shop.is_demo,
    )


def _digest_now(record: JobRecord) -> str:
    return digest(record.release_form(ReleaseKind.OWNER.value))


def _release(record: JobRecord, kind: ReleaseKind) -> Release | None:
    return next((row for row in reversed(record.releases) if row.kind == kind.value), None)


def _day(moment: datetime) -> str:
    local = timezone.localtime(moment)
    return f"{local:%a} {local.day} {local:%b %Y}"


def _moment(moment: datetime) -> str:
    return f"{_day(moment)}, {timezone.localtime(moment):%H:%M}"


def _facts(record: JobRecord, owner: str) -> str:
    vehicle = record.job.vehicle
    unit = ", ".join(
        part for part in (f"{vehicle.make} {vehicle.kind}".strip(), str(vehicle.year or "")) if part
    )
    return " ".join(f"{part}." for part in (unit, vehicle.plate, owner) if part)


def _proof(record: JobRecord, cause: Cause) -> Iterable[str]:
    """Name the readings that proved the cause, each with what it was judged by."""
    named = [row for row in record.readings if row.pk in set(cause.reading_ids)]
    standing = [_standing(record, row) for row in named]
    for row in _telling(record, cause, standing):
        verdict = _verdict_on(record, row)
        judged = f", limit {verdict.limit}: {verdict.word}" if verdict else ""
        yield f"{_read_where(record, cause, row)}: {row.shown}{judged}."
    if cause.how == "find" and cause.belief:
        first = cause.belief[0]
        yield f"What was read leaves {first['share']} for this cause: {first['suspect']}."
    photos = len(cause.photo_ids)
    if photos:
        yield f"Shown on {photos} photo{'' if photos == 1 else 's'} of this job."


def _telling(record: JobRecord, cause: Cause, rows: Sequence[Reading]) -> Iterable[Reading]:
    """Return the few readings that the paper names: at the parts at fault first, then the last.

    One taken while the complaint was away shows nothing of the fault.
    """
    sheet = cause.sheet or record.sheet("circuit")
    there = [row for row in rows if row.present != "no"] or rows
    by_weight = sorted(there, key=lambda row: is_read_at(sheet, row.key, cause.suspect))
    chosen = by_weight[-PROOFS_SHOWN:]
    return [row for row in there if row in chosen]


def _standing(record: JobRecord, row: Reading) -> Reading:
    """Return the reading that stands where this one was corrected."""
    later = {one.replaces_id: one for one in record.readings if one.replaces_id}
    while row.pk in later:
        row = later[row.pk]
    return row


def _verdict_on(record: JobRecord, row: Reading) -> StoredVerdict | None:
    found = [one for one in record.verdicts if one.is_standing and row.pk in one.reading_ids]
    return found[-1] if found else None


def _read_where(record: JobRecord, cause: Cause, row: Reading) -> str:
    step = next((step for step in record.steps if step.pk == row.step_id), None)
    measurement = None if step is None else record.spec(step).measurement(row.key)
    if measurement is not None:
        return measurement.named(row.position)
    sheet = cause.sheet or record.sheet("circuit")
    return f"{reading_words(sheet, row)} {row.position}".strip()


def _marks(record: JobRecord) -> Iterable[PaperMark]:
    if record.cause is not None:
        rows = record.mark_rows(record.cause.pk)
        yield _mark("Cause, as written above", record.cause_state, rows)
    for step in record.steps:
        rows = record.mark_rows(step.pk)
        if rows or record.spec(step).is_hold:
            yield _mark(f"Step {step.position}, {step.title}", record.states[step.pk], rows)


def _mark(title: str, state: MarkState, rows: list[Mark]) -> PaperMark:
    last = rows[-1] if rows else None
    return PaperMark(
        title=title,
        state=state,
        digest="" if last is None else short(last.digest),
        same_person=last is not None and last.same_person,
    )


def _parts(record: JobRecord) -> Iterable[PaperPart]:
    wanted = record.job.old_parts_wanted
    for row in record.movements:
        if row.is_standing and row.kind == Closing.NEW_FITTED.value:
            unit = row.line.unit
            old = row.old + (", for the owner" if wanted and row.old == "kept" else "")
            yield PaperPart(
                what=row.line.what,
                quantity=amount_in_words(amount(row.quantity, unit), unit),
                old=old,
            )


def _more(record: JobRecord) -> Iterable[tuple[str, str]]:
    """Give what stands on page two, each with its heading."""
    found = [
        row
        for row in record.verdicts
        if row.is_standing
        and row.phase == Phase.AS_FOUND.value
        and row.word != Verdict.WITHIN.value
    ]
    names = {
        (step.pk, one.key, position): one.named(position)
        for step in record.steps
        for one in record.spec(step).measurements
        for position in one.places
    }
    if found:
        yield (
            "As found",
            " ".join(
                f"{names.get((row.step_id, row.key, row.position), row.key)}: {row.value}, "
                f"limit {row.limit}, {row.word}."
                for row in found
            ),
        )
    tested = _release(record, ReleaseKind.ROAD_TEST)
    if tested is not None:
        yield (
            "Road test",
            f"Released for it by {tested.mark.by.name}, {_moment(tested.mark.done_at)}.",
        )
    job = record.job
    if job.odometer_in or job.odometer_out:
        parts = [("in", job.odometer_in), ("out", job.odometer_out)]
        words = ", ".join(f"{word} {read}" for word, read in parts if read)
        meter, _ = meter_of(job)
        yield meter.capitalize(), f"{words[:1].upper()}{words[1:]}."
    ledger = record.balance
    if ledger.off_count:
        off = f"{ledger.off_count} thing{'' if ledger.off_count == 1 else 's'}"
        yield "Taken off or undone", f"{off}, {ledger.back_count} put right again."
    yield "Who did the work", "Learners of the school, under their teacher."
    yield "If it comes back", COMES_BACK
