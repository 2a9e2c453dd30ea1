"""The ledger's page: a line corrected, a movement taken back; what stays, what follows."""

from uuid import uuid4

import pytest

from tests.web.bench import do_first_step, do_second_step, send, shown_digest
from tests.web.cast import TEACHER_PIN
from witnessmark.log.models import Entry
from witnessmark.record.core import load
from witnessmark.record.gate import gate_of
from witnessmark.record.models import Job, LedgerLine, Movement
from witnessmark.record.verify import verify_record
from witnessmark.work.marks import MarkState


@pytest.fixture
def crew(cast, job):
    """The learner on the job; two bolts came off and are back on."""
    browser = cast.browser(cast.on_it)
    do_first_step(browser)
    do_second_step(browser)
    return browser


def correct_page():
    return f"/jobs/114/ledger/line/{LedgerLine.objects.get(replaced_by=None).pk}"


def back_page():
    return f"/jobs/114/ledger/movement/{Movement.objects.get(kind='back on').pk}"


def corrected(**typed):
    sent = {"id": str(uuid4()), "quantity": "3", "place": "Bag 32", "reason": "Counted again"}
    return {**sent, "words": "one lay under the tray", **typed}


def taken_back(**typed):
    return {"id": str(uuid4()), "reason": "It came off again", **typed}


def shown(browser, page="/jobs/114/ledger"):
    answer = browser.get(page)
    assert answer.status_code == 200
    return answer.content.decode()


def mark(browser):
    signed = {"digest": shown_digest(), "who": "", "pin": TEACHER_PIN}
    signed["who"] = str(load(Job.objects.get()).job.opened_by_id)
    assert send(browser, 2, "mark", **signed).status_code == 302


def state_of_step_2():
    record = load(Job.objects.get())
    return record.states[next(step.pk for step in record.steps if step.position == 2)]


def test_a_line_is_corrected_and_its_old_words_stay_struck_through(crew):
    page = correct_page()
    assert page in shown(crew)
    assert "It stays on the record." in shown(crew, page)
    assert crew.post(page, corrected()).headers["Location"] == "/jobs/114/ledger"
    said = shown(crew)
    assert "<s>Housing bolt, 2, Bag 31</s>" in said
    assert "Corrected: Counted again: one lay under the tray" in said
    assert "1 of 3 still off" in said  # two are back on
    assert verify_record() == ()


def test_what_is_off_leads_to_the_step_that_puts_it_back(cast, job):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    page = shown(crew)
    assert 'href="/jobs/114/step/2#ledger">Put back: step 2' in page  # the procedure says so
    send(crew, 2, "start")
    off = {"what": "Clamp", "quantity": "1", "place": "Bag 9"}
    send(crew, 2, "off", **off)
    assert shown(crew).count("Put back: step 2") == 2  # else the step that is under way
    assert 'href="/jobs/114/ledger"' in shown(crew, "/jobs/114/step/2")


def test_a_line_that_someone_corrected_first_shows_theirs(cast, crew):
    page = correct_page()
    assert crew.post(page, corrected()).status_code == 302
    answer = cast.browser(cast.teacher).post(page, corrected(quantity="4"))
    assert answer.status_code == 409
    assert "Isla wrote Housing bolt, 3, Bag 32" in answer.content.decode()
    assert LedgerLine.objects.count() == 2


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"reason": "", "words": ""}, "There is no reason"),
        ({"quantity": "1"}, "2 of Housing bolt went back already"),
        ({"quantity": "two"}, "number"),
        ({"place": " "}, "No place is written"),
        ({"quantity": "2", "place": "Bag 31"}, "Nothing is corrected"),
        ({"what": "Housing nut"}, "is an item of step 1"),
    ],
)
def test_a_correction_that_cannot_be_is_refused_and_what_was_typed_stays(crew, typed, words):
    answer = crew.post(correct_page(), corrected(**typed))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    if typed.get("quantity"):
        assert f'value="{typed["quantity"]}"' in page
    assert LedgerLine.objects.count() == 1


