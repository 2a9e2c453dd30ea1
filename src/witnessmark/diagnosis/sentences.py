"""The sentences of Find: what to do, where to type it, what it showed, and why."""

from collections.abc import Sequence

from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.forecast import Group
from witnessmark.diagnosis.kinds import (
    CLAMP,
    HEAT,
    JUMPER,
    KINDS,
    LAMP,
    LAMPS,
    LOOK,
    OHMS,
    SWAP,
    WIGGLE,
)
from witnessmark.diagnosis.observations import Test
from witnessmark.diagnosis.words import (
    AT_MOST,
    Sides,
    group_words,
    part_words,
    size_words,
    where_words,
)


def test_sentence(book: Dictionary, test: Test) -> str:
    """Return what to do, in one sentence.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    setting = book.settings[book.state(test.state)].words if test.state else ""
    if test.point:
        where = where_words(book.places[book.point(test.point)])
        if test.kind in LAMPS:
            tool = "a test lamp" if test.kind == LAMP else "an LED tester"
            return f"Hold {tool} from {where}, to {reference_words(book, test)}, with {setting}."
        if test.reference:
            return f"Measure volts from {where}, to {reference_words(book, test)}, with {setting}."
        return f"Measure volts at {where}, with {setting}."
    what = part_words(book.parts[book.part(test.part)])
    return {
        OHMS: f"Switch off, take {what} off its wires, and measure its ohms by itself.",
        CLAMP: f"Clamp the current in {what}, with {setting}.",
        WIGGLE: f"Wiggle {what} and its wires, with {setting}, and watch the load.",
        LOOK: f"Look at {what}: burnt, green, loose or broken?",
        HEAT: f"With {setting} for a minute, feel near {what} for heat, and smell.",
        SWAP: f"Put a known-good part in place of {what}, with {setting}.",
        JUMPER: f"Bridge {what} with a fused jumper lead, with {setting}, and watch the load.",
    }[test.kind]


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
    if test.kind in LAMPS:
        tool = "Test lamp" if test.kind == LAMP else "LED tester"
        return f"{tool} at {test.point}, clip on {reference_words(book, test)}"
    if test.point:
        return f"Reading at {test.point}, black probe on {reference_words(book, test)}"
    return {
        OHMS: f"Ohms of {test.part} by itself",
        CLAMP: f"Amps in {test.part}",
        WIGGLE: f"{test.part}, wiggled",
        LOOK: f"{test.part}, to the eye",
        HEAT: f"{test.part}, to the fingers and nose",
        SWAP: f"With a good part for {test.part}",
        JUMPER: f"With {test.part} bridged",
    }[test.kind]


def outcome_words(group: Group, kind: str) -> str:
    """Return the outcome of a group of suspects: "1.4 to 5.2 V", "dark", "a wandering value".

    Parameters
    ----------
    group
        The group.
    kind
        Kind of the test.
    """
    if group.wanders:
        return "a wandering value"
    if group.outcome:
        known = KINDS[kind]
        return dict(zip(known.outcomes, known.saying, strict=True))[group.outcome]
    return size_words(group.low, group.high, KINDS[kind].unit)


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
    parts = [{part for n in group.suspects for part in book.suspects[n].parts} for group in found]
    for place, group in enumerate(found[:AT_MOST]):
        # A part that would read one way if open and another way if only bad: say which is meant.
        others = parts[:place] + parts[place + 1 :]
        twice = any(parts[place] & other for other in others)
        who = group_words(book, group.suspects, sides, say_how=twice)
        shown = outcome_words(group, test.kind)
        if test.kind in LAMPS:
            lamp = "the lamp would be" if place == 0 else "it would be"
            phrase = f"with {who.rstrip(',')} {lamp} {shown}"
        elif KINDS[test.kind].unit:
            there = " there" if place == 0 else ""
            phrase = f"{who} would read {shown}{there}"
        else:
            phrase = f"{who.rstrip(',')} would mean {shown}"
        said.append(phrase if place == 0 else phrase[0].upper() + phrase[1:])
    if len(found) == 1:
        said.append("Anything else there would speak against it")
    return f"Why: {'. '.join(said)}."
