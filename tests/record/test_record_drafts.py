"""Circuit sheets that are half done: kept as typed, never written over, ended once."""

from uuid import uuid4

import pytest

from tests.record.whole_shop import LAMP_SHEET
from witnessmark.errors import BenchError
from witnessmark.log.models import Entry
from witnessmark.record.acts.by import Conflict, NotAllowed
from witnessmark.record.acts.drafts import end_draft, keep_draft
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.verify import verify_record
from witnessmark.shop.library import half_done
from witnessmark.shop.models import CircuitDraft, LibraryItem


def keep(shop, text="[circuit]\n", *, draft_id=None, base="", title="Lamp", person=None):
    return keep_draft(
        shop.by(person or shop.teacher),
        uuid4(),
        draft_id=draft_id or uuid4(),
        title=title,
        text=text,
        base=base,
    )


def test_what_is_half_typed_is_kept_and_kept_again(shop):
    first = keep(shop, title="  ")
    assert str(first) == "a sheet without a name"
    again = keep(shop, LAMP_SHEET, draft_id=first.pk, base=first.digest)
    assert [draft.pk for draft in half_done()] == [first.pk]
    assert again.text == LAMP_SHEET
    assert CircuitDraft.objects.get().title == "Lamp"
    assert verify_record() == ()


def test_keeping_what_stands_already_says_nothing_in_the_log(shop):
    first = keep(shop)
    before = Entry.objects.count()
    keep(shop, draft_id=first.pk, base=first.digest)
    assert Entry.objects.count() == before


def test_sent_twice_it_is_kept_once(shop):
    by, id, draft_id = shop.by(shop.teacher), uuid4(), uuid4()
    for _ in range(2):
        keep_draft(by, id, draft_id=draft_id, title="Lamp", text="[circuit]\n")
    assert CircuitDraft.objects.count() == 1
    assert Entry.objects.filter(verb="circuit kept").count() == 1


def test_nobody_writes_over_what_another_has_kept_meanwhile(shop):
    first = keep(shop)
    keep(shop, "a = 1\n", draft_id=first.pk, base=first.digest)
    with pytest.raises(Conflict, match="kept this sheet while you were typing"):
        keep(shop, "b = 2\n", draft_id=first.pk, base=first.digest)
    assert CircuitDraft.objects.get().text == "a = 1\n"


def test_put_in_it_leaves_the_shelf_and_is_changed_no_more(shop):
    draft = keep(shop, LAMP_SHEET)
    by = shop.by(shop.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=LAMP_SHEET, name="x", draft=draft)
    assert half_done() == []
    assert CircuitDraft.objects.get().became == item
    with pytest.raises(Conflict, match="in the Library as Work lamp, version 1"):
        keep(shop, "a = 1\n", draft_id=draft.pk, base=draft.digest)
    with pytest.raises(Conflict, match="One that has ended"):
        end_draft(by, uuid4(), draft=draft)
    assert verify_record() == ()


def test_what_is_refused_leaves_the_draft_on_the_shelf(shop):
    draft = keep(shop)
    with pytest.raises(BenchError):
        put_in_library(
            shop.by(shop.teacher),
            uuid4(),
            kind="circuit",
            text="[circuit]\n",
            name="x",
            draft=draft,
        )
    assert half_done() == [draft]
    assert not LibraryItem.objects.filter(kind="circuit").exists()


def test_taken_off_the_shelf_its_text_stays_on_record(shop):
    draft = keep(shop, LAMP_SHEET)
    end_draft(shop.by(shop.teacher), uuid4(), draft=draft)
    assert half_done() == []
    assert CircuitDraft.objects.get().text == LAMP_SHEET


def test_a_learner_enters_no_sheet(shop):
    with pytest.raises(NotAllowed, match="Only a teacher may enter a circuit sheet"):
        keep(shop, person=shop.isla)
    draft = keep(shop)
    with pytest.raises(NotAllowed):
        end_draft(shop.by(shop.isla), uuid4(), draft=draft)
