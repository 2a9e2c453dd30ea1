"""The sentences of Find: what to do, and where to type what it showed."""

from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.kinds import (
    CLAMP,
    HEAT,
    JUMPER,
    LAMP,
    LAMPS,
    LOOK,
    OHMS,
    SWAP,
    WATCH,
    WIGGLE,
)
from witnessmark.diagnosis.observations import Test
from witnessmark.diagnosis.watching import should_run
from witnessmark.diagnosis.words import part_words, where_words


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
    if test.kind == WATCH:
        does = "work" if should_run(book, test) else "stay off"
        return f"With {setting}, watch {what}: does it {does} as it should?"
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
        WATCH: f"{test.part}, watched",
        WIGGLE: f"{test.part}, wiggled",
        LOOK: f"{test.part}, to the eye",
        HEAT: f"{test.part}, to the fingers and nose",
        SWAP: f"With a good part for {test.part}",
        JUMPER: f"With {test.part} bridged",
    }[test.kind]
