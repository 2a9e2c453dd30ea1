"""The handover card is confirmed by PIN at the vehicle; a change asks for it again."""

from datetime import timedelta
from uuid import uuid4

import pytest

from tests.record.conftest import PINS, TUESDAY
from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.models import Entry
from witnessmark.log.sentences import sentence
from witnessmark.people.models import Guess
from witnessmark.record.acts.by import Conflict, NotAllowed
from witnessmark.record.acts.evidence import add_note, keep_reading
from witnessmark.record.acts.handover import take_over
from witnessmark.record.acts.ledger import take_off
from witnessmark.record.core import load
from witnessmark.record.handover import handover_of
from witnessmark.record.models import Job, TakenOver
from witnessmark.record.names import names_for
from witnessmark.record.verify import verify_record
from witnessmark.shop import clock


def now(shop):
    return handover_of(load(shop.job))


def confirm(shop, who, *, id=None, **more):
    card = now(shop)
    facts = {
        "job": shop.job,
        "shown_digest": card.digest,
        "looked_at": [check.key for check in card.card.checks],
        "pin": PINS[who.name],
        **more,
    }
    return take_over(shop.by(who), id or uuid4(), **facts)


def test_a_crew_confirms_the_card_and_it_stands_until_something_changes(shop, started):
    assert not now(shop).is_confirmed and now(shop).last is None
    kept = confirm(shop, shop.isla)
    assert (kept.by, kept.device) == (shop.isla, shop.tablet)
    assert now(shop).confirmed == (kept,)
    with clock.at(TUESDAY + timedelta(minutes=4)):
        take_off(
            shop.by(shop.tam), uuid4(), step=started, what="Bolts", quantity="6", place="Bag 31"
        )
    changed = now(shop)
    assert (changed.is_confirmed, changed.last, changed.changed) == (False, kept, ("what is off",))
    with clock.at(TUESDAY + timedelta(minutes=9)):
        again = confirm(shop, shop.tam)
    assert now(shop).confirmed == (again,)
    assert TakenOver.objects.count() == 2
    assert verify_record() == ()


def test_a_reading_and_a_note_change_the_card(shop, started):
    confirm(shop, shop.isla)
    keep_reading(
        shop.by(shop.isla), uuid4(), step=started, key="bolt-torque", position="1", text="25.0"
    )
    add_note(shop.by(shop.isla), uuid4(), job=shop.job, words="mind the hose")
    assert now(shop).changed == ("step 2", "the notes")


def test_each_of_a_crew_confirms_once(shop, started):
    confirm(shop, shop.isla)
    confirm(shop, shop.tam)
    assert {row.by for row in now(shop).confirmed} == {shop.isla, shop.tam}
    with pytest.raises(BenchError, match="You have it already"):
        confirm(shop, shop.isla)
    assert TakenOver.objects.count() == 2


def test_confirming_sent_twice_is_answered_the_same_even_after_a_change(shop, started):
    id, card = uuid4(), now(shop)
    facts = {
        "shown_digest": card.digest,
        "looked_at": [check.key for check in card.card.checks],
    }
    first = confirm(shop, shop.isla, id=id, **facts)
    add_note(shop.by(shop.tam), uuid4(), job=shop.job, words="later")
    entries = chain.head()
    assert confirm(shop, shop.isla, id=id, **facts) == first
    assert chain.head() == entries


def test_a_card_that_changed_since_it_was_shown_keeps_nothing_and_uses_no_pin(shop, started):
    shown = now(shop).digest
    add_note(shop.by(shop.tam), uuid4(), job=shop.job, words="mind the hose")
    with pytest.raises(Conflict, match="changed after this page was opened"):
        confirm(shop, shop.isla, shown_digest=shown, pin="0001")
    assert not TakenOver.objects.exists()
    assert not Guess.objects.filter(wrong__gt=0).exists()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"looked_at": []}, "Coolant: drained, Drum C2” is not ticked"),
        ({"pin": "0001"}, "That is not the PIN"),
        ({"pin": PINS["Tam"]}, "That is not the PIN"),
    ],
)
def test_without_looking_or_ones_own_pin_nothing_is_kept(shop, started, more, said):
    with pytest.raises(BenchError, match=said):
        confirm(shop, shop.isla, **more)
    assert not TakenOver.objects.exists()


def test_who_is_not_on_the_job_takes_nothing_over(shop, started):
    with pytest.raises(NotAllowed, match="not in the crew"):
        confirm(shop, shop.mika)
    assert not TakenOver.objects.exists()


def test_a_vehicle_that_was_handed_back_is_not_taken_over(shop, started):
    Job.objects.filter(pk=shop.job.pk).update(closed_at=TUESDAY)
    with pytest.raises(BenchError, match="was handed back"):
        confirm(shop, shop.isla)


def test_the_log_says_who_has_it(shop, started):
    confirm(shop, shop.isla)
    entry = Entry.objects.get(verb="handover confirmed")
    assert sentence(entry, names_for([entry])) == (
        "Isla read the handover card at the vehicle and has it."
    )
