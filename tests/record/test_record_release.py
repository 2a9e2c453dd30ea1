"""Ledger, gate, road test and hand-back."""

from uuid import uuid4

import pytest

from tests.record.conftest import PINS, picture
from witnessmark.errors import BenchError, Question
from witnessmark.log import chain
from witnessmark.record.acts.by import Conflict, NotAllowed
from witnessmark.record.acts.causes import name_cause, write_correction
from witnessmark.record.acts.evidence import add_note, correct_reading, keep_reading
from witnessmark.record.acts.handback import read_odometer_out, say_advice
from witnessmark.record.acts.ledger import correct_line, move, take_back, take_off
from witnessmark.record.acts.marks import ChangedSinceShown, mark_cause, mark_step, sign_release
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.acts.steps import finish_step, start_step
from witnessmark.record.core import load
from witnessmark.record.gate import gate_of, release_state
from witnessmark.record.models import LedgerLine, Movement, Refusal, Release
from witnessmark.record.stages import stages
from witnessmark.record.verify import verify_record
from witnessmark.work import digest as forms
from witnessmark.work.marks import MarkState


def off(shop, step, **more):
    facts = {"what": "Pump bolts", "quantity": "6", "place": "Bag 31", "key": "bolt", **more}
    return take_off(shop.by(shop.isla), uuid4(), step=step, **facts)


def line_of(shop, what):
    return next(one for one in load(shop.job).balance.lines if one.line.what == what)


def test_a_line_is_closed_in_parts(shop, started):
    bolts = off(shop, started)
    move(shop.by(shop.tam), uuid4(), line=bolts, kind="back on", quantity="4", step=started)
    assert line_of(shop, "Pump bolts").still_off_in_words == "2 of 6"
    move(shop.by(shop.tam), uuid4(), line=bolts, kind="new fitted", old="scrapped", step=started)
    assert line_of(shop, "Pump bolts").is_closed
    assert {row.quantity for row in load(shop.job).movements} == {"4", "2"}
    assert verify_record() == ()


def test_no_more_comes_back_than_was_off(shop, started):
    bolts = off(shop, started)
    with pytest.raises(BenchError, match="No more can come back"):
        move(shop.by(shop.tam), uuid4(), line=bolts, kind="back on", quantity="7")
    move(shop.by(shop.tam), uuid4(), line=bolts, kind="back on")
    with pytest.raises(BenchError, match="off any more"):
        move(shop.by(shop.isla), uuid4(), line=bolts, kind="back on")
    assert Movement.objects.count() == 1


def test_a_movement_sent_twice_counts_once(shop, started):
    bolts, id = off(shop, started), uuid4()
    facts = {"line": bolts, "kind": "back on", "quantity": "3"}
    first = move(shop.by(shop.tam), id, **facts)
    assert move(shop.by(shop.tam), id, **facts) == first
    assert Movement.objects.count() == 1


def test_a_new_part_says_what_became_of_the_old_one(shop, started):
    with pytest.raises(BenchError, match="what became of the old one"):
        move(shop.by(shop.tam), uuid4(), line=off(shop, started), kind="new fitted")


def test_a_line_needs_a_place_and_an_amount(shop, started):
    with pytest.raises(BenchError, match="No place"):
        off(shop, started, place=" ")
    with pytest.raises(BenchError):
        off(shop, started, quantity="some")
    with pytest.raises(BenchError, match="counted whole"):
        off(shop, started, quantity="1.5")
    assert LedgerLine.objects.filter(what_aside__text="Pump bolts").count() == 0


def test_a_corrected_line_keeps_what_moved_on_it(shop, started):
    bolts = off(shop, started)
    move(shop.by(shop.tam), uuid4(), line=bolts, kind="back on", quantity="4")
    with pytest.raises(BenchError, match="went back already"):
        correct_line(
            shop.by(shop.tam), uuid4(), line=bolts, reason="count", quantity="3", place="Bag 31"
        )
    new = correct_line(
        shop.by(shop.tam), uuid4(), line=bolts, reason="count", quantity="5", place="Bag 32"
    )
    assert line_of(shop, "Pump bolts").still_off_in_words == "1 of 5"
    with pytest.raises(Conflict):
        move(shop.by(shop.tam), uuid4(), line=bolts, kind="back on")
    move(shop.by(shop.tam), uuid4(), line=new, kind="back on")
    assert line_of(shop, "Pump bolts").is_closed


