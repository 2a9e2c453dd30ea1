"""Is the record as it was written? Chain, rows, marks and photos against each other."""

from collections.abc import Iterable, Iterator
from uuid import UUID

from django.apps import apps
from django.db import transaction

from witnessmark.log import chain
from witnessmark.log.chain import Finding
from witnessmark.record.models import Job, Mark, Photo, PracticeCase, Step
from witnessmark.record.replay import verify_rows
from witnessmark.work.digest import text_digest


def verify_record() -> tuple[Finding, ...]:
    """Recompute everything that can be recomputed; return what does not agree, each named.

    The head is held meanwhile, so that nobody writes between one look and the next.
    """
    with transaction.atomic():
        chain.lock_head()
        findings = [
            *chain.verify(),
            *verify_rows(),
            *_verify_marks(),
            *_verify_photos(),
            *_verify_seals(),
        ]
        return tuple(_placed(findings))


def _verify_marks() -> Iterator[Finding]:
    for mark in Mark.objects.iterator():
        if text_digest(mark.form) != mark.digest:
            yield Finding(
                what=f"The mark {mark.digest[:8]} does not fit the form that it keeps.",
                job_id=mark.job_id,
                subject_kind="mark",
                subject_id=mark.pk,
            )


def _verify_photos() -> Iterator[Finding]:
    for photo in Photo.objects.select_related("picture_aside").iterator():
        if photo.digest != photo.picture_aside.digest:
            yield Finding(
                what=f"Photo {photo.pk} is tied to another picture than it was kept with.",
                job_id=photo.job_id,
                subject_kind="photo",
                subject_id=photo.pk,
            )


def _verify_seals() -> Iterator[Finding]:
    for case in PracticeCase.objects.iterator():
        if text_digest(case.secret) != case.seal:
            yield Finding(
                what=f"The seal of {case} does not fit what was hidden.",
                subject_kind="practicecase",
                subject_id=case.pk,
            )


def _placed(findings: Iterable[Finding]) -> Iterator[Finding]:
    """Put the job, and the step where there is one, in front of each sentence."""
    found = list(findings)
    jobs = Job.objects.select_related("vehicle").in_bulk({f.job_id for f in found if f.job_id})
    for finding in found:
        job = jobs.get(finding.job_id) if finding.job_id else None
        step = _step_of(finding)
        place = ", ".join(
            part
            for part in (
                "" if job is None else str(job),
                "" if step is None else f"step {step.position} {step.title}",
            )
            if part
        )
        yield Finding(
            what=f"{place}: {finding.what}" if place else finding.what,
            entry=finding.entry,
            job_id=finding.job_id,
            subject_kind=finding.subject_kind,
            subject_id=finding.subject_id,
        )


def _step_of(finding: Finding) -> Step | None:
    if not finding.subject_kind or finding.subject_id is None:
        return None
    if finding.subject_kind == "step":
        return Step.objects.filter(pk=finding.subject_id).first()
    try:
        model = apps.get_model("record", finding.subject_kind.removeprefix("record."))
    except LookupError:
        return None
    row = model._base_manager.filter(pk=finding.subject_id).first()
    step_id: UUID | None = getattr(row, "step_id", None)
    if isinstance(row, Mark) and row.subject_kind == "step":
        step_id = row.subject_id
    return None if step_id is None else Step.objects.filter(pk=step_id).first()