def test_what_was_written_freely_is_named_anew(cast, job):
    crew = cast.browser(cast.on_it)
    send(crew, 1, "start", caution=["COOLANT"])
    off = {"what": "Clampp", "quantity": "9,4 L", "how": "drained", "place": "Drum 2"}
    assert send(crew, 1, "off", **off).status_code == 302
    line = LedgerLine.objects.get()
    assert (line.quantity, line.unit) == ("9,4", "L")  # the unit was typed with the number
    typed = corrected(what="Coolant", quantity="500 mL", place="Drum 2")
    assert crew.post(correct_page(), typed).status_code == 302
    assert "Coolant, 0.5 L" in shown(crew)
    assert "<s>Clampp, 9,4 L, Drum 2</s>" in shown(crew)


def test_a_movement_is_taken_back_and_everything_follows(cast, crew):
    mark(crew)
    assert state_of_step_2() is MarkState.WHOLE
    before = {reason.what for reason in gate_of(load(Job.objects.get()), "owner").reasons}
    page = back_page()
    assert page in shown(crew)
    assert "This breaks a mark." in shown(crew, page)
    assert crew.post(page, taken_back(words="washer missing")).status_code == 302
    said = shown(crew)
    assert "<s>2 back on</s>" in said
    assert "It came off again: washer missing" in said
    assert "2 still off" in said and page not in said
    record = load(Job.objects.get())
    assert not record.balance.is_balanced
    reasons = {reason.what for reason in gate_of(record, "owner").reasons} - before
    assert "Housing bolt, 2: still taken off, Bag 31." in reasons
    assert state_of_step_2() is MarkState.BROKEN
    job = shown(crew, "/jobs/114")
    assert "Housing bolt (2): back on, taken back at 11:12 by Isla." in job
    assert "Isla took back that Housing bolt was back on." in job
    assert "<s>Housing bolt, 2: back on</s>" in shown(crew, "/jobs/114/step/2/mark")
    assert verify_record() == ()
    back_again = send(crew, 2, "move", line=str(LedgerLine.objects.get().pk), kind="back on")
    assert back_again.status_code == 302
    assert load(Job.objects.get()).balance.is_balanced


def test_taking_back_twice_is_answered_the_same(cast, crew):
    page, sent = back_page(), taken_back()
    assert [crew.post(page, sent).status_code for _ in range(2)] == [302, 302]
    assert Movement.objects.count() == 2
    other = cast.browser(cast.teacher).post(page, taken_back(reason="Wrong item"))
    assert other.status_code == 409
    assert "Isla took it back at 11:12: It came off again." in other.content.decode()
    assert Movement.objects.count() == 2


def test_what_takes_back_is_not_taken_back(crew):
    crew.post(back_page(), taken_back())
    page = f"/jobs/114/ledger/movement/{Movement.objects.get(kind='taken back').pk}"
    assert "This entry takes another back." in shown(crew, page)
    assert crew.post(page, taken_back()).status_code == 422
    assert Movement.objects.count() == 2


def test_taking_back_needs_a_reason(crew):
    answer = crew.post(back_page(), taken_back(reason="", words=" "))
    assert answer.status_code == 422
    assert "There is no reason for the taking back." in answer.content.decode()
    assert Movement.objects.count() == 1


@pytest.mark.parametrize("page", [correct_page, back_page])
def test_looking_changes_nothing_and_a_stranger_finds_nothing(cast, crew, page):
    before = Entry.objects.count()
    assert shown(crew, page())
    stranger = cast.browser(cast.not_on_it)
    assert stranger.get(page()).status_code == 404
    assert stranger.post(page(), corrected()).status_code == 404
    assert cast.browser().get(page()).headers["Location"].startswith("/signin")
    assert crew.get(page().replace("114", "115")).status_code == 404
    assert Entry.objects.count() == before


def test_of_a_job_that_was_handed_back_nothing_is_offered_or_changed(cast, crew):
    pages = (correct_page(), back_page())
    Job.objects.update(closed_at=cast.device.until)
    said = shown(crew)
    for page in pages:
        assert page not in said
        answer = crew.post(page, corrected())
        assert answer.status_code == 422
        assert "J-114 was handed back." in answer.content.decode()
    assert (LedgerLine.objects.count(), Movement.objects.count()) == (1, 1)