def test_a_movement_taken_back_is_off_again_also_on_a_corrected_line(shop, started):
    bolts = off(shop, started)
    four = move(shop.by(shop.tam), uuid4(), line=bolts, kind="back on", quantity="4", step=started)
    correct_line(
        shop.by(shop.tam), uuid4(), line=bolts, reason="count", quantity="5", place="Bag 32"
    )
    id, facts = uuid4(), {"movement": four, "reason": "wrong bolts"}
    taken = take_back(shop.by(shop.isla), id, **facts)
    assert take_back(shop.by(shop.isla), id, **facts) == taken
    assert line_of(shop, "Pump bolts").still_off_in_words == "5"
    assert (taken.replaces, taken.step, taken.reason) == (four, started, "wrong bolts")
    with pytest.raises(Conflict, match="before you") as refused:
        take_back(shop.by(shop.tam), uuid4(), movement=four, reason="mine too")
    assert refused.value.theirs == taken
    assert verify_record() == ()


def test_more_than_was_drained_is_asked_about_once_and_the_answer_is_kept(shop, started):
    coolant = LedgerLine.objects.get(key="coolant")
    by, id = shop.by(shop.tam), uuid4()
    facts = {"line": coolant, "kind": "refilled", "quantity": "12 L"}
    entries = chain.head()
    with pytest.raises(Question, match="Is that right") as asked:
        move(by, id, **facts)
    assert asked.value.found == "9.4 L were drained, 12 L go in."
    with pytest.raises(Question):
        move(by, id, answered="9.4 L were drained, 10 L go in.", **facts)
    assert chain.head() == entries
    kept = move(by, id, answered=asked.value.found, **facts)
    assert move(by, id, answered=asked.value.found, **facts) == kept
    assert (Movement.objects.get().answered, chain.head()) == (asked.value.found, entries + 1)
    assert line_of(shop, "Coolant").is_closed
    assert verify_record() == ()


def test_an_answer_to_nothing_is_not_kept(shop, started):
    coolant = LedgerLine.objects.get(key="coolant")
    facts = {"line": coolant, "kind": "refilled", "quantity": "9.4", "answered": "All is well."}
    assert move(shop.by(shop.tam), uuid4(), **facts).answered == ""


def test_a_quantity_is_kept_as_its_line_counts_it(shop, started):
    coolant = off(shop, started, what="Oil", quantity="9,4 litres", unit="l", how="drained", key="")
    assert (coolant.quantity, coolant.unit) == ("9,4", "L")
    filled = move(shop.by(shop.tam), uuid4(), line=coolant, kind="refilled", quantity="500 mL")
    assert filled.quantity == "0.5"
    assert line_of(shop, "Oil").still_off_in_words == "8.9 L of 9.4 L"


def mark_the_cause(shop, cause):
    return mark_cause(
        shop.by(shop.isla),
        uuid4(),
        cause=cause,
        shown_digest=forms.digest(load(shop.job).cause_form(cause)),
        teacher=shop.teacher,
        pin=PINS["R. Aldane"],
    )


def work_through(shop, started):
    """Do everything that the gate asks for, but the release."""
    isla = shop.by(shop.isla)
    bolts = off(shop, started)
    readings = [
        keep_reading(
            isla,
            uuid4(),
            step=started,
            key="bolt-torque",
            position=position,
            text="25.0",
            instrument=shop.wrench,
        )
        for position in ("1", "2")
    ]
    keep_photo(isla, uuid4(), step=started, content=picture(), key="bolts")
    move(isla, uuid4(), line=bolts, kind="back on", step=started)
    mark_step(
        isla,
        uuid4(),
        step=started,
        shown_digest=shop.shown(started),
        teacher=shop.teacher,
        pin=PINS["R. Aldane"],
    )
    fill = shop.step("fill")
    start_step(isla, uuid4(), step=fill)
    drained = LedgerLine.objects.get(key="coolant")
    facts = {"line": drained, "kind": "refilled", "quantity": "9.8", "step": fill}
    move(isla, uuid4(), answered="9.4 L were drained, 9.8 L go in.", **facts)
    finish_step(isla, uuid4(), step=fill)
    cause = name_cause(
        isla, uuid4(), job=shop.job, statement="Seal worn", how="evidence", readings=readings
    )
    mark_the_cause(shop, cause)
    write_correction(isla, uuid4(), job=shop.job, words="Pump replaced, holds pressure")
    say_advice(shop.by(shop.teacher), uuid4(), job=shop.job, key="level")
    read_odometer_out(isla, uuid4(), job=shop.job, odometer="181 352 km")


