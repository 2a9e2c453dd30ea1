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
    the readings that show it tell: volts, amperes or ohms are of a circuit, bar or millimetres
    are not. Where only words and photos show it, the link asks.
    """
    cause = record.cause
    if cause is None:
        return None
    shows = set(cause.reading_ids)
    kinds = {_kind(row) for row in record.readings if row.pk in shows} - {""}
    is_electrical = record.sheet("circuit") is not None or not kinds.isdisjoint(ELECTRICAL)
    if kinds and not is_electrical:
        return None
    return RepairLink(url=places.repair(record.job.number), is_electrical=is_electrical)


def _kind(row: Reading) -> str:
    """Return what a reading measures; empty for a word."""
    try:
        return kind_of(row.unit or parse(row.text).unit)
    except BenchError:
        return ""
