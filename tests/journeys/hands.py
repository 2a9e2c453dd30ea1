"""What people do with their hands in the journeys: sign in, type, tap, mark."""

import re
from io import BytesIO

from PIL import Image
from playwright.sync_api import Page, expect

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
