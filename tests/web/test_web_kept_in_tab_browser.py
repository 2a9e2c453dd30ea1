"""What a tab keeps of a person: nothing empty waits to be sent, nothing begun outlasts its use."""

import pytest

from tests.web.test_web_find import opened, van  # noqa: F401 - fixtures
from tests.web.test_web_practice import case, fan  # noqa: F401 - fixtures
from tests.web.test_web_practice import send as practise
from tests.web.test_web_refused_browser import tablet  # noqa: F401 - the fixture

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
BEGUN = "() => Object.keys(sessionStorage).filter(key => key.startsWith('begun'))"


@pytest.fixture
def reasons(cast, case, tablet):  # noqa: F811
    """A case under way, with the learner's reasons begun and not sent."""
    browser, page, origin = tablet
    practise(cast.browser(cast.on_it), "begin")
    page.goto(f"{origin}/library/practice/1")
    page.locator("#name summary").first.click()
    page.locator("#reasons").press_sequentially("High at E")
    assert len(page.evaluate(BEGUN)) == 1
    return browser, page, origin


def test_reasons_that_were_sent_are_gone_from_the_tab(reasons):
    _, page, _ = reasons
    page.reload()
    page.locator("#name summary").first.click()
    assert page.input_value("#reasons") == "High at E"
    page.locator(".cau summary", has_text="S9 splice").click()
    page.get_by_label("S9 splice: high resistance").check()
    page.select_option("#repair", "mend splice S9")
    page.get_by_role("button", name="Name it").click()
    page.wait_for_selector("text=The seal is open")
    assert page.evaluate(BEGUN) == []
    assert "High at E" in page.locator("#main").inner_text()


def test_reasons_are_gone_once_their_writer_signs_out_and_what_was_not_sent_waits(reasons):
    _, page, origin = reasons
    page.goto(f"{origin}/signin/me")
    waits = '[{"id": "1", "person": "another", "typed": 0}]'
    page.evaluate("waits => sessionStorage.setItem('unsent', waits)", waits)
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url(f"{origin}/signin**")
    assert page.evaluate(BEGUN) == []
    assert page.evaluate("sessionStorage.getItem('unsent')") == waits


def test_reasons_of_somebody_else_are_gone_once_the_next_person_is_here(cast, reasons):
    browser, page, origin = reasons
    cookies = cast.browser(cast.not_on_it).cookies.items()
    browser.context.add_cookies(
        [{"name": key, "value": one.value, "url": origin} for key, one in cookies]
    )
    page.goto(f"{origin}/library")
    assert page.evaluate(BEGUN) == []


@pytest.mark.parametrize("is_phone", [False, True])
def test_an_empty_reading_does_not_wait_where_there_is_no_connection(
    opened,  # noqa: F811
    van,  # noqa: F811
    tablet,  # noqa: F811
    is_phone,
):
    browser, page, origin = tablet
    page.set_viewport_size({"width": 390 if is_phone else 1440, "height": 844})
    page.goto(f"{origin}/jobs/117/find")
    page.context.set_offline(True)
    for _ in range(2):
        page.locator("#next form:has(#rd) button:has-text('Keep')").first.click()
        page.wait_for_selector("#at_field")
    assert page.locator("#at_field").count() == 1
    assert "Nothing is typed." in page.locator("#at_field").inner_text()
    assert page.evaluate("document.activeElement.id") == "rd"
    assert page.is_hidden("#unsent")
    assert page.evaluate("sessionStorage.getItem('unsent')") is None
    browser.shoot(page, "find-empty-offline" + ("-phone" if is_phone else ""))
    page.set_viewport_size({"width": 390 if is_phone else 1440, "height": 844})

    page.locator("summary", has_text="Read or see something else").click()
    page.fill("#value", "1.2 mm")
    page.locator("form[action$='/find/look'] button").click()
    page.wait_for_selector(".duo #at_field")
    assert page.evaluate("document.activeElement.id") == "what"
    assert page.is_hidden("#unsent")

    page.fill("#what", "Lining")
    page.locator("form[action$='/find/look'] button").click()
    page.wait_for_selector("#unsent:not([hidden])")
    assert page.inner_text("#unsent .wait b") == "1.2 mm"
    assert not page.locator("#at_field").count()
    browser.complaints.clear()
