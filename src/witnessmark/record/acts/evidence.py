"""Acts that add evidence to a step: readings with their verdicts, corrections, notes."""

import re
from typing import Any
from uuid import UUID, uuid4

from witnessmark.errors import BenchError
from witnessmark.log.act import Act
from witnessmark.quantities import Quantity, parse, quoted
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.acts.replacing import must_have_reason, must_stand
from witnessmark.record.acts.steps import must_be_begun
from witnessmark.record.asked import is_on_a_sheet, outcomes_of
from witnessmark.record.fits import derived_verdicts
from witnessmark.record.models import Job, Note, Reading, Step, StoredVerdict
from witnessmark.record.models.evidence import ids_json
from witnessmark.record.specs import measurement_of
from witnessmark.record.verdicts import Shown, judged
from witnessmark.shop.models import Instrument

PRESENT = ("yes", "no", "unknown")
PHASES = ("as found", "as left")
LONGEST_WHAT, LONGEST_SEEN = 120, 40  # of a look, in signs
_NUMBER = re.compile(r"[-+−]? ?[0-9½¼¾⅛⅜⅝⅞][0-9.,/ ½¼¾⅛⅜⅝⅞-]*")


def keep_reading(
    by: By,
    id: UUID,
    *,
    step: Step,
    key: str,
    text: str = "",
    unit: str = "",
    position: str = "",
    phase: str = "",
    instrument: Instrument | None = None,
    outcome: str = "",
    present: str = "unknown",
) -> Reading:
    """Keep one value as typed, or the outcome of a lamp or a look.

    `key` names a measurement of the step, a characteristic of an assembly sheet, or a test
    of a circuit; where it names none of them it is a look, and the key is its words. Where the
    step gives a limit, the verdict is stored as it is shown now.
    """
    return _keep(
        by,
        id,
        step=step,
        key=key,
        text=text,
        unit=unit,
        position=position,
        phase=phase,
        instrument=instrument,
        outcome=outcome,
        present=present,
    )


def correct_reading(
    by: By,
    id: UUID,
    *,
    reading: Reading,
    reason: str,
    text: str = "",
    outcome: str = "",
    instrument: Instrument | None = None,
) -> Reading:
    """Correct a reading: a new entry names the old one, which stays, struck through.

    If someone else has corrected it first, nothing is kept and both are shown.
    """
    must_have_reason(reason, "correction", "value")
    return _keep(
        by,
        id,
        step=reading.step,
        key=reading.key,
        text=text,
        unit=reading.unit,
        position=reading.position,
        phase=reading.phase,
        instrument=instrument or reading.instrument,
        outcome=outcome,
        present=reading.present,
        replaces=reading,
        reason=reason,
    )


def add_note(
    by: By,
    id: UUID,
    *,
    job: Job,
    words: str,
    step: Step | None = None,
    replaces: Note | None = None,
    reason: str = "",
) -> Note:
    """Write a note on a step, or on the job."""
    by.must_work_on(job)
    if not words.strip():
        raise BenchError("The note is empty.", "A note says something.", "Write it, or leave it.")
    asked = {"job": job.pk, "step": step, "words": words, "replaces": replaces, "reason": reason}
    with by.act("note added", id, job=job, subject=step, asked=asked) as doing:
        if doing.is_repeated:
            return Note.objects.get(pk=id)
        must_be_open(job)
        if replaces is not None:
            must_stand(replaces, yours=words)
        return doing.add(
            Note(
                id=id,
                job=job,
                step=step,
                words_aside=doing.words("note", words),
                replaces=replaces,
                reason_aside=doing.words("reason", reason),
                **by.entry(doing),
            )
        )


