"""Whatever people do in whatever order: the chain verifies, and nothing added is ever changed."""

from contextlib import suppress
from uuid import UUID, uuid4

from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.record.conftest import PINS, picture
from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.added_only import AddedOnly
from witnessmark.log.models import Entry
from witnessmark.record.acts.causes import name_cause, write_correction
from witnessmark.record.acts.evidence import add_note, correct_reading, keep_reading
from witnessmark.record.acts.ledger import correct_line, move, take_back, take_off
from witnessmark.record.acts.marks import mark_step
from witnessmark.record.acts.photos import keep_photo, replace_photo
from witnessmark.record.acts.steps import call_teacher, not_yet, start_step, tick_cautions
from witnessmark.record.core import load
from witnessmark.record.gate import gate_of
from witnessmark.record.models import LedgerLine, Movement, Photo, Reading
from witnessmark.record.replay import kept_models
from witnessmark.record.verify import verify_record

ACTS = (
    "read",
    "correct",
    "note",
    "photo",
    "new photo",
    "take off",
    "move",
    "correct line",
    "take back",
    "mark",
    "call",
    "not yet",
    "start",
    "tick",
    "cause",
    "correction",
)
what_people_do = st.lists(
    st.tuples(
        st.sampled_from(ACTS),
        st.integers(0, 2),  # which step
        st.sampled_from(["isla", "tam", "mika", "aide", "teacher"]),
        st.integers(0, 9),  # which row, which value
        st.booleans(),  # sent twice
    ),
    min_size=1,
    max_size=14,
)


def one_of(rows, pick):
    found = list(rows)
    return found[pick % len(found)] if found else None


def do(shop, act: str, step, who, pick: int, id: UUID) -> None:
    by = shop.by(who)
    value = ("24.5", "25.0", "25.7", "30", "x", "26,1", "1 1/2", "", "24.9", "25")[pick]
    match act:
        case "read":
            keep_reading(
                by, id, step=step, key="bolt-torque", position=str(pick % 2 + 1), text=value
            )
        case "correct" if reading := one_of(Reading.objects.filter(step=step), pick):
            correct_reading(by, id, reading=reading, text=value, reason="misread")
        case "note":
            add_note(by, id, job=shop.job, step=step, words=f"note {value}")
        case "photo":
            keep_photo(by, id, step=step, content=picture(), key="bolts")
        case "new photo" if photo := one_of(Photo.objects.filter(step=step), pick):
            replace_photo(by, id, photo=photo, content=picture("blue"), reason="blurred")
        case "take off":
            take_off(by, id, step=step, what="Bolts", quantity=str(pick), place="Bag 31")
        case "move" if line := one_of(LedgerLine.objects.all(), pick):
            move(by, id, line=line, kind="back on", quantity=str(pick) if pick else "", step=step)
        case "correct line" if line := one_of(LedgerLine.objects.all(), pick):
            correct_line(by, id, line=line, reason="count", quantity=str(pick), place="Bag 32")
        case "take back" if movement := one_of(Movement.objects.all(), pick):
            take_back(by, id, movement=movement, reason="wrong")
        case "mark":
            mark_step(
                by,
                id,
                step=step,
                shown_digest=shop.shown(step),
                teacher=who,
                pin=PINS[who.name],
            )
        case "call":
            call_teacher(by, id, job=shop.job, step=step, what=("mark", "help")[pick % 2])
        case "not yet":
            not_yet(by, id, step=step, words="wipe it")
        case "start":
            start_step(by, id, step=step)
        case "tick":
            tick_cautions(by, id, step=step, cautions=["COOLANT"])
        case "cause" if reading := one_of(Reading.objects.all(), pick):
            name_cause(by, id, job=shop.job, statement="worn", how="evidence", readings=[reading])
        case "correction":
            write_correction(by, id, job=shop.job, words=f"replaced {value}")


def everything_added() -> dict[tuple[str, str], dict[str, object]]:
    rows = {
        (model._meta.label, str(row.pk)): row.said()
        for model in kept_models()
        if issubclass(model, AddedOnly)
        for row in model._base_manager.all()
    }
    entries = {("entry", str(e.number)): e.said() for e in Entry.objects.all()}
    return rows | entries


@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(plan=what_people_do)
def test_the_record_stands_whatever_people_do(shop, started, plan):
    with transaction.atomic():
        before = everything_added()
        for act, which, who, pick, twice in plan:
            id, numbers = uuid4(), []
            for _ in range(1 + twice):
                with suppress(BenchError):  # a refusal is an answer: what stands, counts
                    do(shop, act, shop.steps[which], getattr(shop, who), pick, id)
                numbers.append(chain.head())
            if twice and Entry.objects.filter(id=id).exists():
                assert numbers[0] == numbers[1], f"{act} sent twice was written twice"
            now = everything_added()
            assert now.items() >= before.items(), f"{act} changed what was there"
            before = now
        assert verify_record() == ()
        record = load(shop.job)
        assert all(line.still_off >= 0 for line in record.balance.lines)
        assert not gate_of(record, "owner").is_open
        transaction.set_rollback(True)
