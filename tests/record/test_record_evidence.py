"""Readings, corrections, photos, notes: added, never changed in place."""

import io
import struct
import zlib
from uuid import uuid4

import pytest
from PIL import Image

from tests.record.conftest import picture
from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.added_only import ChangedInPlace
from witnessmark.log.models import Entry
from witnessmark.log.sentences import sentence
from witnessmark.record.acts.by import Conflict, NotAllowed
from witnessmark.record.acts.evidence import add_note, correct_reading, keep_reading
from witnessmark.record.acts.photos import keep_photo, replace_photo
from witnessmark.record.core import load
from witnessmark.record.models import Note, Photo, Reading, StoredVerdict
from witnessmark.record.names import names_for
from witnessmark.record.verify import verify_record


def read(shop, step, text, **more):
    return keep_reading(
        shop.by(shop.isla),
        more.pop("id", None) or uuid4(),
        step=step,
        key="bolt-torque",
        position=more.pop("position", "1"),
        text=text,
        instrument=shop.wrench,
        **more,
    )


def test_a_reading_is_kept_as_typed(shop, started):
    reading = read(shop, started, "25,0 Nm")
    reading.refresh_from_db()
    assert (reading.text, reading.unit, reading.phase) == ("25,0", "N·m", "as left")
    assert reading.shown == "25,0 N·m"
    assert (reading.by, reading.device) == (shop.isla, shop.tablet)
    assert verify_record() == ()


def test_a_reading_with_a_limit_stores_its_verdict_as_shown(shop, started):
    read(shop, started, "25.0")
    verdict = StoredVerdict.objects.get()
    assert (verdict.word, verdict.value) == ("within", "25.0 N·m")
    assert verdict.limit == "24 to 26 N·m"
    assert verdict.source == "invented"
    assert verdict.expanded.startswith("± ")


def test_a_reading_near_its_limit_is_too_close_to_call_until_it_is_read_again(shop, started):
    read(shop, started, "25.7")
    assert StoredVerdict.objects.get().word == "too close to call"
    for _ in range(3):
        read(shop, started, "25.5")
    standing = StoredVerdict.objects.get(replaced_by=None)
    assert len(standing.reading_ids) == 4
    assert StoredVerdict.objects.count() == 4


def test_a_verdict_is_not_computed_again_when_the_shop_changes_its_rule(shop, started):
    from witnessmark.shop.models import Shop

    read(shop, started, "25.0")
    Shop.objects.update(within_at=0.999999)
    assert load(shop.job).verdicts[0].word == "within"


def test_the_same_reading_sent_twice_is_answered_the_same(shop, started):
    id = uuid4()
    first = read(shop, started, "25.0", id=id)
    entries = chain.head()
    again = read(shop, started, "25.0", id=id)
    assert again == first
    assert (Reading.objects.count(), chain.head()) == (1, entries)


def test_one_id_with_other_content_is_refused(shop, started):
    id = uuid4()
    read(shop, started, "25.0", id=id)
    with pytest.raises(BenchError, match="already kept, with other content"):
        read(shop, started, "21.0", id=id)
    assert Reading.objects.get().text == "25.0"


def test_the_id_of_one_person_cannot_be_used_by_another(shop, started):
    id = uuid4()
    read(shop, started, "25.0", id=id)
    with pytest.raises(BenchError, match="already kept"):
        keep_reading(
            shop.by(shop.tam),
            id,
            step=started,
            key="bolt-torque",
            position="1",
            text="25.0",
            instrument=shop.wrench,
        )


def test_a_reading_that_is_no_number_is_refused_and_nothing_is_kept(shop, started):
    entries = chain.head()
    with pytest.raises(BenchError):
        read(shop, started, "about 25")
    assert (Reading.objects.count(), chain.head()) == (0, entries)


def test_a_lamp_has_an_outcome_and_no_value(shop, started):
    reading = keep_reading(
        shop.by(shop.isla),
        uuid4(),
        step=started,
        key="lamp E state=run",
        outcome="dim",
        present="yes",
    )
    assert (reading.shown, reading.text, reading.present) == ("dim", "", "yes")


def test_a_correction_names_the_reading_it_replaces_and_both_stay(shop, started):
    old = read(shop, started, "25.0")
    new = correct_reading(
        shop.by(shop.tam), uuid4(), reading=old, text="21", reason="misread the scale"
    )
    assert (new.replaces, new.reason) == (old, "misread the scale")
    standing = [row for row in load(shop.job).readings if row.is_standing]
    assert standing == [new]
    assert Reading.objects.get(pk=old.pk).text == "25.0"
    assert StoredVerdict.objects.get(replaced_by=None).word == "outside"
    entry = Entry.objects.get(verb="reading corrected")
    assert sentence(entry, names_for([entry])) == (
        "Tam corrected Bolt 1, 25.0 N·m to 21 N·m, step 2."
    )
    assert verify_record() == ()


def test_a_correction_needs_a_reason(shop, started):
    old = read(shop, started, "25.0")
    with pytest.raises(BenchError, match="no reason"):
        correct_reading(shop.by(shop.tam), uuid4(), reading=old, text="21", reason=" ")


def test_a_reading_that_someone_else_replaced_first_is_refused_and_both_are_shown(shop, started):
    old = read(shop, started, "25.0")
    first = correct_reading(shop.by(shop.tam), uuid4(), reading=old, text="21", reason="misread")
    with pytest.raises(Conflict, match="at 12:12, before you") as refused:  # the shop is in Oslo
        correct_reading(shop.by(shop.isla), uuid4(), reading=old, text="24.5", reason="misread")
    assert (refused.value.theirs, refused.value.yours) == (first, "24.5")
    assert Reading.objects.filter(replaces=old).count() == 1


