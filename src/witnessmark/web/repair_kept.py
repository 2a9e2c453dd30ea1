"""The answers of 'Size the repair' that a job keeps: by whom, when, in which words."""

from dataclasses import dataclass

from witnessmark.record.core import JobRecord
from witnessmark.record.models import Note
from witnessmark.wiring.mending import NOTE


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """An answer as it was kept.

    Attributes
    ----------
    row
        The note that keeps it.
    where
        With which step, or with the job.
    answer
        The answer in one sentence.
    lines
        What was kept with it.
    """

    row: Note
    where: str
    answer: str
    lines: tuple[str, ...]


def kept_of(record: JobRecord) -> tuple[Kept, ...]:
    """Return the answers that stand, the newest first."""
    rows = [one for one in record.notes if one.is_standing and one.words.startswith(NOTE)]
    return tuple(_kept(record, row) for row in reversed(rows))


def _kept(record: JobRecord, row: Note) -> Kept:
    answer, *lines = row.words.removeprefix(NOTE).splitlines()
    step = next((one for one in record.steps if one.pk == row.step_id), None)
    where = f"step {step.position}" if step else "the job"
    return Kept(row=row, where=where, answer=answer, lines=tuple(lines))
