"""Find in a browser: the way to the cause by hand, three widths, large targets, the drawing."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.papers.drawn_page import CLASHES
from tests.web.browser import watched
from tests.web.test_web_find import opened, send, told, van  # noqa: F401 - fixtures
from witnessmark.people.models import Device

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SMALL_TARGETS = """
() => [...document.querySelectorAll('main a, main button, main select, main input, main summary')]
  .filter(one => one.offsetParent !== null && one.type !== 'hidden')
  .map(one => [one, (one.closest('.fld, .entry, .chk, .pick') || one).getBoundingClientRect()])
  .filter(([one, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
  .map(([one, box]) => `${one.tagName} ${one.textContent.trim()} ${box.width}x${box.height}`)
"""
CHANGED = "old => document.querySelector('#next h2').innerText != old"


@pytest.fixture
def open_page(transactional_db, cast, van, live_server):  # noqa: F811
    # The live server keeps the wall clock: the tablet stays open for it.
    Device.objects.update(until=timezone.now() + timedelta(hours=2))
    signed_in = cast.browser(cast.on_it).cookies.items()
    with watched(live_server.url) as browser:
        browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        page = browser.page()
        page.goto(f"{live_server.url}/jobs/117/find")
        yield browser, page


def look(browser, page, name):
    browser.shoot(page, name)
    for width in (1440, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(SMALL_TARGETS) == []
        if page.locator("svg.cct").count():
            assert page.evaluate(CLASHES) == []


def test_a_learner_on_a_phone_follows_the_advice_to_the_cause(open_page):
    browser, page = open_page
    look(browser, page, "find-closed")
    page.set_viewport_size({"width": 390, "height": 844})
    page.get_by_label("Circuit sheet").select_option(index=1)
    page.get_by_role("button", name="Open Find").click()
    look(browser, page, "find-complaint")
    page.get_by_role("button", name="The fan hardly blows").click()
    for step in range(8):
        if page.locator("text=Cause found").count():
            break
        sentence = page.locator("#next h2").inner_text()
        shows = told(page.locator("#next input[name=test]").first.get_attribute("value"))
        page.set_viewport_size({"width": 390, "height": 844})
        if step == 1:
            look(browser, page, "find")
            page.set_viewport_size({"width": 390, "height": 844})
        if "text" in shows:
            page.fill("#rd", shows["text"])
            page.get_by_role("button", name="Keep", exact=True).first.click()
        else:
            page.locator(f"#next button[value='{shows['outcome']}']").first.click()
        page.wait_for_function(
            "old => document.querySelector('#next h2').innerText != old", arg=sentence
        )
    look(browser, page, "find-proved")
    page.get_by_role("button", name="Name the cause").click()
    page.wait_for_load_state()
    look(browser, page, "find-named")
    for summary in page.locator("main summary").all():
        summary.click()
    look(browser, page, "find-unfolded")
    page.emulate_media(color_scheme="dark")
    browser.shoot(page, "find-dark")
    page.get_by_label("Whole circuit").check()
    assert page.locator(".cwh svg").is_visible()
    assert not page.locator(".cfo svg").first.is_visible()
    assert page.evaluate(CLASHES) == []
    browser.shoot(page, "find-whole")


LINES = """
cells => cells.map(cell => {
  const range = document.createRange();
  range.selectNodeContents(cell);
  return new Set([...range.getClientRects()].map(box => Math.round(box.top))).size;
})
"""


def test_who_read_it_stands_in_one_line_on_a_phone(open_page, opened, van):  # noqa: F811
    _, page = open_page
    well = {"test": "watch Fan state=run", "outcome": "as it should"}
    for typed in (well, {"test": "wiggle C4 state=run", "outcome": "changes"}):
        assert send(opened, van, "reading", **typed).status_code == 302
    page.reload()
    for width in (390, 1440):
        page.set_viewport_size({"width": width, "height": 844})
        assert page.locator("#readings td:nth-child(4)").evaluate_all(LINES) == [1, 1]
        assert page.evaluate("document.documentElement.scrollWidth") <= width