def release(shop, kind="owner", *, id=None, teacher=None, pin=None, shown=None):
    record = load(shop.job)
    return sign_release(
        shop.by(shop.teacher),
        id or uuid4(),
        job=shop.job,
        kind=kind,
        shown_digest=shown or forms.digest(record.release_form(kind)),
        teacher=teacher or shop.teacher,
        pin=pin or PINS["R. Aldane"],
    )


def test_the_gate_names_every_reason_why_not(shop, started):
    off(shop, started)
    said = " ".join(reason.what for reason in gate_of(load(shop.job), "owner").reasons)
    for part in (
        "Coolant, 9.4 L",
        "Pump bolts, 6",
        "Step 2, Torque pump bolts: not marked yet",
        "Step 3, Fill and bleed: not finished",
        "Bolt 1: not read",
        "No cause is named",
        "correction is not written",
        "Not said: Check the coolant level",
    ):
        assert part in said


def test_a_shut_gate_releases_nothing(shop, started):
    with pytest.raises(BenchError, match="The gate is shut"):
        release(shop)
    assert Release.objects.count() == 0


def test_a_job_goes_from_open_gate_to_handed_back(shop, started):
    work_through(shop, started)
    assert gate_of(load(shop.job), "road test").is_open
    release(shop, "road test")
    signed = release(shop, "owner")
    shop.job.refresh_from_db()
    assert (signed.kind, shop.job.closed_at is not None) == ("owner", True)
    assert [stage.is_passed for stage in stages(load(shop.job))] == [True] * 4
    assert release_state(load(shop.job), "owner") is MarkState.WHOLE
    with pytest.raises(BenchError, match="was handed back"):
        add_note(shop.by(shop.isla), uuid4(), job=shop.job, words="too late")
    assert verify_record() == ()


def test_a_mark_that_breaks_shuts_the_gate_until_it_is_seen_again(shop, started):
    work_through(shop, started)
    reading = next(row for row in load(shop.job).readings if row.position == "1")
    new = correct_reading(shop.by(shop.tam), uuid4(), reading=reading, text="21", reason="misread")
    gate = gate_of(load(shop.job), "owner")
    said = " ".join(reason.what for reason in gate.reasons)
    assert "Step 2, Torque pump bolts: the mark is broken" in said
    assert "Bolt 1: 21 N·m is outside, limit 24 to 26 N·m" in said
    correct_reading(shop.by(shop.tam), uuid4(), reading=new, text="25.0", reason="set right")
    said = " ".join(reason.what for reason in gate_of(load(shop.job), "owner").reasons)
    assert "the mark is broken" in said
    with pytest.raises(BenchError, match="The gate is shut"):
        release(shop)


def test_a_learner_cannot_release_and_the_try_is_logged(shop, started):
    work_through(shop, started)
    with pytest.raises(NotAllowed):
        release(shop, teacher=shop.isla, pin=PINS["Isla"])
    assert Refusal.objects.get().what == "release a vehicle"
    assert Release.objects.count() == 0


def test_a_change_before_the_pin_releases_nothing(shop, started):
    work_through(shop, started)
    shown = forms.digest(load(shop.job).release_form("owner"))
    add_note(shop.by(shop.tam), uuid4(), job=shop.job, step=started, words="a scratch")
    with pytest.raises(ChangedSinceShown):
        release(shop, shown=shown)
    assert Release.objects.count() == 0


def test_a_release_sent_twice_is_answered_the_same(shop, started):
    work_through(shop, started)
    id, shown = uuid4(), forms.digest(load(shop.job).release_form("owner"))
    first = release(shop, id=id, shown=shown)
    assert release(shop, id=id, shown=shown) == first
    assert Release.objects.count() == 1


def test_a_job_is_loaded_in_as_many_queries_with_forty_readings_as_with_two(
    shop, started, django_assert_max_num_queries
):
    for count in range(40):
        keep_reading(
            shop.by(shop.isla),
            uuid4(),
            step=started,
            key=f"extra {count}",
            text="1.0",
            unit="mm",
            instrument=shop.wrench,
        )
    add_note(shop.by(shop.isla), uuid4(), job=shop.job, step=started, words="one note")
    with django_assert_max_num_queries(22):
        record = load(shop.job)
        gate_of(record, "owner")
        stages(record)
        for step in record.steps:
            for row in record.of_step(record.readings, step):
                assert row.is_standing
                assert row.by.name and row.shown and not row.reason
            for note in record.of_step(record.notes, step):
                assert note.words
