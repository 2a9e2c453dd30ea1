"""Two people at once, each with a connection of their own, on the database of a real shop."""

import threading
from uuid import uuid4

import pytest
from django.db import connection

from witnessmark.log import chain
from witnessmark.record.acts.by import Conflict
from witnessmark.record.acts.evidence import add_note, correct_reading, keep_reading
from witnessmark.record.acts.ledger import move, take_off
from witnessmark.record.acts.steps import start_step, tick_cautions
from witnessmark.record.models import Movement, Note, Reading
from witnessmark.record.verify import verify_record


@pytest.fixture
def shop(shop_on_disk):
    return shop_on_disk


def at_once(*acts) -> list[BaseException]:
    """Let each act run in a thread of its own, all from one moment; return what was raised."""
    start, raised = threading.Barrier(len(acts)), []

    def run(act) -> None:
        try:
            start.wait(timeout=10)
            act()
        except Exception as error:
            raised.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    assert not any(thread.is_alive() for thread in threads)
    return raised


def begun(shop):
    """Return the first step, started by Isla."""
    by, step = shop.by(shop.isla), shop.step("drain")
    tick_cautions(by, uuid4(), step=step, cautions=["COOLANT"])
    start_step(by, uuid4(), step=step)
    return step


def test_entries_of_two_people_follow_one_another(shop):
    def writes(person):
        def run() -> None:
            for count in range(12):
                add_note(shop.by(person), uuid4(), job=shop.job, words=f"note {count}")

        return run

    before = chain.head()
    assert at_once(writes(shop.isla), writes(shop.tam)) == []
    assert (Note.objects.count(), chain.head() - before) == (24, 24)
    assert verify_record() == ()


def test_of_two_corrections_at_once_one_stands_and_the_other_is_told(shop):
    step = begun(shop)
    reading = keep_reading(
        shop.by(shop.isla), uuid4(), step=step, key="bolt-torque", position="1", text="25.0"
    )

    def corrects(person, text):
        return lambda: correct_reading(
            shop.by(person), uuid4(), reading=reading, text=text, reason="misread"
        )

    raised = at_once(corrects(shop.isla, "24.5"), corrects(shop.tam, "25.5"))
    assert [type(error) for error in raised] == [Conflict]
    assert Reading.objects.filter(replaces=reading).count() == 1
    assert verify_record() == ()


def test_the_same_request_sent_twice_at_once_is_kept_once(shop):
    step, id = begun(shop), uuid4()

    def sends() -> None:
        keep_reading(
            shop.by(shop.isla), id, step=step, key="bolt-torque", position="1", text="25.0"
        )

    assert at_once(sends, sends) == []
    assert Reading.objects.count() == 1


def test_two_crews_cannot_put_the_same_bolts_back(shop):
    line = take_off(
        shop.by(shop.isla),
        uuid4(),
        step=begun(shop),
        what="Bolts",
        quantity="6",
        place="Bag 31",
    )

    def puts_back(person):
        return lambda: move(shop.by(person), uuid4(), line=line, kind="back on", quantity="4")

    raised = at_once(puts_back(shop.isla), puts_back(shop.tam))
    assert len(raised) == 1
    assert "No more can come back than was off" in str(raised[0])
    assert Movement.objects.count() == 1
