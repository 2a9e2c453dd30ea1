"""An empty real shop: from its first page to a released job, through every form."""

import re
from datetime import date, timedelta
from importlib.resources import files

import pytest
from playwright.sync_api import Page, expect

from journeys.hands import (
    DESKTOP,
    PHONE,
    add_photo,
    back,
    call_and_mark,
    finish,
    fold_out,
    follow_the_advice,
    go,
    mark_here,
    off,
    open_device,
    read,
    sign_in_learner,
    start_step,
    type_pin,
)
from witnessmark.networks import solve
from witnessmark.sheets.circuit import read_circuit

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("record")]
EXAMPLES = files("witnessmark.examples")
SHEET = (EXAMPLES / "circuits" / "fan.toml").read_text()
TITLE = "Brae 12, fan and heater"
GROUND_WIRE = 'ohms = "0.019 ohm"'  # of W2, the only part with this resistance
PROCEDURE = (EXAMPLES / "procedures" / "ground-joint-clean-and-prove.toml").read_text()
HIDDEN = "G7:high=0.8"
PASSWORD, PIN = "quayside-nine", "5937"


def start_shop(page: Page) -> None:
    """Answer the first page."""
    page.get_by_label("Name of the school or shop").fill("Ardel Pier School")
    page.get_by_label("Time zone").fill("Europe/Lisbon")
    page.get_by_label("Name, as learners know it").fill("R. Ferro")
    page.get_by_label("Sign-in name").fill("ferro")
    page.get_by_label("Password, 10 signs or more").fill(PASSWORD)
    page.get_by_label("PIN for marks, 4 to 8 figures").fill(PIN)
    page.get_by_role("button", name="Open the shop").click()
    expect(page.get_by_role("navigation", name="Main")).to_be_visible()


def fill_shop(page: Page) -> None:
    """Add a section with its learners, a bay, periods and instruments."""
    go(page, "/people")
    page.get_by_role("link", name="Add learners").click()
    page.get_by_label("Name of the class").fill("Morning group")
    page.get_by_role("button", name="Add the section").click()
    for name, pin in (("Bela", "6314"), ("Ciro", "7425")):
        form = page.locator("form", has_text="Add a learner")
        form.get_by_label("Name, as the class says it").fill(name)
        form.get_by_label("PIN, 4 to 8 figures").fill(pin)
        form.get_by_role("button", name="Add the learner").click()
        expect(page.get_by_text(f"{name} is added.")).to_be_visible()
    page.get_by_role("link", name="Shop", exact=True).click()
    page.get_by_label("Name or number").fill("1")
    page.get_by_role("button", name="Add it").click()
    expect(page.locator("#bays")).to_contain_text("Bay 1")
    for name, kind, resolution in (
        ("Meter 1", "multimeter", "0.01 V"),
        ("Wrench 1", "torque wrench", "0.1 N·m"),
    ):
        page.get_by_label("Name on it").fill(name)
        page.get_by_label("What it is").fill(kind)
        page.get_by_label("Reads to").fill(resolution)
        page.get_by_role("button", name="Add the instrument").click()
        expect(page.locator("#instruments")).to_contain_text(name)
    for day in ("Mon", "Wed", "Fri"):
        page.locator("#timetable").get_by_label(day).check()
    page.get_by_label("Period number").fill("2")
    page.get_by_label("From", exact=True).fill("10:40")
    page.get_by_label("To", exact=True).fill("12:00")
    page.get_by_role("button", name="Add the periods").click()
    expect(page.get_by_text("6 periods are added.")).to_be_visible()


def upload(page: Page, kind: str, name: str, text: str) -> None:
    """Put a file into the Library."""
    go(page, "/library/new")
    page.get_by_label(kind, exact=True).check()
    page.get_by_label("File", exact=True).set_input_files(
        {"name": name, "mimeType": "text/plain", "buffer": text.encode()}
    )
    page.get_by_role("button", name="Check it and put it in").click()


def take_in(page: Page, vehicle: str) -> str:
    """Take a vehicle in and put both learners on it; return the job's address."""
    go(page, "/jobs")
    page.get_by_role("link", name=re.compile("Take in a vehicle")).first.click()
    page.get_by_label("In the owner’s own words").fill("The fan is weak.")
    page.get_by_label("Vehicle, as the shop will call it").fill(vehicle)
    page.get_by_label("Odometer: km, or write mi or h").fill("41 300 km")
    page.get_by_label("Owner", exact=True).fill("D. Osei")
    page.get_by_label("Phone").fill("010 0177")
    page.get_by_label("not wanted").check()
    page.get_by_label("Section").select_option(label="Morning group")
    page.get_by_label("At the latest").fill(f"{date.today() + timedelta(days=9):%Y-%m-%d}")
    page.get_by_role("button", name="Make it a job").click()
    page.wait_for_url(re.compile(r"/jobs/\d+$"))
    page.get_by_role("link", name="Crew, place, promise").click()
    for name in ("Bela", "Ciro"):
        page.get_by_label(name).check()
    page.get_by_role("button", name="Keep the crew").click()
    page.get_by_role("link", name="Back to the job").click()
    return re.sub(r"^https?://[^/]+", "", page.url)


def open_find(page: Page, job: str, version: int) -> None:
    """Open Find with the newest sheet, and say what the complaint means on it."""
    go(page, f"{job}/find")
    page.get_by_label("Circuit sheet").select_option(label=f"{TITLE}, version {version}")
    page.get_by_role("button", name="Open Find").click()
    page.get_by_role("button", name="The fan hardly blows").click()


