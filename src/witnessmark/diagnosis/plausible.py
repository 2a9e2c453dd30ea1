"""May a reading be as it was typed? Asked at the entry, before it is kept."""

from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Floats, meter_uncertainty
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary, Mixture
from witnessmark.diagnosis.kinds import VOLTS
from witnessmark.diagnosis.likelihood import SUPPLY_SHARES
from witnessmark.diagnosis.observations import TestReading
from witnessmark.diagnosis.outcomes import size, wanders
from witnessmark.errors import Question
from witnessmark.quantities import show

# The program's own choice: so wide that no honest reading of a fault on the sheet is asked about.
BEYOND_U: Final = 4.0  # standard uncertainties beyond what any fault gives
BEYOND_V: Final = 0.5  # V more: a charging current lifts one end of a ground cable by a few tenths
SHOWN_V: Final = 0.1  # V: to what a range is rounded in a sentence
KEEP: Final = "or enter it again to keep it."


def question_about(book: Dictionary, reading: TestReading) -> Question | None:
    """Return what to ask about a reading that no fault on the sheet gives; none if one may.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading as typed, of a point and state on the sheet.

    Returns
    -------
    Question
        In three sentences, ending with what to do at the vehicle; None for a believable reading,
        for a test lamp, and where a chattering relay lets the meter wander.
    """
    if reading.kind != VOLTS:
        return None
    volts, wandering = _given(book, reading)
    if wandering:
        return None
    where = f"{reading.point} against {reading.reference}" if reading.reference else reading.point
    return volts_question(where, reading.value, reading.resolution, volts)


def volts_question(
    where: str, reading_v: float, resolution_v: float, given_v: Floats
) -> Question | None:
    """Return what to ask about volts that lie outside all that a circuit can give there.

    Parameters
    ----------
    where
        The point, as a sentence names it.
    reading_v
        What was read. [V]
    resolution_v
        Step of the last digit typed. [V]
    given_v
        What the circuit gives there, healthy and with each fault, at each supply. [V]

    Returns
    -------
    Question
        None where the reading lies within, with room for the meter and the vehicle.

    Examples
    --------
    >>> print(volts_question("D", -3.0, 1.0, np.array([0.0, 12.6])))
    −3 V at D would mean the probes are swapped. It reads 0.0 V to 12.6 V there, whatever is at \
fault. Swap them and read again, or enter it again to keep it.
    >>> volts_question("D", -0.1, 0.1, np.array([0.0, 12.6])) is None
    True
    """
    low_v, high_v = float(given_v.min()), float(given_v.max())

    def fits(volts: float) -> bool:
        nearest_v = min(max(volts, low_v), high_v)
        room_v = BEYOND_V + BEYOND_U * float(meter_uncertainty(nearest_v, resolution_v))
        return abs(volts - nearest_v) <= room_v

    if fits(reading_v):
        return None
    said = f"{show(reading_v, 'V', resolution_v)} at {where}"
    least, most = (show(volts, "V", SHOWN_V) for volts in (low_v, high_v))
    given = f"It reads {least} to {most} there, whatever is at fault."
    if reading_v < low_v and fits(-reading_v):
        swapped = f"{said} would mean the probes are swapped."
        return Question(swapped, given, f"Swap them and read again, {KEEP}")
    if reading_v > high_v:
        above = f"{said} is higher than any fault on this sheet gives."
        return Question(above, given, f"See that no charger is on and read again, {KEEP}")
    below = f"{said} is lower than any fault on this sheet gives."
    return Question(below, given, f"Look at the point and the meter and read again, {KEEP}")


def _given(book: Dictionary, reading: TestReading) -> tuple[Floats, bool]:
    """Return all that the circuit gives at a point in a state, and whether a meter may wander."""
    healthy = Mixture(corner=np.array([[HEALTHY]]), weight=np.array([[1.0]]))
    test = reading.test
    volts = np.append(size(book, test)[book.known], size(book, test, healthy))
    wandering = bool(wanders(book, test)[book.known].any())
    return volts[:, None] * SUPPLY_SHARES[None, :], wandering
