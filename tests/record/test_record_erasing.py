"""A person and an owner can be erased: their words are nowhere any more, and the record holds."""

from datetime import time, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.db import connection

from tests.record.conftest import PASSWORD, PINS, TUESDAY, picture, start_the_hold
from tests.record.test_record_release import mark_the_cause, release, work_through
from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.models import Aside, Entry
from witnessmark.log.sentences import sentence
from witnessmark.people.models import Guess
from witnessmark.people.sign_in import check_password, check_pin
from witnessmark.planning import problem_to_text
from witnessmark.record.acts import erasing
from witnessmark.record.acts.by import By
from witnessmark.record.acts.causes import name_cause, write_correction
from witnessmark.record.acts.evidence import add_note, correct_reading, keep_reading
from witnessmark.record.acts.intake import Intake, add_complaint, open_job, save_intake
from witnessmark.record.acts.ledger import correct_line, move, take_off
from witnessmark.record.acts.people import add_learner, add_teacher
from witnessmark.record.acts.photos import keep_photo, replace_photo
from witnessmark.record.acts.plans import queue_plan
from witnessmark.record.acts.school import add_periods
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.acts.steps import assign_crew
from witnessmark.record.core import load
from witnessmark.record.gate import release_state
from witnessmark.record.models import Job, LedgerLine, Owner
from witnessmark.record.names import names_for
from witnessmark.record.verify import verify_record
from witnessmark.record.weeks import weeks_ahead
from witnessmark.shop import clock
from witnessmark.shop.models import LibraryItem
from witnessmark.shop.periods import WeeklyPeriod
from witnessmark.work.marks import MarkState


def bytes_on_disk(folder: Path) -> bytes:
    """Return every byte of the database's files: rows, indexes, free pages, journal."""
    return b"".join(path.read_bytes() for path in sorted(folder.glob("shop.sqlite3*")))


def words_left(words: set[str], folder: Path) -> set[str]:
    held = bytes_on_disk(folder)
    return {word for word in words if word.encode() in held}


def put_back(shop):
    """Close the ledger line that Isla wrote, so that her words are not needed any more."""
    line = LedgerLine.objects.get(key="coolant")
    move(shop.by(shop.tam), uuid4(), line=line, kind="refilled")


LEARNER = {"Zephyrine Quillfeather", "QX-77131"}
LEARNERS_WORDS = {
    "odd spring clip",
    "blue tin by the window",
    "red tin by the window",
    "counted them twice",
    "hairline in the housing",
    "weeps when hot",
    "weeps only when hot",
    "squinted at it again",
    "my thumb hurt",
    "grainy picture of the flange",
    "sharper picture of the flange",
    "the first was blurred",
    "whistles at idle",
    "gasket split by frost",
    "fresh gasket from the drawer",
}


def write_everything(shop, step) -> None:
    """Let Isla type words wherever a learner can, beside what the gate asks for."""
    by, words = shop.by(shop.isla), {"step": step}
    line = take_off(
        by, uuid4(), what="odd spring clip", quantity="2", place="blue tin by the window", **words
    )
    line = correct_line(
        by,
        uuid4(),
        line=line,
        quantity="3",
        place="red tin by the window",
        reason="counted them twice",
    )
    move(by, uuid4(), line=line, kind="back on", step=step)
    look = keep_reading(
        by, uuid4(), key="hairline in the housing", outcome="weeps when hot", **words
    )
    correct_reading(
        by, uuid4(), reading=look, outcome="weeps only when hot", reason="squinted at it again"
    )
    add_note(by, uuid4(), job=shop.job, words="my thumb hurt", step=step)
    photo = keep_photo(
        by, uuid4(), content=picture(), caption="grainy picture of the flange", **words
    )
    replace_photo(
        by,
        uuid4(),
        photo=photo,
        content=picture("blue"),
        caption="sharper picture of the flange",
        reason="the first was blurred",
    )
    add_complaint(by, uuid4(), job=shop.job, words="whistles at idle", trust="seen here")


def own_words_of_the_job(shop) -> None:
    """Let Isla name the cause and the correction in words of her own."""
    by, record = shop.by(shop.isla), load(shop.job)
    cause = name_cause(
        by,
        uuid4(),
        job=shop.job,
        statement="gasket split by frost",
        how="evidence",
        readings=[row for row in record.readings if row.is_standing],
        replaces=record.cause,
    )
    mark_the_cause(shop, cause)
    write_correction(by, uuid4(), job=shop.job, words="fresh gasket from the drawer")


