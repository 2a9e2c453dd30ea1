"""Find once the cause is named: who named and marked it, what comes next, and no next test."""

import re
from importlib import resources
from types import SimpleNamespace
from uuid import uuid4

import pytest

from tests.web.cast import TEACHER_PIN
from tests.web.test_web_find import (  # noqa: F401 - fixtures
    advised,
    follow,
    opened,
    send,
    shown,
    told,
    van,
)
from witnessmark.diagnosis.run import Share
from witnessmark.record.core import load
from witnessmark.record.models import Cause, Reading
from witnessmark.sheets.circuit import read_circuit
from witnessmark.shop.models import Shop
from witnessmark.web.handback import paper_of
from witnessmark.web.views.find import first_statement

HORN = resources.files("witnessmark") / "examples" / "circuits" / "horn.toml"
WORDS = "G7 ground joint: high resistance."


def panel(page):
    """The big panel, and what of it is folded away."""
    whole = page.partition('<section class="ask')[2].partition("</section>")[0]
    at_once, _, folded = whole.partition("<details")
    return at_once, folded


@pytest.fixture
def named(van, opened):  # noqa: F811
    """The learner's browser; the cause is named from one reading, while a test is worth it."""
    assert send(opened, van, "reading", test="volts D state=run", text="12.2").status_code == 302
    assert 'class="probe"' in shown(opened, van)
    reading = Reading.objects.get(job=van)
    answer = send(opened, van, "evidence", statement=WORDS, reading=str(reading.pk))
    assert answer.status_code == 302, answer.content.decode()
    return opened


def mark(cast, browser, van):  # noqa: F811
    marking = f"/jobs/{van.number}/cause/mark"
    digest = re.search(r'name="digest" value="(\w{64})"', browser.get(marking).content.decode())[1]
    sent = {"id": str(uuid4()), "digest": digest, "pin": TEACHER_PIN, "who": str(cast.teacher.pk)}
    assert browser.post(marking, sent).status_code == 302


def test_a_marked_cause_asks_for_no_test_and_leads_on(cast, van, named):  # noqa: F811
    mark(cast, named, van)
    page = shown(named, van)
    at_once, folded = panel(page)

    assert page.count('id="next"') == 1
    assert "Cause named and marked" in at_once and WORDS in at_once
    assert "Named by Isla, 11:12. Marked by R. Aldane, 11:12." in at_once
    assert "Next test" not in page and "Measure volts" not in at_once
    assert f'href="/jobs/{van.number}/steps">On to the steps' in at_once
    assert "Measure on, where you doubt it" in folded
    assert 'name="text"' in folded  # and the entry is there, folded
    assert 'class="probe"' not in page


def test_measuring_on_after_the_mark_keeps_a_reading(cast, van, named):  # noqa: F811
    mark(cast, named, van)
    key = advised(panel(shown(named, van))[1])
    refused = send(named, van, "reading", test=key, text="")
    assert refused.status_code == 422
    assert panel(refused.content.decode())[1].startswith(' class="oth" open')
    assert send(named, van, "reading", test=key, text="12.2").status_code == 302
    assert Reading.objects.filter(job=van).count() == 2
    assert "Cause named and marked" in shown(named, van)


def test_a_proved_cause_leads_to_the_repair_and_says_what_proves_it(cast, van, opened):  # noqa: F811
    follow(opened, van)
    send(opened, van, "cause", statement=WORDS)
    waits = panel(shown(opened, van))[0]
    assert "Cause named, not marked yet" in waits
    assert "Show it to the teacher" in waits and "On to the steps" not in waits

    mark(cast, opened, van)
    at_once, _ = panel(shown(opened, van))
    first = re.search(r'<a class="btn act big full g8" href="([^"]+)"', at_once)[1]
    assert first == f"/jobs/{van.number}/repair"
    proof = Cause.objects.get(job=van).proof
    assert len(proof) == 2  # what reads alike with the fault proves nothing
    job = opened.get(f"/jobs/{van.number}").content.decode()
    correction = job[job.index("Write what was done") : job.index('id="words"')]
    for sentence in proof:
        assert sentence in at_once
        assert sentence in correction


