"""Tests that are refused: not on the sheet, or they hurt a person or the vehicle."""

from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.kinds import CLAMP, JUMPER, KINDS, LAMP, LAMPS, OHMS, VOLTS, WATCH
from witnessmark.diagnosis.observations import Test, TestReading
from witnessmark.errors import BenchError


def check_reading(book: Dictionary, reading: TestReading) -> None:
    """Refuse a reading that this circuit cannot have, or a test that hurts.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading.

    Raises
    ------
    BenchError
        If its point, part or state is not on the sheet, the test hurts, or its volts are far
        above the supply's.
    """
    must_be_on_the_sheet(book, reading.test)
    must_not_hurt(book, reading.test)
    if reading.kind == VOLTS and not abs(reading.value) <= most_volts(book):
        said = reading.text if reading.text.endswith("V") else f"{reading.text} V"
        raise BenchError(
            f"The reading at {reading.point} is {said}.",
            f"This circuit has a supply of {book.supply_v:g} V.",
            "Check the scale of the meter and the decimal point, then read again.",
        )


def most_volts(book: Dictionary) -> float:
    """Return the volts above which nothing on a circuit is believed. [V]

    Parameters
    ----------
    book
        Dictionary of the circuit.
    """
    return 2.0 * book.supply_v + 4.0


def must_be_on_the_sheet(book: Dictionary, test: Test) -> None:
    """Refuse a test at a point, part or state that the circuit does not have.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.

    Raises
    ------
    BenchError
        If it is not on the sheet.
    """
    letters = [place.letter for place in book.places]
    for letter in (test.point, test.reference):
        if letter and letter not in letters:
            raise BenchError(
                f"The reading is at point {letter}.",
                f"The sheet has the points {', '.join(letters)}.",
                "Choose the point again.",
            )
    if test.part and test.part not in [part.name for part in book.parts]:
        raise BenchError(
            f"The test is of the part {test.part}.",
            f"The sheet has the parts {', '.join(part.name for part in book.parts)}.",
            "Choose the part again.",
        )
    names = [setting.name for setting in book.settings]
    if KINDS[test.kind].in_state and test.state not in names:
        raise BenchError(
            f'The reading at {test.place} was taken in the state "{test.state}".',
            f"The sheet has the states {', '.join(names)}.",
            "Choose the state again.",
        )
    if test.kind in LAMPS and (test.kind, test.reference) not in book.solved.lamp:
        raise BenchError(
            f"The test lamp is held between {test.point} and {test.reference or 'ground'}.",
            "Its clip must be on a post of the battery.",
            "Move the clip and look again.",
        )


def must_not_hurt(book: Dictionary, test: Test) -> None:
    """Refuse a test that would hurt somebody or something.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.

    Raises
    ------
    BenchError
        With the reason.
    """
    reason = why_not(book, test)
    if reason:
        found, _, do = reason.rpartition(". ")
        raise BenchError(f"{found}.", "Such a test is not done.", do)


def why_not(book: Dictionary, test: Test) -> str:
    """Return in a sentence or two why a test is not done; empty where it may be.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    if test.kind == LAMP:
        works = book.lamp_works.get((test.point, test.reference, test.state))
        if works:
            clip = test.reference or "ground"
            return (
                f"A bulb between {test.point} and {clip} switches {works} over, and what it feeds "
                "may start. Use a meter or an LED tester there."
            )
        return next((p.no_lamp for p in book.places if p.letter == test.point and p.no_lamp), "")
    if not test.part:
        return ""
    part = book.parts[book.part(test.part)]
    if test.kind == JUMPER:
        return part.no_jumper
    if test.kind == OHMS:
        if test.state:
            return (
                f"An ohmmeter on {part.name} in a live circuit reads nonsense and can be damaged. "
                "Switch off, take the part off its wires, and measure it by itself."
            )
        if part.ohm != part.ohm:  # NaN: an ohmmeter says nothing of it
            return (
                f"Ohms of {part.name}, a {part.kind}, tell nothing while it rests. "
                "Measure volts across it under load."
            )
    if test.kind == WATCH and not part.may_watch:
        return (
            f"Nobody sees or hears whether {part.name} works. "
            "Watch a lamp, a motor or another load that it feeds."
        )
    if test.kind == CLAMP and not part.may_clamp:
        return f"A clamp does not go round {part.name}. Clamp a wire that leads to it."
    return ""