def healthy_shown(page: Page) -> dict[str, str]:
    """Return the healthy volts that Find prints, by point."""
    page.locator("summary", has_text="Show as table").click()
    table = page.locator("table", has_text="Points, from supply to ground")
    rows = [row.locator("td").all_inner_texts() for row in table.locator("tbody tr").all()]
    assert rows
    return {cells[0].split()[0]: cells[1] for cells in rows}


def healthy_solved(text: str, points: dict[str, str]) -> dict[str, str]:
    """Return the healthy volts of a sheet, as the circuit's solution has them."""
    solution = solve(read_circuit(text, "the sheet"), [()])
    return {point: f"{solution.voltage(point, 'run'):.2f}" for point in points}


def same_volts(shown: dict[str, str], solved: dict[str, str]) -> bool:
    return all(solved[point] in shown[point].replace(",", ".") for point in shown)


def test_an_empty_shop_comes_to_a_released_job_and_a_changed_sheet_changes_find(empty, visit):
    people = visit(empty, expected=("422",))
    teacher = people.open(**DESKTOP)
    start_shop(teacher)
    fill_shop(teacher)

    # the Library: mistakes at their lines, then the sheet as it should be
    wrong = SHEET.replace(GROUND_WIRE, 'ohms = "0.019 kPa"').replace('"splice"', '"splise"', 1)
    upload(teacher, "circuit sheet", "fan.toml", wrong)
    for words in (GROUND_WIRE, 'kind = "splice"'):
        line = 1 + SHEET[: SHEET.index(words)].count("\n")
        expect(teacher.get_by_role("alert")).to_contain_text(f"Line {line}.")
    upload(teacher, "circuit sheet", "fan.toml", SHEET)
    expect(teacher.get_by_role("heading", name=TITLE)).to_be_visible()
    upload(teacher, "procedure", "ground.toml", PROCEDURE)
    expect(teacher.get_by_role("heading", name="Ground joint, clean and prove")).to_be_visible()

    # Find on a learner's phone, the cause marked there
    job = take_in(teacher, "Quay van")
    phone = people.open(**PHONE)
    open_device(phone, "Morning group", PASSWORD, "ferro")
    sign_in_learner(phone, "Bela", "6314")
    open_find(phone, job, version=1)
    follow_the_advice(phone, SHEET, HIDDEN)
    phone.get_by_role("button", name="Name the cause").click()
    phone.get_by_role("link", name="Show it to the teacher").click()
    mark_here(phone, PIN, name="Mark the cause")

    # the steps, and the work
    go(teacher, f"{job}/steps")
    teacher.get_by_role("button", name="Choose").click()
    teacher.get_by_role("button", name="Start work").click()
    do_the_work(phone, job)
    expect(phone.get_by_text("Within")).to_be_visible()

    # the gate
    go(teacher, job)
    fold_out(teacher, "Write what was done")
    teacher.get_by_label("What was done, and how it was verified").fill("Ground joint cleaned.")
    teacher.locator("form[action$='/correction'] button").click()
    go(teacher, f"{job}/release")
    teacher.get_by_role("link", name=re.compile("road test", re.I)).first.click()
    mark_here(teacher, PIN, name="Release for road test")
    go(teacher, f"{job}/release")
    teacher.get_by_role("button", name="Said to the owner").click()
    teacher.get_by_label(re.compile("Odometer out")).fill("41 303 km")
    teacher.get_by_role("button", name="Keep it").click()
    type_pin(teacher, PIN)
    teacher.get_by_role("button", name="Sign and release").click()
    expect(teacher.get_by_text("Released to the owner").first).to_be_visible()

    # one resistance changed: a new version, and Find's numbers follow it on the next job
    changed = SHEET.replace(GROUND_WIRE, 'ohms = "0.190 ohm"')
    go(teacher, "/library")
    teacher.get_by_role("link", name=TITLE).first.click()  # a general circuit has the name too
    teacher.get_by_role("link", name="Put in a changed file").click()
    text = teacher.get_by_label("Or the text itself")
    text.fill(text.input_value().replace(GROUND_WIRE, 'ohms = "0.190 ohm"'))
    teacher.get_by_role("button", name="Check it and put it in").click()
    expect(teacher.get_by_text("version 2 is in the Library")).to_be_visible()
    other = take_in(teacher, "Ferry van")
    open_find(teacher, other, version=2)
    after = healthy_shown(teacher)
    go(teacher, f"{job}/find")
    before = healthy_shown(teacher)

    assert same_volts(after, healthy_solved(changed, after)), after
    assert same_volts(before, healthy_solved(SHEET, before)), before
    assert before != after
    assert empty.verify().returncode == 0


def do_the_work(page: Page, job: str) -> None:
    """Do the five steps of the ground joint on the phone; the teacher marks there."""
    go(page, f"{job}/step/2")
    start_step(page)
    read(page, "4,2", "Meter 1")
    page.get_by_role("button", name="Tell the teacher").click()
    finish(page)
    go(page, f"{job}/step/3")
    start_step(page)
    for what in ("Battery negative lead", "Ground strap", "Stud nut", "Star washer"):
        off(page, what, "Bag 1")
    finish(page)
    go(page, f"{job}/step/4")
    start_step(page)
    add_photo(page)
    finish(page)
    call_and_mark(page, f"{job}/step/4", PIN)
    go(page, f"{job}/step/5")
    start_step(page)
    for what in ("Ground strap", "Stud nut", "Battery negative lead"):
        back(page, what, "Back on")
    back(page, "Star washer", "New fitted", old="scrapped")
    read(page, "12.0", "Wrench 1")
    finish(page)
    go(page, f"{job}/step/6")
    start_step(page)
    read(page, "0.02", "Meter 1")
    finish(page)
    call_and_mark(page, f"{job}/step/6", PIN)
    go(page, f"{job}/step/6")
