"""What a shop says about Find: its tools, its own rates of faults, who takes over, what goes."""

import re
from uuid import uuid4

import pytest

from tests.web.test_web_find import FAN, advised, opened, send, shown, told, van
from witnessmark.diagnosis.facts import part_at_fault
from witnessmark.diagnosis.kinds import KINDS
from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import give_permit
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.acts.sheets import pin_sheet
from witnessmark.record.models import Complaint, Job
from witnessmark.sheets.circuit import read_circuit
from witnessmark.shop.models import Shop

__all__ = ["opened", "van"]


FAN_LINES = FAN.read_text("utf-8").splitlines()


def pinned(cast, van, text):
    """Give the job another sheet."""
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=text, name="own.toml")
    pin_sheet(by, uuid4(), job=van, item=item)


def keep(cast, address="/shop", **typed):
    browser = cast.browser(cast.teacher)
    return browser.post(address, {"id": str(uuid4()), **typed}, follow=True)


def test_a_tool_that_the_shop_lacks_is_never_asked_for(cast, van, opened):
    keep(cast, act="find", tool=["test lamp"], qualified="")
    assert Shop.objects.get(pk=1).find_tools == ["test lamp"]
    for _ in range(3):
        page = shown(opened, van)
        key = advised(page)
        assert key is None or key.split()[0] in {"lamp", "look", "wiggle", "heat", "watch"}, key
        if key is None:
            break
        kind = key.split()[0]
        told = KINDS[kind].outcomes[-1]
        send(opened, van, "reading", test=key, outcome=told, present="yes")


def test_a_tool_that_no_test_uses_is_refused_in_words(cast):
    answer = keep(cast, act="find", tool=["hammer"], qualified="")
    assert answer.status_code == 422
    assert "The tool &quot;hammer&quot; is asked for." in answer.content.decode()


def test_the_shops_own_rates_move_the_belief_before_any_reading(cast, van, opened):
    pinned(cast, van, "\n".join(line for line in FAN_LINES if not line.startswith("rate =")))

    def first(page):
        return page[page.index('id="next"') :].split("<summary")[0]

    before = shown(opened, van)
    assert "G7, high resistance" in before
    answer = keep(cast, "/shop/rates", **{"connector/high": "400", "ground/high": "0"})
    page = answer.content.decode()
    assert "The rates are kept." in page
    assert 'name="connector/high"' in page and 'value="400"' in page
    after = shown(opened, van)
    assert "C4, high resistance" in after
    assert "G7, high resistance" not in after
    assert first(after) != first(before)


