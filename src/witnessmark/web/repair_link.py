"""The way from a cause to 'Size the repair', wherever the cause is shown."""

from dataclasses import dataclass

from witnessmark.errors import BenchError
from witnessmark.quantities import kind_of, parse
from witnessmark.record.core import JobRecord
from witnessmark.record.models import Reading
from witnessmark.web import places

ELECTRICAL = frozenset({"voltage", "current", "resistance"})


@dataclass(frozen=True, slots=True, kw_only=True)
class RepairLink:
    """Where the repair is sized, and whether the cause is known to be of a circuit."""

    url: str
    is_electrical: bool


def repair_link(record: JobRecord) -> RepairLink | None:
    """Return the link of a job whose cause is named.

    A cause from readings and photos leads there as one from a run does. Without a circuit sheet
    it is electrical if a reading that shows it is; else the link asks whether it is.
    """
    cause = record.cause
    if cause is None:
        return None
    shows = set(cause.reading_ids)
    return RepairLink(
        url=places.repair(record.job.number),
        is_electrical=record.sheet("circuit") is not None
        or any(_is_electrical(row) for row in record.readings if row.pk in shows),
    )


def _is_electrical(row: Reading) -> bool:
    try:
        return kind_of(row.unit or parse(row.text).unit) in ELECTRICAL
    except BenchError:
        return False
