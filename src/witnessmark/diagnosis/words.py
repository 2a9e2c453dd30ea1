"""How Find says sizes, suspects, places and shares, in a few words."""

from collections.abc import Collection, Mapping, Sequence
from typing import Final

from witnessmark.diagnosis.dictionary import (
    SOMETHING_ELSE,
    Dictionary,
    PartPlace,
    Place,
    Suspect,
)
from witnessmark.diagnosis.kinds import (
    CLAMP,
    HEAT,
    JUMPER,
    LAMP,
    LED,
    LOOK,
    OHMS,
    SWAP,
    VOLTS,
    WATCH,
    WIGGLE,
)
from witnessmark.diagnosis.observations import Test
from witnessmark.quantities import listed

NARROW: Final = 0.1  # a range narrower than this is said as one value
Sides = Mapping[str, str]  # part -> "feed" or "ground", as seen from the complained load
_SIDE_WORDS = {"feed": "a bad feed", "ground": "a bad ground path"}
_SHORT: Final = {
    VOLTS: "",
    LAMP: ", test lamp",
    LED: ", LED tester",
    OHMS: "ohms by itself",
    CLAMP: "amps",
    WATCH: "watched",
    WIGGLE: "wiggled",
    LOOK: "to the eye",
    HEAT: "heat",
    SWAP: "with a good part",
    JUMPER: "bridged",
}
NAMED: Final = 3  # parts that one phrase names before it counts the others


def size_words(low: float, high: float, unit: str = "V", between: str = "to") -> str:
    """Return a range as one says it: "1.4 to 5.2 V", or "0.1 V".

    Parameters
    ----------
    low
        Lower end, in the unit given. [V], [A] or [Ω]
    high
        Upper end, in the same unit. [V], [A] or [Ω]
    unit
        The unit.
    between
        The word between the two ends.

    Examples
    --------
    >>> size_words(1.42, 5.18)
    '1.4 to 5.2 V'
    >>> size_words(0.10, 0.14)
    '0.1 V'
    >>> size_words(84.2, 85.1, "Ω")
    '84 to 85 Ω'
    """
    if high - low < NARROW:
        low = high = (low + high) / 2.0
    digits = 1 if unit == "V" or max(abs(low), abs(high)) < 20.0 else 0
    one, other = (f"{value:.{digits}f}".replace("-0.0", "0.0") for value in (low, high))
    text = one if one == other else f"{one} {between} {other}"
    return f"{text} {unit}".replace("-", "−")


def volts_words(low_v: float, high_v: float) -> str:
    """Return a range of volts as one says it.

    Parameters
    ----------
    low_v
        Lower end. [V]
    high_v
        Upper end. [V]

    Examples
    --------
    >>> volts_words(1.42, 5.18)
    '1.4 to 5.2 V'
    """
    return size_words(low_v, high_v, "V")


def suspect_words(suspect: Suspect) -> str:
    """Return a suspect as one names it: "G7, high resistance".

    Parameters
    ----------
    suspect
        The suspect.
    """
    if suspect.key == SOMETHING_ELSE:
        return "something not on the sheet"
    if len(suspect.parts) > 1:
        return f"{suspect.words}, both at once"
    return f"{suspect.part}, {suspect.words}"


def both_words(suspect: Suspect) -> str:
    """Return the part of a suspect, or both: "G7 with F3".

    Parameters
    ----------
    suspect
        The suspect.
    """
    return listed(suspect.parts, "with")


def group_words(
    book: Dictionary, numbers: Sequence[int], sides: Sides, say_how: Collection[str] = ()
) -> str:
    """Return suspects as one phrase: "a bad ground path, G7 or S9,".

    Parameters
    ----------
    book
        Dictionary of the circuit.
    numbers
        Numbers of the suspects, the likeliest first.
    sides
        On which side of the complained load each part lies.
    say_how
        Parts, or two as `both_words` says them, of which to say what is wrong with them.
    """
    suspects = [book.suspects[number] for number in numbers]
    parts = list(dict.fromkeys(both_words(suspect) for suspect in suspects))
    if len(parts) == 1 and len(suspects[0].parts) > 1:
        ways = dict.fromkeys(suspect.words for suspect in suspects)
        return f"{listed(list(ways)) if parts[0] in say_how else parts[0]} at once"
    if len(parts) == 1:
        modes = list(dict.fromkeys(suspect.words for suspect in suspects))
        return f"{parts[0]} ({listed(modes[:2])})"
    named = _named(suspects, parts, say_how)
    side = side_words(book, numbers, sides)
    return f"{side}, {named}," if side else named


def side_words(book: Dictionary, numbers: Sequence[int], sides: Sides) -> str:
    """Return on which side of the load several suspects lie: "a bad feed"; empty if not on one.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    numbers
        Numbers of the suspects.
    sides
        On which side of the complained load each part lies.
    """
    parts = {both_words(book.suspects[number]) for number in numbers}
    side = {sides.get(part, "") for part in parts}
    return _SIDE_WORDS.get(side.pop(), "") if len(parts) > 1 and len(side) == 1 else ""


def _named(suspects: Sequence[Suspect], parts: Sequence[str], say_how: Collection[str]) -> str:
    """Return the likeliest parts by name, and how many there are besides."""
    shown = parts if len(parts) <= NAMED + 1 else parts[:NAMED]
    others = [f"{len(parts) - len(shown)} others"] if len(shown) < len(parts) else []
    if len({suspect.words for suspect in suspects}) == 1 and all(one in say_how for one in parts):
        return f"{listed([*shown, *others])} ({suspects[0].words})"
    modes = {
        part: listed([one.words for one in suspects if both_words(one) == part])
        for part in shown
        if part in say_how
    }
    return listed([f"{part} ({modes[part]})" if part in modes else part for part in shown] + others)


def where_words(place: Place) -> str:
    """Return a point as one says it: "E, motor −".

    Parameters
    ----------
    place
        The point.
    """
    return f"{place.letter}, {place.words}" if place.words else place.letter


def part_words(part: PartPlace) -> str:
    """Return a part as one says it: "C4 connector".

    Parameters
    ----------
    part
        The part.
    """
    return f"{part.name} {part.words}" if part.words else f"{part.kind} {part.name}"


def minutes_words(minutes: float) -> str:
    """Return minutes as one says them.

    Parameters
    ----------
    minutes
        Minutes. [min]

    Examples
    --------
    >>> minutes_words(1.0), minutes_words(2.5)
    ('1 minute', '3 minutes')
    """
    whole = max(1, int(minutes + 0.5))
    return "1 minute" if whole == 1 else f"{whole} minutes"


def percent_words(share: float, least: str = "under 1%") -> str:
    """Return a share of belief in words.

    Parameters
    ----------
    share
        Share. [1]
    least
        What stands for less than one in a hundred.

    Examples
    --------
    >>> percent_words(0.543), percent_words(0.002), percent_words(0.999)
    ('54%', 'under 1%', 'over 99%')
    """
    if share < 0.01:
        return least
    return "over 99%" if share > 0.99 else f"{share * 100:.0f}%"


def what_words(places: Sequence[Place], parts: Sequence[PartPlace], test: Test) -> str:
    """Return a test as a line of readings names it: "E, motor −, test lamp".

    Parameters
    ----------
    places
        The points of the circuit.
    parts
        Its parts.
    test
        The test.
    """
    if test.part:
        part = next(part for part in parts if part.name == test.part)
        return f"{part_words(part)}, {_SHORT[test.kind]}"
    where = where_words(next(place for place in places if place.letter == test.point))
    if test.reference:
        where += f", against {test.reference}"
    return where + _SHORT[test.kind]
