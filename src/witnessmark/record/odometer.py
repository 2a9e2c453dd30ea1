"""What a vehicle has run: a distance, or the hours of a machine that counts those."""

import re
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.quantities import Quantity, parse
from witnessmark.record.models import Job

DISTANCE: Final = "km"
HOURS: Final = "h"
UNITS: Final = (DISTANCE, "mi", HOURS)
ODOMETER: Final = "odometer"
HOUR_METER: Final = "hour meter"
AT_INTAKE: Final = "Read it again, or leave it empty if it cannot be read."
AT_HAND_BACK: Final = "Read it again. If it cannot be read, go on without it."
_GROUPS: Final = re.compile(r"(?<=\d)\s(?=\d{3}(?!\d))")  # 96 240 km, as odometers are written


def must_be_odometer(text: str, do: str = AT_INTAKE) -> None:
    """Refuse what is neither a distance nor hours, and what is below 0.

    Parameters
    ----------
    text
        A reading as it was typed: in km, mi or h, a number without a unit is a distance.
    do
        The last sentence of a refusal: what may be done where the meter cannot be read.

    Raises
    ------
    BenchError
        If it is empty, of another unit, or below 0.
    """
    typed, found = text.strip(), _read(text)
    if found is None:
        raise BenchError(
            f"The odometer is “{typed}”." if typed else "The odometer is empty.",
            "It is a distance in km or mi, as 96 240 km, or hours, as 1200 h of an hour meter.",
            do,
            field="odometer",
        )
    if found.value < 0:
        raise BenchError(
            f"The odometer is “{typed}”.",
            "No odometer and no hour meter stands below 0.",
            do,
            field="odometer",
        )


def must_be_same_meter(came_in: str, goes_out: str) -> None:
    """Refuse a distance of a machine that came in with hours, and hours of one with a distance.

    >>> must_be_same_meter("1 200 h", "1203,5 h")
    >>> must_be_same_meter("59 800 mi", "96 251 km")
    """
    before = _read(came_in)
    if before is None or counts_hours(came_in) == counts_hours(goes_out):
        return
    unit = before.unit or DISTANCE
    raise BenchError(
        f"It came in with {came_in}, and would go out with {goes_out.strip()}.",
        "Hours and a distance do not stand beside each other: both are read on the same meter.",
        f"Read that meter again, in {unit}. If it was the intake that was wrong, go on without it "
        "and write so into the correction.",
    )


def with_distance(text: str) -> str:
    """Return a reading at intake; a number without a unit is in km.

    >>> with_distance(" 184000"), with_distance("1203,5 h"), with_distance("cannot be read")
    ('184000 km', '1203,5 h', 'cannot be read')
    """
    typed, found = text.strip(), _read(text)
    return typed if found is None or found.unit else f"{typed} {DISTANCE}"


def with_unit(came_in: str, goes_out: str) -> str:
    """Return a reading at hand-back; one without a unit has that of the reading at intake.

    >>> with_unit("1 200 h", " 1 203,5 "), with_unit("1 200 h", "1203 hours")
    ('1 203,5 h', '1203 hours')
    >>> with_unit("59 800 mi", "59 812"), with_unit("", "59 812")
    ('59 812 mi', '59 812')
    """
    typed, found, before = goes_out.strip(), _read(goes_out), _read(came_in)
    if found is None or found.unit or before is None or not before.unit:
        return typed
    return f"{typed} {before.unit}"


def counts_hours(text: str) -> bool:
    """Return whether a reading is that of an hour meter.

    >>> [counts_hours(text) for text in ("1 200 h", "1203,5 hours", "96 240 km", "1200", "")]
    [True, True, False, False, False]
    """
    found = _read(text)
    return found is not None and found.unit == HOURS


def meter_of(job: Job) -> tuple[str, str]:
    """Return what the meter of a job's vehicle is called, and its unit; both where none was read.

    >>> meter_of(Job(odometer_out="1203 h")), meter_of(Job(odometer_in="59 800 mi"))
    (('hour meter', 'h'), ('odometer', 'mi'))
    >>> meter_of(Job())
    ('odometer or hour meter', 'km or h')
    """
    found = filter(None, map(_read, (job.odometer_in, job.odometer_out)))
    units = [one.unit or DISTANCE for one in found]
    if not units:
        return f"{ODOMETER} or {HOUR_METER}", f"{DISTANCE} or {HOURS}"
    return (HOUR_METER, HOURS) if HOURS in units else (ODOMETER, units[0])


def _read(text: str) -> Quantity | None:
    """What was read, its unit empty where none was typed; None of what no meter shows."""
    try:
        found = parse(_GROUPS.sub("", text))
    except BenchError:
        return None
    return found if found.unit in ("", *UNITS) else None
