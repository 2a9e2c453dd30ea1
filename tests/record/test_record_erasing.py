"""A person and an owner can be erased: their words are nowhere any more, and the record holds."""

from uuid import uuid4

import pytest
from django.db import connection

from tests.record.conftest import PASSWORD, PINS, TUESDAY, picture
from tests.record.test_record_release import release, work_through
from witnessmark.errors import BenchError
from witnessmark.log.models import Aside
from witnessmark.people.models import Guess
from witnessmark.people.sign_in import check_password, check_pin
from witnessmark.record.acts import erasing
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.acts.ledger import correct_line, move
from witnessmark.record.acts.people import add_teacher
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.core import load
from witnessmark.record.models import LedgerLine
from witnessmark.record.verify import verify_record
from witnessmark.shop import clock
from witnessmark.work.marks import MarkState


def put_back(shop):
    """Close the ledger line that Isla wrote, so that her words are not needed any more."""
    line = LedgerLine.objects.get(key="coolant")
    move(shop.by(shop.tam), uuid4(), line=line, kind="refilled")


def test_a_person_is_erased_and_the_chain_still_verifies(shop, started, photo_folder):
    note = add_note(shop.by(shop.isla), uuid4(), job=shop.job, step=started, words="my thumb hurt")
    photo = keep_photo(shop.by(shop.isla), uuid4(), step=started, content=picture(), key="bolts")
    put_back(shop)
    erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla)
    shop.isla.refresh_from_db()
    assert (shop.isla.name, shop.isla.is_active) == ("Erased person", False)
    assert not check_pin(shop.isla, PINS["Isla"], None, TUESDAY).is_ok
    record = load(shop.job)
    assert [one.words for one in record.notes] == ["(erased)"]
    assert record.notes[0].pk == note.pk
    assert (photo_folder / photo.file_name).exists()
    assert verify_record() == ()


def test_a_persons_photos_are_erased_when_asked(
    shop, started, photo_folder, django_capture_on_commit_callbacks
):
    photo = keep_photo(shop.by(shop.isla), uuid4(), step=started, content=picture(), key="bolts")
    name = photo.file_name
    put_back(shop)
    with django_capture_on_commit_callbacks(execute=True):
        erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla, photos=True)
    assert not (photo_folder / name).exists()
    assert load(shop.job).photos[0].file_name is None
    assert verify_record() == ()


def test_a_mark_stays_whole_when_who_gave_the_evidence_is_erased(shop, started):
    work_through(shop, started)
    before = load(shop.job).states
    release(shop, "road test")
    release(shop)
    erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla)
    assert load(shop.job).states == before
    assert before[started.pk] is MarkState.WHOLE


def test_whose_words_say_where_a_part_lies_is_not_erased_before_it_is_back(shop, started):
    with pytest.raises(BenchError, match="Coolant of J-101 is still off"):
        erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla)
    line = LedgerLine.objects.get(key="coolant")
    line = correct_line(
        shop.by(shop.tam), uuid4(), line=line, quantity="9,4", place="Drum C3", reason="moved"
    )
    with pytest.raises(BenchError, match="Coolant of J-101 is still off"):  # still her word for it
        erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla)
    move(shop.by(shop.tam), uuid4(), line=line, kind="refilled")
    erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla)
    assert verify_record() == ()


def test_who_named_the_cause_is_not_erased_before_the_hand_back(shop, started):
    work_through(shop, started)
    with pytest.raises(BenchError, match="wrote the cause of J-101"):
        erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla)
    assert Aside.objects.filter(text="Seal worn").exists()


def test_an_owner_is_erased_after_hand_back_only(shop, started):
    owner = shop.job.vehicle.owner
    with pytest.raises(BenchError, match="has a vehicle here"):
        erasing.erase_owner(shop.by(shop.teacher), uuid4(), owner=owner)
    work_through(shop, started)
    release(shop, "road test")
    release(shop)
    erasing.erase_owner(shop.by(shop.teacher), uuid4(), owner=owner)
    owner.refresh_from_db()
    assert (owner.name, owner.phone) == ("", "")
    assert load(shop.job).complaints[0].words == "(erased)"
    assert verify_record() == ()


def test_of_an_erased_teacher_no_wrong_tries_are_kept(shop):
    by = shop.by(shop.teacher)
    other = add_teacher(by, uuid4(), name="M. Corse", handle="corse", password=PASSWORD, pin="8052")
    for _ in range(6):
        check_password("corse", "wrong", None, clock.now())
        check_pin(other, "9999", None, clock.now())
    assert Guess.objects.exclude(wait_until=None).count() == 2
    assert verify_record() == ()
    erasing.erase_person(by, uuid4(), person=other)
    assert not Guess.objects.exists()
    assert verify_record() == ()


def test_words_that_come_back_after_an_erasure_are_named(shop, started):
    add_note(shop.by(shop.isla), uuid4(), job=shop.job, words="my thumb hurt")
    [kept] = Aside.objects.filter(key="note").values()
    put_back(shop)
    erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla)
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE log_aside SET text = %s, salt = %s, erased_at = NULL WHERE id = %s",
            [kept["text"], kept["salt"], kept["id"].hex],
        )
        cursor.execute("UPDATE people_person SET name = 'Isla' WHERE name = 'Erased person'")
    said = [finding.what for finding in verify_record()]
    assert any("The text (note) beside entry" in one and "is back" in one for one in said)
    assert any("Person Isla: name is 'Isla', entry" in one for one in said)
    assert len(said) == 2
