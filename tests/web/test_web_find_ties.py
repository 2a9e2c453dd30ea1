"""What a complaint means on a circuit is said of that sheet, once, and of nothing else."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest

from tests.web.test_web_find import CIRCUITS, opened, send, shown, van
from witnessmark.errors import BenchError
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import add_complaint
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.acts.sheets import pin_sheet
from witnessmark.record.models import Complaint, PinnedSheet, Reading
from witnessmark.record.ties import NONE_OF_IT, key_on

__all__ = ["opened", "van"]
ASKS = "What does the complaint mean on this circuit?"
ON_IT = "Complaints on this circuit"


def taken(cast, browser, van, name):
    """Take another circuit sheet, as its form does."""
    text = (CIRCUITS / f"{name}.toml").read_text("utf-8")
    item = put_in_library(By(person=cast.teacher), uuid4(), kind="circuit", text=text, name=name)
    answer = send(browser, van, "open", sheet=str(item.pk), sheet_id=str(uuid4()))
    assert answer.status_code == 302, answer.content.decode()
    return item


def standing(van):
    return Complaint.objects.get(job=van, replaced_by=None)


def test_a_sheet_that_has_the_same_key_asks_what_the_complaint_means_there(cast, van, opened):
    """Fan and starting circuit both have a complaint "slow": one hardly blows, one hardly turns."""
    taken(cast, opened, van, "starting")
    page = shown(opened, van)
    assert ASKS in page
    assert ON_IT not in page
    send(opened, van, "complaint", complaint=str(standing(van).pk), key="slow")
    page = shown(opened, van)
    assert ASKS not in page
    assert "The engine turns over slowly" in page[page.index(ON_IT) :]


def test_a_complaint_that_was_set_aside_is_asked_again_on_another_sheet(cast, van, opened):
    send(opened, van, "complaint", complaint=str(standing(van).pk), key="")
    assert ASKS not in shown(opened, van)
    taken(cast, opened, van, "horn")
    page = shown(opened, van)
    assert ASKS in page
    assert "None of the sheet’s" not in page


def test_a_key_of_a_sheet_that_is_called_none_is_no_answer_that_none_fits(cast, van, opened):
    """The brake lamps have a complaint "none": the right one stays dark, the others do not."""
    taken(cast, opened, van, "brake-lamps")
    answer = send(opened, van, "complaint", complaint=str(standing(van).pk), key="")
    assert answer.status_code == 302
    page = shown(opened, van)
    assert "None of the sheet’s" in page
    send(opened, van, "complaint", complaint=str(standing(van).pk), key="none")
    page = shown(opened, van)
    assert "None of the sheet’s" not in page
    assert "The right brake lamp stays dark" in page[page.index(ON_IT) :]


def test_a_complaint_of_a_page_that_shows_the_sheet_before_is_not_tied_to_the_new_one(
    cast,
    van,
    opened,
):
    before = PinnedSheet.objects.get(job=van)
    row = standing(van)
    taken(cast, opened, van, "starting")
    answer = send(opened, van, "complaint", complaint=str(row.pk), key="slow", sheet=str(before.pk))
    assert answer.status_code == 409
    said = answer.content.decode()
    assert "Isla gave J-117 another circuit sheet on 24 Nov at 11:12:" in said
    assert "This page still showed the one before." in said
    assert standing(van) == row


def test_a_key_that_only_the_sheet_before_has_is_told_who_changed_the_sheet(cast, van, opened):
    before, row = PinnedSheet.objects.get(job=van), standing(van)
    taken(cast, opened, van, "horn")
    for asked in ({"complaint": str(row.pk)}, {}):
        answer = send(opened, van, "complaint", **asked, key="slow", sheet=str(before.pk))
        assert "Isla gave J-117 another circuit sheet" in answer.content.decode()
    answer = send(opened, van, "complaint", complaint=str(row.pk), key="slow")
    assert "The complaint that was tapped is not on the job" in answer.content.decode()
    assert standing(van) == row


def test_a_first_reading_typed_beside_the_sheet_before_is_not_kept_at_another_point(
    cast, van, opened
):
    page = shown(opened, van)
    hidden = dict(
        re.findall(r'name="(sheet|test)" value="([^"]+)"', page[page.index('id="next"') :])
    )
    taken(cast, opened, van, "starting")
    answer = send(opened, van, "reading", **hidden, text="12.2", present="yes")
    assert answer.status_code == 409
    assert "Isla gave J-117 another circuit sheet" in answer.content.decode()
    assert not Reading.objects.filter(job=van).exists()


def test_a_tie_from_before_ties_named_their_sheet_is_of_the_sheet_that_stood_then(
    cast,
    van,
    opened,
):
    fan, row = PinnedSheet.objects.get(job=van), standing(van)
    taken(cast, opened, van, "starting")
    starting = PinnedSheet.objects.get(job=van, replaced_by=None)
    starting.at += timedelta(minutes=1)
    row.sheet = None  # as it was kept then
    assert (key_on(row, fan), key_on(row, starting)) == ("slow", None)
    row.key = "none"
    assert (key_on(row, fan), key_on(row, starting)) == (NONE_OF_IT, None)
    row.key = None
    assert (key_on(row, fan), key_on(row, starting)) == (None, None)


def test_what_is_seen_on_two_tablets_counts_once(van, opened):
    assert send(opened, van, "complaint", key="dead").status_code == 302
    again = send(opened, van, "complaint", key="dead", goes="no")
    assert again.status_code == 422
    assert "Somebody here has seen this complaint already." in again.content.decode()
    assert Complaint.objects.filter(job=van, key="dead").count() == 1
    assert "Seen here too" in shown(opened, van)  # what the customer tells may be seen here too
    assert send(opened, van, "complaint", key="slow").status_code == 302


def test_the_same_form_sent_twice_is_answered_as_kept(van, opened):
    id = str(uuid4())
    for _ in range(2):
        assert send(opened, van, "complaint", key="dead", id=id).status_code == 302
    assert Complaint.objects.filter(job=van, key="dead").count() == 1


@pytest.mark.parametrize(
    "asked", [{"key": ""}, {"key": "", "complaint": "xx"}, {"key": "slow", "complaint": "xx"}]
)
def test_a_complaint_that_is_gone_is_said_to_be_gone(van, opened, asked):
    before = list(Complaint.objects.filter(job=van))
    answer = send(opened, van, "complaint", **asked)
    assert answer.status_code == 422
    assert "That complaint is no longer there." in answer.content.decode()
    assert list(Complaint.objects.filter(job=van)) == before


def test_a_form_without_a_choice_says_that_none_was_made(van, opened):
    answer = send(opened, van, "complaint", complaint=str(standing(van).pk))
    assert answer.status_code == 422
    assert "No complaint was chosen." in answer.content.decode()


def test_a_job_without_a_circuit_has_nothing_to_tie_to(cast, van):
    with pytest.raises(BenchError, match="has no circuit sheet"):
        add_complaint(By(person=cast.teacher), uuid4(), job=van, words="dim", key="dim")


def test_no_other_sheet_is_pinned_once_something_is_read_by_whoever_asks(cast, van, opened):
    """Another tablet may read between the page and its form: the act itself looks."""
    text = (CIRCUITS / "horn.toml").read_text("utf-8")
    by = By(person=cast.teacher)
    horn = put_in_library(by, uuid4(), kind="circuit", text=text, name="horn")
    key = re.search(r'name="test" value="([^"]+)"', shown(opened, van))[1]
    answer = send(opened, van, "reading", test=key, text="12.2", present="yes")
    assert answer.status_code == 302, answer.content.decode()
    with pytest.raises(BenchError, match="Readings are kept on this circuit already"):
        pin_sheet(by, uuid4(), job=van, item=horn)
    assert PinnedSheet.objects.filter(job=van).count() == 1


def test_find_opened_by_a_form_that_is_sent_again_later_is_answered_as_open(cast, van):
    browser = cast.browser(cast.on_it)
    sheet = re.search(r'<option value="([0-9a-f-]{36})">Brae', shown(browser, van))[1]
    sent = {"id": str(uuid4()), "sheet": sheet, "sheet_id": str(uuid4())}
    assert send(browser, van, "open", **sent).status_code == 302
    send(browser, van, "complaint", complaint=str(standing(van).pk), key="slow")
    key = re.search(r'name="test" value="([^"]+)"', shown(browser, van))[1]
    answer = send(browser, van, "reading", test=key, text="12.2", present="yes")
    assert answer.status_code == 302, answer.content.decode()
    assert send(browser, van, "open", **sent).status_code == 302
    assert PinnedSheet.objects.filter(job=van).count() == 1


def test_find_opened_without_a_sheet_and_sent_again_is_answered_as_open(cast, van):
    browser = cast.browser(cast.on_it)
    sent = {"id": str(uuid4()), "sheet": "", "sheet_id": str(uuid4())}
    for _ in range(2):
        assert send(browser, van, "open", **sent).status_code == 302