def test_the_mark_page_says_of_a_reading_that_the_complaint_was_away(cast, van, named):  # noqa: F811
    away = {"test": "volts E state=run", "text": "0.1", "present": "no"}
    assert send(named, van, "reading", **away).status_code == 302
    rows = [str(row.pk) for row in Reading.objects.filter(job=van)]
    send(named, van, "evidence", statement=WORDS, reading=rows)

    page = cast.browser(cast.teacher).get(f"/jobs/{van.number}/cause/mark").content.decode()

    (told,) = [one for one in page.split("<dt>Reading</dt>") if "the complaint was away" in one]
    assert "0.1 V" in told


def test_the_hand_back_paper_names_what_was_read_at_the_part_at_fault(van, opened):  # noqa: F811
    at_stud = "volts F state=run"
    assert send(opened, van, "reading", test=at_stud, present="yes", **told(at_stud))
    follow(opened, van)
    for point, present in (("A", "yes"), ("B", "yes"), ("C", "yes"), ("D", "yes"), ("F", "no")):
        text = {"A": "12.5", "D": "12.2", "F": "0.0"}.get(point, "12.4")
        sent = {"test": f"volts {point} state=run", "text": text, "present": present}
        assert send(opened, van, "reading", **sent).status_code == 302
    send(opened, van, "cause", statement=WORDS)
    paper = paper_of(load(van), Shop.objects.get(), "", with_owner=False)

    assert Cause.objects.get(job=van).suspect == "G7:high"
    at_joint = [line for line in paper.proof if line.startswith("F, stud G7")]
    assert len(at_joint) == 1  # the one while the complaint was away shows nothing of the fault
    assert ": 0.0 V" not in at_joint[0]


def test_a_cause_named_anew_is_not_called_marked(cast, van, named):  # noqa: F811
    mark(cast, named, van)
    reading = Reading.objects.get(job=van)
    send(named, van, "evidence", statement="S9: corroded.", reading=str(reading.pk))
    at_once, _ = panel(shown(named, van))

    assert "Cause named, not marked yet" in at_once and "S9: corroded." in at_once
    assert "Marked by" not in at_once


def test_the_teacher_marks_and_is_not_told_to_call_himself(cast, van, named):  # noqa: F811
    crew, teacher = shown(named, van), shown(cast.browser(cast.teacher), van)

    assert "Call the teacher" in crew and "Show it to the teacher" in crew
    assert "Call the teacher" not in teacher and "Show it to the teacher" not in teacher
    assert f'href="/jobs/{van.number}/cause/mark">Look and mark' in panel(teacher)[0]


def test_a_teacher_who_names_the_cause_is_told_to_mark_it_himself(cast, van, opened):  # noqa: F811
    assert send(opened, van, "reading", test="volts D state=run", text="12.2").status_code == 302
    sent = {"statement": WORDS, "reading": str(Reading.objects.get(job=van).pk)}
    teacher = cast.browser(cast.teacher)
    assert send(teacher, van, "evidence", **sent).status_code == 302

    page = shown(teacher, van)
    assert "The cause is named. Now look, and mark it." in page
    assert "The teacher marks it" not in page and "the teacher marks it" not in page


def test_the_teacher_is_not_told_to_call_himself_on_a_step(cast, job):
    crew, teacher = (
        cast.browser(person).get("/jobs/114/step/2").content.decode()
        for person in (cast.on_it, cast.teacher)
    )

    for words in ("Call the teacher to mark it", "Call for help"):
        assert words in crew and words not in teacher
    assert 'href="/jobs/114/step/2/mark">Look and mark' in teacher.partition('id="call"')[2]
    witness = cast.browser(cast.teacher).get("/jobs/114/step/3").content.decode()
    assert "Tell the teacher" not in witness
    assert witness.count('href="/jobs/114/step/3/mark"') == 1


def test_a_cause_of_two_parts_is_offered_by_their_names():
    circuit = read_circuit(HORN.read_text("utf-8"), "horn.toml")
    key = "G3:high + F9:blown"
    lead = Share(
        key=key, part="G3", parts=("G3", "F9"), words="", repair="", share=0.99, percent="99%"
    )
    found = SimpleNamespace(circuit=circuit, rates={}, run=SimpleNamespace(belief=(lead,)))

    labels = [circuit.part(name).label for name in ("G3", "F9")]
    assert first_statement(found) == f"{labels[0]}: high resistance; {labels[1]}: blown."
