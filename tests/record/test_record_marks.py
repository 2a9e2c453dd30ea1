"""The mark: bound to what was shown, broken by any change, never healed by setting back."""

from uuid import uuid4

import pytest

from tests.record.conftest import PINS, picture
from witnessmark.errors import BenchError
from witnessmark.log.models import Entry
from witnessmark.log.sentences import sentence
from witnessmark.record.acts.by import NotAllowed
from witnessmark.record.acts.causes import name_cause
from witnessmark.record.acts.evidence import add_note, correct_reading, keep_reading
from witnessmark.record.acts.marks import ChangedSinceShown, mark_cause, mark_step
from witnessmark.record.acts.photos import keep_photo, replace_photo
from witnessmark.record.acts.sheets import start_find
from witnessmark.record.acts.steps import (
    blocking,
    call_teacher,
    not_yet,
    start_step,
    warnings,
)
from witnessmark.record.core import load
from witnessmark.record.models import Mark, Refusal
from witnessmark.record.names import names_for
from witnessmark.record.verify import verify_record
from witnessmark.work import digest as forms
from witnessmark.work.marks import MarkState


@pytest.fixture
def ready(shop, started):
    """Return the hold step with everything it asks for, the teacher called."""
    by = shop.by(shop.isla)
    for position in ("1", "2"):
        keep_reading(
            by,
            uuid4(),
            step=started,
            key="bolt-torque",
            position=position,
            text="25.0",
            instrument=shop.wrench,
        )
    keep_photo(by, uuid4(), step=started, content=picture(), key="bolts")
    call_teacher(by, uuid4(), job=shop.job, step=started, what="mark")
    return started


def mark(shop, step, *, by=None, id=None, shown=None, teacher=None, pin=None, **more):
    return mark_step(
        by or shop.by(shop.isla),
        id or uuid4(),
        step=step,
        shown_digest=shown or shop.shown(step),
        teacher=teacher or shop.teacher,
        pin=pin or PINS["R. Aldane"],
        **more,
    )


def state(shop, step):
    return load(shop.job).state(step)


def first_reading(shop):
    return next(row for row in load(shop.job).readings if row.position == "1" and row.is_standing)


def test_the_teacher_marks_on_the_learners_device(shop, ready):
    assert state(shop, ready) is MarkState.CALLED
    made = mark(shop, ready)
    assert (made.by, made.device, made.same_person) == (shop.teacher, shop.tablet, False)
    assert made.digest == forms.digest(forms.read_form(made.form))
    assert state(shop, ready) is MarkState.WHOLE
    assert verify_record() == ()


def test_a_changed_reading_breaks_the_mark_and_setting_it_back_does_not_heal_it(shop, ready):
    mark(shop, ready)
    correct_reading(
        shop.by(shop.tam), uuid4(), reading=first_reading(shop), text="21", reason="misread"
    )
    assert state(shop, ready) is MarkState.BROKEN
    correct_reading(
        shop.by(shop.tam), uuid4(), reading=first_reading(shop), text="25.0", reason="it was right"
    )
    assert state(shop, ready) is MarkState.BROKEN
    again = mark(shop, ready)
    assert again.replaces is not None
    assert state(shop, ready) is MarkState.AGAIN


@pytest.mark.parametrize("what", ["note", "photo", "reading"])
def test_adding_evidence_to_a_marked_step_breaks_it(shop, ready, what):
    mark(shop, ready)
    by = shop.by(shop.isla)
    match what:
        case "note":
            add_note(by, uuid4(), job=shop.job, step=ready, words="seen again")
        case "photo":
            replace_photo(
                by,
                uuid4(),
                photo=load(shop.job).photos[0],
                content=picture("blue"),
                reason="blurred",
            )
        case "reading":
            keep_reading(by, uuid4(), step=ready, key="bolt-torque", position="1", text="25")
    assert state(shop, ready) is MarkState.BROKEN


