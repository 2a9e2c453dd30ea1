"""What the handover card says comes next before there are steps, and what the job is about."""

import re

from tests.web.test_web_find import WORDS, follow, opened, send, van
from tests.web.test_web_find_named import mark

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