def _keep(
    by: By,
    id: UUID,
    *,
    step: Step,
    key: str,
    text: str,
    unit: str,
    position: str,
    phase: str,
    instrument: Instrument | None,
    outcome: str,
    present: str,
    replaces: Reading | None = None,
    reason: str = "",
) -> Reading:
    by.must_work_on(step.job)
    is_look = replaces.is_look if replaces else not is_on_a_sheet(step, key, position)
    measurement = None if is_look else measurement_of(step, key)
    if measurement is not None:
        unit, phase = unit or measurement.unit, phase or measurement.phase.value
    phase = phase or "as found"
    if present not in PRESENT or phase not in PHASES:
        raise BenchError(
            "The reading does not say when it was taken.",
            "It is as found or as left, and the complaint was there, away, or not looked for.",
            "Choose again.",
        )
    quantity = _read(text, unit, outcome)
    asked = {
        "step": step.pk,
        "key": key,
        "text": text,
        "unit": unit,
        "position": position,
        "phase": phase,
        "instrument": instrument,
        "outcome": outcome,
        "present": present,
        "replaces": replaces,
        "reason": reason,
    }
    verb = "reading kept" if replaces is None else "reading corrected"
    with by.act(verb, id, job=step.job, subject=step, asked=asked) as doing:
        if doing.is_repeated:
            return Reading.objects.get(pk=id)
        must_be_open(step.job)
        must_be_begun(step)
        if replaces is not None:
            must_stand(replaces, yours=outcome or text)
        reading = doing.add(
            Reading(
                id=id,
                job_id=step.job_id,
                step=step,
                **_named(doing, key, position, is_look, replaces),
                text="" if quantity is None else number_of(quantity),
                unit="" if quantity is None else quantity.unit,
                phase=phase,
                **_outcome(doing, key, outcome, is_look),
                present=present,
                instrument=instrument,
                replaces=replaces,
                reason_aside=doing.words("reason", reason),
                **by.entry(doing),
            )
        )
        if measurement is not None and measurement.limit is not None and quantity is not None:
            _store(by, doing, reading, judged(reading, measurement.limit))
        for one in derived_verdicts(reading):
            _store(by, doing, reading, one)
        return reading


def _named(
    doing: Act, key: str, position: str, is_look: bool, replaces: Reading | None
) -> dict[str, Any]:
    """Return the columns that say what was read; a look has a key of its own, and words."""
    if replaces is not None:
        return {
            "key": replaces.key,
            "position": replaces.position,
            "what_aside": replaces.what_aside,
        }
    if not is_look:
        return {"key": key, "position": position}
    what = doing.words("what", f"{key} {position}", LONGEST_WHAT)
    if what is None:
        raise BenchError(
            "It does not say what was read or seen.",
            "A reading names the part and the place: lining, left rear shoe.",
            "Write it beside the value.",
        )
    return {"key": f"look-{str(doing.id)[:8]}", "what_aside": what}


def _outcome(doing: Act, key: str, outcome: str, is_look: bool) -> dict[str, Any]:
    """Return the column of what was seen: a test has words of the program's, a look its own."""
    outcome = outcome.strip()
    if is_look:
        return {"seen_aside": doing.words("seen", outcome, LONGEST_SEEN)}
    if outcome and outcome not in outcomes_of(key):
        raise BenchError(
            f"It was seen as “{quoted(outcome)}”.",
            f"It is {', '.join(outcomes_of(key)) or 'read as a value'}.",
            "Choose the one that comes nearest.",
        )
    return {"word": outcome}


def _store(by: By, doing: Act, reading: Reading, shown: Shown) -> None:
    """Store a verdict as it is shown; it takes the place of the last one of its kind."""
    key, position = shown.key or reading.key, shown.position or reading.position
    last = StoredVerdict.objects.filter(
        step_id=reading.step_id,
        key=key,
        position=position,
        phase=reading.phase,
        replaced_by=None,
    ).first()
    doing.add(
        StoredVerdict(
            id=uuid4(),
            job_id=reading.job_id,
            step_id=reading.step_id,
            key=key,
            position=position,
            phase=reading.phase,
            readings_json=ids_json(shown.reading_ids),
            value=shown.value,
            expanded=shown.expanded,
            limit=shown.limit,
            source=shown.source,
            chance=shown.chance,
            word=shown.word,
            replaces=last,
            **by.entry(doing),
        )
    )


def number_of(quantity: Quantity) -> str:
    """Return the number as typed, without the unit, which stands beside it.

    >>> number_of(parse("12,6 V")), number_of(parse("3 1/4 in")), number_of(parse("AWG 14"))
    ('12,6', '3 1/4', '14')
    """
    found = _NUMBER.search(quantity.text)
    assert found is not None, "a quantity without a number"
    return found[0].strip()


def _read(text: str, unit: str, outcome: str) -> Quantity | None:
    """Return the value as typed, or nothing where an outcome was seen instead."""
    if outcome.strip():
        return None
    return parse(text, unit or None)
