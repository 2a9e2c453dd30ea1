"""Is the record as it was written? Chain, rows, marks and photos against each other."""

import hashlib
from collections.abc import Iterable, Iterator
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db import models, transaction

from witnessmark.log import chain
from witnessmark.log.added_only import AddedOnly, PinnedColumns
from witnessmark.log.chain import Finding
from witnessmark.log.models import Aside, Entry
from witnessmark.record.models import Job, Mark, Photo, Step

Said = dict[tuple[str, str], tuple[Entry, dict[str, Any]]]


def verify_record() -> tuple[Finding, ...]:
    """Recompute everything that can be recomputed; return what does not agree, each named.

    The head is held meanwhile, so that nobody writes between one look and the next.
    """
    with transaction.atomic():
        chain.lock_head()
        return _verify()


def _verify() -> tuple[Finding, ...]:
    findings = [*chain.verify()]
    said, unreadable = _what_entries_say()
    findings += unreadable
    for model in kept_models():
        findings += _verify_rows(model, said)
    for (label, pk), (entry, _) in said.items():
        findings.append(
            Finding(
                what=f"{_kind(label)} {pk} of entry {entry.number} is missing.",
                entry=entry.number,
                job_id=entry.job_id,
                subject_kind=label,
            )
        )
    findings += _verify_marks()
    findings += _verify_photos()
    return tuple(_placed(findings))


def kept_models() -> list[type[models.Model]]:
    """Return the models whose rows, or fixed columns, the log says."""
    return [
        model
        for model in apps.get_models()
        if issubclass(model, AddedOnly | PinnedColumns) and model not in (Entry, Aside)
    ]


def _what_entries_say() -> tuple[Said, list[Finding]]:
    said: Said = {}
    unreadable = []
    for entry in Entry.objects.order_by("number").iterator():
        try:
            rows = entry.facts().get("rows", [])
            said.update({(label, row["id"]): (entry, row) for label, row in rows})
        except (ValueError, KeyError, TypeError, AttributeError):
            unreadable.append(
                Finding(
                    what=f"What entry {entry.number} says of its rows cannot be read.",
                    entry=entry.number,
                    job_id=entry.job_id,
                )
            )
    return said, unreadable


def _verify_rows(model: type[models.Model], said: Said) -> Iterator[Finding]:
    label, kind = model._meta.label_lower, _kind(model._meta.label_lower)
    for row in model._base_manager.iterator():
        entry, then = said.pop((label, str(row.pk)), (None, {}))
        where = {
            "job_id": getattr(row, "job_id", None),
            "subject_kind": model._meta.model_name or "",
            "subject_id": row.pk,
        }
        if entry is None:
            yield Finding(what=f"{kind} {row.pk} has no entry in the log.", **where)
            continue
        now = row.said()  # type: ignore[attr-defined]
        for column in sorted(now.keys() | then.keys()):
            if now.get(column) != then.get(column):
                yield Finding(
                    what=(
                        f"{kind} {_name(row)}: {column} is {_shown(now.get(column))}, "
                        f"entry {entry.number} says {_shown(then.get(column))}."
                    ),
                    entry=entry.number,
                    **where,
                )


def _verify_marks() -> Iterator[Finding]:
    for mark in Mark.objects.iterator():
        if hashlib.sha256(mark.form.encode()).hexdigest() != mark.digest:
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


def _kind(label: str) -> str:
    return str(apps.get_model(label)._meta.verbose_name).capitalize()


def _name(row: models.Model) -> str:
    """Return what people call the row: the key of a reading, else its id's first signs."""
    key = getattr(row, "key", "") or getattr(row, "what", "")
    position = getattr(row, "position", "")
    return f"{key} {position}".strip() if key else str(row.pk)[:8]


def _shown(value: Any) -> str:
    text = "nothing" if value in (None, "") else f"'{value}'"
    return text if len(text) <= 60 else text[:56] + "…'"
