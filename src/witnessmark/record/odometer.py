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


def must_be_same_meter(came_in: str, goes_out: str) -> None:
    """Refuse a distance of a machine that came in with hours, and hours of one with a distance.

    >>> must_be_same_meter("1 200 h", "1203,5 h")
    >>> must_be_same_meter("59 800 mi", "96 251 km")
    """
    is_known = _is_in(came_in, DISTANCE) or counts_hours(came_in)
    if not is_known or counts_hours(came_in) == counts_hours(goes_out):
        return
    typed = goes_out.strip()
    unit = HOURS if counts_hours(came_in) else DISTANCE
    if unit == HOURS and _is_in(typed, HOURS, is_bare=True):
        raise BenchError(
            f"“{typed}” has no unit, and the machine came in with {came_in}.",
            "Its hours stand beside each other on the hand-back paper.",
            f"Write {typed} {unit}, if that is what its hour meter says.",
        )
    raise BenchError(
        f"It came in with {came_in}, and would go out with {typed}.",
        "Hours and a distance do not stand beside each other: both are read on the same meter.",
        f"Read that meter again, in {unit}. If it was the intake that was wrong, leave this empty "
        "and write so into the correction.",
    )


def counts_hours(text: str) -> bool:
    """Return whether a reading is that of an hour meter.

    >>> [counts_hours(text) for text in ("1 200 h", "1203,5 hours", "96 240 km", "1200", "")]
    [True, True, False, False, False]
    """
    return not _is_in(text, DISTANCE) and _is_in(text, HOURS)


def _is_in(text: str, unit: str, is_bare: bool = False) -> bool:
    try:
        found = parse(_GROUPS.sub("", text), unit)
    except BenchError:
        return False
    if is_bare:
        return _is_in(text, DISTANCE)  # only a number without a unit is both
    return unit != HOURS or found.unit == HOURS  # no meter counts minutes
