"""One vehicle, from complaint to hand-back: a bad ground joint, found on a phone."""

import re
import subprocess
from importlib.resources import files

import pytest
from playwright.sync_api import Page, expect

from journeys.hands import (
    DESKTOP,
    PHONE,
    add_photo,
    back,
    call_and_mark,
    correct,
    finish,
    fold_out,
    follow_the_advice,
    go,
    mark_here,
    off,
    open_device,
    read,
    sign_in_learner,
    sign_in_teacher,
    start_step,
)

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("journeys")]
SHEET = (files("witnessmark.examples") / "circuits" / "fan.toml").read_text()
HIDDEN = "G7:high=0.8"


def take_in(page: Page) -> int:
    """Fill in the intake form; return the job's number."""
    go(page, "/jobs/new")
    page.get_by_label("In the owner’s own words").fill("The fan hardly blows, and it gets hot.")
    page.get_by_label("Vehicle, as the shop will call it").fill("Harbour van")
    page.get_by_label("Make").fill("Brae")
    page.get_by_label("Odometer: km, or write mi or h").fill("88 120 km")
    page.get_by_label("Owner", exact=True).fill("A. Nyholm")
    page.get_by_label("Phone").fill("010 0555")
    page.get_by_label("not wanted").check()
    page.get_by_label("Stands in").select_option(label="Bay 2")
    page.get_by_label("Section").select_option(label="Year 2 group")
    page.get_by_label("At the latest").fill("2026-12-04")
    page.get_by_label("by", exact=True).fill("15:00")
    page.get_by_role("button", name="Make it a job").click()
    page.wait_for_url(re.compile(r"/jobs/\d+"))
    return int(re.search(r"/jobs/(\d+)", page.url).group(1))


