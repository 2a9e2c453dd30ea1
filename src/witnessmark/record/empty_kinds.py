"""Which kinds of entry jobs have at all: one look, so that a page asks for no empty kind."""

from collections.abc import Iterable
from typing import Final

from django.db import connection

from witnessmark.record.core import JobRecord
from witnessmark.record.models import (
    AdviceSaid,
    Call,
    Cause,
    Complaint,
    Correction,
    Evidence,
    Job,
    LedgerLine,
    Mark,
    Movement,
    Note,
    Photo,
    Reading,
    Release,
    StepEvent,
    StoredVerdict,
    TakenOver,
)

KINDS: Final[dict[str, type[Evidence]]] = {  # by what a job's record calls them
    "readings": Reading,
    "photos": Photo,
    "notes": Note,
    "verdicts": StoredVerdict,
    "events": StepEvent,
    "calls": Call,
    "lines": LedgerLine,
    "movements": Movement,
    "marks": Mark,
    "causes": Cause,
    "corrections": Correction,
    "complaints": Complaint,
    "releases": Release,
    "taken_over": TakenOver,
    "said": AdviceSaid,
}


def skip_empty(records: Iterable[JobRecord]) -> None:
    """Let every kind be empty of which a job has no entry, without a query of its own.

    For pages, which only read: what is kept after this look would not be found.
    """
    by_job = {record.job.pk: record for record in records}
    there = _there(list(by_job))
    for pk, record in by_job.items():
        for name in KINDS:
            if (name, pk) not in there:
                record.__dict__.setdefault(name, [])


def _there(jobs: list[object]) -> set[tuple[str, object]]:
    """Return the kinds that jobs have, each with its job."""
    if not jobs:
        return set()
    to_job = Job._meta.pk
    values = [to_job.get_db_prep_value(pk, connection) for pk in jobs]
    back = dict(zip(map(str, values), jobs, strict=True))
    asked = ", ".join(["%s"] * len(values))
    looks = [
        f"SELECT DISTINCT '{name}', job_id FROM {model._meta.db_table} WHERE job_id IN ({asked})"  # noqa: S608 - names of our own tables
        for name, model in KINDS.items()
    ]
    with connection.cursor() as cursor:
        cursor.execute(" UNION ALL ".join(looks), values * len(KINDS))
        return {(name, back[str(job)]) for name, job in cursor.fetchall()}
