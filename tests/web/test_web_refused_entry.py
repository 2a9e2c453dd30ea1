"""A refused entry leads back to its page: loaded again it stays, kept or replaced it is gone."""

import json
from datetime import timedelta
from uuid import uuid4

import pytest
from django.contrib.sessions.models import Session

from tests.web.cast import TUESDAY
from tests.web.test_web_find import opened, shown, van  # noqa: F401 - fixtures
from tests.web.test_web_practice import HERE, case, fan, read  # noqa: F401 - fixtures
from tests.web.test_web_practice import send as practise
from witnessmark.record.acts.by import By
from witnessmark.record.acts.erasing import erase_person
from witnessmark.record.models import PracticeCase, PracticeTest, Reading
from witnessmark.shop import clock


def entry(browser, address, **typed):
    return browser.post(address, {"id": str(uuid4()), **typed})


FORMS = [
    ("find/reading", {"kind": "volts", "place": "E", "state": "run", "text": "abc"}),
    ("find/look", {"what": "Lining, left rear shoe", "value": ""}),
    ("find/evidence", {"statement": "It is the stud of G7."}),
]


@pytest.mark.parametrize(("form", "typed"), FORMS)
def test_in_find_it_leads_back_and_stays_when_the_page_is_loaded_again(opened, van, form, typed):  # noqa: F811
    entry(opened, "/jobs/117/find/look", what="G7", value="green")
    answer = entry(opened, f"/jobs/117/{form}", **typed, skip="D")
    address = answer.headers["Location"]

    assert answer.status_code == 303 and answer.content == b""
    assert address.startswith("/jobs/117/find?skip=D&again=")
    for _ in range(2):
        page = opened.get(address)
        assert page.status_code == 422
        assert all(value in read(page) for value in typed.values() if len(value) > 3)
    plain = opened.get("/jobs/117/find")  # Back leads to the page as it stands
    assert plain.status_code == 200 and 'value="abc"' not in read(plain)


def test_it_is_gone_once_an_entry_is_kept_in_its_place(opened, van):  # noqa: F811
    typed = {"kind": "volts", "place": "E", "state": "run"}
    address = entry(opened, "/jobs/117/find/reading", **typed, text="abc").headers["Location"]
    assert entry(opened, "/jobs/117/find/reading", **typed, text="2.9").status_code == 302
    page = opened.get(address)

    assert page.status_code == 200 and 'value="abc"' not in read(page)
    assert Reading.objects.get(job=van).text == "2.9"


def test_back_finds_the_ones_refused_before_only_in_the_browser_that_typed(cast, opened, van):  # noqa: F811
    typed = {"kind": "volts", "place": "E", "state": "run"}
    refused = {
        text: entry(opened, "/jobs/117/find/reading", **typed, text=text).headers["Location"]
        for text in ("abc", "def", "ghi", "jkl")
    }
    assert opened.get(refused.pop("abc")).status_code == 200  # the last three are kept
    for text, address in refused.items():
        assert f'value="{text}"' in read(opened.get(address))
    assert cast.browser(cast.teacher).get(refused["jkl"]).status_code == 200


def test_what_was_refused_on_one_page_shows_on_no_other_and_takes_no_other_s_place(opened, van):  # noqa: F811
    typed = {"kind": "volts", "place": "E", "state": "run"}
    in_find = entry(opened, "/jobs/117/find/reading", **typed, text="abc").headers["Location"]
    entry(opened, f"{HERE}/new", begin_id=str(uuid4()), general="window")
    test = {"kind": "volts", "place": "", "expected": "xyz"}
    for _ in range(5):
        in_practice = entry(opened, f"{HERE}/1/test", **test).headers["Location"]
    token = in_practice.partition("again=")[2]
    assert opened.get(f"/jobs/117/find?again={token}").status_code == 200
    assert 'value="xyz"' in read(opened.get(in_practice))
    assert 'value="abc"' in read(opened.get(in_find))
    assert entry(opened, "/jobs/117/find/reading", **typed, text="2.9").status_code == 302
    assert opened.get(in_find).status_code == 200
    assert 'value="xyz"' in read(opened.get(in_practice))  # kept in Find, it still waits here


