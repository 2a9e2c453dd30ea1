"""Which complaints of a job its cause explains, which it leaves, and which Find never looked at."""

from dataclasses import dataclass
from typing import Final

from witnessmark.record.core import JobRecord
from witnessmark.record.models import Cause, Complaint
from witnessmark.record.ties import key_on
from witnessmark.web.find_facts import Finding

CUSTOMER: Final = "the customer says"
NOT_LOOKED_AT: Final = "Not looked at in Find: "


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A standing complaint of a job, and what Find says of it.

    Attributes
    ----------
    words, who
        The complaint, and whether the owner says it or it was seen here.
    said
        Sentences on it; empty on a job without a circuit sheet.
    is_open
        Whether something of it stays unexplained as far as Find can say.
    """

    words: str
    who: str
    said: str
    is_open: bool


def told(record: JobRecord, found: Finding | None, cause: Cause | None) -> list[Told]:
    """Return the standing complaints of a job, each with what Find says of it."""
    return [_told(row, found, cause) for row in record.complaints if row.is_standing]


def own_words(record: JobRecord, found: Finding) -> list[tuple[Complaint, str]]:
    """Return what the owner says that is tied to the sheet, and what the sheet calls it.

    A complaint in the sheet's own words was tapped: of that nobody asks whether it says more.
    """
    return [
        (row, words)
        for row in record.complaints
        if row.is_standing
        and row.trust == CUSTOMER
        and (words := _on_sheet(row, found))
        and words != row.words
    ]


def _told(row: Complaint, found: Finding | None, cause: Cause | None) -> Told:
    said, is_open = ("", False) if found is None else _said(row, found, cause)
    return Told(words=row.words, who=row.who, said=said, is_open=is_open)


def _said(row: Complaint, found: Finding, cause: Cause | None) -> tuple[str, bool]:
    words = _on_sheet(row, found)
    if not words:
        none = key_on(row, found.sheet) is not None
        why = "the sheet has none like it." if none else "nobody said what it means on the sheet."
        return f"{NOT_LOOKED_AT}{why}", True
    explains = None if cause is None else _explains(row, found, cause)
    parts = [] if words == row.words else [f"On the sheet: {words}."]
    if explains is not None:
        parts.append("The cause explains it." if explains else "The cause does not explain it.")
    elif cause is not None:
        parts.append("Whether the cause explains it, Find does not say.")
    if words != row.words and row.trust == CUSTOMER:
        parts.append("Whatever else these words say was not looked at in Find.")
    return " ".join(parts), explains is not True


def _on_sheet(row: Complaint, found: Finding) -> str:
    """Return what the sheet calls a complaint; empty where it is not tied to it."""
    key = key_on(row, found.sheet)
    return next((one.words for one in found.circuit.complaints if one.key == key), "")


def _explains(row: Complaint, found: Finding, cause: Cause) -> bool | None:
    """Return whether the cause explains a complaint; None where no run has named it."""
    repair = next((one.repair for one in found.run.belief if one.key == cause.suspect), "")
    if cause.how != "find" or repair not in found.run.explains:
        return None
    return row.key in found.run.explains[repair]
