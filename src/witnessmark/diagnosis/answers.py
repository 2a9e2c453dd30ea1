"""The sentences of Find's answers: odds of a common cause, twins, proof, notes of readings."""

from collections.abc import Sequence
from typing import Final

from witnessmark.diagnosis.dictionary import Dictionary, Place
from witnessmark.diagnosis.kinds import KINDS
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.watching import AMISS
from witnessmark.diagnosis.words import where_words
from witnessmark.quantities import listed

NOT_THERE: Final = "The complaint was not there."
ASK_WHEN: Final = " Ask the owner when it is, and say whether it comes and goes."


def between_words(parts: str, point: str) -> str:
    """Return what would tell twins apart.

    Parameters
    ----------
    parts
        The parts, as one names them.
    point
        Words of a point between them without a letter; empty if the sheet has none.
    """
    if point:
        return (
            f"No test on this sheet tells {parts} apart. A reading at “{point}” would: if a probe "
            "can reach it, give it a letter on the sheet."
        )
    return (
        f"No test on this sheet tells {parts} apart, and no point lies between them. Look at each, "
        "or swap one."
    )


def common_words(one: float, two: float, part: str, complaints: int) -> str:
    """Return the odds of one common cause against two, in one sentence.

    Parameters
    ----------
    one
        Belief in one common cause. [1]
    two
        Belief in two causes at once. [1]
    part
        Likeliest part of a common cause; empty if there is none.
    complaints
        How many complaints there are.

    Examples
    --------
    >>> common_words(0.9, 0.03, "G1", 2)
    'One common cause (G1 leads) is 30 times as likely as two causes at once for the 2 complaints.'
    """
    for_all = f"for the {complaints} complaints"
    if not part or one < 1e-4:
        return f"No single fault on the sheet explains the {complaints} complaints together."
    if two < 1e-4 or one > 99.0 * two:
        return f"One common cause ({part} leads) is nearly certain {for_all}."
    if 0.67 < one / two < 1.5:
        return f"One common cause ({part} leads) is as likely as two causes at once {for_all}."
    if one > two:
        times = f"{one / two:.0f}" if one / two >= 2 else f"{one / two:.1f}"
        return (
            f"One common cause ({part} leads) is {times} times as likely as two causes at once "
            f"{for_all}."
        )
    times = f"{two / one:.0f}" if two / one >= 2 else f"{two / one:.1f}"
    times = "over 99" if two / one > 99 else times
    return (
        f"Two causes at once are {times} times as likely as one common cause ({part} leads) "
        f"{for_all}."
    )


def proof_words(
    place: Place, low_v: float, high_v: float, setting: str, before: str, shows: str
) -> str:
    """Return what a reading must be after the repair, in one sentence.

    Parameters
    ----------
    place
        The point.
    low_v
        Lower end of the healthy range. [V]
    high_v
        Upper end of the healthy range. [V]
    setting
        Words of the operating state.
    before
        What the fault reads there; empty where it reads alike.
    shows
        Words of the complaint whose end it shows; empty if of no one in particular.
    """
    words = f"After the repair, {where_words(place)}, must read "
    words += f"{low_v:.2f} to {high_v:.2f} V with {setting}"
    if before:
        words += f"; the fault reads {before}"
    if shows:
        words += f". It shows that “{shows.rstrip('.')}” has gone"
    return f"{words}."


def exact_words(value: float, unit: str) -> str:
    """Return a healthy value beside a reading: "0.18 V".

    Parameters
    ----------
    value
        The value, in the unit given. [V], [A] or [Ω]
    unit
        The unit.
    """
    digits = 2 if unit == "V" or abs(value) < 10.0 else 1
    return f"{value:.{digits}f} {unit}".replace("-0.00", "0.00").replace("-", "−")


def note_words(
    book: Dictionary,
    reading: TestReading,
    questioned: bool,
    watched: Sequence[Observation] = (),
    again: bool = False,
) -> str:
    """Return what to know of a reading: that it fits nothing, or that it clears nobody.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading.
    questioned
        Whether it fits no suspect.
    watched
        Complaints whose load it watches, in their state.
    again
        Whether the same test was done twice and fits nobody either time.
    """
    if watched:
        if reading.outcome == AMISS:
            return ""
        nobody_said = any(one.comes_and_goes is None for one in watched)
        return f"{NOT_THERE}{ASK_WHEN if nobody_said else ''}"
    if reading.present is False:
        when = "before" if KINDS[reading.test.kind].changes_complaint else "during"
        return f"The complaint was away {when} this test, so it clears nobody."
    if not questioned:
        return ""
    if reading.point:
        near = [part.name for part in book.parts if reading.point in part.letters]
    else:
        near = [reading.part]
    named = listed(near, "and") if near else ""
    if again:
        check = f" Check the sheet's lines of {named}, and its wiring." if near else ""
        return f"Fits no suspect, and was taken twice.{check}"
    lines = f"; if it stays, check the sheet's lines of {named}" if near else ""
    return f"Fits no suspect. Take it again{lines}."
