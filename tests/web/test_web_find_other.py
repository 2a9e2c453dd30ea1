"""Another test than the advised one: its kind first, then only the places where it can be done."""

import re
from html import unescape
from uuid import uuid4

import pytest

from tests.web.test_web_find import follow, opened, send, shown, van  # noqa: F401 - fixtures
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.kinds import EVERYTHING, JUMPER, KINDS, LAMPS, WATCH, WIGGLE
from witnessmark.diagnosis.observations import parse_test_key
from witnessmark.diagnosis.offers import standing_after
from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import give_permit
from witnessmark.record.circuits import circuit_of
from witnessmark.record.models import PinnedSheet, Reading
from witnessmark.shop.models import Shop
from witnessmark.web.where_done import NOT_LISTED, SOME_LISTED, places_of

NO_PERMIT = "takes the permit for live circuits; nobody of the crew has it"


def form(page):
    """Return the part of the page for another test."""
    return unescape(page).partition('id="other"')[2].partition("</form>")[0].replace("\xa0", " ")


def places(page):
    return re.findall(r'name="place" value="([^"]+)"', form(page))


def book_of(van):  # noqa: F811
    sheet = PinnedSheet.objects.get(job=van)
    return dictionary_of(circuit_of(sheet.text, sheet.title))


@pytest.mark.parametrize("kind", [one for one in KINDS if one != JUMPER])
def test_a_kind_is_chosen_by_a_link_and_offers_its_places_with_its_answers(opened, van, kind):  # noqa: F811
    Shop.objects.update(find_tools=sorted(EVERYTHING.tools))
    one = KINDS[kind]
    first = form(shown(opened, van))
    address = re.search(rf'href="([^"]*kind={kind}&[^"]*#other)"', first)[1]
    assert not shown(opened, van).partition('id="other"')[2].startswith(" open")
    page = opened.get(address).content.decode()

    assert page.partition('id="other"')[2].startswith(" open")
    assert f'name="kind" value="{kind}"' in form(page)
    assert places(page) == [name for name, _ in places_of(book_of(van), one)]
    assert ('name="state"' in form(page)) == one.in_state
    # The fan is what is complained of; a wiggle shows a bad joint whether it plays up or not.
    assert ('name="present"' in form(page)) == (one.in_state and kind not in (WATCH, WIGGLE))
    assert (f"<span>{one.unit}</span>" in form(page)) == bool(one.unit)
    for word, saying in zip(one.outcomes, one.saying, strict=True) if not one.unit else []:
        assert f'name="outcome" value="{word}"' in form(page)
        assert saying[0].upper() + saying[1:] in form(page)


def test_only_what_a_clamp_goes_round_is_offered_for_a_clamp(opened, van):  # noqa: F811
    page = shown(opened, van, "?kind=clamp")
    offered = set(places(page))
    assert offered == {one.name for one in book_of(van).parts if one.may_clamp}
    assert NOT_LISTED["clamp"] in form(page)


def test_only_what_one_sees_or_hears_at_work_is_offered_to_be_watched(opened, van):  # noqa: F811
    page = shown(opened, van, "?kind=watch&state=run")
    loads = [one.name for one in book_of(van).parts if one.may_watch]
    assert "Fan" in loads and places(page) == loads
    assert NOT_LISTED["watch"] in form(page)
    amiss = KINDS[WATCH].outcomes[0]
    assert f'name="outcome" value="{amiss}"' in form(page)
    sent = send(opened, van, "reading", kind="watch", place="Fan", state="run", outcome=amiss)
    assert sent.status_code == 302
    assert Reading.objects.get(job=van).outcome == amiss


def test_a_kind_of_which_nobody_said_why_a_part_is_not_listed_says_it_plainly(
    opened,  # noqa: F811
    van,  # noqa: F811
    monkeypatch,
):
    monkeypatch.delitem(NOT_LISTED, "clamp")
    assert SOME_LISTED in form(shown(opened, van, "?kind=clamp"))
    assert SOME_LISTED not in form(shown(opened, van, "?kind=volts"))


def test_a_kind_done_on_no_part_or_without_its_tool_is_listed_with_the_reason(
    cast,
    opened,  # noqa: F811
    van,  # noqa: F811
):
    Shop.objects.update(find_tools=["meter", "fused jumper lead"])
    page = form(shown(opened, van))
    assert "Hold a test lamp: there is no test lamp here." in page
    assert f"Bridge it with a fused jumper lead: {NO_PERMIT}." in page
    assert "kind=lamp" not in page and "kind=jumper" not in page
    assert places(shown(opened, van, "?kind=jumper")) == []
    give_permit(By(person=cast.teacher), uuid4(), person=cast.on_it, kind="live", level="allowed")
    page = shown(opened, van, "?kind=jumper")
    assert NO_PERMIT not in form(page) and {"G7", "K3"} <= set(places(page))
    lacking = form(shown(opened, van, "?lack=meter"))
    assert "Measure volts: there is no meter here." in lacking


