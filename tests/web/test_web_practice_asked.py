"""The test that a learner chooses in practice: what is expected, what is refused, what it shows."""

import re
from html import unescape
from uuid import uuid4

import pytest

from tests.web.test_web_practice import HERE, case, fan, measure, read, send
from witnessmark.record.acts import practice
from witnessmark.record.acts.by import By
from witnessmark.record.models import PracticeTest

__all__ = ["case", "fan"]

WORKS = "the load working over the jumper"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"kind": "jumper", "place": "Fan", "expected": WORKS}, "it is a load"),
        ({"kind": "ohms", "place": "Fan"}, "tell nothing while it rests"),
        ({"kind": "volts", "place": ""}, "No point was chosen."),
        ({"kind": "volts", "place": "E", "to": "E"}, "between two points"),
        ({"kind": "volts", "place": "E", "expected": " "}, "It does not say what you expect."),
        ({"kind": "volts", "place": "E", "expected": "abc"}, "“abc” is no number of volts."),
        ({"kind": "volts", "place": "E", "expected": "1200 V"}, "a supply of 12.6 V."),
        ({"kind": "poke", "place": "E"}, "The test is called"),
    ],
)
def test_a_test_that_cannot_be_is_refused_and_what_was_typed_stays(cast, case, typed, words):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    answer = send(isla, "test", **({"state": "run", "expected": "about 7"} | typed))
    page = read(answer)

    assert answer.status_code == 422
    assert words in page.replace("&#x27;", "'")
    typed_before = typed.get("expected", "about 7")
    assert f'value="{typed_before}"' in page
    assert not PracticeTest.objects.exists()


def test_the_minutes_are_explained_before_a_test_and_after_it(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    page = unescape(read(isla.get(f"{HERE}/1?kind=volts&state=run"))).replace("\xa0", " ")
    said = page.partition("What a test’s minutes are made of")[2].partition("</details>")[0]
    assert "Getting at the place, setting up the state, and the test itself." in said
    assert "Measure volts</b>, with the fan running, from where you are now: A 3, " in said
    assert ", E 5, F 6," in said
    measure(isla, "E")
    page = unescape(read(isla.get(f"{HERE}/1"))).replace("\xa0", " ")
    assert "It took 5 minutes: getting at it 3, setting up 1, the test itself 1." in page
    assert ", E 1, F 5," in page  # the state stands, and one is there
    measure(isla, "F")
    page = read(isla.get(f"{HERE}/1"))
    assert "It took 5 minutes: getting at it 4, the test itself 1; setting up is shared" in page


@pytest.mark.parametrize(
    ("kind", "typed", "kept"),
    [("volts", "12,4", "12,4 V"), ("volts", "about 12", "about 12 V"), ("lamp", "lit", "lit")],
)
def test_what_is_expected_is_taken_as_it_is_said(cast, case, kind, typed, kept):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    assert measure(isla, "E", expected=typed, kind=kind).status_code == 302
    assert f"You expected {kept}." in read(isla.get(f"{HERE}/1"))


def test_nonsense_that_is_expected_is_answered_at_its_field(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    page = read(measure(isla, "E", expected="abc"))
    entry = page.partition('id="rd"')[2]
    assert 'value="abc"' in entry.partition(">")[0] and "aria-invalid" in entry.partition(">")[0]
    assert entry.index("is no number of volts") < entry.index("</form>")
    assert "warnb" not in page


def test_ohms_without_end_are_answered_and_stand_on_the_page(cast, fan):
    isla = cast.browser(cast.on_it)
    practice.set_case(
        By(person=cast.teacher), uuid4(), item=fan, section=cast.section, chosen="F12:blown"
    )
    send(isla, "begin")
    assert send(isla, "test", kind="ohms", place="F12", expected="0").status_code == 302
    assert "open (OL)" in read(isla.get(f"{HERE}/1"))
    assert send(isla, "give-up").status_code == 302
    assert "open (OL)" in read(isla.get(f"{HERE}/1"))


def test_healthy_volts_are_shown_once_it_was_said_what_is_expected(cast, case):
    """Before that they would be the answer; a test lamp asks for no volts, so it shows none."""
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    table = re.compile(r"<tr><td><b>(\w+)</b>[^<]*</td><td class=\"num\">([^<]*)</td>")

    def healthy():
        return dict(table.findall(read(isla.get(f"{HERE}/1"))))

    before = healthy()
    assert set(before.values()) == {""}
    assert "<polyline" not in read(isla.get(f"{HERE}/1"))  # the healthy line
    send(isla, "test", kind="lamp", state="run", place="E", expected="lit")
    assert set(healthy().values()) == {""}
    measure(isla, "E")
    after = healthy()
    assert re.fullmatch(r"\d\.\d\d V", after.pop("E"))
    assert set(after.values()) == {""}
    measure(isla, "F")
    assert "<polyline" in read(isla.get(f"{HERE}/1"))  # between two points that were asked


def test_what_no_jumper_may_bridge_is_not_in_its_list_and_refused_all_the_same(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    page = read(isla.get(f"{HERE}/1?kind=jumper"))
    offered = set(re.findall(r'name="place" value="([^"]+)"', page))
    assert {"G7", "K3"} <= offered
    assert not offered & {"Fan", "F12", "BAT"}
    for part in ("Fan", "F12", "BAT"):
        refused = send(isla, "test", kind="jumper", state="run", place=part, expected=WORKS)
        assert refused.status_code == 422


def test_whoever_watches_in_another_state_is_told_that_nothing_can_be_seen_there(cast, case):
    """It stands at the test that was watched; a later refused one does not change that."""
    isla = cast.browser(cast.on_it)
    unseen = "The complaint cannot be seen in this state."
    send(isla, "begin")
    measure(isla, "D")
    refused = read(measure(isla, "D", expected="", watched="1"))
    assert "Test 1: " in refused and unseen not in refused
    measure(isla, "D", state="off")
    assert unseen not in read(isla.get(f"{HERE}/1?watched=1"))
    measure(isla, "D", watched="1")
    assert "The complaint was there." in read(isla.get(f"{HERE}/1"))
    measure(isla, "D", state="off", watched="1")
    answer = read(isla.get(f"{HERE}/1")).partition('id="answer4"')[2].partition("</div>")[0]
    assert unseen in answer
    measure(isla, "D")
    page = read(isla.get(f"{HERE}/1"))
    assert unseen not in page.partition('id="answer5"')[2].partition("</div>")[0]
    assert page.count(unseen) == 1  # test 4, among the readings so far


def test_before_a_jumper_it_is_watched_first_whether_the_complaint_is_there(cast, case):
    """What the jumper shows is the complaint gone: both at once would contradict each other."""
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    assert "Watch meanwhile whether" in read(isla.get(f"{HERE}/1?kind=volts"))
    assert "Watch first whether" in read(isla.get(f"{HERE}/1?kind=jumper"))
    ticked = read(isla.get(f"{HERE}/1?kind=volts&watched=1"))  # it stays so for another kind
    assert "?kind=jumper&amp;state=run&amp;watched=1#next" in ticked
    send(isla, "test", kind="jumper", state="run", place="G7", expected=WORKS, watched="1")
    assert f"You expected {WORKS}. The complaint was there before." in read(isla.get(f"{HERE}/1"))


def test_the_cause_can_be_reached_from_the_test_once_one_is_done(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    link = '<a href="#name">Name the cause</a>'
    assert link not in read(isla.get(f"{HERE}/1"))
    measure(isla, "E")
    page = read(isla.get(f"{HERE}/1"))
    assert link in page.partition('id="next"')[2].partition("</form>")[0] and 'id="name"' in page
