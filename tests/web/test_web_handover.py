"""The handover card: read, ticked, confirmed by PIN; who has it, and what changed since."""

import re
from uuid import uuid4

import pytest

from tests.web.bench import do_first_step, send
from tests.web.cast import LEARNER_PIN, TEACHER_PIN
from witnessmark.log.models import Entry
from witnessmark.record.models import Job, Note, TakenOver

PAGE = "/jobs/114/handover"


@pytest.fixture
def crew(cast, job):
    """The learner on the job: two bolts are off, and coolant is drained."""
    browser = cast.browser(cast.on_it)
    do_first_step(browser)
    off = {"what": "Coolant", "how": "drained", "quantity": "3", "unit": "L", "place": "Drum 2"}
    assert send(browser, 1, "off", **off).status_code == 302
    return browser


def shown(browser, page=PAGE):
    answer = browser.get(page)
    assert answer.status_code == 200
    return answer.content.decode()


def confirming(page, pin=LEARNER_PIN, **more):
    """Return what the card's form sends with every tick set."""
    return {
        "id": str(uuid4()),
        "act": "have it",
        "digest": re.search(r'name="digest" value="([0-9a-f]{64})"', page)[1],
        "looked_at": re.findall(r'name="looked_at" value="([^"]+)"', page),
        "pin": pin,
        **more,
    }


def test_a_crew_says_that_it_has_the_vehicle_and_every_page_knows(cast, crew):
    page = shown(crew)
    assert "Nobody has confirmed the card yet." in page
    assert "Bag 31 is here" in page and "Coolant: drained, Drum 2" in page
    assert "We have it: Isla" in page
    answer = crew.post(PAGE, confirming(page), follow=True)
    page = answer.content.decode()
    assert "Isla has it. Work can go on." in page
    assert "Isla, 11:12: “We have it.”" in page
    assert "We have it: Isla" not in page  # once is enough
    assert "Isla, 11:12: “We have it.”" in shown(crew, "/jobs/114")
    assert "Isla read the handover card at the vehicle and has it." in shown(crew, "/jobs/114")
    assert "We have it: R. Aldane" in shown(cast.browser(cast.teacher))


def test_a_change_asks_for_it_again_and_says_what_changed(crew):
    crew.post(PAGE, confirming(shown(crew)))
    send(crew, 2, "start")
    line = Job.objects.get().ledger.get(what_aside__text="Housing bolt")
    assert send(crew, 2, "move", line=str(line.pk), kind="back on").status_code == 302
    page = shown(crew)
    assert "Not confirmed as it is now." in page
    assert "Isla had it, 11:12. Changed since: what is off." in page
    assert "Changed since: what is off." in shown(crew, "/jobs/114")
    assert crew.post(PAGE, confirming(page)).status_code == 302
    assert "Isla, 11:12: “We have it.”" in shown(crew)
    assert TakenOver.objects.count() == 2


def test_a_card_that_changed_meanwhile_is_shown_again_and_not_kept(crew):
    sent = confirming(shown(crew))
    send(crew, 1, "note", words="Hose is split.")
    crew.post(PAGE, {"id": str(uuid4()), "act": "note", "words": "The drum is not here."})
    answer = crew.post(PAGE, sent)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "The card changed after this page was opened." in page
    assert "The drum is not here." in page
    assert "checked" not in page.split('id="have"')[1]  # it is looked at again
    assert not TakenOver.objects.exists()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"pin": "0001"}, "That is not the PIN."),
        ({"pin": TEACHER_PIN}, "That is not the PIN."),
        ({"looked_at": []}, "is not ticked."),
    ],
)
def test_without_a_tick_or_the_own_pin_nothing_is_kept(crew, more, words):
    sent = confirming(shown(crew), **more)
    answer = crew.post(PAGE, sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    ticked = page.split('id="have"')[1].count(" checked")
    assert ticked == len(sent["looked_at"])  # what was ticked stays
    assert not TakenOver.objects.exists()


def test_looking_changes_nothing(crew):
    before = Entry.objects.count()
    shown(crew)
    assert Entry.objects.count() == before


def test_a_stranger_finds_no_card_and_a_learner_signs_for_nobody_else(cast, crew):
    sent = confirming(shown(crew))
    stranger = cast.browser(cast.not_on_it)
    assert stranger.get(PAGE).status_code == 404
    assert stranger.post(PAGE, sent).status_code == 404
    assert cast.browser().get(PAGE).headers["Location"].startswith("/signin")
    assert not TakenOver.objects.exists()
    crew.post(PAGE, sent)
    assert TakenOver.objects.get().by == cast.on_it


def test_sending_it_twice_keeps_one(crew):
    sent = confirming(shown(crew))
    assert [crew.post(PAGE, sent).status_code for _ in range(2)] == [302, 302]
    assert TakenOver.objects.count() == 1


def test_what_does_not_agree_is_kept_as_a_note(crew):
    answer = crew.post(PAGE, {"id": str(uuid4()), "act": "note", "words": "One bolt is missing."})
    assert answer.status_code == 302
    assert Note.objects.get().words == "One bolt is missing."
    assert "One bolt is missing." in shown(crew)
    assert crew.post(PAGE, {"id": str(uuid4()), "act": "note", "words": " "}).status_code == 422


def test_the_card_of_a_job_in_find_names_find_as_what_comes_next(cast):
    from witnessmark.record.acts.by import By
    from witnessmark.record.acts.intake import Intake, open_job
    from witnessmark.record.acts.sheets import start_find

    by = By(person=cast.teacher)
    job = open_job(
        by, uuid4(), intake=Intake(vehicle="Van", kind="training"), complaint="", number=120
    )
    start_find(by, uuid4(), job=job)
    page = shown(cast.browser(cast.teacher), "/jobs/120/handover")
    assert 'Next: <a href="/jobs/120/find">find the cause</a>' in page
    assert "No step is left to do." not in page


def test_a_job_that_was_handed_back_offers_no_confirming(cast, crew):
    Job.objects.update(closed_at=cast.device.opened_at)
    page = shown(crew)
    assert 'name="looked_at"' not in page and "does not agree" not in page
