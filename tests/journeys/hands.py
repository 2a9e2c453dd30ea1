"""What people do with their hands in the journeys: sign in, type, tap, mark."""

import re
from io import BytesIO

from PIL import Image
from playwright.sync_api import Page, expect

from diagnosis.bench_play import Vehicle
from witnessmark.diagnosis.observations import parse_test_key
from witnessmark.networks import parse_fault
from witnessmark.sheets.circuit import read_circuit

DESKTOP = {"viewport": {"width": 1440, "height": 900}}
PHONE = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
    "device_scale_factor": 2,
}
TEACHER_PIN = "4826"
TEACHER_PASSWORD = "skerry-point"
PINS = {
    name: str(3107 + 11 * number)
    for number, name in enumerate(
        ("Devan", "Esme", "Isla", "Joss", "Mika", "Nils", "Oona", "Priya", "Tam", "Wren")
    )
}


def picture(colour: str = "#8e97a2") -> dict[str, object]:
    """Return a photo file as a phone sends it."""
    out = BytesIO()
    Image.new("RGB", (800, 600), colour).save(out, "JPEG")
    return {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def sign_in_teacher(page: Page, password: str = TEACHER_PASSWORD, handle: str = "aldane") -> None:
    """Sign a teacher in, without opening the device for a section."""
    page.get_by_label("Sign-in name").fill(handle)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in, and leave it closed").click()
    expect(page.get_by_role("navigation", name="Main")).to_be_visible()


def open_device(
    page: Page, section: str, password: str = TEACHER_PASSWORD, handle: str = "aldane"
) -> None:
    """Let the teacher open this device for a section, for today."""
    page.get_by_label("Sign-in name").fill(handle)
    page.get_by_label("Password").fill(password)
    page.get_by_label("Section").select_option(label=section)
    page.get_by_label("today").check()
    page.get_by_role("button", name="Open this device").click()
    expect(page.get_by_role("heading", name="Who are you?")).to_be_visible()


def sign_in_learner(page: Page, name: str, pin: str = "") -> None:
    """Tap a name, then the PIN."""
    page.get_by_role("link", name=name, exact=True).click()
    type_pin(page, pin or PINS[name])
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("navigation", name="Main")).to_be_visible()


def type_pin(page: Page, pin: str) -> None:
    """Type a PIN on the pad."""
    for figure in pin:
        page.locator(f"button[data-figure='{figure}']").click()


def mark_here(page: Page, pin: str = TEACHER_PIN, name: str = "Mark step") -> None:
    """Let the teacher type the PIN on the page that shows what is marked."""
    type_pin(page, pin)
    with page.expect_navigation():
        page.get_by_role("button", name=re.compile(f"^{name}")).click()


def follow_the_advice(page: Page, sheet: str, hidden: str) -> int:
    """Do the advised test and keep what it shows, until the cause can be named."""
    circuit = read_circuit(sheet, "the sheet")
    vehicle = Vehicle(circuit, parse_fault(hidden, circuit), seed=1)
    for turn in range(15):
        if page.get_by_text("Cause found").count():
            return turn
        test = page.locator("#next input[name=test]").first.get_attribute("value")
        assert test
        shown = vehicle.answer(parse_test_key(test))
        if shown.outcome:
            page.locator(f"#next button[value='{shown.outcome}']").first.click()
        else:
            page.locator("#rd").fill(f"{shown.value:.2f}")
            page.locator("#next .erow").get_by_role("button", name="Keep").click()
        expect(page.locator("#readings tbody tr")).to_have_count(turn + 1)
    raise AssertionError("fifteen readings and no cause")


def go(page: Page, path: str) -> None:
    """Open a page of the same shop."""
    origin = re.match(r"https?://[^/]+", page.url)
    assert origin is not None
    page.goto(origin.group() + path)


def fold_out(page: Page, words: str) -> None:
    """Open a folded part of the page."""
    page.locator("summary", has_text=words).first.click()


def start_step(page: Page) -> None:
    """Tick the cautions of the step on the page and start it."""
    for box in page.locator(".cauc input[type=checkbox]:not(:disabled)").all():
        box.check()
    with page.expect_navigation():
        page.get_by_role("button", name=re.compile("^Start step")).click()


def add_photo(page: Page, caption: str = "") -> None:
    """Take a photo and keep it."""
    page.locator("form.shot input[type=file]").set_input_files(picture())
    if caption:
        page.get_by_label("What it shows").fill(caption)
    with page.expect_navigation():
        page.get_by_role("button", name="Keep the photo").click()


def off(page: Page, what: str, place: str) -> None:
    """Write an item of the step into the ledger."""
    form = page.locator("form.take", has=page.locator(".th", has_text=what)).first
    form.get_by_label("Goes into").fill(place)
    with page.expect_navigation():
        form.get_by_role("button", name="Write it down").click()


def back(page: Page, what: str, kind: str, old: str = "") -> None:
    """Put an item back, or close its line otherwise."""
    line = page.locator("#ledger li", has_text=what).first
    line.locator("summary").click()
    if old:
        line.locator("select[name=old]").select_option(label=old)
    with page.expect_navigation():
        line.get_by_role("button", name=kind, exact=True).click()


def read(page: Page, text: str, instrument: str) -> None:
    """Enter the next reading of the step."""
    form = page.locator("#readings form")
    form.locator("input[name=text]").fill(text)
    choice = form.locator("select[name=instrument]")
    names = choice.locator("option").all_inner_texts()
    choice.select_option(label=next(name for name in names if name.startswith(instrument)))
    with page.expect_navigation():
        form.get_by_role("button", name="Keep this reading").click()


def correct(page: Page, what: str, text: str, why: str, instrument: str = "") -> None:
    """Correct a reading that stands."""
    page.locator("#readings li", has_text=what).get_by_role("link", name="Correct").click()
    page.get_by_label("New value").fill(text)
    if instrument:
        choice = page.locator("select[name=instrument]")
        names = choice.locator("option").all_inner_texts()
        choice.select_option(label=next(name for name in names if name.startswith(instrument)))
    page.get_by_text(why, exact=True).click()
    with page.expect_navigation():
        page.get_by_role("button", name="Keep the change").click()


def finish(page: Page) -> None:
    """Finish the step that is open."""
    with page.expect_navigation():
        page.get_by_role("button", name=re.compile("^Finish step")).click()


def call_and_mark(page: Page, address: str, pin: str = TEACHER_PIN) -> None:
    """Call the teacher, who marks on this very device."""
    page.get_by_role("button", name="Call the teacher to mark it").click()
    expect(page.get_by_text("Called").first).to_be_visible()
    go(page, f"{address}/mark")
    mark_here(page, pin)