def test_of_a_learner_no_word_is_left_in_the_file_and_the_record_holds(shop_on_disk, tmp_path):
    shop = shop_on_disk
    shop.isla = add_learner(
        shop.by(shop.teacher),
        uuid4(),
        name="Zephyrine Quillfeather",
        section=shop.section,
        pin="2846",
        outside_id="QX-77131",
    )
    assign_crew(shop.by(shop.teacher), uuid4(), job=shop.job, people=[shop.isla, shop.tam])
    started = start_the_hold(shop)
    write_everything(shop, started)
    work_through(shop, started)
    own_words_of_the_job(shop)
    release(shop, "road test")
    release(shop)
    words = LEARNER | LEARNERS_WORDS
    assert words_left(words, tmp_path) == words
    erasing.erase_person(shop.by(shop.teacher), uuid4(), person=shop.isla, photos=True)
    assert words_left(words, tmp_path) == set()
    assert verify_record() == ()
    assert release_state(load(shop.job), "owner") is MarkState.WHOLE
    assert list((tmp_path / "photos").iterdir()) == []
    entries = list(Entry.objects.filter(job_id=shop.job.pk))
    said = [sentence(entry, names_for(entries)) for entry in entries]
    assert "Erased person took off 2 × (erased), (erased)." in said
    assert "Erased person read (erased), (erased), step 2." in said
    assert "Erased person corrected (erased), (erased) to (erased), step 2." in said
    assert "Erased person put back 3 × (erased)." in said


OWNERS_WORDS = {
    "Skerry Kitchen Trust",
    "555 0117-44",
    "Church Lane 9b",
    "Meals van",
    "Braemar",
    "twelve-and-a-half",
    "BRA-INVENTED-0117",
    "SP 117-X",
    "about 96 thousand",
    "96 410 km",
    "charge lamp glows",
    "crack in the right mirror",
    "two sets on hook 3",
    "fan hardly blows",
    "worse when it rains",
    "It was fine in summer",
}


def test_of_an_owner_and_the_vehicle_no_word_is_left_in_the_file(shop_on_disk, tmp_path):
    shop, by = shop_on_disk, By(person=shop_on_disk.teacher)
    typed = {
        "vehicle": "Meals van",
        "make": "Braemar",
        "model": "twelve-and-a-half",
        "serial": "BRA-INVENTED-0117",
        "plate": "SP 117-X",
        "owner_name": "Skerry Kitchen Trust",
        "owner_phone": "555 0117-44",
        "owner_address": "Church Lane 9b",
        "lamps": "charge lamp glows",
        "condition": "crack in the right mirror",
        "keys": "two sets on hook 3",
        "says": "The fan hardly blows.",
        "happens": "worse when it rains",
        "promised": clock.now() + timedelta(days=9),
    }
    shop.job = save_intake(by, uuid4(), intake=Intake(**typed, odometer="about 96 thousand"))
    open_job(
        by,
        uuid4(),
        job=shop.job,
        intake=Intake(**typed, odometer="96 410 km"),
        complaint="The fan hardly blows. It was fine in summer.",
        section=shop.section,
    )
    shop.job.refresh_from_db()
    assign_crew(by, uuid4(), job=shop.job, people=[shop.isla, shop.tam])
    procedure = LibraryItem.objects.get(kind="procedure")
    shop.steps = choose_procedure(by, uuid4(), job=shop.job, item=procedure)
    start_work(by, uuid4(), job=shop.job)
    _plan_with(shop, by)
    work_through(shop, start_the_hold(shop))
    release(shop, "road test")
    release(shop)
    assert words_left(OWNERS_WORDS, tmp_path) == OWNERS_WORDS
    owner = shop.job.vehicle.owner
    erasing.erase_owner(by, uuid4(), owner=owner, pin=PINS["R. Aldane"])
    assert words_left(OWNERS_WORDS, tmp_path) == set()
    assert verify_record() == ()
    assert release_state(load(shop.job), "owner") is MarkState.WHOLE
    shop.job.refresh_from_db()
    assert str(Job.objects.get(pk=shop.job.pk)) == "J-102 Erased vehicle"
    assert Owner.objects.get(pk=owner.pk).erased_at is not None


def _plan_with(shop, by) -> None:
    """Keep a plan of weeks with the vehicle in it: plans are kept, and name no vehicle."""
    day = clock.now().date()
    weekly = WeeklyPeriod(
        weekday=(day.weekday() + 1) % 7,
        number=1,
        start=time(8, 0),
        end=time(9, 20),
        section_id=shop.section.pk,
    )
    add_periods(by, uuid4(), pattern=[weekly], first=day)
    queue_plan(by, uuid4(), problem=problem_to_text(weeks_ahead(clock.now())))


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
        erasing.erase_owner(shop.by(shop.teacher), uuid4(), owner=owner, pin=PINS["R. Aldane"])
    work_through(shop, started)
    release(shop, "road test")
    release(shop)
    with pytest.raises(BenchError, match="not the PIN"):
        erasing.erase_owner(shop.by(shop.teacher), uuid4(), owner=owner, pin="0001")
    by, id, signed = shop.by(shop.teacher), uuid4(), {"owner": owner, "pin": PINS["R. Aldane"]}
    erasing.erase_owner(by, id, **signed)
    entries = chain.head()
    assert erasing.erase_owner(by, id, **signed) == owner
    with pytest.raises(BenchError, match="erased already"):
        erasing.erase_owner(by, uuid4(), **signed)
    assert chain.head() == entries
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
