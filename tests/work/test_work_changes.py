from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.work.changes import changes
from witnessmark.work.digest import cause_form, release_form, step_form
from work.evidence_seen import (
    BACK,
    CAUSE,
    NOT_BACK,
    NOTE,
    RELEASE,
    SEEN,
    TEXTS,
    TOUCHED,
    at,
    corrected,
    reading,
)

UTC = ZoneInfo("UTC")
MARKED_AT = at(10, 47)


def told(now, seen=SEEN, zone=UTC, seen_at=MARKED_AT, texts=TEXTS):
    found = changes(step_form(seen), step_form(now), zone, seen_at)
    return [one.filled(texts, "Tam").sentence for one in found]


def test_nothing_changed_is_no_change():
    assert told(SEEN) == []


def test_a_corrected_reading_is_told_as_at_the_bench():
    assert told(corrected()) == [
        "Bolt 3 was marked at 25 N·m. It was changed to 21 N·m at 10:52 by Tam.",
        "Bolt 3 was within. It is now outside.",
    ]


def test_the_change_has_old_and_new_for_the_page():
    [first, second] = changes(step_form(SEEN), step_form(corrected()), UTC, at(10, 47))

    assert (first.what, first.old, first.new) == ("Bolt 3", "25 N·m", "21 N·m")
    assert (first.who, first.at, first.entry) == ("person-tam", at(10, 52), "r2")
    assert (second.old, second.new) == ("within", "outside")


def test_set_back_is_told_as_two_changes():
    back = replace(
        corrected(),
        readings=(
            *corrected().readings,
            reading(id="r3", text="25", when=at(10, 58), replaces="r2"),
        ),
    )

    assert told(back) == [
        "Bolt 3 was marked at 25 N·m. It was changed to 21 N·m at 10:52 by Tam.",
        "Bolt 3 was changed again, to 25 N·m, at 10:58 by Tam.",
    ]


def test_a_corrected_line_and_a_movement_taken_back_are_told():
    [line] = SEEN.off
    fewer = replace(line, id="l9", quantity="5", done_at=at(11, 3), replaces=line.id)
    now = replace(SEEN, off=(line, fewer), moved=(BACK, NOT_BACK))
    old = f"{line.quantity}, Bag 31"

    assert told(now) == [
        "Fan bolt (2): back on at 11:00 by Tam.",
        f"Fan bolt ({old}) was corrected to 5, Bag 31 at 11:03 by Tam.",
        "Fan bolt (2): back on, taken back at 11:09 by Tam.",
    ]


def test_hours_are_the_shops_and_another_day_is_named():
    assert "at 11:52" in told(corrected(), zone=ZoneInfo("Europe/Berlin"))[0]
    yesterday = at(10, 47).replace(day=23)
    assert "on 24 Nov at 10:52" in told(corrected(), seen_at=yesterday)[0]


def test_added_evidence_is_told():
    more = replace(
        SEEN,
        readings=(*SEEN.readings, reading(id="r7", position="1", text="24", when=at(11, 1))),
        notes=(NOTE,),
        moved=(BACK,),
        photos=(
            *SEEN.photos,
            replace(SEEN.photos[0], id="p2", replaces="p1", done_at=at(14, 6)),
        ),
    )

    assert told(more) == [
        "A note was added at 11:00 by Tam, after it was seen.",
        "Fan bolt (2): back on at 11:00 by Tam.",
        "Bolt 1, 24 N·m, was added at 11:01 by Tam, after it was seen.",
        "A photo was replaced at 14:06 by Tam, after it was seen.",
    ]


def test_what_was_typed_stands_in_a_change_until_it_is_erased():
    later = replace(SEEN.off[0], id="l2", done_at=at(11, 0))
    more = replace(SEEN, off=(*SEEN.off, later))

    assert told(more) == ["Fan bolt (2, Bag 31) was taken off at 11:00 by Tam."]
    assert told(more, texts={}) == ["(erased) (2, (erased)) was taken off at 11:00 by Tam."]
    [change] = changes(step_form(SEEN), step_form(more), UTC, MARKED_AT)
    filled = change.filled(TEXTS)
    assert (filled.what, filled.new) == ("Fan bolt", "taken off: 2, Bag 31")


def test_a_look_is_told_in_its_own_words():
    look = reading(id="r8", text="", when=at(11, 0), what_digest="41" * 32, seen_digest="42" * 32)
    texts = {"41" * 32: "Lining, left rear", "42" * 32: "worn to the rivets"}

    assert told(replace(SEEN, readings=(*SEEN.readings, look)), texts=texts) == [
        "Lining, left rear, worn to the rivets, was added at 11:00 by Tam, after it was seen."
    ]


def test_an_entry_that_was_altered_in_place_is_named():
    altered = replace(SEEN, readings=(reading(text="21"),))

    assert told(altered) == ["Bolt 3 was seen as 25 N·m and is now 21 N·m, without a correction."]
    assert told(replace(SEEN, readings=())) == [
        "Bolt 3 was seen as 25 N·m and is now gone, without a correction."
    ]


def test_a_changed_limit_names_old_and_new():
    assert told(TOUCHED["the limit"]) == [
        "Bolt, limit was “24 to 26 N·m”. It is now “20 to 26 N·m”."
    ]


@pytest.mark.parametrize("touched", TOUCHED.values(), ids=TOUCHED.keys())
def test_whatever_moves_is_told(touched):
    assert all(sentence.endswith(".") for sentence in told(touched))
    assert told(touched)


def test_a_name_with_braces_in_it_is_written_as_it_is():
    [first, _] = changes(step_form(SEEN), step_form(corrected()), UTC, at(10, 47))

    assert first.filled({}, "{x} Tam").sentence.endswith("at 10:52 by {x} Tam.")


def test_a_cause_that_was_rewritten_is_told_without_its_words():
    now = cause_form(replace(CAUSE, statement_digest="00" * 32))

    [change] = changes(cause_form(CAUSE), now, UTC, at(10, 47))

    assert change.sentence == "Words of the cause: changed since."
    assert "00" * 32 not in repr(change)


def test_a_mark_that_broke_before_the_pin_is_told_at_the_release():
    now = release_form(replace(RELEASE, marks=(replace(RELEASE.marks[0], state="broken"),)))

    [change] = changes(release_form(RELEASE), now, UTC, at(10, 47))

    assert change.sentence == "The mark on Step 4 was whole. It is now broken."


@given(st.sets(st.sampled_from(sorted(TOUCHED)), min_size=1))
def test_several_changes_at_once_are_never_told_as_none(names):
    now = SEEN
    for name in names:
        touched = TOUCHED[name]
        fields = ("readings", "photos", "notes", "verdicts", "off", "moved", "ticks", "step")
        moved = {f: getattr(touched, f) for f in fields if getattr(touched, f) != getattr(SEEN, f)}
        now = replace(now, **moved)

    assert told(now)
