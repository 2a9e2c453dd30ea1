"""The teacher's mark on one subject, and the state it is in."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from witnessmark.work.steps import Hold


class MarkState(StrEnum):
    """What the stripe across a seam shows."""

    NONE = "none"  # no hold: nobody need look
    WITNESS = "witness"  # the teacher is told and may look
    HOLD = "hold"  # not yet
    CALLED = "called"
    WHOLE = "whole"
    BROKEN = "broken"  # something moved after it was marked
    AGAIN = "again"  # it broke and was seen again

    @property
    def word(self) -> str:
        """Return the word that stands beside the drawing."""
        return _WORDS[self]

    @property
    def is_seen(self) -> bool:
        """Return whether a mark stands and nothing has moved since."""
        return self in (MarkState.WHOLE, MarkState.AGAIN)


_WORDS = {
    MarkState.NONE: "no hold",
    MarkState.WITNESS: "witness",
    MarkState.HOLD: "hold",
    MarkState.CALLED: "called",
    MarkState.WHOLE: "whole",
    MarkState.BROKEN: "broken",
    MarkState.AGAIN: "marked again",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One signature, bound to the digest of what was shown; `form` is what was shown."""

    id: str
    subject: str  # id of the step, cause or release
    digest: str
    form: str  # canonical JSON
    by: str  # id of the teacher
    at: datetime
    same_person: bool = False  # who marked also did the work
    accepted: str = ""  # why 'too close to call' was accepted
    replaces: str | None = None


def mark_state(
    marks: Sequence[Mark], digest_now: str, hold: Hold = Hold.HOLD, called: bool = False
) -> MarkState:
    """Return the state of a subject from its marks and its digest as it is now.

    Parameters
    ----------
    marks
        Every mark that was ever made on the subject, oldest first.
    digest_now
        The digest of what would be shown now.
    hold
        Whether the subject asks for a mark; a cause and a release do.
    called
        Whether the teacher was called and has not answered yet.

    Returns
    -------
    MarkState
        The last mark decides. A mark that names one it replaces is a mark made again.

    Examples
    --------
    >>> mark_state([], "", called=True)
    <MarkState.CALLED: 'called'>
    """
    if marks:
        last = marks[-1]
        if last.digest != digest_now:
            return MarkState.BROKEN
        return MarkState.AGAIN if len(marks) > 1 else MarkState.WHOLE
    if hold is Hold.HOLD:
        return MarkState.CALLED if called else MarkState.HOLD
    return MarkState.WITNESS if hold is Hold.WITNESS else MarkState.NONE
