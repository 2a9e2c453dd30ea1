"""A refused entry in a browser: Back and loading again send nothing, and lose nothing."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.web.browser import watched
from tests.web.test_web_find import opened, van  # noqa: F401 - fixtures
from tests.web.test_web_practice import case, fan  # noqa: F401 - fixtures
from tests.web.test_web_practice import send as practise
from witnessmark.people.models import Device
from witnessmark.record.models import PracticeTest, Reading

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def tablet(transactional_db, cast, live_server):
    """The shop's tablet, with the learner signed in, and the address of the shop."""
    Device.objects.update(until=timezone.now() + timedelta(hours=2))
    signed_in = cast.browser(cast.on_it).cookies.items()
    with watched(live_server.url) as browser:
        browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        yield browser, browser.page(), live_server.url
        browser.complaints[:] = [one for one in browser.complaints if "422" not in one]


def sent(page):
    """Count the forms that a page sends from now on."""
    forms = []
    page.on("request", lambda asked: asked.method == "POST" and forms.append(asked.url))
    return forms


@pytest.mark.parametrize("is_phone", [False, True])
def test_in_practice_back_and_loading_again_ask_nothing(cast, case, tablet, is_phone):  # noqa: F811
    browser, page, origin = tablet
    practise(cast.browser(cast.on_it), "begin")
    page.set_viewport_size({"width": 390 if is_phone else 1440, "height": 844})
    page.goto(f"{origin}/library/practice")
    page.goto(f"{origin}/library/practice/1")
    forms = sent(page)
    page.locator("label.btn:has(input[value='E'])").first.click()
    page.fill("#rd", "abc")
    page.get_by_role("button", name="Measure").click()
    page.wait_for_selector("#at_field")
    assert "“abc” is no number of volts." in page.locator("#at_field").inner_text()
    assert page.evaluate("document.activeElement.id") == "rd"
    name = "practice-refused" + ("-phone" if is_phone else "")
    browser.shoot(page, name)
    page.emulate_media(color_scheme="dark")
    browser.shoot(page, f"{name}-dark")
    page.set_viewport_size({"width": 390 if is_phone else 1440, "height": 844})

    page.reload()
    assert page.input_value("#rd") == "abc"
    assert page.locator("input[name=place]:checked").input_value() == "E"
    page.go_back()
    assert page.url == f"{origin}/library/practice/1"
    assert page.input_value("#rd") == "" and not page.locator("#at_field").count()
    page.go_forward()
    assert page.input_value("#rd") == "abc"
    assert len(forms) == 1
    page.fill("#rd", "about 0,2")
    page.get_by_role("button", name="Measure").click()
    page.wait_for_selector("#answer1")
    assert "You expected about 0,2 V." in page.locator("#answer1").inner_text()
    page.go_back()
    assert not page.locator("#at_field").count()
    assert len(forms) == 2 and PracticeTest.objects.count() == 1


def test_in_find_back_and_loading_again_ask_nothing(opened, van, tablet):  # noqa: F811
    browser, page, origin = tablet
    page.goto(f"{origin}/jobs/117")
    page.goto(f"{origin}/jobs/117/find")
    forms = sent(page)
    page.locator("summary", has_text="Another test").click()
    page.locator("#other label.btn:has(input[value='E'])").click()
    assert page.locator("#other [data-put]").inner_text().startswith("E, ")
    page.fill("#o_text", "abc")
    page.locator("form[data-keep='Another test'] button").click()
    page.wait_for_selector("#o_text[aria-invalid]")
    browser.shoot(page, "find-refused")
    page.set_viewport_size({"width": 390, "height": 844})
    page.reload()
    assert page.input_value("#o_text") == "abc"
    assert page.locator("#other [name=place]:checked").input_value() == "E"
    assert len(forms) == 1
    page.fill("#o_text", "2.9")
    page.locator("form[data-keep='Another test'] button").click()
    page.wait_for_selector("#readings b:has-text('2.9 V')")
    page.go_back()
    assert page.url == f"{origin}/jobs/117"
    assert len(forms) == 2 and Reading.objects.get(job=van).text == "2.9"


def test_what_was_said_of_a_choice_goes_once_it_is_chosen(cast, case, tablet):  # noqa: F811
    _, page, origin = tablet
    practise(cast.browser(cast.on_it), "begin")
    said = page.locator("#at_field")
    spoken = page.locator("[aria-describedby=at_field], [aria-invalid]")

    def mends(sends, *chooses):
        page.locator(sends).click()
        page.wait_for_selector("#at_field")
        assert spoken.count() == 1
        for choose in chooses[:-1]:
            choose()
            assert said.count() == 1  # that was another field
        chooses[-1]()
        assert said.count() == 0 and spoken.count() == 0

    page.goto(f"{origin}/library/practice/1?kind=volts#next")
    page.fill("#rd", "7")
    mends(
        "#next .erow button",
        lambda: page.select_option("#to", "A"),
        lambda: page.locator("label.btn:has(input[value='E'])").first.click(),
    )
    page.goto(f"{origin}/library/practice/1?kind=volts#next")
    page.fill("#rd", "7")
    mends("#next .erow button", lambda: page.locator(".pts input").first.press("e"))
    assert page.locator(".pts :checked").get_attribute("value") == "E"
    page.goto(f"{origin}/library/practice/1?kind=look#next")
    page.locator(".pts label").first.click()
    mends("#next button.act", lambda: page.locator(".exp label").first.click())
    page.locator("#name > details > summary").first.click()
    mends(
        "#name form button.act",
        lambda: page.locator(".cau summary").first.click(),
        lambda: page.locator(".cau details[open] label").first.click(),
    )
    mends("#name form button.act", lambda: page.select_option("#repair", index=1))
    for number in (1, 2):
        page.select_option(f"#rank{number}", "G7")
    mends("#ranking button", lambda: page.select_option("#rank2", "S9"))


def test_in_find_what_was_said_of_a_choice_goes_once_it_is_chosen(opened, van, tablet):  # noqa: F811
    _, page, origin = tablet
    page.goto(f"{origin}/jobs/117/find?kind=look#other")
    page.locator("#other .exp label").first.click()
    page.locator("#other form button").click()
    page.wait_for_selector("#other #at_field")
    assert "No part was chosen." in page.locator("#at_field").inner_text()
    assert page.locator("#other [name=outcome]:checked").count() == 1
    page.locator("#other .pts label", has_text="G7").click()
    assert not page.locator("#at_field, [aria-describedby=at_field], [aria-invalid]").count()
    page.locator("#other form button").click()
    page.wait_for_selector("#readings tbody tr")
    assert Reading.objects.get(job=van).key == "look G7"
