"""A mark is the teacher's alone, and bound to what was on the page."""

import re
import sqlite3

import pytest
from playwright.sync_api import expect

from journeys.hands import (
    DESKTOP,
    PHONE,
    go,
    mark_here,
    open_device,
    sign_in_learner,
    sign_in_teacher,
    type_pin,
)

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("journeys")]
BELT_STEP = "/jobs/114/step/6"  # the library bus: belt tension, the teacher is called


def test_evidence_that_changes_between_look_and_pin_is_not_marked(demo, visit):
    people = visit(demo, expected=("409",))
    wren = people.open(**PHONE)
    open_device(wren, "Year 2 group")
    sign_in_learner(wren, "Wren")
    teacher = people.open(**DESKTOP)
    sign_in_teacher(teacher)

    go(teacher, f"{BELT_STEP}/mark")
    expect(teacher.get_by_text("What you mark, all of it")).to_be_visible()
    go(wren, BELT_STEP)
    wren.get_by_role("link", name="Correct", exact=True).first.click()
    wren.get_by_label("New value").fill("12,0")
    wren.get_by_text("Measured again").click()
    wren.get_by_role("button", name="Keep the change").click()
    mark_here(teacher)

    expect(teacher.get_by_text("Not marked.")).to_be_visible()
    expect(teacher.get_by_role("row", name=re.compile("Belt give"))).to_contain_text("12,0")
    go(teacher, "/jobs/114")
    expect(teacher.locator("li.join", has_text="belt tension")).to_contain_text("Called")
    with sqlite3.connect(demo.folder / "shop.sqlite3") as database:
        (marks,) = database.execute(
            "SELECT count(*) FROM record_mark m JOIN record_step s"
            " ON replace(s.id, '-', '') = replace(m.subject_id, '-', '') WHERE s.key = 'belt-on'"
        ).fetchone()
    assert marks == 0

    teacher.goto(f"{demo.address}{BELT_STEP}/mark")
    mark_here(teacher)

    go(teacher, "/jobs/114")
    expect(teacher.locator("li.join", has_text="belt tension")).to_contain_text("Marked")


def test_a_learner_cannot_mark_by_screen_or_by_a_forged_request(demo, visit):
    people = visit(demo, expected=("403", "409", "422"))
    wren = people.open(**PHONE)
    open_device(wren, "Year 2 group")
    sign_in_learner(wren, "Wren")

    go(wren, f"{BELT_STEP}/mark")
    type_pin(wren, "3206")  # Wren's own
    wren.get_by_role("button", name=re.compile("^Mark step")).click()
    expect(wren.get_by_role("alert").first).to_be_visible()
    answer = wren.evaluate(
        """async (address) => {
            const text = await (await fetch(address)).text();
            const page = new DOMParser().parseFromString(text, "text/html");
            const form = new FormData(page.querySelector("form:has([name=digest])"));
            form.set("teacher", form.get("teacher") || "");
            form.set("pin", "3206");
            const answer = await fetch(address, {method: "POST", body: form});
            return [answer.status, answer.url];
        }""",
        f"{BELT_STEP}/mark",
    )

    assert answer[0] >= 400
    go(wren, "/jobs/114")
    expect(wren.locator("li.join", has_text="belt tension")).to_contain_text("Called")
    with sqlite3.connect(demo.folder / "shop.sqlite3") as database:
        (refused,) = database.execute("SELECT count(*) FROM record_refusal").fetchone()
        (logged,) = database.execute(
            "SELECT count(*) FROM log_entry WHERE verb = 'mark refused'"
        ).fetchone()
    assert refused >= 1
    assert logged >= 1


def test_a_broken_mark_shuts_the_gate_and_stays_broken_when_the_value_is_set_back(demo, visit):
    people = visit(demo)
    tam = people.open(**PHONE)
    open_device(tam, "Year 2 group")
    sign_in_learner(tam, "Tam")
    teacher = people.open(**DESKTOP)
    sign_in_teacher(teacher)

    go(tam, "/jobs/114/step/5")
    tam.locator("#readings li", has_text="bolt 3").get_by_role("link", name="Correct").click()
    tam.get_by_label("New value").fill("25.0")
    tam.get_by_text("Misread").click()
    tam.get_by_role("button", name="Keep the change").click()

    go(teacher, "/jobs/114")
    expect(teacher.locator("li.join.broken")).to_contain_text("Fit pump and gasket")
    go(teacher, "/board")
    expect(teacher.get_by_text("Broken").first).to_be_visible()
    go(teacher, "/jobs/114/release")
    expect(teacher.locator(".join.broken").first).to_be_visible()
    go(teacher, "/jobs/114/step/5/mark")
    mark_here(teacher)

    go(teacher, "/jobs/114")
    expect(teacher.locator("li.join.broken")).to_have_count(0)
    expect(teacher.locator("li.join", has_text="Fit pump and gasket")).to_contain_text("again")
