"""The facts of a fuse's drawing as rows: what fuse and wire do at each current."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Final

from witnessmark.wiring.protection import Guard, Protection
from witnessmark.wiring.sentences import amps_words, time_words

NOT_PROTECTED: Final = "Not protected"
SLOW_OVERLOAD: Final = "Slow overload"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A current to be shown: the load, a motor held still."""

    words: str
    current_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseLine:
    """One line of "Show as table": a current, what the fuse and what the wire do."""

    current: str
    words: str
    opens: str
    hurt: str
    verdict: str


def fuse_table(found: Protection, marks: Sequence[Mark] = ()) -> tuple[FuseLine, ...]:
    """Return the facts of the drawing as rows, by rising current.

    Parameters
    ----------
    found
        The pair, judged.
    marks
        Currents to be shown besides.

    Returns
    -------
    tuple of FuseLine
        The printed points of the band, the steady amps of the wire and the marks.
    """
    fuse, wire = found.fuse, found.wire
    rows = [
        (fuse.rating_a * point.times, f"{point.times:g} times the rating")
        for point in fuse.band.points
    ]
    rows.append((wire.amps.allowed_a, "what the wire bears for years"))
    rows += [(mark.current_a, mark.words) for mark in marks]
    return tuple(_line(found, amps, words) for amps, words in sorted(rows))


def _line(found: Protection, amps: float, words: str) -> FuseLine:
    least_s, most_s = found.fuse.least_s(amps), found.fuse.most_s(amps)
    hurt_s = found.wire.hurt_after_s(amps)
    if least_s == inf:
        opens = "never"
    elif most_s is None:
        opens = f"after {time_words(least_s)}, or never"
    else:
        opens = f"{time_words(least_s)} to {time_words(most_s)}"
    if hurt_s is None or (most_s is not None and most_s <= hurt_s):
        verdict = "protected"
    elif most_s is None and found.guard is not Guard.DOES_NOT:
        verdict = SLOW_OVERLOAD.lower()
    else:
        verdict = NOT_PROTECTED.lower()
    return FuseLine(
        current=amps_words(amps),
        words=words,
        opens=opens,
        hurt="never" if hurt_s is None else time_words(hurt_s),
        verdict=verdict,
    )
