"""What a complaint means on a job's circuit sheet, where somebody has said it."""

from typing import Final

from witnessmark.record.models import Complaint, PinnedSheet

NONE_OF_IT: Final = ""  # somebody said that the sheet has none like it
_ONCE_NONE: Final = "none"  # how that was kept before a tie named its sheet


def key_on(row: Complaint, sheet: PinnedSheet) -> str | None:
    """Return the complaint of a sheet that a row is tied to; None where nobody has tied it to one.

    What was said of another sheet says nothing of this one, though both may have the same key.
    A row that was kept before a tie named its sheet is tied to the one that stood then.

    Parameters
    ----------
    row
        A complaint of the job.
    sheet
        A circuit sheet of the job.

    Returns
    -------
    str or None
        The key, or `NONE_OF_IT`.
    """
    if row.sheet_id is not None:
        return (row.key or NONE_OF_IT) if row.sheet_id == sheet.pk else None
    if row.key is None or row.received_at < sheet.at:
        return None
    return NONE_OF_IT if row.key == _ONCE_NONE else row.key
