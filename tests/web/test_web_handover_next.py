"""What the handover card says comes next before there are steps, and what the job is about."""

import re
from uuid import uuid4

from tests.web.test_web_find import WORDS, follow, opened, send, van
from tests.web.test_web_find_named import mark
from witnessmark.record.acts.by import By
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.acts.intake import add_complaint
from witnessmark.record.acts.steps import start_step, tick_cautions
from witnessmark.record.models import Complaint

__all__ = ["opened", "van"]
CAUSE = "G7 ground joint: high resistance."


def card(browser, van):
    page = browser.get(f"/jobs/{van.number}/handover").content.decode()
    plates = {}
    for one in page.split('<section class="plate ho')[1:]:
        title = re.search(r"</svg>([^<]+)</h2>", one)[1]
        words = re.sub(r"<[^>]+>", " ", one.partition("<ul>")[2].partition("</ul>")[0])
        plates[title] = re.sub(r"\s+([.,:])", r"\1", " ".join(words.split()))
    return plates


def test_the_card_says_what_is_next_from_the_complaint_to_the_choice_of_steps(cast, van, opened):
    said = card(opened, van)
    assert said["Next"] == "The cause is not named yet. Next: find the cause."
    assert WORDS in said["Complaint and cause"] and "Not named yet." in said["Complaint and cause"]

    follow(opened, van)
    send(opened, van, "cause", statement=CAUSE)
    said = card(opened, van)
    assert said["Next"] == "The cause is named. Next: the teacher marks it."
    assert f"Cause: {CAUSE} Not marked yet." in said["Complaint and cause"]

    mark(cast, opened, van)
    said = card(opened, van)
    assert said["Next"] == f"The cause is marked: {CAUSE} Next: choose the steps."
    assert f"Cause: {CAUSE} Marked by R. Aldane." in said["Complaint and cause"]
    assert said["Done"] == "Find: Find the cause, Isla"
    page = opened.get(f"/jobs/{van.number}").content.decode()
    log = page[page.index('id="log"') :]
    assert "step 1" not in log and ", Find." in log


def test_a_complaint_written_beside_stands_once_on_the_card(cast, van, opened):
    by = By(person=cast.teacher)
    owner = "The fan hardly blows. The radio hums. It was fine in summer."
    add_complaint(by, uuid4(), job=van, words=owner)
    first = Complaint.objects.get(job=van, words_aside__text=owner)
    send(opened, van, "complaint", complaint=str(first.pk), key="dead")
    row = Complaint.objects.get(job=van, key="dead", replaced_by=None)
    send(opened, van, "more", complaint=str(row.pk), beside="the radio hums")
    add_complaint(by, uuid4(), job=van, words="The radio hums", trust="seen here")
    said = card(opened, van)["Complaint and cause"]
    assert said.count("The owner says: ") == 2  # what intake wrote, and the longer one
    assert said.casefold().count("the radio hums") == 2  # by the owner once, and seen here
    assert "Seen here: “The radio hums”" in said


def test_the_same_words_of_two_mouths_stand_on_one_line(cast, van, opened):
    add_complaint(By(person=cast.teacher), uuid4(), job=van, words=WORDS, trust="seen here")
    said = card(opened, van)["Complaint and cause"]
    assert f"The owner says and seen here: “{WORDS}”" in said
    assert said.count(WORDS) == 1


def test_a_note_keeps_its_line_breaks_on_card_step_and_mark(cast, job):
    by, step = By(person=cast.on_it), job.steps.get(position=1)
    tick_cautions(by, uuid4(), step=step, cautions=["COOLANT"])
    start_step(by, uuid4(), step=step)
    add_note(by, uuid4(), job=job, step=step, words="Bolt 3 is short.\nUse the long one <M8>.")
    here = f"/jobs/{job.number}"
    for page in (f"{here}/step/1", f"{here}/step/1/mark", f"{here}/handover"):
        shown = cast.browser(cast.teacher).get(page).content.decode()
        assert "Bolt 3 is short.<br>Use the long one &lt;M8&gt;." in shown