@pytest.mark.parametrize("typed", ["-1", "often", "1e3", "2000", "NaN", "1 2"])
def test_a_rate_that_is_no_weight_is_refused_and_stays_typed(cast, typed):
    answer = keep(cast, "/shop/rates", **{"connector/high": typed, "wire/open": "2"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f"The rate of connector, high is “{typed}”." in page
    assert 'name="wire/open" inputmode="decimal" autocomplete="off" maxlength="8" value="2"' in page
    assert Shop.objects.get(pk=1).rates == {}


def test_a_rate_of_nothing_that_fails_is_refused(cast):
    answer = keep(cast, "/shop/rates", **{"bolt/tired": "2"})
    assert answer.status_code == 422
    assert "A rate is given for “bolt/tired”." in answer.content.decode()


def test_only_a_teacher_sets_rates(cast):
    learner = cast.browser(cast.on_it)
    assert learner.get("/shop/rates").status_code == 403
    assert learner.post("/shop/rates", {"id": str(uuid4()), "wire/open": "9"}).status_code == 403


def test_a_rate_that_the_sheet_gives_comes_before_the_shops(cast, van, opened):
    before = shown(opened, van)
    keep(cast, "/shop/rates", **{"connector/high": "400", "ground/high": "0"})
    assert shown(opened, van).split("<title>")[1][:400] == before.split("<title>")[1][:400]
    assert "G7, high resistance" in shown(opened, van)


RESTRAINT = 'restraint = true\nname = "Brae 12'


def restrained(cast, van):
    """Give the job a sheet that is marked as a restraint circuit."""
    pinned(cast, van, FAN.read_text("utf-8").replace('name = "Brae 12', RESTRAINT, 1))


def test_a_restraint_circuit_names_who_takes_over_in_find_and_in_the_repair(cast, van, opened):
    keep(cast, act="find", tool=["meter"], qualified="Q. Holm")
    restrained(cast, van)
    for address in ("find", "repair"):
        page = cast.browser(cast.on_it).get(f"/jobs/{van.number}/{address}").content.decode()
        assert "Touch nothing. Q. Holm takes over" in page
        assert 'name="length"' not in page
        assert advised(page) is None
    refused = send(opened, van, "reading", test="volts A state=run", text="12")
    assert refused.status_code == 422
    assert "Q. Holm takes over" in refused.content.decode()


def test_the_repair_of_a_restraint_circuit_is_not_kept_either(cast, van, opened):
    restrained(cast, van)
    answer = opened.post(
        f"/jobs/{van.number}/repair/keep",
        {"id": str(uuid4()), "current": "5", "length": "4", "insulation": "pvc-105"},
    )
    assert answer.status_code == 422
    assert "Nothing is repaired here." in answer.content.decode()


def test_a_complaint_is_said_to_come_and_go_and_corrected(cast, van, opened):
    row = Complaint.objects.get(job=van, key="slow")
    assert row.comes_and_goes is None
    page = shown(opened, van)
    assert "nobody said whether it comes and goes" in page
    send(opened, van, "complaint", complaint=str(row.pk), key="slow", goes="yes")
    now = Complaint.objects.get(job=van, key="slow", replaced_by=None)
    assert now.comes_and_goes is True and now.replaces == row
    assert "comes and goes</span>" in shown(opened, van)
    send(opened, van, "complaint", key="slow")  # "Seen here too": what was said of it holds
    page = shown(opened, van)
    assert "Seen here: " in page and "nobody said whether it comes and goes" not in page


def checked(page, row):
    """Return what the form of a complaint says of whether it comes and goes."""
    form = page[page.index(f'name="complaint" value="{row.pk}"') :].partition("</form>")[0]
    return re.findall(r'name="goes" value="(\w*)" checked', form)


@pytest.mark.parametrize("said", ["yes", "no"])
def test_what_was_said_of_a_complaint_stays_where_the_sheet_has_none_like_it(
    cast, van, opened, said
):
    """Set aside, or told of a sheet that has gone: its form begins with what was said of it."""
    row = Complaint.objects.get(job=van, replaced_by=None)
    send(opened, van, "complaint", complaint=str(row.pk), key="", goes=said)
    row = Complaint.objects.get(job=van, replaced_by=None)
    assert row.comes_and_goes is (said == "yes")
    assert checked(shown(opened, van), row) == [said]
    send(opened, van, "complaint", complaint=str(row.pk), key="slow", goes=said)
    pinned(cast, van, FAN.read_text("utf-8").replace('key = "slow"', 'key = "weak"'))
    row = Complaint.objects.get(job=van, replaced_by=None)
    assert checked(shown(opened, van), row) == [said]


def test_the_intake_is_asked_first_whether_the_complaint_goes(cast, van):
    from witnessmark.web.find_facts import goes_by_intake

    assert goes_by_intake("Cold, After a bump") == "yes"
    assert goes_by_intake("Always, worse when warm") == "no"
    assert goes_by_intake("Not sure") == goes_by_intake("") == ""


@pytest.mark.parametrize(("happens", "goes"), [("Always", False), ("Cold, Wet", True)])
def test_what_intake_says_of_when_it_happens_is_taken_over_and_can_be_changed(
    cast, van, happens, goes
):
    Job.objects.filter(pk=van.pk).update(happens=happens)
    browser = cast.browser(cast.on_it)
    page = shown(browser, van)
    sheet = re.search(r'<option value="([0-9a-f-]{36})">Brae', page)[1]
    send(browser, van, "open", sheet=sheet, sheet_id=str(uuid4()))
    row = Complaint.objects.get(job=van)
    page = shown(browser, van)
    assert f"At intake: {happens.lower()}." in page
    assert checked(page, row) == ["no" if happens == "Always" else "yes"]
    send(browser, van, "complaint", complaint=str(row.pk), key="slow")  # a form that asks nothing
    row = Complaint.objects.get(job=van, replaced_by=None)
    assert row.comes_and_goes is goes
    send(browser, van, "complaint", complaint=str(row.pk), key="slow", goes="")
    assert Complaint.objects.get(job=van, replaced_by=None).comes_and_goes is None


def test_a_part_at_fault_is_found_from_any_suspect():
    circuit = read_circuit(FAN.read_text("utf-8"), "fan.toml")
    assert part_at_fault(circuit, "G7:high").name == "G7"
    assert part_at_fault(circuit, "G7.B-L:stuck-open").name == "G7"
    assert part_at_fault(circuit, "F12:blown + G7:high").name == "F12"
    assert part_at_fault(circuit, "something else") is None


def test_a_permit_alone_gives_no_jumper_that_the_shop_does_not_have(cast, van, opened):
    by = By(person=cast.teacher)
    give_permit(by, uuid4(), person=cast.on_it, kind="live", level="allowed")
    from witnessmark.diagnosis.kinds import JUMPER_LEAD
    from witnessmark.web.find_facts import means_of

    assert JUMPER_LEAD in means_of(Shop.objects.get(pk=1), [cast.on_it]).tools
    keep(cast, act="find", tool=["meter"], qualified="")
    assert JUMPER_LEAD not in means_of(Shop.objects.get(pk=1), [cast.on_it]).tools


def test_the_minutes_of_the_next_test_are_explained_where_they_stand(opened, van):
    """They add up: the state that was set up for the test before is not counted again."""
    page = shown(opened, van)
    for _ in range(2):
        minutes = re.search(r"Next test, ([\d.]+) minutes?", page)[1]
        made_of = re.search(r'<p class="hint">Minutes: ([^<]+)[.]</p>', page)[1]
        figures = re.findall(r"(?:getting at it|setting up|the test itself) ([\d.]+)", made_of)
        assert sum(map(float, figures)) == float(minutes)
        key = advised(page)
        send(opened, van, "reading", test=key, present="yes", **told(key))
        page = shown(opened, van)
    assert "shared with the test before" in made_of
