"""What the owner says beyond one complaint of the sheet, and what the cause leaves unexplained."""

import re
from uuid import uuid4

from tests.web.test_web_find import WORDS, follow, opened, send, shown, van
from witnessmark.record.models import Cause, Complaint

__all__ = ["opened", "van"]
ASKS = "Does the owner say more than this?"
HORN = "The horn does nothing."


def owners(van):
    rows = Complaint.objects.filter(job=van, replaced_by=None, trust="the customer says")
    return list(rows.order_by("received_at"))


def more(browser, van, **typed):
    return send(browser, van, "more", complaint=str(owners(van)[0].pk), **typed)


def test_a_complaint_that_is_tied_asks_whether_the_owner_says_more(van, opened):
    page = shown(opened, van)
    asked = page[page.index(ASKS) : page.index('id="next"')]
    assert WORDS in asked
    assert 'name="key" value="dead"' in asked and 'name="key" value="slow"' not in asked
    assert send(opened, van, "reading", test="volts A state=run", text="12.4").status_code == 302
    page = shown(opened, van)
    assert ASKS not in page and "The owner says more than" in page


def test_several_are_tapped_in_one_go_and_one_is_written_beside_the_sheet(van, opened):
    sent = {"id": str(uuid4()), "key": ["dead", "stays-on"], "beside": HORN}
    for _ in range(2):  # the same form sent twice is one entry each
        assert more(opened, van, **sent).status_code == 302
    rows = owners(van)
    assert [row.key for row in rows] == ["slow", "dead", "stays-on", None]
    assert rows[-1].words == HORN and rows[-1].sheet is not None
    assert ASKS not in shown(opened, van)


def test_what_else_the_owner_says_comes_and_goes_by_itself(van, opened):
    first = owners(van)[0]
    page = shown(opened, van)
    asked = page[page.index(ASKS) : page.index('id="next"')]
    assert "Does it come and go?" in asked

    assert more(opened, van, key="stays-on", goes="yes").status_code == 302
    assert more(opened, van, key="dead", goes="").status_code == 302

    said = {row.key: row.comes_and_goes for row in owners(van)}
    assert said == {"slow": first.comes_and_goes, "stays-on": True, "dead": None}


def test_of_several_complaints_it_is_said_which_one_may_be_there_during_the_test(van, opened):
    asked = re.compile(r"Was the complaint there\?(.*?)</legend>")
    assert asked.search(shown(opened, van))[1] == ""

    more(opened, van, key="stays-on", goes="yes")
    page = shown(opened, van)
    state = re.search(r'name="test" value="[^"]* state=(\w+)', page)[1]
    words = {"run": "The fan hardly blows", "off": "The fan runs with the switch off"}[state]
    assert f"“{words}”" in asked.search(page)[1]


def test_whether_one_cause_may_explain_several_complaints_stands_beside_them(van, opened):
    assert "ne common cause" not in shown(opened, van)
    more(opened, van, key="stays-on", goes="")

    page = shown(opened, van)
    beside = page[page.index("Complaints on this circuit") : page.index("Another complaint is")]
    said = ("One common cause", "Two causes at once", "No single fault on the sheet")
    assert any(words in beside for words in said)


def test_a_form_that_says_no_more_is_told_so_and_one_told_already_keeps_nothing(van, opened):
    answer = more(opened, van)
    assert answer.status_code == 422
    assert "Nothing was tapped, and nothing is written." in answer.content.decode()
    answer = more(opened, van, key=["dead", "slow"], beside=HORN)
    assert answer.status_code == 422
    assert "The owner has told this complaint already." in answer.content.decode()
    assert len(owners(van)) == 1


def test_the_mark_page_and_the_named_panel_say_what_the_cause_explains_and_what_it_does_not(
    van, opened
):
    """A bad ground makes the fan slow; it does not keep it running with the switch off."""
    more(opened, van, beside=HORN)
    follow(opened, van)
    assert send(opened, van, "cause", statement="G7 is bad.").status_code == 302
    more(opened, van, key="stays-on")
    marking = opened.get(f"/jobs/{van.number}/cause/mark").content.decode()
    for page in (marking, shown(opened, van).partition("Measure on")[0]):
        said = [re.sub(r"<[^>]+>|[“”]", "", one) for one in re.split(r"</(?:dd|p)>", page)]
        slow, horn, stays = (
            next(one for one in said if words in one and ("Find" in one or "cause" in one))
            for words in (f"{WORDS}", HORN, "The fan runs with the switch off")
        )
        assert "On the sheet: The fan hardly blows. The cause explains it." in slow
        assert "Whatever else these words say was not looked at in Find." in slow
        assert "Not looked at in Find: the sheet has none like it." in horn
        assert "The cause does not explain it." in stays


def test_a_cause_from_readings_and_photos_claims_nothing_of_what_it_explains(van, opened):
    from witnessmark.record.models import Reading

    send(opened, van, "reading", test="volts D state=run", text="12.2")
    reading = Reading.objects.get(job=van)
    send(opened, van, "evidence", statement="G7 is bad.", reading=str(reading.pk))
    assert Cause.objects.get(job=van).how == "evidence"
    page = opened.get(f"/jobs/{van.number}/cause/mark").content.decode()
    assert "Whether the cause explains it, Find does not say." in page
    assert "The cause explains it." not in page


def test_a_bare_number_seen_on_the_part_is_asked_for_its_unit(van, opened):
    from witnessmark.record.models import Reading

    what = "Volts lost across plug pin 3, lamp on"
    for text in ("1.8", "1,8", "-3"):
        answer = send(opened, van, "look", what=what, value=text)
        assert answer.status_code == 422
        page = answer.content.decode()
        assert f"“{text}” has no unit." in page and 'id="at_field"' in page
        assert what in page
    assert not Reading.objects.filter(job=van).exists()
    for text in ("1.8 V", "green", "3 strands broken"):
        assert send(opened, van, "look", what=what, value=text).status_code == 302
    assert Reading.objects.filter(job=van).count() == 3