def test_evidence_that_changed_before_the_pin_signs_nothing_and_is_shown(shop, ready):
    shown = shop.shown(ready)
    correct_reading(
        shop.by(shop.tam), uuid4(), reading=first_reading(shop), text="21", reason="misread"
    )
    with pytest.raises(ChangedSinceShown, match="nothing was signed") as refused:
        mark(shop, ready, shown=shown)
    changed = [one for one in refused.value.changes if one.who]
    assert [(one.old, one.new, one.who) for one in changed] == [
        ("25.0 N·m", "21 N·m", str(shop.tam.pk))
    ]
    assert refused.value.digest == shop.shown(ready)
    assert Mark.objects.count() == 0


def test_the_pin_is_not_used_when_something_changed(shop, ready):
    from witnessmark.people.models import Guess

    with pytest.raises(ChangedSinceShown):
        mark(shop, ready, shown="0" * 64, pin="1111")
    assert not Guess.objects.filter(wrong__gt=0).exists()


@pytest.mark.parametrize("who", ["isla", "aide"])
def test_a_learner_or_aide_never_marks_and_the_try_is_logged(shop, ready, who):
    person = getattr(shop, who)
    pin = PINS[person.name]
    with pytest.raises(NotAllowed, match="Only a teacher signs"):
        mark(shop, ready, by=shop.by(person), teacher=person, pin=pin)
    assert Mark.objects.count() == 0
    refusal = Refusal.objects.get()
    assert (refusal.who, refusal.what) == (person, "mark a step")
    entry = Entry.objects.get(verb="mark refused")
    assert sentence(entry, names_for([entry])) == (
        f"{person.name} tried to mark a step and was refused."
    )
    assert verify_record() == ()


def test_a_wrong_pin_signs_nothing_and_is_logged(shop, ready):
    with pytest.raises(NotAllowed, match="not the PIN"):
        mark(shop, ready, pin="9999")
    assert Mark.objects.count() == 0
    assert Refusal.objects.get().what == "mark a step, wrong PIN"
    mark(shop, ready)


def test_a_learners_own_pin_does_not_sign_for_the_teacher(shop, ready):
    with pytest.raises(NotAllowed):
        mark(shop, ready, pin=PINS["Isla"])
    assert Mark.objects.count() == 0


def test_a_mark_sent_twice_is_made_once(shop, ready):
    id, shown = uuid4(), shop.shown(ready)
    first = mark(shop, ready, id=id, shown=shown)
    assert mark(shop, ready, id=id, shown=shown) == first
    assert Mark.objects.count() == 1


def test_a_whole_mark_is_not_made_again(shop, ready):
    mark(shop, ready)
    with pytest.raises(BenchError, match="marked already"):
        mark(shop, ready)


def test_a_step_that_lacks_a_reading_is_not_marked(shop, started):
    with pytest.raises(BenchError, match="still lacks reading: Bolt 1"):
        mark(shop, started)


def test_a_teacher_who_did_the_work_may_mark_it_as_same_person(shop, ready):
    keep_reading(
        shop.by(shop.teacher), uuid4(), step=ready, key="bolt-torque", position="2", text="25.0"
    )
    assert mark(shop, ready, by=shop.by(shop.teacher)).same_person


def test_the_reason_for_accepting_too_close_to_call_is_kept_with_the_mark(shop, ready):
    mark(shop, ready)
    made = mark(shop, ready, accepted="joint is not loaded")
    assert made.accepted == "joint is not loaded"
    assert state(shop, ready) is MarkState.AGAIN


def test_an_unmarked_hold_stops_the_steps_that_need_it(shop, ready):
    fill = shop.step("fill")
    with pytest.raises(BenchError, match="Step 2, Torque pump bolts, is not marked"):
        start_step(shop.by(shop.isla), uuid4(), step=fill)
    mark(shop, ready)
    assert start_step(shop.by(shop.isla), uuid4(), step=fill).what == "started"


