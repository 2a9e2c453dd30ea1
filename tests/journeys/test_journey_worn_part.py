"""A worn part: its cause is proved by a reading and a photo, without any circuit."""

import re

import pytest
from playwright.sync_api import expect

from journeys.hands import (
    DESKTOP,
    PHONE,
    fold_out,
    go,
    mark_here,
    open_device,
    picture,
    sign_in_learner,
    sign_in_teacher,
)

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("record")]
CAUSE = "The lining of the left rear shoe is worn to its rivets."


def test_a_worn_part_is_proved_by_a_reading_and_a_photo(demo, visit):
    people = visit(demo)
    teacher = people.open(**DESKTOP)
    sign_in_teacher(teacher)
    go(teacher, "/jobs/new")
    teacher.get_by_label("In the owner’s own words").fill("It grinds at the back when I brake.")
    teacher.get_by_label("Vehicle, as the shop will call it").fill("Quay trailer")
    teacher.get_by_label("Owner", exact=True).fill("A. Nyholm")
    teacher.get_by_label("Phone").fill("010 0555")
    teacher.get_by_label("not wanted").check()
    teacher.get_by_label("Section").select_option(label="Year 2 group")
    teacher.get_by_label("At the latest").fill("2026-12-11")
    teacher.get_by_role("button", name="Make it a job").click()
    teacher.wait_for_url(re.compile(r"/jobs/\d+$"))
    job = re.search(r"/jobs/\d+", teacher.url).group()
    go(teacher, f"{job}/crew")
    teacher.get_by_label("Tam").check()
    teacher.get_by_role("button", name="Keep the crew").click()

    # the learner measures and looks; no circuit is asked for
    phone = people.open(**PHONE)
    open_device(phone, "Year 2 group")
    sign_in_learner(phone, "Tam")
    go(phone, f"{job}/find")
    phone.get_by_label("Circuit sheet").select_option(label="None: by readings and photos")
    phone.get_by_role("button", name="Open Find").click()
    expect(phone.get_by_text("No circuit sheet")).to_be_visible()
    fold_out(phone, "Name it from readings and photos")
    expect(phone.get_by_text("Nothing is read or photographed yet.")).to_be_visible()
    phone.get_by_label("What and where").fill("Lining, left rear shoe")
    phone.get_by_label("Value with its unit, or a word").fill("0,8 mm")
    phone.locator("#photo").get_by_role("button", name="Keep", exact=True).click()
    expect(phone.locator("#readings")).to_contain_text("Lining, left rear shoe")
    phone.locator("form.shot input[type=file]").set_input_files(picture("#6d5f4e"))
    phone.get_by_label("What it shows").fill("rivets bare, drum scored")
    with phone.expect_navigation():
        phone.get_by_role("button", name="Keep the photo").click()

    # the cause, from both; the teacher sees both before the PIN
    fold_out(phone, "Name it from readings and photos")
    cause = phone.locator("#cause")
    cause.get_by_label("The cause, in a sentence").fill(CAUSE)
    cause.get_by_label(re.compile("Lining, left rear shoe")).check()
    cause.get_by_label(re.compile("Photo: rivets bare")).check()
    cause.get_by_role("button", name="Name it from these").click()
    phone.get_by_role("link", name="Show it to the teacher").click()
    seen = phone.locator("section.seen")
    for words in (
        "It grinds at the back",
        CAUSE,
        "Lining, left rear shoe",
        "0,8 mm",
        "rivets bare",
    ):
        expect(seen).to_contain_text(words)
    expect(seen.locator("img")).to_have_count(1)
    mark_here(phone, name="Mark the cause")

    # the job goes on from there: a procedure, and a paper that says what proved it
    go(teacher, job)
    expect(teacher.get_by_text("Cause, marked")).to_be_visible()
    go(teacher, f"{job}/steps")
    row = teacher.locator("li.join", has_text="Brake shoes, drum, both sides")
    row.get_by_role("button", name="Choose").click()
    teacher.get_by_role("button", name="Start work").click()
    expect(teacher.get_by_text("Work is open.")).to_be_visible()
    go(teacher, f"{job}/release")
    paper = teacher.locator(".papers")
    for words in ("It grinds at the back when I brake.", CAUSE, "0,8 mm", "Shown on 1 photo"):
        expect(paper).to_contain_text(words)

    # a reading that shows the cause is corrected: its mark is broken
    go(phone, f"{job}/find")
    phone.locator("#readings").get_by_role("link", name="Correct").click()
    phone.get_by_label("New value").fill("2,8 mm")
    phone.get_by_text("Misread").click()
    phone.get_by_role("button", name="Keep the change").click()
    go(teacher, job)
    expect(teacher.get_by_role("alert")).to_contain_text("Broken")
    assert demo.verify().returncode == 0
