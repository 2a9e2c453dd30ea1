"""Every sentence of Find, in one place."""

from collections.abc import Mapping, Sequence
from typing import Final

from witnessmark.diagnosis.dictionary import SOMETHING_ELSE, Dictionary, Place, Suspect
from witnessmark.diagnosis.forecast import Group
from witnessmark.diagnosis.observations import LAMP, Test

NARROW_V: Final = 0.1  # V: a range narrower than this is said as one value
Sides = Mapping[str, str]  # part -> "feed" or "ground", as seen from the complained load
_SIDE_WORDS = {"feed": "a bad feed", "ground": "a bad ground path"}
_AT_MOST = 3


def volts_words(low_v: float, high_v: float) -> str:
    """Return a range of volts as one says it: "1.4 to 5.2 V", or "0.1 V".

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
    >>> volts_words(0.10, 0.14)
    '0.1 V'
    """
    if high_v - low_v < NARROW_V:
        low_v = high_v = (low_v + high_v) / 2.0
    low, high = (f"{value:.1f}".replace("-0.0", "0.0") for value in (low_v, high_v))
    text = low if low == high else f"{low} to {high}"
    return f"{text} V".replace("-", "−")


def listed(words: Sequence[str], last: str = "or") -> str:
    """Return "a", "a or b", "a, b or c".

    Parameters
    ----------
    words
        The words.
    last
        The word before the last one.

    Examples
    --------
    >>> listed(["G7", "S9", "C4"])
    'G7, S9 or C4'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def suspect_words(suspect: Suspect) -> str:
    """Return a suspect as one names it: "G7, high resistance".

    Parameters
    ----------
    suspect
        The suspect.
    """
    if suspect.key == SOMETHING_ELSE:
        return "something not on the sheet"
    return f"{suspect.part}, {suspect.words}"


def group_words(
    book: Dictionary, numbers: Sequence[int], sides: Sides, say_how: bool = False
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
        Whether to say what is wrong with them, where it is the same with all.
    """
    suspects = [book.suspects[number] for number in numbers]
    parts = list(dict.fromkeys(suspect.part for suspect in suspects))
    if len(parts) == 1:
        modes = list(dict.fromkeys(suspect.words for suspect in suspects))
        return f"{parts[0]} ({listed(modes[:2])})"
    named = listed(parts)
    if len(parts) > _AT_MOST:
        more = len(parts) - _AT_MOST + 1
        named = f"{', '.join(parts[: _AT_MOST - 1])} or {more} others"
    how = {suspect.words for suspect in suspects}
    if say_how and len(how) == 1:
        named += f" ({how.pop()})"
    side = {sides.get(part, "") for part in parts}
    if len(side) == 1 and (words := _SIDE_WORDS.get(side.pop())):
        return f"{words}, {named},"
    return named


def where_words(place: Place) -> str:
    """Return a point as one says it: "E, motor −".

    Parameters
    ----------
    place
        The point.
    """
    return f"{place.letter}, {place.words}" if place.words else place.letter


def test_sentence(book: Dictionary, test: Test) -> str:
    """Return what to do, in one sentence.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    where = where_words(book.places[book.point(test.point)])
    setting = book.settings[book.state(test.state)].words
    if test.kind == LAMP:
        return f"Hold a test lamp from {where}, to {reference_words(book, test)}, with {setting}."
    against = f" against {test.reference}" if test.reference else ""
    return f"Measure volts at {where}{against}, with {setting}."


def reference_words(book: Dictionary, test: Test) -> str:
    """Return where the other probe goes.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    if not test.reference:
        return "battery negative"
    return where_words(book.places[book.point(test.reference)])


def entry_label(book: Dictionary, test: Test) -> str:
    """Return the label of the entry for a test.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    if test.kind == LAMP:
        return f"Test lamp at {test.point}, clip on {reference_words(book, test)}"
    return f"Reading at {test.point}, black probe on {reference_words(book, test)}"


def outcome_words(group: Group) -> str:
    """Return the outcome of a group of suspects: "1.4 to 5.2 V", "dark", "a wandering reading".

    Parameters
    ----------
    group
        The group.
    """
    if group.wanders:
        return "a wandering value"
    return group.outcome or volts_words(group.low_v, group.high_v)


def why_sentence(book: Dictionary, test: Test, found: Sequence[Group], sides: Sides) -> str:
    """Return why this test, in one or two sentences.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    found
        Credible suspects by what they would read.
    sides
        On which side of the complained load each part lies.
    """
    if not found:
        return "Why: no suspect on the sheet stands out yet."
    said = []
    parts = [{book.suspects[number].part for number in group.suspects} for group in found]
    for place, group in enumerate(found[:_AT_MOST]):
        # A part that would read one way if open and another way if only bad: say which is meant.
        others = parts[:place] + parts[place + 1 :]
        twice = any(parts[place] & other for other in others)
        who = group_words(book, group.suspects, sides, say_how=twice)
        if test.kind == LAMP:
            lamp = "the lamp would be" if place == 0 else "it would be"
            phrase = f"with {who.rstrip(',')} {lamp} {group.outcome}"
        else:
            there = " there" if place == 0 else ""
            phrase = f"{who} would read {outcome_words(group)}{there}"
        said.append(phrase if place == 0 else phrase[0].upper() + phrase[1:])
    if len(found) == 1:
        said.append("Anything else there would speak against it")
    return f"Why: {'. '.join(said)}."


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