def test_a_mark_that_breaks_later_warns_and_does_not_stop(shop, ready):
    mark(shop, ready)
    add_note(shop.by(shop.tam), uuid4(), job=shop.job, step=ready, words="one more look")
    record, fill = load(shop.job), shop.step("fill")
    assert blocking(record, fill) == []
    assert warnings(record, fill) == [ready]
    start_step(shop.by(shop.isla), uuid4(), step=fill)


def test_a_call_is_answered_by_a_mark_or_by_what_is_missing(shop, ready):
    assert load(shop.job).is_called(ready)
    with pytest.raises(NotAllowed):
        not_yet(shop.by(shop.isla), uuid4(), step=ready, words="me")
    not_yet(shop.by(shop.teacher), uuid4(), step=ready, words="wipe the flange first")
    assert not load(shop.job).is_called(ready)
    assert state(shop, ready) is MarkState.HOLD
    call_teacher(shop.by(shop.isla), uuid4(), job=shop.job, step=ready, what="mark")
    assert state(shop, ready) is MarkState.CALLED


def test_a_cause_is_marked_and_broken_by_a_new_reading(shop, ready):
    reading = first_reading(shop)
    cause = name_cause(
        shop.by(shop.isla),
        uuid4(),
        job=shop.job,
        statement="Bolt 1 was loose",
        how="evidence",
        readings=[reading],
    )
    assert load(shop.job).cause_state is MarkState.HOLD
    call_teacher(shop.by(shop.isla), uuid4(), job=shop.job, what="cause")
    assert load(shop.job).cause_state is MarkState.CALLED
    shown = forms.digest(load(shop.job).cause_form(cause))
    mark_cause(
        shop.by(shop.isla),
        uuid4(),
        cause=cause,
        shown_digest=shown,
        teacher=shop.teacher,
        pin=PINS["R. Aldane"],
    )
    assert load(shop.job).cause_state is MarkState.WHOLE
    correct_reading(shop.by(shop.tam), uuid4(), reading=reading, text="24.9", reason="misread")
    assert load(shop.job).cause_state is MarkState.BROKEN
    assert verify_record() == ()


def test_a_cause_needs_a_reading_or_a_photo(shop, ready):
    with pytest.raises(BenchError, match="no reading and no photo"):
        name_cause(shop.by(shop.isla), uuid4(), job=shop.job, statement="worn", how="evidence")


def test_a_second_cause_replaces_the_first_by_name(shop, ready):
    reading = first_reading(shop)
    facts = {"job": shop.job, "how": "evidence", "readings": [reading]}
    first = name_cause(shop.by(shop.isla), uuid4(), statement="Bolt 1 loose", **facts)
    with pytest.raises(BenchError, match="has a cause already"):
        name_cause(shop.by(shop.tam), uuid4(), statement="Seal worn", **facts)
    second = name_cause(shop.by(shop.tam), uuid4(), statement="Seal worn", replaces=first, **facts)
    assert load(shop.job).cause == second


def test_find_the_cause_is_the_first_step(shop):
    from witnessmark.record.acts.intake import Intake, open_job
    from witnessmark.record.acts.steps import assign_crew

    by = shop.by(shop.teacher)
    job = open_job(
        by, uuid4(), intake=Intake(vehicle="Training six", kind="training"), complaint=""
    )
    assign_crew(by, uuid4(), job=job, people=[shop.isla])
    find = start_find(shop.by(shop.isla), uuid4(), job=job)
    assert (find.position, find.kind, find.title) == (1, "find", "Find the cause")
    with pytest.raises(BenchError, match="already"):
        start_find(shop.by(shop.isla), uuid4(), job=job)
    start_step(shop.by(shop.isla), uuid4(), step=find)


def test_evidence_that_changes_while_the_pin_is_checked_signs_nothing(shop, ready, monkeypatch):
    from witnessmark.record.acts import marks

    real = marks.check_pin

    def slow(*args):
        add_note(shop.by(shop.tam), uuid4(), job=shop.job, step=ready, words="in between")
        return real(*args)

    monkeypatch.setattr(marks, "check_pin", slow)
    with pytest.raises(ChangedSinceShown):
        mark(shop, ready)
    assert Mark.objects.count() == 0
