"""Practice on its pages: set, tried, reviewed; who sees what; nothing leaks before the end."""

import json
import re
from html import unescape
from importlib import resources
from uuid import uuid4

import pytest

from tests.web.cast import LEARNER_PIN, led_back
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.kinds import KINDS
from witnessmark.diagnosis.stop import ALONE, CERTAIN
from witnessmark.log.models import Entry
from witnessmark.record.acts import practice
from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import add_learner, add_section, open_device
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.models import PracticeAttempt, PracticeCase, PracticeEnd
from witnessmark.record.practice import circuit_in

CIRCUITS = resources.files("witnessmark.examples").joinpath("circuits")
FAN = CIRCUITS.joinpath("fan.toml").read_text("utf-8")
HERE = "/library/practice"


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
    assert "The owner says:" in begin and f"{case.seal[:4]} {case.seal[4:8]}" in begin
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
    assert review.count(f"Proved: {CERTAIN:.0%} sure of the cause, or {ALONE:.0%} where no") == 1
    assert "Best path" in review and "E, not F" in review
    end = PracticeEnd.objects.get()
    assert end.minutes > end.best_minutes and "knew no more than you did when it began" in review
    assert end.verdict in ("right", "not proved")


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
    for kind in KINDS:
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


def test_what_the_teacher_has_set_stands_before_what_one_has_begun_oneself(cast, case):
    isla = cast.browser(cast.on_it)
    sent = {"id": str(uuid4()), "begin_id": str(uuid4()), "general": "window"}
    assert "Practice 2" in read(isla.post(f"{HERE}/new", sent, follow=True))
    page = read(isla.get(HERE))
    assert page.index("Practice 1, ") < page.index("Practice 2, ") < page.index("Ended</h2>")


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
