"""A choice that its box cuts, as on a phone, stands below the box in full."""

import pytest

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
LONG = "W4 switch ground in the door: shorted to a live wire"


def test_a_long_fault_is_read_in_full_on_a_phone_and_a_short_one_is_not_said_twice(circuit_page):
    _, page = circuit_page
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(page.url.replace("/library/circuit", "/library/practice/new?general=window"))
    fault = page.locator("#fault")
    below = page.locator(".fld:has(#fault) + .full-words")
    fault.select_option(label=LONG)
    below.get_by_text(LONG, exact=True).wait_for(state="visible")
    lines = below.evaluate("one => one.scrollWidth <= one.clientWidth && one.clientHeight")
    assert lines > 20  # it wraps, and nothing of it is cut
    page.set_viewport_size({"width": 1440, "height": 900})
    below.wait_for(state="hidden")
    page.set_viewport_size({"width": 390, "height": 844})
    below.wait_for(state="visible")
    shortest = min(fault.locator("option").all_text_contents(), key=len)
    fault.select_option(label=shortest)
    below.wait_for(state="hidden")
    assert below.text_content() == ""