@pytest.mark.parametrize("who", ["mika", "office"])
def test_who_is_not_in_the_crew_enters_nothing(shop, started, who):
    from witnessmark.record.acts.people import add_teacher

    person = (
        shop.mika
        if who == "mika"
        else add_teacher(
            shop.by(shop.teacher),
            uuid4(),
            name="Office",
            handle="office",
            password="three rusty spanners",
            pin="4961",
            role="office",
        )
    )
    with pytest.raises(NotAllowed):
        keep_reading(shop.by(person), uuid4(), step=started, key="bolt-torque", text="25")


def test_an_added_row_cannot_be_changed_or_deleted(shop, started):
    reading = read(shop, started, "25.0")
    reading.text = "26.0"
    with pytest.raises(ChangedInPlace):
        reading.save()
    with pytest.raises(ChangedInPlace):
        reading.save(update_fields=["text"])
    with pytest.raises(ChangedInPlace):
        reading.delete()
    with pytest.raises(ChangedInPlace):
        Reading.objects.filter(pk=reading.pk).update(text="26.0")
    with pytest.raises(ChangedInPlace):
        Reading.objects.all().delete()
    with pytest.raises(ChangedInPlace):
        started.readings.update(text="26.0")
    assert Reading.objects.get().text == "25.0"


def test_a_photo_is_made_anew_without_what_the_camera_wrote(shop, started, photo_folder):
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (68.0, 14.0, 3.0)}  # where it was taken
    exif[0x010F] = "Camera maker"
    sent = picture(exif=exif.tobytes(), comment=b"by Isla")
    assert b"Camera maker" in sent
    photo = keep_photo(
        shop.by(shop.isla), uuid4(), step=started, content=sent, key="bolts", caption="six bolts"
    )
    kept = (photo_folder / photo.file_name).read_bytes()
    with Image.open(io.BytesIO(kept)) as opened:
        assert (opened.format, opened.size) == ("JPEG", (60, 40))
        assert not opened.getexif()
        assert "comment" not in opened.info
    assert b"Camera maker" not in kept
    assert b"by Isla" not in kept
    assert photo.caption == "six bolts"
    assert verify_record() == ()


def test_a_large_photo_is_made_smaller(shop, started):
    out = io.BytesIO()
    Image.new("RGB", (3000, 1500)).save(out, format="JPEG")
    photo = keep_photo(shop.by(shop.isla), uuid4(), step=started, content=out.getvalue())
    assert (photo.width_px, photo.height_px) == (2000, 1000)


def test_a_file_that_is_no_photo_is_refused(shop, started):
    with pytest.raises(BenchError, match="not a photo"):
        keep_photo(shop.by(shop.isla), uuid4(), step=started, content=b"%PDF-1.7 not a photo")
    assert Photo.objects.count() == 0


def a_png(*chunks):
    """Return a PNG of these chunks."""
    body = b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + body


PIXELS = (b"IHDR", struct.pack(">IIBBBBB", 4, 4, 8, 2, 0, 0, 0))
BROKEN = {
    "a comment that unpacks to megabytes": a_png(
        PIXELS, (b"zTXt", b"k\0\0" + zlib.compress(b"a" * 5_000_000))
    ),
    "a head cut short": a_png((b"IHDR", b"\0\0")),
    "a size that no memory holds": a_png(
        (b"IHDR", struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0))
    ),
}


@pytest.mark.parametrize("content", BROKEN.values(), ids=BROKEN.keys())
def test_a_picture_made_to_break_the_reader_is_refused(shop, started, content):
    with pytest.raises(BenchError, match="not a photo"):
        keep_photo(shop.by(shop.isla), uuid4(), step=started, content=content)


def test_a_photo_is_replaced_by_a_new_entry(shop, started):
    old = keep_photo(shop.by(shop.isla), uuid4(), step=started, content=picture("red"), key="bolts")
    new = replace_photo(
        shop.by(shop.tam), uuid4(), photo=old, content=picture("blue"), reason="was blurred"
    )
    assert (new.replaces, new.key) == (old, "bolts")
    assert [row.pk for row in load(shop.job).photos if row.is_standing] == [new.pk]
    with pytest.raises(Conflict):
        replace_photo(
            shop.by(shop.isla), uuid4(), photo=old, content=picture("green"), reason="mine"
        )
    assert verify_record() == ()


def test_a_note_stands_beside_the_chain(shop, started):
    add_note(shop.by(shop.isla), uuid4(), job=shop.job, step=started, words="Ask Tam about it")
    note = Note.objects.get()
    assert note.words == "Ask Tam about it"
    assert not Entry.objects.filter(values__contains="Tam").exists()


def test_no_name_and_no_free_text_is_in_the_chain(shop, started):
    read(shop, started, "25.0")
    add_note(shop.by(shop.isla), uuid4(), job=shop.job, words="a word of Isla")
    everything = " ".join(Entry.objects.values_list("values", flat=True))
    for name in ("Aldane", "Isla", "Tam", "Mika", "Nell", "555 0114", "Island Library", "litre"):
        assert name not in everything


def test_nothing_is_entered_on_a_step_that_was_not_started(shop):
    step, by = shop.step("bolts"), shop.by(shop.isla)
    with pytest.raises(BenchError, match="Step 2 was not started"):
        keep_reading(by, uuid4(), step=step, key="bolt-torque", position="1", text="25.0")
    with pytest.raises(BenchError, match="Step 2 was not started"):
        keep_photo(by, uuid4(), step=step, content=picture())
    assert Reading.objects.count() == 0