def test_whether_the_complaint_was_there_is_asked_with_where_it_can_be_seen(opened, van):  # noqa: F811
    """The state is chosen in the form: it asks where the complaint can be seen in any of them."""
    for state in ("run", "off"):
        page = form(shown(opened, van, f"?kind=volts&state={state}"))
        assert 'name="present"' in page and "It can be seen only with the fan running." in page
    assert "Was the complaint there?" in page
    assert "Was the complaint there before?" in form(shown(opened, van, "?kind=swap"))  # it ends it
    send(opened, van, "complaint", key="stays-on")
    page = form(shown(opened, van, "?kind=volts"))
    assert re.search(r"It can be seen only with [^.]* or [^.]*\.", page)


@pytest.mark.parametrize("kind", [one for one in KINDS if one != JUMPER])
def test_a_place_is_said_in_words_once(opened, van, kind):  # noqa: F811
    """On its button; or below, by script, where the button bears its name only."""
    Shop.objects.update(find_tools=sorted(EVERYTHING.tools))
    page, listed = form(shown(opened, van, f"?kind={kind}")), places_of(book_of(van), KINDS[kind])
    buttons = re.findall(r'name="place" [^>]*>([^<]+)</label>', page)
    said_below = "data-put" in page
    assert buttons == [name if said_below else words for name, words in listed]
    assert said_below == (KINDS[kind].at_point or len(listed) > 8) != (" wds" in page)


def test_the_minutes_are_said_from_where_the_crew_stands(opened, van):  # noqa: F811
    page = form(shown(opened, van, "?kind=volts&state=run"))
    said = page.partition("Minutes from where you are now, with the fan running: ")[2]
    assert said.startswith("A 3, ") and ", E 5, F 6" in said  # as practice says them
    send(opened, van, "reading", kind="volts", place="E", state="run", text="2.9")
    page = form(shown(opened, van, "?kind=volts"))
    assert ", E 1, F 5" in page
    last = standing_after([parse_test_key("volts E state=run")])
    assert f'<option value="{last.state}" selected>' in page


def test_where_no_test_is_advised_its_caution_stands_in_the_form(opened, van):  # noqa: F811
    every_tool = ",".join(EVERYTHING.tools)
    page = shown(opened, van, f"?kind=volts&lack={every_tool}")
    assert "Keep hands, hair, sleeves" not in page  # the kind is not for this crew either
    page = shown(opened, van, "?kind=volts")
    assert page.count("Keep hands, hair, sleeves") == 1  # the advised test has it
    follow(opened, van)
    page = shown(opened, van, "?kind=volts")
    assert "Cause found" in page and form(page).count("Keep hands, hair, sleeves") == 1
    assert "Keep hands" not in form(shown(opened, van, "?kind=look"))


def test_an_outcome_is_kept_as_the_word_that_it_stands_for(opened, van):  # noqa: F811
    send(opened, van, "reading", kind="look", place="G7", outcome="bad")
    assert Reading.objects.get(job=van).outcome == "bad"


def test_what_was_chosen_stays_when_it_is_refused(opened, van):  # noqa: F811
    typed = {"kind": "lamp", "place": "D", "state": "run", "to": "A", "present": "no"}
    page = form(send(opened, van, "reading", **typed).content.decode())
    assert 'name="kind" value="lamp"' in page
    assert re.search(r'name="place" value="D"[^>]* checked', page)
    assert '<option value="run" selected>' in page and '<option value="A" selected>' in page
    assert 'name="present" value="no" checked' in page
    assert page.count("It does not say what the test showed.") == 1
    begins = page.partition('value="dark"')[2].partition(">")[0]
    assert "aria-invalid" in begins

    page = form(send(opened, van, "reading", kind="look", outcome="bad").content.decode())
    assert "No part was chosen." in page
    assert re.search(r'value="bad" checked', page)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"kind": "jumper", "place": "F12", "state": "run"}, "the protection away"),
        ({"kind": "look", "place": "C4", "outcome": "lovely"}, "It must be sound or bad"),
        ({"kind": "lamp", "place": "D", "state": "run", "outcome": "bright"}, "lit, dim or dark"),
    ],
)
def test_what_no_form_offers_is_refused_all_the_same(opened, van, typed, words):  # noqa: F811
    answer = send(opened, van, "reading", **({"outcome": "works"} | typed))
    assert answer.status_code == 422 and words in answer.content.decode()
    assert not Reading.objects.exists()


def test_a_bulb_is_offered_nowhere_where_it_does_harm():
    """A control module's own line takes no bulb; an LED tester may be held there."""
    from importlib import resources

    folder = resources.files("witnessmark") / "examples" / "circuits"
    seen = 0
    for file in sorted(folder.iterdir(), key=lambda one: one.name):
        if not file.name.endswith(".toml"):
            continue
        book = dictionary_of(circuit_of(file.read_text("utf-8"), file.name))
        harmed = {one.letter for one in book.places if one.no_lamp}
        seen += bool(harmed)
        lamp, led = LAMPS
        assert not harmed & {name for name, _ in places_of(book, KINDS[lamp])}
        assert harmed <= {name for name, _ in places_of(book, KINDS[led])}
    assert seen
