"""Acts on the cause of a complaint and its correction."""

from collections.abc import Sequence
from uuid import UUID

from witnessmark.errors import BenchError
from witnessmark.log.kept import json_text
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.acts.replacing import must_stand
from witnessmark.record.models import Cause, Correction, Job, Photo, PinnedSheet, Reading, Step
from witnessmark.record.models.evidence import ids_json


def name_cause(
    by: By,
    id: UUID,
    *,
    job: Job,
    statement: str,
    how: str,
    step: Step | None = None,
    sheet: PinnedSheet | None = None,
    suspect: str = "",
    belief: Sequence[dict[str, str]] = (),
    readings: Sequence[Reading] = (),
    photos: Sequence[Photo] = (),
    proof: Sequence[str] = (),
    replaces: Cause | None = None,
) -> Cause:
    """Name the cause, proved by a Find run or by named readings and photos.

    `belief` holds rows with `suspect` and `share`, `proof` the sentences of the readings that
    would prove the repair: both as they were shown, with the `sheet` they came from. A cause
    that is named anew replaces the one that stands; the teacher must see it again.
    """
    by.must_work_on(job)
    if not statement.strip():
        raise BenchError(
            "The cause says nothing.",
            "It names the part and what is wrong with it.",
            "Write it.",
            field="statement",
        )
    if how not in {"find", "evidence"}:
        raise BenchError(
            f"A cause proved by '{how}'.",
            "It is proved by a Find run, or by readings and photos.",
            "Choose one of them.",
        )
    if not readings and not photos:
        raise BenchError(
            "The cause names no reading and no photo.",
            "A cause is proved by what was read or seen.",
            "Choose the readings or photos that show it.",
        )
    ids = {"readings": [row.pk for row in readings], "photos": [row.pk for row in photos]}
    asked = {
        "job": job.pk,
        "statement": statement,
        "how": how,
        "step": step,
        "sheet": sheet,
        "suspect": suspect,
        "belief": json_text(list(belief)),
        "proof": json_text(list(proof)),
        **ids,
        "replaces": replaces,
    }
    with by.act("cause named", id, job=job, subject=step, asked=asked) as doing:
        if doing.is_repeated:
            return Cause.objects.get(pk=id)
        must_be_open(job)
        _must_be_of(job, readings, photos)
        standing = standing_cause(job)
        if replaces is not None:
            must_stand(replaces, yours=statement)
        elif standing is not None:
            must_stand_alone(standing)
        return doing.add(
            Cause(
                id=id,
                job=job,
                step=step,
                how=how,
                statement_aside=doing.words("cause", statement),
                sheet=sheet,
                suspect=suspect,
                belief_json=json_text(list(belief)),
                readings_json=ids_json(ids["readings"]),
                photos_json=ids_json(ids["photos"]),
                proof_json=json_text(list(proof)),
                replaces=replaces,
                **by.entry(doing),
            )
        )


def write_correction(
    by: By, id: UUID, *, job: Job, words: str, replaces: Correction | None = None
) -> Correction:
    """Write what was done about the cause, and how it was verified."""
    by.must_work_on(job)
    if not words.strip():
        raise BenchError(
            "The correction is empty.",
            "It says what was done and how it was verified.",
            "Write it.",
        )
    asked = {"job": job.pk, "words": words, "replaces": replaces}
    with by.act("correction written", id, job=job, asked=asked) as doing:
        if doing.is_repeated:
            return Correction.objects.get(pk=id)
        must_be_open(job)
        last = replaces or standing_correction(job)
        if last is not None:
            must_stand(last, yours=words)
        return doing.add(
            Correction(
                id=id,
                job=job,
                words_aside=doing.words("correction", words),
                replaces=last,
                **by.entry(doing),
            )
        )


def standing_cause(job: Job) -> Cause | None:
    """Return the job's cause as it stands."""
    return (
        Cause.objects.select_related("statement_aside", "by")
        .filter(job=job, replaced_by=None)
        .order_by("received_at")
        .last()
    )


def standing_correction(job: Job) -> Correction | None:
    """Return the job's correction as it stands."""
    return (
        Correction.objects.select_related("words_aside", "by")
        .filter(job=job, replaced_by=None)
        .order_by("received_at")
        .last()
    )


def must_stand_alone(standing: Cause) -> None:
    """Refuse a second cause beside one that stands."""
    raise BenchError(
        "This job has a cause already.",
        "One cause stands at a time; a new one replaces it by name.",
        "Open the cause and name the new one there.",
    )


def _must_be_of(job: Job, readings: Sequence[Reading], photos: Sequence[Photo]) -> None:
    for row in (*readings, *photos):
        if row.job_id != job.pk:
            raise BenchError(
                "A reading or photo of another job is named.",
                "A cause is proved on its own vehicle.",
                "Choose one of this job.",
            )
        if type(row).objects.filter(replaces=row).exists():
            raise BenchError(
                "A reading or photo that was replaced is named.",
                "A cause rests on what stands.",
                "Choose the newer one.",
            )
