"""The sentences beside the two paths of a practice case's review."""

from collections.abc import Sequence
from typing import Protocol


class Named(Protocol):
    """A step of a path that has a belief in words."""

    @property
    def percent(self) -> str: ...


def beside_words(present: bool | None, may_be_away: bool, expected: str, is_own: bool) -> str:
    """Return what to say beside a test of a path, in whole sentences; empty where nothing is.

    Parameters
    ----------
    present
        Whether the complaint was there meanwhile; None where nobody watched or could see it.
    may_be_away
        Whether the complaint comes and goes, and might have been seen in that test.
    expected
        What the learner expected, as typed; empty where nothing was asked.
    is_own
        Whether the one who reads it did the test.

    Examples
    --------
    >>> beside_words(False, True, "about 7 V", is_own=True)
    'The complaint was away, so it clears nobody. You expected about 7 V.'
    >>> beside_words(None, True, "lit", is_own=False)
    'Not watched, so the complaint may have been away. Expected: lit.'
    >>> beside_words(True, True, "", is_own=True)
    ''
    """
    said = []
    if present is False:
        said.append("The complaint was away, so it clears nobody.")
    elif present is None and may_be_away:
        said.append("Not watched, so the complaint may have been away.")
    if expected:
        said.append(f"{'You expected' if is_own else 'Expected:'} {expected.rstrip('.')}.")
    return " ".join(said)


def best_words(proved: bool, last: Sequence[Named]) -> str:
    """Return how the best path ends.

    Parameters
    ----------
    proved
        Whether it proves the cause.
    last
        Its last step, if it has any.
    """
    if proved:
        return f"The best path ends with the cause named ({last[0].percent})."
    share = last[0].percent if last else "nothing"
    return (
        f"The best path ends at {share}: no test on the sheet tells the last suspects apart. "
        "Only trying a repair, or a point between them, would."
    )
