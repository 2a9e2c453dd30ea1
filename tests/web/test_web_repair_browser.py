"""Size the repair in a browser: what is not clear comes into sight, cards keep their distance."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from tests.web.browser import watched
from tests.web.test_web_repair import fan  # noqa: F401 - a fixture
from witnessmark.people.models import Device

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
HERE = "/jobs/117/repair"
IN_SIGHT = """() => {
  const box = document.getElementById("was").getBoundingClientRect();
  const foot = document.querySelector("nav").getBoundingClientRect();
  const bottom = foot.top > box.height ? Math.min(foot.top, innerHeight) : innerHeight;
  return box.top >= 0 && box.bottom <= bottom;
}"""
GAPS = """() => {
  const cards = [...document.querySelectorAll("main > .rgap, main > .rtwo")];
  const boxes = cards.map((one) => one.getBoundingClientRect());
  return boxes.slice(1).map((box, at) => Math.round(box.top - boxes[at].bottom));
}"""


@pytest.fixture
def tablet(transactional_db, cast, fan, live_server):  # noqa: F811
    """The shop's tablet, with the learner signed in, on a job whose cause is a ground."""
    Device.objects.update(until=timezone.now() + timedelta(hours=2))
    signed_in = cast.browser(cast.on_it).cookies.items()
    with watched(live_server.url) as browser:
        browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        yield browser, browser.page(), f"{live_server.url}{HERE}"
        browser.complaints[:] = [one for one in browser.complaints if "422" not in one]


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (820, 1180), (390, 844)])
def test_a_field_that_is_not_clear_is_in_sight_with_the_cursor_in_it(tablet, width, height):
    _, page, here = tablet
    page.set_viewport_size({"width": width, "height": height})
    page.goto(f"{here}?work=wire&length=5")
    page.locator("summary", has_text="Old wire").click()
    page.fill("#was", "4")
    page.get_by_role("button", name="Size it with these").click()
    page.wait_for_selector("#at_field")
    assert "#answer" in page.url
    expect(page.locator("#was")).to_be_focused()
    assert page.evaluate(IN_SIGHT)
    assert page.locator("#at_field").is_visible()
    page.get_by_role("link", name="To the field").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#was")).to_be_in_viewport()


def test_the_cards_keep_their_distance_with_and_without_heat(tablet):
    browser, page, here = tablet
    for name, asked in (
        ("cleaned", ""),
        ("heat", "?joint_drop=2.8"),
        ("wire", "?work=wire&length=5"),
    ):
        page.goto(f"{here}{asked}")
        gaps = page.evaluate(GAPS)
        assert gaps and min(gaps) >= 8, (name, gaps)
        browser.shoot(page, f"repair-{name}")
