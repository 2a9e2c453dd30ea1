"""Practice by hand on a phone: begin, three readings, name the cause, read the review."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.web.browser import watched
from tests.web.test_web_find_browser import SMALL_TARGETS
from tests.web.test_web_practice import case, fan  # noqa: F401 - fixtures
from witnessmark.people.models import Device
from witnessmark.record.models import PracticeEnd

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PHONE = {"width": 390, "height": 844}

LONG = "between roughly 0.1 and a bit less than about 0.3 V"


@pytest.fixture
def open_page(transactional_db, cast, case, live_server):  # noqa: F811
    # The live server keeps the wall clock: the tablet stays open for it.
    Device.objects.update(until=timezone.now() + timedelta(hours=2))
    signed_in = cast.browser(cast.on_it).cookies.items()
    with watched(live_server.url) as browser:
        browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        page = browser.page()
        page.set_viewport_size(PHONE)
        page.goto(f"{live_server.url}/library")
        yield browser, page


def look(browser, page, name):
    browser.shoot(page, name)
    page.emulate_media(color_scheme="dark")
    browser.shoot(page, f"{name}-dark")
    page.emulate_media(color_scheme="light")
    for width in (1440, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(SMALL_TARGETS) == []
    page.set_viewport_size(PHONE)


def test_a_learner_on_a_phone_finds_the_hidden_fault(open_page):
    browser, page = open_page
    page.get_by_role("link", name="Practice").first.click()
    look(browser, page, "practice-cases")
    page.get_by_role("link", name="Practice 1, ").click()
    look(browser, page, "practice-begin")
    page.get_by_role("button", name="Begin").click()
    for number, point in enumerate("DEF", start=1):
        page.locator(f"label.btn:has(input[value='{point}'])").first.click()
        assert page.locator("[data-put]").inner_text().startswith(f"{point}, ")
        page.fill("#rd", "0.2" if number < 3 else LONG)
        page.get_by_role("button", name="Measure").click()
        page.wait_for_selector(f"#answer{number}")
    assert f"You expected {LONG}" in page.locator("#answer3").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    look(browser, page, "practice-attempt")
    page.locator("#name summary").first.click()
    page.locator("#reasons").press_sequentially("High at E")
    page.get_by_text("choose another kind").click()
    page.get_by_role("link", name="Look at it").click()
    look(browser, page, "practice-look")
    page.locator("#name summary").first.click()
    assert page.locator("#reasons").input_value() == "High at E"
    page.locator(".cau summary", has_text="S9 splice").click()
    page.get_by_label("S9 splice: high resistance").check()
    page.select_option("#repair", "mend splice S9")
    page.fill("#reasons", "High at E, nothing at F.")
    page.get_by_role("button", name="Name it").click()
    page.wait_for_selector("text=The seal is open")
    assert page.locator("svg.pth").count() == 2
    assert " told most (" in page.content()
    assert PracticeEnd.objects.get().verdict in ("right", "not proved")
    look(browser, page, "practice-review")


def test_a_fault_that_stays_cannot_be_chosen_as_one_that_comes_and_goes(open_page, cast, fan):  # noqa: F811
    browser, page = open_page
    signed_in = cast.browser(cast.teacher).cookies.items()
    origin = page.url.removesuffix("/library")
    browser.context.add_cookies(
        [{"name": key, "value": one.value, "url": origin} for key, one in signed_in]
    )
    page.goto(f"{origin}/library/practice/new?sheet={fan.pk}")
    goes = page.get_by_label("A fault that comes and goes")
    blown = page.locator("option[value='F12:blown']")
    goes.check()
    assert blown.is_disabled()
    assert page.locator("option[value='G7:high']").is_enabled()
    goes.uncheck()
    page.locator("#fault").select_option("F12:blown")
    assert goes.is_disabled()
    page.locator("#fault").select_option("G7:high")
    goes.check()
    look(browser, page, "practice-new")
