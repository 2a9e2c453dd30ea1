"""The Fit screen in a browser: three widths, large targets, nothing from outside."""

import pytest

from tests.web import fit_bench
from tests.web.browser import watched

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SMALL_TARGETS = """
() => [...document.querySelectorAll('main a, main button, main select, main input, main summary')]
  .filter(one => one.offsetParent !== null && one.type !== 'hidden')
  .map(one => [one, (one.closest('.fld, .entry') || one).getBoundingClientRect()])
  .filter(([one, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
  .map(([one, box]) => `${one.tagName} ${one.textContent.trim()} ${box.width}x${box.height}`)
"""


@pytest.fixture
def open_page(transactional_db, cast, live_server):
    job = fit_bench.engine(cast)
    fit_bench.give_sheet(cast, job)
    fit_bench.read_everything(cast, job)
    signed_in = cast.browser(cast.teacher).cookies.items()
    with watched(live_server.url) as browser:
        browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        page = browser.page()
        page.goto(f"{live_server.url}/jobs/109/fit")
        yield browser, page


def test_the_screen_fits_every_width_and_its_targets_are_large(open_page):
    browser, page = open_page
    browser.shoot(page, "fit")
    for width in (1440, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(SMALL_TARGETS) == []
    for summary in page.locator("summary").all():
        summary.click()
    browser.shoot(page, "fit-tables")


def test_a_reading_is_entered_with_a_decimal_comma(open_page):
    browser, page = open_page
    page.select_option("#place", "bush-bore:4")
    page.fill("#text", "49,336")
    page.click("text=Keep this reading")
    page.wait_for_url("**/fit?step=1")
    assert page.locator("text=mean of 2").count() == 1
    page.set_viewport_size({"width": 1440, "height": 1000})
    browser.shoot(page, "fit-questioned")


def test_the_dark_look_is_as_readable(open_page):
    browser, page = open_page
    page.emulate_media(color_scheme="dark")
    browser.shoot(page, "fit-dark")
