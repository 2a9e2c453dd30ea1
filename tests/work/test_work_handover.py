from dataclasses import replace
from decimal import Decimal

import pytest

from witnessmark.work.digest import digest
from witnessmark.work.handover import Card, CardStep, Stands, card_form, changed_parts
from witnessmark.work.ledger import Line, LineBalance, Movement
from witnessmark.work.steps import Closing, How

FAN = LineBalance(line=Line(id="l1", what="Fan", quantity=Decimal(1), place="Bin B"))
BOLTS = LineBalance(line=Line(id="l2", what="Fan bolt", quantity=Decimal(4), place="Bag 31"))
LEAD = LineBalance(
    line=Line(
        id="l3",
        what="Battery lead",
        how=How.DISCONNECTED,
        quantity=Decimal(1),
        place="tied back",
    )
)
TWO_BACK = Movement(id="m1", line="l2", kind=Closing.BACK_ON, quantity=Decimal(2))
STEPS = (
    CardStep(id="s1", number=1, stands=Stands.DONE),
    CardStep(id="s2", number=2, stands=Stands.TO_DO, left=3),
)
CARD = Card(job="job", off=(FAN, BOLTS, LEAD), steps=STEPS, notes=("aa" * 32,))
DONE, TO_DO = STEPS
ANOTHER_FAN = replace(FAN, line=replace(FAN.line, id="l4"))
CHANGED = {
    "something more off": ({"off": (*CARD.off, ANOTHER_FAN)}, "what is off"),
    "a part of it back": (
        {"off": (FAN, replace(BOLTS, movements=(TWO_BACK,)), LEAD)},
        "what is off",
    ),
    "all of it back": ({"off": (FAN, LEAD)}, "what is off"),
    "a reading taken": ({"steps": (DONE, replace(TO_DO, left=2))}, "step 2"),
    "a mark broken": ({"steps": (replace(DONE, stands=Stands.BROKEN), TO_DO)}, "step 1"),
    "a step done": ({"steps": (DONE, replace(TO_DO, stands=Stands.WAITS))}, "step 2"),
    "steps chosen anew": ({"steps": STEPS[:1]}, "the list of steps"),
    "a note": ({"notes": (*CARD.notes, "bb" * 32)}, "the notes"),
}


def test_what_is_looked_at_is_where_things_lie_and_each_unsafe_thing():
    assert [check.words for check in CARD.checks] == [
        "Bag 31 and Bin B are here",
        "Battery lead: disconnected, tied back",
    ]
    assert [check.words for check in replace(CARD, off=(FAN,)).checks] == ["Bin B is here"]
    assert replace(CARD, off=()).checks == ()


def test_each_check_has_a_key_of_its_own():
    keys = [check.key for check in CARD.checks]

    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize(("to", "words"), CHANGED.values(), ids=CHANGED.keys())
def test_each_change_to_the_card_gives_it_another_digest_and_is_named(to, words):
    seen, changed = card_form(CARD), card_form(replace(CARD, **to))

    assert digest(changed) != digest(seen)
    assert changed_parts(seen, changed) == (words,)


def test_several_changes_are_named_together():
    steps = tuple(replace(step, stands=Stands.WAITS, left=0) for step in STEPS)
    now = replace(CARD, off=(), steps=steps, notes=())

    parts = changed_parts(card_form(CARD), card_form(now))
    assert parts == ("what is off", "steps 1 and 2", "the notes")


def test_a_card_that_did_not_change_has_one_digest_in_any_order():
    turned = replace(CARD, off=CARD.off[::-1])

    assert digest(card_form(turned)) == digest(card_form(CARD))
    assert changed_parts(card_form(CARD), card_form(turned)) == ()


def test_no_text_that_a_person_typed_is_in_the_form():
    form = str(card_form(CARD))

    for typed in ("Fan", "Bag 31", "tied back"):
        assert typed not in form


def test_before_work_began_there_is_nothing_to_hand_over():
    to_do = replace(CARD, off=(), steps=STEPS[1:])

    assert not to_do.has_begun
    assert replace(to_do, off=(FAN,)).has_begun
    assert replace(to_do, steps=STEPS).has_begun
