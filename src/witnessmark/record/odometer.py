"""What a vehicle has run: a distance, or the hours of a machine that counts those."""

import re
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.quantities import parse

DISTANCE: Final = "km"  # of a number without a unit too
HOURS: Final = "h"
_GROUPS: Final = re.compile(r"(?<=\d)\s(?=\d{3}(?!\d))")  # 96 240 km, as odometers are written


def must_be_odometer(text: str) -> None:
    """Refuse what is neither a distance nor hours; what is kept is the text as it was read."""
    if not _is_in(text, DISTANCE) and not counts_hours(text):
        raise BenchError(
            f"The odometer is “{text.strip()}”.",
            "It is a distance, as 96 240 km or 59 800 mi, or hours, as 1200 h of an hour meter.",
            "Read it again, or leave it empty if it cannot be read.",
        )


def counts_hours(text: str) -> bool:
    """Return whether a reading is that of an hour meter.

    >>> [counts_hours(text) for text in ("1 200 h", "1203,5 hours", "96 240 km", "1200", "")]
    [True, True, False, False, False]
    """
    return not _is_in(text, DISTANCE) and _is_in(text, HOURS)


def _is_in(text: str, unit: str) -> bool:
    try:
        found = parse(_GROUPS.sub("", text), unit)
    except BenchError:
        return False
    return unit != HOURS or found.unit == HOURS  # no meter counts minutes
