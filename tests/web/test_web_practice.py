"""Practice on its pages: set, tried, reviewed; who sees what; nothing leaks before the end."""

import json
import re
import tomllib
from dataclasses import replace
from html import unescape
from importlib import resources
from uuid import uuid4

import pytest

from tests.web.cast import LEARNER_PIN, led_back
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.log.models import Entry
from witnessmark.record.acts import practice
from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import add_learner, add_section, open_device
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.models import PracticeAttempt, PracticeCase, PracticeEnd, PracticeTest
from witnessmark.record.practice import circuit_in, hidden_in
from witnessmark.sheets.circuit_draft import read_draft, write_draft

CIRCUITS = resources.files("witnessmark.examples").joinpath("circuits")
FAN = CIRCUITS.joinpath("fan.toml").read_text("utf-8")
HERE = "/library/practice"
WORKS = "the load working over the jumper"


@pytest.fixture
def fan(cast):
    by = By(person=cast.teacher)
    return put_in_library(by, uuid4(), kind="circuit", text=FAN, name="fan.toml")


@pytest.fixture
def case(cast, fan):
    """A bad splice, set for the section."""
    return practice.set_case(
        By(person=cast.teacher),
        uuid4(),
        item=fan,
        section=cast.section,
        chosen="S9:high",
        seed=918273645,
    )


@pytest.fixture
def stranger(cast):
    """A learner of another section, on that section's tablet."""
    by = By(person=cast.teacher)
    other = add_section(by, uuid4(), name="Section 9")
    person = add_learner(by, uuid4(), name="Orla", section=other, pin=LEARNER_PIN)
    until = cast.device.until
    _, token = open_device(by, uuid4(), name="Tablet 9", section=other, until=until)
    own, cast.token = cast.token, token
    browser = cast.browser(person)
    cast.token = own
    return browser


def send(browser, what, number=1, **typed):
    return led_back(browser, browser.post(f"{HERE}/{number}/{what}", {"id": str(uuid4()), **typed}))


def measure(browser, place, expected="0.2", **more):
    typed = {"kind": "volts", "state": "run", "place": place, "expected": expected} | more
    return send(browser, "test", **typed)


def read(answer):
    return answer.content.decode()


def test_a_learner_finds_the_fault_and_reads_the_review(cast, case):
    isla = cast.browser(cast.on_it)
    assert "Practice 1" in read(isla.get(HERE))
    begin = read(isla.get(f"{HERE}/1"))
    assert "The customer says:" in begin and f"{case.seal[:4]} {case.seal[4:8]}" in begin
    assert send(isla, "begin").status_code == 302
    page = read(isla.get(f"{HERE}/1"))
    assert "Where will you put the probe?" in page
    for place in ("D", "E", "F"):
        assert measure(isla, place).status_code == 302
    page = read(isla.get(f"{HERE}/1"))
    assert "3 tests so far" in page and "You expected 0.2 V." in page
    named = send(isla, "name", suspect="S9:high", repair="mend splice S9", reasons="E, not F")
    assert named.status_code == 302
    review = read(isla.get(f"{HERE}/1"))
    assert "S9 splice: high resistance" in review
    assert "The seal is open" in review and case.seal in review
    assert "Best path" in review and "E, not F" in review
    assert PracticeEnd.objects.get().verdict in ("right", "not proved")


def test_the_open_seal_can_be_checked_by_hand(cast, case):
    import hashlib

    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    send(isla, "give-up")
    page = unescape(read(isla.get(f"{HERE}/1")))
    line = re.search(r'<p class="mono brk">(\{.*?\})</p>', page)[1]

    assert hashlib.sha256(line.encode()).hexdigest() == case.seal
    assert json.loads(line)["fault"].startswith("S9:high=")