def test_a_job_goes_from_complaint_to_hand_back(demo, visit, tmp_path):
    people = visit(demo)
    teacher = people.open(**DESKTOP)
    sign_in_teacher(teacher)
    phone = people.open(**PHONE)
    open_device(phone, "Year 2 group")
    sign_in_learner(phone, "Mika")

    # the tow tractor goes first, and leaves its bay
    go(teacher, "/jobs/112/release")
    mark_here(teacher, name="Sign and release")
    expect(teacher.get_by_text("Released to the owner").first).to_be_visible()

    number = take_in(teacher)
    job = f"/jobs/{number}"
    go(teacher, f"{job}/crew")
    for name in ("Mika", "Oona"):
        teacher.get_by_label(name).check()
    teacher.get_by_role("button", name="Keep the crew").click()

    # Find, on the phone
    go(phone, f"{job}/find")
    phone.get_by_label("Circuit sheet").select_option(label="Brae 12, fan and heater, version 1")
    phone.get_by_role("button", name="Open Find").click()
    phone.get_by_role("button", name="The fan hardly blows").click()
    assert follow_the_advice(phone, SHEET, HIDDEN) >= 2
    phone.get_by_role("button", name="Name the cause").click()
    expect(phone.locator("#cause")).to_contain_text("G7")
    phone.get_by_role("link", name="Show it to the teacher").click()
    mark_here(phone, name="Mark the cause")
    go(phone, job)
    expect(phone.get_by_text("Cause, marked")).to_be_visible()

    # steps, and the plan of the weeks
    go(teacher, f"{job}/steps")
    row = teacher.locator("li.join", has_text="Ground joint, clean and prove")
    row.get_by_role("button", name="Choose").click()
    teacher.get_by_role("button", name="Start work").click()
    go(teacher, "/plan")
    teacher.get_by_role("button", name="Plan again").click()
    publish = teacher.get_by_role("button", name=re.compile("^Publish plan"))
    expect(publish).to_be_visible(timeout=60_000)
    publish.click()
    expect(teacher.get_by_text("Harbour van").first).to_be_attached()
    go(teacher, "/board")
    expect(teacher.get_by_text("Harbour van").first).to_be_visible()

    # the work, on the phone
    go(phone, f"{job}/step/2")
    start_step(phone)
    read(phone, "4,2", "Meter 2")
    expect(phone.locator("#readings")).to_contain_text("Outside")
    phone.get_by_role("button", name="Tell the teacher").click()
    finish(phone)
    go(phone, f"{job}/step/3")
    start_step(phone)
    off(phone, "Battery negative lead", "tied back")
    for what in ("Ground strap", "Stud nut", "Star washer"):
        off(phone, what, "Bag 41")
    finish(phone)
    go(phone, f"{job}/step/4")
    start_step(phone)
    add_photo(phone, "bare metal all round")
    finish(phone)
    go(phone, f"{job}/step/5")
    expect(phone.get_by_text("comes first")).to_be_visible()
    go(phone, f"{job}/step/4")
    call_and_mark(phone, f"{job}/step/4")
    go(phone, f"{job}/step/5")
    start_step(phone)
    back(phone, "Ground strap", "Back on")
    back(phone, "Star washer", "New fitted", old="scrapped")
    back(phone, "Stud nut", "Back on")
    back(phone, "Battery negative lead", "Back on")
    read(phone, "12.8", "Wrench 5")
    expect(phone.locator("#readings")).to_contain_text("Too close to call")
    correct(phone, "Torque", "12.0", "Measured again", "Wrench 2")
    expect(phone.locator("#readings")).to_contain_text("Within")
    finish(phone)
    go(phone, f"{job}/step/6")
    start_step(phone)
    read(phone, "0.02", "Meter 1")
    finish(phone)
    call_and_mark(phone, f"{job}/step/6")

    # a reading is corrected: the mark breaks, everywhere, and stays broken
    go(phone, f"{job}/step/6")
    correct(phone, "Drop", "0.04", "Misread")
    broken = teacher.locator(".join.broken")
    for page in (job, f"{job}/release"):
        go(teacher, page)
        expect(broken.first).to_be_visible()
    go(teacher, "/board")
    expect(teacher.locator(".broken").first).to_be_visible()
    correct(phone, "Drop", "0.02", "Misread")
    go(teacher, job)
    expect(broken.first).to_be_visible()
    go(teacher, f"{job}/step/6/mark")
    mark_here(teacher)
    go(teacher, job)
    expect(broken).to_have_count(0)

    # correction, road test, owner
    fold_out(teacher, "Write what was done")
    teacher.locator("form[action$='/correction'] textarea").fill(
        "Ground joint G7 cleaned to bare metal, new star washer. Drop now 0.02 V."
    )
    teacher.locator("form[action$='/correction'] button").click()
    go(teacher, f"{job}/release")
    teacher.get_by_role("link", name=re.compile("road test", re.I)).first.click()
    mark_here(teacher, name="Release for road test")
    go(teacher, f"{job}/release")
    while teacher.get_by_role("button", name="Said to the owner").count():
        with teacher.expect_navigation():
            teacher.get_by_role("button", name="Said to the owner").first.click()
    teacher.get_by_label(re.compile("Odometer out")).fill("88 124 km")
    teacher.get_by_role("button", name="Keep it").click()
    mark_here(teacher, name="Sign and release")
    expect(teacher.get_by_text("Released to the owner").first).to_be_visible()

    paper = tmp_path / "paper.pdf"
    paper.write_bytes(teacher.request.get(f"{demo.address}{job}/release/paper.pdf").body())
    text = subprocess.run(
        ["pdftotext", "-layout", str(paper), "-"], capture_output=True, text=True, check=True
    ).stdout
    for words in (
        "The fan hardly blows, and it gets hot.",
        "G7",
        "Ground joint G7 cleaned to bare metal",
        "0.02 V",
        "at most 0.1 V",
        "Within",
        "Prove the joint with the load on",
        "Demo, invented",
    ):
        assert words in " ".join(text.split()), f"{words}\n{text}"
    assert "Mika" not in text
    assert demo.verify().returncode == 0
