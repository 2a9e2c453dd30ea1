from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.errors import BenchError, Question
from witnessmark.work.amounts import amount, amount_in_words
from witnessmark.work.ledger import Line, LineBalance, Movement, balance, check_movement
from witnessmark.work.steps import Closing, How, OldPart

BOLTS = Line(id="l1", what="Fan bolt", quantity=Decimal(6), place="Bag 31")
COOLANT = Line(
    id="l2",
    what="Coolant",
    how=How.DRAINED,
    quantity=amount("9,4 L", "L"),
    unit="L",
    place="Drum C2",
)
GASKET = Line(id="l3", what="Pump gasket", quantity=Decimal(1), place="Bin B", one_use=True)
JUMPER = Line(id="l4", what="Relay K3", how=How.JUMPERED, quantity=Decimal(1), place="Fuse box")


def move(line=BOLTS, count=1, kind=Closing.BACK_ON, old=None, id="m1") -> Movement:
    return Movement(id=id, line=line.id, kind=kind, quantity=Decimal(count), old=old)


def entered(line, *movements) -> LineBalance:
    return balance([line], movements).lines[0]


def test_a_ledger_with_something_off_does_not_balance():
    book = balance([BOLTS, COOLANT], [move(count=6)])

    assert not book.is_balanced
    assert (book.off_count, book.back_count, book.still_off_count) == (2, 1, 1)
    assert [one.line.what for one in book.lines] == ["Coolant", "Fan bolt"]
    assert book.by_place == (("Drum C2", (entered(COOLANT),)),)


def test_a_partial_return_says_what_is_still_off():
    entry = entered(BOLTS, move(count=4))

    assert entry.still_off_in_words == "2 of 6"
    assert not entry.is_closed
    assert entered(BOLTS, move(count=4), move(count=2, id="m2")).is_closed


def test_a_litre_and_its_tenths_come_out_at_nothing():
    thrice = [
        Movement(id=f"m{n}", line="l2", kind=Closing.REFILLED, quantity=amount(text, "L"))
        for n, text in enumerate(("3,1", "3.1", "3.2 L"))
    ]

    assert entered(COOLANT, *thrice).still_off == 0


def fill(text, id="m1") -> Movement:
    return Movement(id=id, line="l2", kind=Closing.REFILLED, quantity=amount(text, "L"))


def test_more_may_be_filled_in_than_came_out_and_is_asked_about():
    question = check_movement(entered(COOLANT), fill("9.9"))

    assert question is not None
    assert question.found == "9.4 L were drained, 9.9 L go in."
    assert "Is that right?" in question.do
    assert entered(COOLANT, fill("9.9")).is_closed


@pytest.mark.parametrize(
    ("entry", "movement", "said"),
    [
        (
            entered(COOLANT, fill("9")),
            fill("1 L", id="m2"),
            "9.4 L were drained, 10 L go in.",  # with what is in already
        ),
        (
            entered(replace(COOLANT, quantity=Decimal(1))),
            fill("1500 mL"),
            "1 L was drained, 1.5 L go in.",
        ),
        (
            entered(replace(COOLANT, quantity=Decimal("0.8"))),
            fill("1"),
            "0.8 L were drained, 1 L goes in.",
        ),
        (
            entered(BOLTS, move(count=4)),
            move(count=3, kind=Closing.NEW_FITTED, old=OldPart.SCRAPPED, id="m2"),
            "6 were taken off, 7 new ones go on.",
        ),
    ],
)
def test_what_is_asked_counts_all_that_goes_in(entry, movement, said):
    question = check_movement(entry, movement)

    assert question is not None
    assert question.found == said


@pytest.mark.parametrize("text", ["9.4", "4", "0.1 L", "9400 mL"])
def test_no_more_than_came_out_is_not_asked_about(text):
    assert check_movement(entered(COOLANT), fill(text)) is None


@pytest.mark.parametrize("text", ["94", "98 L", "9400"])
def test_ten_times_as_much_is_a_slip(text):
    with pytest.raises(BenchError, match="10 times as much, or more") as refused:
        check_movement(entered(COOLANT), fill(text))

    assert not isinstance(refused.value, Question)


@pytest.mark.parametrize(
    ("entry", "movement", "words"),
    [
        (entered(BOLTS), move(count=7), "7 of Fan bolt would come back and 6 is still off"),
        (entered(BOLTS, move(count=4)), move(count=3, id="m2"), "2 is still off"),
        (entered(BOLTS, move(count=6)), move(count=1, id="m2"), "0 is still off"),
        (entered(BOLTS), move(count=7), "correct the line in the ledger"),
        (entered(COOLANT, fill("9.4")), fill("1", id="m2"), "0 L is still off"),
        (entered(GASKET), move(GASKET), "one-use part and is never fitted again"),
        (entered(JUMPER), move(JUMPER), "What was jumpered is closed by: undone"),
        (entered(COOLANT), move(COOLANT), "What was drained is closed by: refilled"),
        (entered(BOLTS), move(kind=Closing.NEW_FITTED), "what became of the old one"),
    ],
)
def test_a_movement_that_cannot_be_is_refused_in_words(entry, movement, words):
    with pytest.raises(BenchError, match=words):
        check_movement(entry, movement)


def test_a_new_part_closes_the_line_and_says_what_became_of_the_old_one():
    new = move(GASKET, kind=Closing.NEW_FITTED, old=OldPart.SCRAPPED)

    check_movement(entered(GASKET), new)

    assert entered(GASKET, new).is_closed


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("0", "", "more than nothing"),
        ("2.5", "", "counted whole"),
        ("3 mm", "L", "needed here"),
        ("some", "", "number"),
    ],
)
def test_a_quantity_that_cannot_be_is_refused(text, unit, words):
    with pytest.raises(BenchError, match=words):
        amount(text, unit)


def test_quantities_are_printed_as_they_were_counted():
    assert amount_in_words(Decimal("10"), "") == "10"
    assert amount_in_words(Decimal("9.40"), "L") == "9.4 L"
    assert amount_in_words(Decimal("0"), "L") == "0 L"


@given(st.lists(st.integers(1, 9), max_size=8))
def test_accepted_movements_never_bring_back_more_than_was_off(counts):
    kept: list[Movement] = []
    for number, count in enumerate(counts):
        movement = move(count=count, id=f"m{number}")
        try:
            check_movement(entered(BOLTS, *kept), movement)
        except BenchError:
            continue
        kept.append(movement)

    entry = entered(BOLTS, *kept)
    assert entry.closed + entry.still_off == 6