def test_nothing_hidden_is_in_any_page_before_the_end(cast, case):
    """Neither the secret, its salt and seed, the severity, nor what only the truth would say."""
    isla, teacher = cast.browser(cast.on_it), cast.browser(cast.teacher)
    secret = json.loads(case.secret)
    leaks = [secret["salt"], str(secret["seed"]), secret["fault"], secret["fault"].split("=")[1]]

    def must_be_silent(answer):
        page = read(answer)
        assert answer.status_code < 500
        assert not [leak for leak in leaks if leak in page]
        for words in ("Was hidden", "Best path", "best path shows", "belief in the true"):
            assert words not in page.replace("The best path shows what was left", "")
        return page

    pages = ["/library", HERE, f"{HERE}/1", f"/library/{case.item_id}", "/signin/me", "/board"]
    for page in pages:
        must_be_silent(isla.get(page))
    must_be_silent(send(isla, "begin"))
    for kind in ("volts", "lamp", "led", "ohms", "clamp", "wiggle", "look", "heat", "swap",
                 "jumper"):  # fmt: skip
        page = must_be_silent(isla.get(f"{HERE}/1?kind={kind}&state=run"))
        # Every suspect is offered as a cause, and each exactly once: none stands out.
        keys = re.findall(r'name="suspect" value="([\w.]+:[\w-]+)"', page)
        assert len(keys) == len(set(keys)) > 20
    must_be_silent(measure(isla, "E"))
    must_be_silent(isla.get(f"{HERE}/1"))
    must_be_silent(measure(isla, "E", expected=""))
    must_be_silent(send(isla, "name", suspect="S9:high", repair=""))
    must_be_silent(send(isla, "rank", part="S9"))
    attempt = PracticeAttempt.objects.get()
    leaks = leaks[:-1]  # a teacher reads how bad it is, but neither salt nor seed
    must_be_silent(teacher.get(f"{HERE}/1/of/{attempt.pk}"))
    must_be_silent(teacher.get(f"{HERE}/1"))
    must_be_silent(teacher.get(f"/people/here/{cast.on_it.pk}"))


def test_the_page_is_the_same_whatever_is_hidden(cast, fan):
    """Two cases with the same complaint and no test: but for number and seal, the same page."""
    pages = []
    isla = cast.browser(cast.on_it)
    for number, key in enumerate(("F12:blown", "C4:open"), start=1):
        practice.set_case(
            By(person=cast.teacher), uuid4(), item=fan, section=cast.section, chosen=key
        )
        send(isla, "begin", number)
        page = read(isla.get(f"{HERE}/{number}"))
        seal = PracticeCase.objects.get(number=number).seal
        page = page.replace(f"{seal[:4]} {seal[4:8]}", "SEAL").replace(
            f"/practice/{number}", "/practice/N"
        )
        page = re.sub(r'value="[0-9a-f-]{36}"|value="\w{64}"', "", page)
        pages.append(page.replace(f"Practice {number}", "Practice N"))

    assert pages[0] == pages[1]


def test_another_learner_sees_neither_attempt_nor_result(cast, case, stranger):
    isla, mika = cast.browser(cast.on_it), cast.browser(cast.not_on_it)
    send(isla, "begin")
    measure(isla, "E")
    own = PracticeAttempt.objects.get()
    for ended in (False, True):
        if ended:
            send(isla, "give-up")
        assert mika.get(f"{HERE}/1/of/{own.pk}").status_code == 404
        assert stranger.get(f"{HERE}/1/of/{own.pk}").status_code == 404
        assert stranger.get(f"{HERE}/1").status_code == 404
        assert "no such practice case" in read(stranger.get(f"{HERE}/1"))
        assert send(stranger, "begin").status_code == 404
        assert "Isla" not in read(mika.get(f"{HERE}/1"))
        assert "Isla" not in read(mika.get(HERE))
    assert send(mika, "test", kind="volts", place="E", expected="1").status_code == 404
    assert "Practice 1" not in read(stranger.get(HERE))
    assert mika.get(f"/people/here/{cast.on_it.pk}").status_code == 403


def test_a_teacher_reads_a_learners_path_as_the_learners(cast, case):
    isla, teacher = cast.browser(cast.on_it), cast.browser(cast.teacher)
    send(isla, "begin")
    measure(isla, "E")
    send(isla, "give-up")
    own = PracticeAttempt.objects.get()
    assert "Your path" in read(isla.get(f"{HERE}/1"))
    page = read(teacher.get(f"{HERE}/1/of/{own.pk}"))
    assert "The path taken" in page and "Your path" not in page


