"""What a learner may do in a practice case, what is refused, and the minutes it takes."""

from collections.abc import Sequence

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.kinds import (
    CLAMP,
    EVERYTHING,
    HEAT,
    JUMPER,
    KINDS,
    LAMPS,
    SWAP,
    VOLTS,
    WIGGLE,
)
from witnessmark.diagnosis.observations import Test, parse_test_key
from witnessmark.diagnosis.offers import menu_of, minutes_of, standing_after
from witnessmark.diagnosis.practice import Hidden
from witnessmark.diagnosis.refused import must_be_on_the_sheet, must_not_hurt
from witnessmark.diagnosis.watching import told_in
from witnessmark.errors import BenchError
from witnessmark.networks import Circuit


def refuse(circuit: Circuit, hidden: Hidden, test: Test) -> None:
    """Refuse a test that hurts, is not on the sheet, or cannot be done to this part.

    Parameters
    ----------
    circuit
        The circuit.
    hidden
        Its hidden fault, whose complaints say in which states a load can be watched.
    test
        The test.

    Raises
    ------
    BenchError
        With the reason, as Find gives it.
    """
    book = dictionary_of(circuit)
    must_be_on_the_sheet(book, test)
    must_not_hurt(book, test)
    if test.kind == VOLTS and test.point == test.reference:
        raise BenchError(
            f"Both probes are at {test.point}.",
            "Volts are between two points.",
            "Put one probe somewhere else.",
        )
    if test.kind in (VOLTS, JUMPER) or test.kind in LAMPS:
        must_be_complained_of = test.kind == JUMPER
    else:
        must_be_complained_of = test.kind in (WIGGLE, HEAT, SWAP)
        part = book.parts[book.part(test.part)]
        can = {WIGGLE: part.may_wiggle, SWAP: part.may_swap, CLAMP: part.may_clamp}
        if not can.get(test.kind, True):
            raise BenchError(
                f"{KINDS[test.kind].words}: {test.part}, a {part.kind}.",
                "With this part that is not done.",
                "Choose another test, or another part.",
            )
    states = told_in(book, hidden.complaints)
    if must_be_complained_of and test.state not in states:
        meant = " or ".join(book.settings[book.state(state)].words for state in states)
        raise BenchError(
            f"{KINDS[test.kind].words} in the state “{test.state}”.",
            "Nothing is complained of in that state, so nothing would show.",
            f"Do it with {meant}.",
        )
    known = menu_of(book, EVERYTHING, hidden.complaints).keys
    if test.kind == HEAT and test.key not in known:
        raise BenchError(
            f"Heat at {test.part}.",
            "A load gets warm by its work, and that tells nothing.",
            "Feel the joints, wires and contacts instead.",
        )


def minutes_taken(circuit: Circuit, earlier: Sequence[str], test: Test) -> float:
    """Return the minutes of a test after others; set-up and access are shared. [min]

    Parameters
    ----------
    circuit
        The circuit.
    earlier
        Keys of the tests done before, in their order.
    test
        The test.
    """
    last = standing_after([parse_test_key(key) for key in earlier])
    return minutes_of(dictionary_of(circuit), test, last)
