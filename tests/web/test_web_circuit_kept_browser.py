"""A circuit that is being entered is kept: left, signed out, cut off, or at rest."""

import pytest
from playwright.sync_api import expect

from tests.web.cast import PASSWORD
from tests.web.keys import Keys
from witnessmark.shop.models import CircuitDraft

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_sheet_that_is_left_by_a_link_stands_in_the_list_of_the_next_page(circuit_page):
    _, page = circuit_page
    page.locator("[name='head.name']").fill("Corran 40, horn")
    page.get_by_role("link", name="Library").first.click()
    page.wait_for_url("**/library")
    expect(page.get_by_text("Corran 40, horn")).to_be_visible()


def test_a_link_is_followed_though_the_shops_machine_does_not_answer(circuit_page):
    browser, page = circuit_page
    held = []
    page.route("**/library/circuit/look", lambda route: held.append(route))
    page.locator("[name='head.name']").fill("Corran 40, horn")
    page.get_by_role("link", name="Library").first.click()
    page.wait_for_url("**/library", timeout=20_000)
    browser.complaints.clear()


def sign_in_again(browser, page, cast):
    """Sign in in another tab; the first one stays as it is."""
    door = browser.page()
    door.goto(page.url.replace("/library/circuit", "/signin"))
    door.locator("[name=handle]").fill(cast.teacher.handle)
    door.locator("[name=password]").fill(PASSWORD)
    door.get_by_role("button", name="leave it closed").click()
    door.wait_for_url(lambda url: "/signin" not in url)
    door.close()


@pytest.mark.parametrize("goes_on", ["typing", "leaving"])
def test_who_is_signed_out_stays_and_goes_on_when_signed_in_again(circuit_page, cast, goes_on):
    browser, page = circuit_page
    browser.context.clear_cookies(name="sessionid")
    name, said = page.locator("[name='head.name']"), page.locator("#signedout")
    library = page.get_by_role("link", name="Library").first
    name.fill("Corran 40, horn")
    library.click()
    expect(said).to_be_visible()
    expect(said).to_be_in_viewport()
    page.wait_for_timeout(2500)  # longer than a link waits for an answer
    assert page.url.endswith("/library/circuit")
    expect(name).to_have_value("Corran 40, horn")
    assert not CircuitDraft.objects.exists()
    sign_in_again(browser, page, cast)
    if goes_on == "typing":
        page.locator("[name='head.source']").fill("page 9")
        Keys(page).press("Tab")
        expect(said).to_be_hidden()
        expect(page.locator("#side")).not_to_contain_text("There is no source")
    library.click()
    page.wait_for_url("**/library")
    expect(page.get_by_text("Corran 40, horn")).to_be_visible()
    browser.complaints.clear()  # the console tells of the token of the time before


def test_what_another_device_kept_meanwhile_does_not_lose_what_was_typed_here(circuit_page):
    browser, page = circuit_page
    page.locator("[name='head.name']").fill("Corran 40, horn")
    page.get_by_role("button", name="Keep it half done").first.click()
    expect(page.get_by_text("Kept half done. Go on when you like.")).to_be_visible()
    CircuitDraft.objects.update(text="# of another device", digest="0" * 64)
    page.locator("[name='head.source']").fill("page 9")
    page.get_by_role("link", name="Library").first.click()
    second = page.get_by_role("button", name="Keep mine as a second sheet")
    expect(second).to_be_visible()
    expect(page.locator("[name='head.source']")).to_have_value("page 9")
    second.click()
    expect(page.get_by_text("Kept half done. Go on when you like.")).to_be_visible()
    assert "page 9" in "".join(CircuitDraft.objects.values_list("text", flat=True))
    browser.complaints.clear()  # the console tells of the refusal


def test_a_change_typed_while_signed_out_stays_on_the_page(circuit_page):
    browser, page = circuit_page
    browser.context.clear_cookies(name="sessionid")
    page.locator("[name='head.name']").fill("Corran 40, horn")
    Keys(page).press("Tab")
    expect(page.locator("#signedout")).to_be_visible()
    assert page.url.endswith("/library/circuit")
    expect(page.locator("[name='head.name']")).to_have_value("Corran 40, horn")


def test_what_was_typed_is_kept_when_the_page_is_left(circuit_page):
    _, page = circuit_page
    page.locator("[name='head.name']").fill("Corran 40, horn")
    keys = Keys(page)
    keys.press("Tab")
    with page.expect_response(lambda one: "keep=1" in (one.request.post_data or "")) as answered:
        page.evaluate(
            "Object.defineProperty(document, 'visibilityState', {value: 'hidden'});"
            "document.dispatchEvent(new Event('visibilitychange'))"
        )
    assert answered.value.ok
    assert CircuitDraft.objects.get().title == "Corran 40, horn"


def test_a_shop_machine_that_does_not_answer_is_said_and_nothing_typed_is_lost(circuit_page):
    browser, page = circuit_page
    page.route("**/library/circuit/look", lambda route: route.abort())
    page.locator("[name='head.name']").fill("Corran 40, horn")
    Keys(page).press("Tab")
    expect(page.locator("#unreached")).to_be_visible()
    page.unroute("**/library/circuit/look")
    page.locator("[name='head.source']").fill("page 9")
    Keys(page).press("Tab")
    expect(page.locator("#unreached")).to_be_hidden()
    expect(page.locator("[name='head.name']")).to_have_value("Corran 40, horn")
    browser.complaints.clear()  # the console tells of the request that was cut off on purpose


def test_what_was_typed_is_kept_while_the_hands_rest(circuit_page):
    _, page = circuit_page
    page.clock.install()
    page.reload()
    keys = Keys(page)
    keys.to("r1.name")
    for text in ("F1", "fuse", "battery +", "after F1", "20 A"):
        keys.type(text)
        keys.press("Tab")
    page.clock.run_for(1000)
    expect(page.locator("#points option[value='after F1']")).to_have_count(1)
    assert not CircuitDraft.objects.exists()
    page.clock.run_for(25_000)
    expect(page.get_by_text("Kept half done by")).to_be_visible()
    assert 'name = "F1"' in CircuitDraft.objects.get().text
