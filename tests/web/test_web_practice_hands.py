"""A large circuit in practice by keyboard and by thumb: points, the drawing, the cause."""

import re

import pytest

from tests.web.test_web_find_browser import SMALL_TARGETS
from tests.web.test_web_practice import case, fan  # noqa: F401 - fixtures
from tests.web.test_web_practice_browser import open_page  # noqa: F401 - fixture

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def page(open_page):  # noqa: F811
    """A case of the largest circuit that ships, begun at a desk."""
    _, page = open_page
    page.set_viewport_size({"width": 1440, "height": 900})
    page.goto(page.url.replace("/library", "/library/practice/new?general=body-front"))
    page.get_by_role("button", name="Hide a fault and begin").click()
    page.wait_for_selector("#next")
    return page


def put(page):
    return page.locator(".pts :checked").get_attribute("value")


def test_the_letter_of_a_point_is_typed(page):
    page.goto(page.url + "?kind=volts#next")
    page.wait_for_function("document.activeElement.name === 'place'")
    page.keyboard.type("h")
    assert put(page) == "H"
    page.wait_for_timeout(1000)  # a pause: the next letter begins anew
    page.keyboard.type("ab")
    assert put(page) == "AB"
    assert page.locator("[data-put]").inner_text().startswith("AB, ")
    letters = [one.get_attribute("value") for one in page.locator(".pts input").all()]
    assert len(letters) > 18 and letters == sorted(letters, key=lambda one: (len(one), one))


def test_a_point_is_tapped_in_the_drawing(page):
    page.locator("#circuit input[value=whole]").check()
    letter = page.locator("#circuit .cwh svg text.b").filter(has_text=re.compile("^C$"))
    letter.click()
    assert put(page) == "C"


def test_what_is_drawn_stays_when_the_kind_of_test_changes(page):
    page.locator("#circuit input[value=whole]").check()
    page.locator("#circuit .cwh input[value=fit]").check()
    page.get_by_text("choose another kind").click()
    page.get_by_role("link", name="Look at it").click()
    page.wait_for_url("**kind=look**")
    assert page.locator("#circuit input[value=whole]").is_checked()
    assert page.locator("#circuit .cwh input[value=fit]").is_checked()


def test_the_cause_is_named_part_first_with_the_keyboard(page):
    page.locator("#name > details > summary").first.focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    chosen = page.locator("input[name=suspect]:checked")
    assert chosen.count() == 1
    # A list that put the fitting repair first would answer the second question with the first.
    parts = [one.inner_text() for one in page.locator(".cau > details > summary").all()]
    labels = [one.get_attribute("label") for one in page.locator("#repair optgroup").all()]
    assert labels == [part for part in parts if part in labels] and len(labels) > 2
    for width in (1440, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(SMALL_TARGETS) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