def test_after_half_an_hour_it_is_gone_from_the_session_with_the_next_page(opened, van):  # noqa: F811
    typed = {"kind": "volts", "place": "E", "state": "run", "text": "nobody may read this"}
    address = entry(opened, "/jobs/117/find/reading", **typed).headers["Location"]
    with clock.at(TUESDAY + timedelta(minutes=29)):
        assert opened.get(address).status_code == 422
    with clock.at(TUESDAY + timedelta(minutes=31)):
        assert opened.get("/jobs").status_code == 200
    assert not any("nobody may read this" in one for one in kept_words())


def test_what_was_ticked_as_evidence_stays_ticked(opened, van):  # noqa: F811
    entry(opened, "/jobs/117/find/reading", test="volts E state=run", text="2.9", present="yes")
    row = Reading.objects.get(job=van)
    answer = entry(opened, "/jobs/117/find/evidence", statement="", reading=str(row.pk))
    page = read(opened.get(answer.headers["Location"]))
    assert f'name="reading" value="{row.pk}" checked' in page
    assert f'name="reading" value="{row.pk}">' in shown(opened, van)


def test_in_practice_test_ranking_cause_and_setting_lead_back(cast, case):  # noqa: F811
    isla, teacher = cast.browser(cast.on_it), cast.browser(cast.teacher)
    practise(isla, "begin")
    test = {"kind": "clamp", "place": "W1", "state": "run", "expected": "abc", "watched": "1"}
    for what, typed, shows in (
        ("test", test, 'value="abc"'),
        ("rank", {"part": ["Nobody", "S9"]}, '<option value="S9" selected'),
        ("name", {"suspect": "S9:high", "reasons": "mine"}, ">mine</textarea>"),
    ):
        answer = entry(isla, f"{HERE}/1/{what}", **typed)
        assert answer.status_code == 303
        for _ in range(2):
            page = isla.get(answer.headers["Location"])
            assert page.status_code == 422 and shows in read(page)
    sent = {"sheet": str(case.item_id), "fault": "F12:blown", "comes_and_goes": "1", "title": "Own"}
    answer = entry(teacher, f"{HERE}/new", begin_id=str(uuid4()), **sent)
    page = teacher.get(answer.headers["Location"])
    assert page.status_code == 422
    assert 'value="Own"' in read(page) and 'value="F12:blown" data-stays selected' in read(page)
    assert not PracticeTest.objects.exists() and PracticeCase.objects.count() == 1


def test_whoever_begins_twice_is_led_to_the_attempt(cast, case):  # noqa: F811
    isla = cast.browser(cast.on_it)
    practise(isla, "begin")
    page = practise(isla, "begin")
    assert page.status_code == 422
    assert "You have begun Practice 1 already." in read(page)


def kept_words():
    return [json.dumps(one.get_decoded()) for one in Session.objects.all()]


def test_nothing_typed_waits_in_a_session_after_signing_out_or_erasing(cast, opened, van):  # noqa: F811
    typed = {"kind": "volts", "place": "E", "state": "run", "text": "nobody may read this"}
    entry(opened, "/jobs/117/find/reading", **typed)
    assert any("nobody may read this" in one for one in kept_words())
    opened.post("/signin/me")
    assert not any("nobody may read this" in one for one in kept_words())
    mika = cast.browser(cast.not_on_it)
    entry(mika, f"{HERE}/new", sheet=str(uuid4()))
    fan_page = entry(mika, f"{HERE}/new", general="window", title="nobody may read this")
    assert fan_page.status_code == 303  # only a teacher gives a title
    erase_person(By(person=cast.teacher), uuid4(), person=cast.not_on_it)
    assert not any("nobody may read this" in one for one in kept_words())
