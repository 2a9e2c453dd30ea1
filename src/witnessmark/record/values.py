"""Rows of a job's record as the values that the work room knows."""

from typing import Any
from uuid import UUID

from witnessmark.log.models import Aside
from witnessmark.record.models import (
    Evidence,
    LedgerLine,
    Mark,
    Movement,
    Note,
    Photo,
    Reading,
    StepEvent,
    StoredVerdict,
)
from witnessmark.work import evidence, ledger
from witnessmark.work.amounts import amount
from witnessmark.work.marks import Mark as MarkValue
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Closing, How, OldPart, Phase


def entry_facts(row: Evidence) -> dict[str, Any]:
    """Return what every piece of evidence says of itself."""
    return {
        "id": str(row.pk),
        "who": str(row.by_id),
        "done_at": row.done_at,
        "replaces": None if row.replaces_id is None else str(row.replaces_id),
        "reason_digest": digest_of(row.reason_aside),
    }


def digest_of(aside: Aside | None) -> str:
    """Return the digest by which a text enters a form; nothing where there is no text."""
    return "" if aside is None else aside.digest


def reading_seen(row: Reading) -> evidence.ReadingSeen:
    """Return a reading as it enters a digest."""
    instrument = row.instrument
    return evidence.ReadingSeen(
        **entry_facts(row),
        key=row.key,
        what_digest=digest_of(row.what_aside),
        position=row.position,
        text=row.text,
        unit=row.unit,
        outcome=row.word,
        seen_digest=digest_of(row.seen_aside),
        phase=Phase(row.phase),
        present=row.present,
        instrument=None
        if instrument is None
        else evidence.InstrumentSeen(
            id=str(instrument.pk), name=instrument.name, resolution=instrument.resolution
        ),
    )


def photo_seen(row: Photo) -> evidence.PhotoSeen:
    """Return a photo as it enters a digest."""
    return evidence.PhotoSeen(
        **entry_facts(row),
        digest=row.digest,
        key=row.key,
        caption_digest=digest_of(row.caption_aside),
    )


def note_seen(row: Note) -> evidence.NoteSeen:
    """Return a note as it enters a digest."""
    return evidence.NoteSeen(**entry_facts(row), digest=row.words_aside.digest)


def tick_seen(row: StepEvent) -> evidence.TickSeen:
    """Return a ticked caution as it enters a digest."""
    return evidence.TickSeen(**entry_facts(row), caution=row.detail)


def verdict_seen(row: StoredVerdict) -> evidence.VerdictSeen:
    """Return a verdict as it was shown."""
    return evidence.VerdictSeen(
        id=str(row.pk),
        key=row.key,
        position=row.position,
        phase=Phase(row.phase),
        value=row.value,
        expanded=row.expanded,
        limit=row.limit,
        source=row.source,
        chance=row.chance,
        word=row.word,
        readings=tuple(str(one) for one in row.reading_ids),
    )


def off_seen(row: LedgerLine) -> evidence.OffSeen:
    """Return a ledger line as it enters a digest."""
    return evidence.OffSeen(
        **entry_facts(row),
        key=row.key,
        what_digest=row.what_aside.digest,
        how=How(row.how),
        quantity=row.quantity,
        unit=row.unit,
        place_digest=row.place_aside.digest,
    )


def moved_seen(row: Movement) -> evidence.MovedSeen:
    """Return a movement as it enters a digest."""
    return evidence.MovedSeen(
        **entry_facts(row),
        line=str(row.line_id),
        what_digest=row.line.what_aside.digest,
        kind=row.kind,
        quantity=row.quantity,
        unit=row.line.unit,
        old=row.old,
        answered_digest="" if row.answered_aside is None else row.answered_aside.digest,
    )


def movement_value(row: Movement, line_id: UUID) -> ledger.Movement:
    """Return a movement as the ledger counts it, on the line that stands now."""
    return ledger.Movement(
        id=str(row.pk),
        line=str(line_id),
        kind=Closing(row.kind),
        quantity=amount(row.quantity, row.line.unit),
        old=OldPart(row.old) if row.old else None,
        step="" if row.step_id is None else str(row.step_id),
        who=str(row.by_id),
        at=row.done_at,
    )


def mark_value(row: Mark) -> MarkValue:
    """Return a mark as the work room knows it."""
    return MarkValue(
        id=str(row.pk),
        subject=str(row.subject_id),
        digest=row.digest,
        form=row.form,
        by=str(row.by_id),
        at=row.done_at,
        same_person=row.same_person,
        accepted=row.accepted,
        replaces=None if row.replaces_id is None else str(row.replaces_id),
    )


def mark_seen(subject: str, row: Mark, state: MarkState) -> evidence.MarkSeen:
    """Return a mark as it enters the digest of a release."""
    return evidence.MarkSeen(
        subject=subject,
        subject_id=str(row.subject_id),
        state=state.value,
        digest=row.digest,
        same_person=row.same_person,
        accepted_digest=digest_of(row.accepted_aside),
    )


def with_corrections(rows: list[Any], named: set[UUID]) -> list[Any]:
    """Return the named entries, those they replace, and those that replace them."""
    chosen = set(named)
    replaced = {row.pk: row.replaces_id for row in rows if row.replaces_id is not None}
    while True:
        more = {new for new, old in replaced.items() if old in chosen}
        more |= {old for new, old in replaced.items() if new in chosen}
        if more <= chosen:
            return [row for row in rows if row.pk in chosen]
        chosen |= more


def as_first_made(rows: list[Any]) -> list[Any]:
    """Return entries in the order in which they were first made.

    A correction stands where what it corrects stood: nobody did the test again.
    """
    place: dict[UUID, int] = {}
    for at, row in enumerate(rows):
        place[row.pk] = place.get(row.replaces_id, at)
    return sorted(rows, key=lambda row: place[row.pk])


def successors(rows: list[LedgerLine]) -> dict[UUID, UUID]:
    """Return for each line the one that stands for it now."""
    newer = {row.replaces_id: row.pk for row in rows if row.replaces_id is not None}
    standing = {}
    for row in rows:
        last = row.pk
        while last in newer:
            last = newer[last]
        standing[row.pk] = last
    return standing