def test_the_board_says_nothing_of_practice(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    send(isla, "give-up")
    assert "ractice" not in read(cast.browser(cast.teacher).get("/board"))


def test_an_own_case_is_ones_own(cast, fan):
    isla, mika = cast.browser(cast.on_it), cast.browser(cast.not_on_it)
    sheet = read(isla.get(f"/library/{fan.pk}"))
    assert f'href="/library/practice/new?sheet={fan.pk}"' in sheet
    form = read(isla.get(f"{HERE}/new?sheet={fan.pk}"))
    assert "Hide a fault and begin" in form and 'name="fault"' not in form
    sent = {"id": str(uuid4()), "begin_id": str(uuid4()), "sheet": str(fan.pk)}
    assert isla.post(f"{HERE}/new", sent).headers["Location"] == f"{HERE}/1"
    assert isla.post(f"{HERE}/new", sent).status_code == 302  # twice: one case
    assert (PracticeCase.objects.count(), PracticeAttempt.objects.count()) == (1, 1)
    assert mika.get(f"{HERE}/1").status_code == 404


def test_a_learner_sets_nothing_for_others(cast, fan):
    isla = cast.browser(cast.on_it)
    for more in ({"section": str(cast.section.pk)}, {"fault": "G7:high"}, {"title": "Ours"}):
        sent = {"id": str(uuid4()), "begin_id": str(uuid4()), "sheet": str(fan.pk), **more}
        assert led_back(isla, isla.post(f"{HERE}/new", sent)).status_code == 403
    assert not PracticeCase.objects.exists()


def test_a_teacher_chooses_among_faults_that_somebody_would_complain_of(cast, fan):
    form = read(cast.browser(cast.teacher).get(f"{HERE}/new?sheet={fan.pk}"))
    assert 'value="G7:high"' in form
    assert 'value="BAT:weak"' not in form
    assert "1 that brings none of the sheet’s complaints is left out." in form


def test_a_fault_that_stays_says_so_before_it_is_chosen_and_is_refused_all_the_same(cast, fan):
    teacher = cast.browser(cast.teacher)
    form = read(teacher.get(f"{HERE}/new?sheet={fan.pk}"))
    assert re.findall(r'value="([^"]+)" data-stays', form) == ["F12:blown", "W1:short-to-ground"]
    assert form.count(", always there</option>") == 2
    assert "Not for a fault that is “always there”" in form
    sent = {"id": str(uuid4()), "begin_id": str(uuid4()), "sheet": str(fan.pk)}
    sent |= {"fault": "F12:blown", "comes_and_goes": "1"}
    answer = led_back(teacher, teacher.post(f"{HERE}/new", sent))
    assert answer.status_code == 422
    assert "does not come and go" in read(answer)
    assert not PracticeCase.objects.exists()


def test_a_teacher_sets_one_for_a_section_and_reads_the_results(cast, fan):
    teacher, isla = cast.browser(cast.teacher), cast.browser(cast.on_it)
    form = read(teacher.get(f"{HERE}/new?sheet={fan.pk}"))
    assert 'name="fault"' in form and "Section 2" in form
    sent = {
        "id": str(uuid4()), "begin_id": str(uuid4()), "sheet": str(fan.pk),
        "section": str(cast.section.pk), "title": "After the break", "fault": "G7:high",
        "comes_and_goes": "1",
    }  # fmt: skip
    page = read(teacher.post(f"{HERE}/new", sent, follow=True))
    assert "Practice 1 is set for Section 2." in page and "After the break" in page
    assert "“It comes and goes.”" in page
    assert page.count("Not begun") == 2
    send(isla, "begin")
    assert "Under way" in read(teacher.get(f"{HERE}/1"))
    send(isla, "give-up")
    own = PracticeAttempt.objects.get()
    page = read(teacher.get(f"{HERE}/1"))
    assert f"{HERE}/1/of/{own.pk}" in page and "Given up" in page
    assert "G7 ground joint: high resistance" in read(teacher.get(f"{HERE}/1/of/{own.pk}"))
    send(teacher, "begin")  # who tries it as well still sees the section
    assert "Given up" in read(teacher.get(f"{HERE}/1"))
    send(teacher, "give-up")
    assert read(teacher.get(f"{HERE}/1")).count("Not begun") == 1
    people = read(teacher.get(f"/people/here/{cast.on_it.pk}"))
    assert "After the break" in people and "Given up" in people
    assert "After the break" in read(isla.get("/signin/me"))


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


def test_what_puts_it_right_is_listed_by_part_and_each_once(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    page = unescape(read(isla.get(f"{HERE}/1")))
    listed = page.partition('<select id="repair"')[2].partition("</select>")[0]
    groups = re.findall(r'<optgroup label="([^"]+)">(.*?)</optgroup>', listed)
    repairs = {words: re.findall(r'value="([^"]+)"', own) for words, own in groups}
    parts = re.findall(r'<details name="cause".*?<summary class="btn">([^<]+)</summary>', page)
    every = [one for own in repairs.values() for one in own]

    assert repairs["S9 splice"] == ["mend splice S9"]
    assert list(repairs) == [words for words in parts if words in repairs]  # in their order
    assert len(every) == len(set(every)) == listed.count("<option ") - 1  # and "Choose"
    known = set(dictionary_of(circuit_in(case)).repairs) - {"something else"}
    assert set(every) == known


def test_looking_changes_nothing(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    before = Entry.objects.count()
    for page in (HERE, f"{HERE}/1", f"{HERE}/1?kind=lamp&state=off", f"{HERE}/new?sheet="
                 f"{case.item_id}"):  # fmt: skip
        assert isla.get(page).status_code == 200
    assert Entry.objects.count() == before


def test_what_no_page_offered_is_not_found(cast, case):
    isla = cast.browser(cast.on_it)
    assert isla.get(f"{HERE}/7").status_code == 404
    assert isla.get(f"{HERE}/new?sheet=nothing").status_code == 404
    assert send(isla, "begin").status_code == 302
    assert send(isla, "cheat").status_code == 404
    assert send(isla, "rank", part="Nobody").status_code == 422


def test_an_own_ranking_stands_on_the_circuit(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    assert send(isla, "rank", part=["G7", "S9", ""]).status_code == 302
    page = read(isla.get(f"{HERE}/1"))
    assert page.count('class="f13 b rank">1</text>') == 3  # wide, narrow and whole
    assert page.count('class="f13 b rank">2</text>') == 3


def test_anybody_practises_on_a_general_circuit(cast):
    isla = cast.browser(cast.on_it)
    page = read(isla.get("/library/general/window"))
    (address,) = re.findall(r'href="(/library/practice/new\?general=window)"', page)
    assert "One fault is hidden" in read(isla.get(address))
    ids = {"id": str(uuid4()), "begin_id": str(uuid4())}
    began = isla.post(f"{HERE}/new", {"general": "window", **ids}, follow=True)
    assert "Where will you put the probe?" in read(began)
    one = PracticeCase.objects.get()
    assert one.item is None and one.general == "window" and one.section is None
    assert one.attempts.get().by == cast.on_it
    assert send(isla, "give-up").status_code == 302
    assert "/library/practice/new?general=window" in read(isla.get(f"{HERE}/1"))


def test_a_general_circuit_that_is_none_does_not_exist(cast):
    assert cast.browser(cast.on_it).get(f"{HERE}/new?general=nothing").status_code == 404


def test_the_address_of_a_form_leads_back_to_its_page(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    answer = isla.get(f"{HERE}/1/test")
    assert answer.status_code == 302 and answer.url == f"{HERE}/1"


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


def test_a_circuit_is_one_picture_in_the_library_and_in_a_case(cast, case):
    """Every name and letter stands at the same place; only what is strong and read differs."""
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    shelf = read(isla.get(f"/library/{case.item_id}"))
    whole = read(isla.get(f"{HERE}/1")).partition('<div class="cwh">')[2]
    stand = re.compile(r'<text x="([\d.]+)" y="([\d.]+)" class="f1[57] b[^>]*>([^<]+)</text>')

    def names(page):
        found = stand.findall(page.partition("<svg")[2].partition("</svg>")[0])
        return {one for one in found if not one[2].startswith("Supply")}  # a case says its volts

    on_shelf, in_case = names(shelf.partition('class="cbox"')[2]), names(whole)
    assert len(on_shelf) > 10
    assert on_shelf == in_case


def test_every_lamp_that_is_dim_is_told_and_the_belief_takes_it_in(cast):
    """One splice feeds all brake lamps; the sheet has a complaint for the right one only."""
    text = CIRCUITS.joinpath("brake-lamps.toml").read_text("utf-8")
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=text, name="brake-lamps.toml")
    one = practice.set_case(
        by, uuid4(), item=item, section=cast.section, chosen="X1:high", seed=20261129
    )
    isla = cast.browser(cast.on_it)
    page = read(isla.get(f"{HERE}/1"))

    assert "“The right brake lamp is dim.” “Also dim: left brake lamp.”" in page
    told = [complaint.complaint for complaint in hidden_in(one).complaints]
    assert told == list(one.told_keys) and len(told) > 1
    assert one.text.startswith(text.rstrip())
    send(isla, "begin")
    send(isla, "give-up")
    assert "Best path" in read(isla.get(f"{HERE}/1"))


LONG = (
    "the lamp at the left of the vehicle behind the bumper bracket near the second axle, the other"
)


def test_a_case_on_a_sheet_with_long_names_and_commas_is_set_named_and_ended(cast):
    """Names of parts and states are the author's own: they may be long, and hold any sign."""
    text = CIRCUITS.joinpath("brake-lamps.toml").read_text("utf-8")
    text = text.replace('state = "brake"', 'state = "brake, held"')
    text = text.replace('name = "brake"', 'name = "brake, held"')
    text = text.replace('"BL"', f'"{LONG} one"').replace('"BH"', f'"{LONG} two"')
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=text, name="brake-lamps.toml")
    one = practice.set_case(
        by, uuid4(), item=item, section=cast.section, chosen="X1:high", seed=20261129
    )
    assert len(one.told_keys) > 1 and len(one.told) < 60
    isla = cast.browser(cast.on_it)
    assert send(isla, "begin").status_code == 302
    assert "“Also dim: left brake lamp.”" in read(isla.get(f"{HERE}/1"))
    assert send(isla, "rank", part=[f"{LONG} two", "X1"]).status_code == 302
    assert one.attempts.get().rankings.get().named == (f"{LONG} two", "X1")
    page = read(isla.get(f"{HERE}/1"))
    assert f'<option value="{LONG} two" selected>' in page
    assert send(isla, "name", suspect="X1:high", repair="mend splice X1").status_code == 302
    assert "Best path" in read(isla.get(f"{HERE}/1"))


CAUTION = "An electric fan can start by itself. Hands, sleeves and leads clear."


def first_page(cast, name, text):
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=text, name=f"{name}.toml")
    practice.set_case(by, uuid4(), item=item, section=cast.section, seed=20261129)
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    return unescape(read(isla.get(f"{HERE}/1")))


@pytest.mark.parametrize("name", ["headlamps-changeover", "body-front"])
def test_the_note_of_a_sheet_is_no_caution_and_stays_out_of_a_case(cast, name):
    """It may name the fault: "the control side is good: look at K2 and its fuses"."""
    text = CIRCUITS.joinpath(f"{name}.toml").read_text("utf-8")
    note = tomllib.loads(text)["circuit"]["note"]
    page = first_page(cast, name, text)

    assert note not in page and note.partition(":")[0] not in page
    assert ("Caution." in page) == (CAUTION in page) == (name == "body-front")


def test_a_copied_sheet_cautions_as_the_circuit_that_it_was_copied_from(cast):
    """A copy has every comment at its head: what the entries are is no caution."""
    text = CIRCUITS.joinpath("body-front.toml").read_text("utf-8")
    draft = read_draft(text, "body-front")
    copy = write_draft(replace(draft, comments=draft.comments[1:]))
    assert "# minutes to reach a point" in copy.partition("[")[0]
    page = first_page(cast, "copy", copy)

    assert f"{CAUTION} On a vehicle, its maker’s service information comes first." in page
    assert "minutes to reach a point" not in page


def test_what_a_shop_writes_at_the_head_of_its_sheet_is_no_caution(cast):
    """It may name the fault, or a person."""
    text = CIRCUITS.joinpath("body-front.toml").read_text("utf-8")
    page = first_page(
        cast, "own", f"# Drawn by hand, the fault is mostly in W1. Ask the chief.\n{text}"
    )

    assert f"{CAUTION} On a vehicle, its maker’s service information comes first." in page
    assert "Drawn by hand" not in page


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
