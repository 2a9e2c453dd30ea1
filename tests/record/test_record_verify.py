"""What is edited behind the program's back is found and named."""

import json
from uuid import uuid4

import pytest
from django.db import connection

from tests.record.conftest import PINS, picture
from witnessmark.cli.main import main
from witnessmark.log.models import Aside, Entry
from witnessmark.record.acts.evidence import add_note, keep_reading
from witnessmark.record.acts.marks import mark_step
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.replay import kept_models
from witnessmark.record.verify import verify_record


@pytest.fixture
def whole(shop, started):
    """Return the shop with a marked step, a note and a photo; its record is whole."""
    by = shop.by(shop.isla)
    for position in ("1", "2"):
        keep_reading(by, uuid4(), step=started, key="bolt-torque", position=position, text="25.0")
    keep_photo(by, uuid4(), step=started, content=picture(), key="bolts")
    add_note(by, uuid4(), job=shop.job, step=started, words="flange was dry")
    mark_step(
        by,
        uuid4(),
        step=started,
        shown_digest=shop.shown(started),
        teacher=shop.teacher,
        pin=PINS["R. Aldane"],
    )
    assert verify_record() == ()
    return shop


def edit(sql: str, *values: object) -> None:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        assert cursor.rowcount == 1


def found() -> str:
    return " | ".join(finding.what for finding in verify_record())


def test_a_reading_edited_in_the_database_is_named_with_job_and_step(whole):
    edit("UPDATE record_reading SET text = '25.9' WHERE position = '1'")
    assert "J-101 Library bus, step 2 Torque pump bolts: Reading bolt-torque 1: " in found()
    assert "text is '25.9', entry" in found()
    assert "says '25.0'" in found()


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        ("record_storedverdict", "word", "outside"),
        ("record_mark", "same_person", True),
        ("record_note", "done_at", "2026-11-23 08:00:00"),
        ("record_photo", "key", "other"),
        ("record_complaint", "trust", "seen here"),
        ("record_ledgerline", "quantity", "9,5"),
        ("record_pinnedsheet", "text", "another sheet"),
    ],
)
def test_every_kind_of_row_is_compared_with_its_entry(whole, table, column, value):
    edit(f"UPDATE {table} SET {column} = %s WHERE id = (SELECT id FROM {table} LIMIT 1)", value)
    assert f": {column} is " in found()


def test_what_a_step_says_is_fixed(whole):
    edit("UPDATE record_step SET spec = replace(spec, '24 to 26', '20 to 30') WHERE position = 2")
    assert "step 2 Torque pump bolts: Step 2, Torque pump bolts: spec is " in found()


def test_a_row_that_was_deleted_is_missed(whole):
    edit("DELETE FROM record_storedverdict WHERE position = '2'")
    assert "of entry" in found()
    assert "is missing" in found()


def test_a_row_that_nobody_entered_is_found(whole):
    edit(
        "INSERT INTO people_permit (id, kind, level, at, by_id, person_id) "
        "SELECT %s, 'lift', 'allowed', '2026-11-24', id, id FROM people_person WHERE name = 'Tam'",
        uuid4().hex,
    )
    assert "has no entry in the log" in found()


def test_a_mark_whose_form_was_edited_is_found(whole):
    edit("UPDATE record_mark SET form = replace(form, '25.0', '24.9')")
    assert "does not fit the form that it keeps" in found()


def test_an_edited_entry_breaks_the_chain(whole):
    number = Entry.objects.get(verb="note added").number
    edit("UPDATE log_entry SET at = '2026-11-23 08:00:00' WHERE number = %s", number)
    assert f"Entry {number} (note added) was changed after it was made" in found()


def test_an_entry_and_its_digest_edited_together_break_the_chain_after_it(whole):
    from witnessmark.log.chain import digest_of

    entry = Entry.objects.get(verb="note added")
    entry.verb = "photo added"
    edit(
        "UPDATE log_entry SET verb = %s, digest = %s WHERE number = %s",
        entry.verb,
        digest_of(entry),
        entry.number,
    )
    assert f"Entry {entry.number + 1} does not follow from the one before it" in found()


def test_a_deleted_entry_is_missed(whole):
    entry = Entry.objects.filter(verb="step started").first()
    edit("DELETE FROM log_aside WHERE entry = %s", entry.id.hex)
    edit("DELETE FROM log_entry WHERE number = %s", entry.number)
    said = found()
    assert f"Entries {entry.number} to {entry.number} are missing" in said
    assert "has no entry in the log" in said


def test_an_entry_cut_off_at_the_end_is_missed(whole):
    last = Entry.objects.order_by("number").last()
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM log_aside WHERE entry = %s", [last.id.hex])
    edit("DELETE FROM log_entry WHERE number = %s", last.number)
    assert f"The log ends at entry {last.number - 1}; its head says {last.number}" in found()


def test_a_text_edited_beside_the_chain_is_found(whole):
    edit("UPDATE log_aside SET text = 'flange was wet' WHERE text = 'flange was dry'")
    assert "The text (note) beside entry" in found()


def test_a_text_that_disappeared_without_an_erasure_is_found(whole):
    edit("UPDATE log_aside SET text = NULL, salt = '' WHERE text = 'flange was dry'")
    assert "is gone unrecorded" in found()


def test_a_photo_changed_on_the_disk_is_found(whole, photo_folder):
    path = next(photo_folder.glob("*.jpg"))
    path.write_bytes(path.read_bytes() + b"x")
    assert "The photo beside entry" in found()
    path.unlink()
    assert "is missing" in found()


def test_the_command_names_what_was_edited_and_ends_with_one(whole, capsys):
    assert main(["verify"]) == 0
    assert "The record is whole" in capsys.readouterr().out
    edit("UPDATE record_reading SET text = '25.9' WHERE position = '1'")
    assert main(["verify", "--json"]) == 1
    report = json.loads(capsys.readouterr().out)
    assert not report["whole"]
    assert "Torque pump bolts" in report["findings"][0]["what"]


def test_a_folder_of_another_version_is_not_verified_with_this_ones_tables(whole, capsys):
    from django.db.migrations.recorder import MigrationRecorder

    MigrationRecorder.Migration.objects.filter(app="record").latest("id").delete()
    assert main(["verify"]) == 2
    assert "kept by another version" in capsys.readouterr().err


def test_every_row_that_is_only_added_is_verified():
    from django.apps import apps

    from witnessmark.log.added_only import AddedOnly

    added = {model for model in apps.get_models() if issubclass(model, AddedOnly)}
    assert added - set(kept_models()) == {Entry, Aside}
