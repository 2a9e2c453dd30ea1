"""Complaints and the sheet in Find: tied, corrected, added, set aside; another sheet."""

import re
from uuid import uuid4

from tests.web.cast import PROCEDURE
from tests.web.test_web_find import CIRCUITS, WORDS, advised, opened, send, shown, van
from witnessmark.record.acts.by import By
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.models import Complaint, Reading, Step

__all__ = ["opened", "van"]


def test_a_complaint_is_tied_to_the_sheet_and_asked_only_once(cast, van, opened):
    row = Complaint.objects.get(job=van, replaced_by=None)
    assert row.key == "slow"
    assert row.words == WORDS
    assert "What does the complaint mean on this circuit?" not in shown(opened, van)
    assert send(opened, van, "complaint", key="slow").status_code == 302
    seen = Complaint.objects.get(job=van, trust="seen here")
    assert seen.key == "slow"
    assert send(opened, van, "complaint", key="loud").status_code == 422


def test_whether_the_complaint_was_there_is_kept(van, opened):
    for point, said in (("A", "yes"), ("B", "no"), ("C", "unknown")):
        test = f"volts {point} state=run"
        send(opened, van, "reading", test=test, text="12.4", present=said)
    kept = {row.key: row.present for row in Reading.objects.filter(job=van)}

    assert set(kept.values()) == {"yes", "no", "unknown"}
    assert kept["volts B state=run"] == "no"


def test_a_complaint_that_is_none_of_the_sheets_is_said_to_be_left_out_and_can_be_tied_later(
    cast, van, opened
):
    row = Complaint.objects.get(job=van, replaced_by=None)
    before = advised(shown(opened, van))
    assert send(opened, van, "complaint", complaint=str(row.pk), key="").status_code == 302
    page = shown(opened, van)
    said = page[page.index("Complaints on this circuit") :]
    assert "None of the sheet’s: the advice does not use it." in said
    row = Complaint.objects.get(job=van, replaced_by=None)
    assert row.key is None and row.sheet is not None and f'value="{row.pk}"' in said
    assert send(opened, van, "complaint", complaint=str(row.pk), key="slow").status_code == 302
    page = shown(opened, van)
    assert "the advice does not use it" not in page
    assert advised(page) == before


def test_the_question_what_a_complaint_means_says_what_none_of_these_leads_to(cast, van):
    browser = cast.browser(cast.on_it)
    sheet = re.search(r'<option value="([0-9a-f-]{36})">Brae', shown(browser, van))[1]
    send(browser, van, "open", sheet=sheet, sheet_id=str(uuid4()))
    assert "If it is none of these, the advice does not use it." in shown(browser, van)


def test_whoever_enters_sheets_is_led_to_the_general_circuits(cast, van):
    start = 'href="/library#general">Start from a general circuit</a>'
    teacher, learner = cast.browser(cast.teacher), cast.browser(cast.on_it)
    assert start in shown(teacher, van) and start not in shown(learner, van)
    assert 'id="general"' in teacher.get("/library").content.decode()
    assert learner.get("/library/circuit?general=fan").status_code == 403  # a learner may not
    send(teacher, van, "open", sheet="", sheet_id=str(uuid4()))
    assert start in shown(teacher, van)  # also where Find is open without a sheet


def test_find_is_not_offered_where_work_has_begun_without_it(cast, van):
    browser = cast.browser(cast.on_it)
    assert "Open Find" in shown(browser, van)
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="procedure", text=PROCEDURE, name="a")
    choose_procedure(by, uuid4(), job=van, item=item)
    assert "Open Find" in shown(browser, van)  # steps that nobody has begun make room for it
    start_work(by, uuid4(), job=van)
    page = shown(browser, van)
    assert "Open Find" not in page
    said = f"Work on {van.shown_number} has begun. From then on its steps stand as they are."
    assert said in page
    answer = send(browser, van, "open", sheet="", sheet_id=str(uuid4()))
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not Step.objects.filter(job=van, kind="find").exists()


def test_a_complaint_is_corrected_and_another_one_added(cast, van, opened):
    page = shown(opened, van)
    assert "Another complaint is seen here too" in page
    row = Complaint.objects.get(job=van, replaced_by=None)
    answer = send(opened, van, "complaint", complaint=str(row.pk), key="dead", goes="no")
    assert answer.status_code == 302
    row = Complaint.objects.get(job=van, replaced_by=None)
    assert (row.key, row.words, row.comes_and_goes) == ("dead", WORDS, False)
    answer = send(opened, van, "complaint", key="stays-on")
    assert answer.status_code == 302
    keys = [one.key for one in Complaint.objects.filter(job=van, replaced_by=None)]
    assert sorted(keys) == ["dead", "stays-on"]
    page = shown(opened, van)
    left = re.search(r"Another complaint is seen here too(.*?)</details>", page, re.S)[1]
    assert 'value="slow"' in left and 'value="stays-on"' not in left


def test_a_wrong_sheet_is_changed_until_something_is_read_on_it(cast, van, opened):
    by = By(person=cast.teacher)
    text = (CIRCUITS / "horn.toml").read_text("utf-8")
    horn = put_in_library(by, uuid4(), kind="circuit", text=text, name="horn.toml")
    assert "Take another circuit sheet" in shown(opened, van)
    answer = send(opened, van, "open", sheet=str(horn.pk), sheet_id=str(uuid4()))
    assert answer.status_code == 302
    page = shown(opened, van)
    assert "What does the complaint mean on this circuit?" in page  # asked anew
    answer = send(opened, van, "open", sheet="", sheet_id=str(uuid4()))
    assert "No sheet was chosen." in answer.content.decode()

    answer = send(opened, van, "reading", test="volts A state=press", text="12.6", present="yes")
    assert answer.status_code == 302, answer.content.decode()
    assert "Take another circuit sheet" not in shown(opened, van)
    answer = send(opened, van, "open", sheet=str(horn.pk), sheet_id=str(uuid4()))
    assert answer.status_code == 422
    assert "Readings are kept on this circuit already." in answer.content.decode()
