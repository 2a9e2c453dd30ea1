"""The screens in a browser: a crew's way through a step, a lost connection, no script at all."""

import pytest

from tests.web.bench import do_first_step, do_second_step, send, shown_digest
from tests.web.browser import WIDTHS, watched
from tests.web.cast import LEARNER_PIN, PASSWORD, TEACHER_PIN, TUESDAY, picture
from witnessmark.record.models import LedgerLine, Mark, Note, Photo, Reading

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SMALL_TARGETS = """
() => [...document.querySelectorAll('main a, main button, main select, main input, main summary')]
  .filter(one => one.offsetParent !== null && one.type !== 'hidden')
  .map(one => [one, (one.closest('.fld, .entry, label') || one).getBoundingClientRect()])
  .filter(([one, box]) => box.width > 8 && (box.height < 47.5 || box.width < 47.5))
  .map(([one, box]) => `${one.tagName} ${one.textContent.trim()} ${box.width}x${box.height}`)
"""


@pytest.fixture
def given_time(settings):
    """Let the shop's clock run from the given time: the server answers in another thread."""
    import time

    settings.CLOCK_OFFSET_SECONDS = TUESDAY.timestamp() - time.time()
    return TUESDAY


@pytest.fixture
def chromium(transactional_db, cast, job, live_server):
    with watched(live_server.url) as browser:
        yield browser


def sign_in(page, origin, cast, person):
    """Sign in as a learner on the shop's tablet, or as the teacher."""
    if person.is_teacher:
        page.goto(f"{origin}/signin/password")
        page.fill("#handle", "aldane")
        page.fill("#password", PASSWORD)
        page.click("form .btn.act")
    else:
        device = {"name": "device", "value": cast.token, "url": origin}
        page.context.add_cookies([device])
        page.goto(f"{origin}/signin")
        page.click(f"text={person.name}")
        press(page, LEARNER_PIN)
        page.click("form .btn.act")
    page.wait_for_url("**/jobs")


def press(page, pin):
    for figure in pin:
        page.click(f"[data-figure='{figure}']")


def test_a_crew_goes_through_a_step_and_the_teacher_marks_it_on_their_device(chromium, cast):
    page, origin = chromium.page(), chromium.origin
    sign_in(page, origin, cast, cast.on_it)
    page.click("text=Library bus")
    page.click("text=Go on with step 1")
    page.check("[name=caution]")
    page.click("text=Start step 1")
    page.fill("[name=place] >> nth=0", "Bag 31")
    page.click("text=Write it down >> nth=0")
    page.wait_for_selector("#ledger:has-text('1 still off')")
    page.click("text=Finish step 1")
    page.goto(f"{origin}/jobs/114/step/2")
    page.click("text=Start step 2")
    for text in ("24,5", "25"):
        page.fill("#text", text)
        page.click("text=Keep this reading")
        page.wait_for_selector(f"#readings li:has-text('{text} N·m')")
    page.set_input_files(
        "[type=file]", {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    page.wait_for_selector("[data-preview]:not([hidden])")
    page.click("text=Keep the photo")
    page.wait_for_selector("#photo figure")
    page.click("text=Put back")
    page.click("button:has-text('Back on')")
    page.wait_for_selector("#ledger:has-text('0 still off')")
    page.click("text=Call the teacher to mark it")
    page.wait_for_selector("text=Called 11:")
    page.click("text=Teacher: look and mark")
    chromium.shoot(page, "mark")
    press(page, TEACHER_PIN)
    page.click("text=Mark step 2")
    page.wait_for_selector("[aria-label='Mark, whole']")
    assert [one.text for one in Reading.objects.order_by("position")] == ["24,5", "25"]
    assert Mark.objects.get().by == cast.teacher
    assert Photo.objects.count() == LedgerLine.objects.count() == 1


def test_an_entry_waits_on_the_device_while_the_connection_is_lost_and_goes_once(chromium, cast):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    send(crew, 2, "start")
    page, origin = chromium.page(), chromium.origin
    sign_in(page, origin, cast, cast.on_it)
    page.goto(f"{origin}/jobs/114/step/2")
    page.context.set_offline(True)
    page.fill("#text", "24,5")
    page.click("text=Keep this reading")
    page.wait_for_selector("#unsent:not([hidden])")
    assert page.inner_text("#unsent .wait b") == "24,5"
    chromium.shoot(page, "offline")
    assert not Reading.objects.exists()
    page.context.set_offline(False)
    page.wait_for_selector("#unsent", state="hidden")
    page.wait_for_selector("#readings li:has-text('24,5 N·m')")
    assert Reading.objects.count() == 1
    assert chromium.complaints
    assert all("ERR_INTERNET_DISCONNECTED" in one for one in chromium.complaints)
    chromium.complaints.clear()


def test_what_waits_is_not_shown_to_the_next_person(chromium, cast):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    page, origin = chromium.page(), chromium.origin
    sign_in(page, origin, cast, cast.on_it)
    page.goto(f"{origin}/jobs/114/step/1")
    page.click("text=Write a note")
    page.context.set_offline(True)
    page.fill("#note", "Mind the hose.")
    page.click("text=Keep the note")
    page.wait_for_selector("#unsent:not([hidden])")
    kept = page.evaluate("sessionStorage.getItem('unsent')")
    page.context.set_offline(False)
    page.wait_for_selector("#unsent", state="hidden")
    page.goto(f"{origin}/signin/me")
    page.click("text=Sign out")
    page.evaluate("kept => sessionStorage.setItem('unsent', kept)", kept)
    sign_in(page, origin, cast, cast.not_on_it)
    assert page.is_hidden("#unsent")
    page.wait_for_timeout(300)
    assert Note.objects.count() == 1
    chromium.complaints.clear()


def test_a_refusal_is_shown_in_the_page_with_what_was_typed(chromium, cast):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    send(crew, 2, "start")
    page, origin = chromium.page(), chromium.origin
    sign_in(page, origin, cast, cast.on_it)
    page.goto(f"{origin}/jobs/114/step/2")
    page.fill("#text", "24 bar")
    page.click("text=Keep this reading")
    page.wait_for_selector("[role=alert]")
    assert page.input_value("#text") == "24 bar"
    assert not Reading.objects.exists()
    assert all("422" in one for one in chromium.complaints)
    chromium.complaints.clear()


def test_everything_a_crew_enters_works_without_a_script(chromium, cast):
    plain = chromium.context.browser.new_context(java_script_enabled=False)
    page, origin = plain.new_page(), chromium.origin
    plain.add_cookies([{"name": "device", "value": cast.token, "url": origin}])
    page.goto(f"{origin}/signin")
    page.click("text=Isla")
    page.fill("[name=pin]", LEARNER_PIN)
    page.click("form .btn.act")
    do_first_step(cast.browser(cast.on_it))
    page.goto(f"{origin}/jobs/114/step/2")
    page.click("text=Start step 2")
    page.fill("#text", "24")
    page.click("text=Keep this reading")
    page.set_input_files(
        "[type=file]", {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    page.click("text=Keep the photo")
    assert Reading.objects.count() == Photo.objects.count() == 1
    plain.close()


def test_no_screen_scrolls_sideways_and_every_target_is_large(chromium, cast):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    signed = {"digest": shown_digest(), "who": str(cast.teacher.pk), "pin": TEACHER_PIN}
    send(crew, 2, "mark", **signed)
    wrong = Reading.objects.get(position="1")
    correct = f"/jobs/114/reading/{wrong.pk}/correct"
    screens = {
        "jobs": "/jobs",
        "job": "/jobs/114",
        "crew": "/jobs/114/crew",
        "ledger": "/jobs/114/ledger",
        "handover": "/jobs/114/handover",
        "step": "/jobs/114/step/2",
        "step-next": "/jobs/114/step/3",
        "correct": correct,
        "people": f"/people?who={cast.on_it.pk}&kind=press",
        "here": "/people/here",
        "devices": "/people/sign-in",
        "shop": "/shop",
        "library": "/library",
        "put-in": "/library/new",
        "intake": "/jobs/new",
        "me": "/signin/me",
    }
    page, origin = chromium.page(), chromium.origin
    sign_in(page, origin, cast, cast.teacher)
    small = {}
    for name, address in screens.items():
        page.goto(origin + address)
        chromium.shoot(page, name)
        for width, height in WIDTHS.values():
            page.set_viewport_size({"width": width, "height": height})
            found = page.evaluate(SMALL_TARGETS)
            if found:
                small[name, width] = found
    assert small == {}


def test_the_dark_look_is_whole(chromium, cast):
    page, origin = chromium.page(), chromium.origin
    page.emulate_media(color_scheme="dark")
    sign_in(page, origin, cast, cast.teacher)
    page.goto(f"{origin}/jobs/114")
    chromium.shoot(page, "job-dark")
    ground = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    assert ground == "rgb(13, 19, 26)"  # the token `ground` of the dark look


def test_what_was_typed_survives_being_signed_out_meanwhile(chromium, cast):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    send(crew, 2, "start")
    page, origin = chromium.page(), chromium.origin
    sign_in(page, origin, cast, cast.on_it)
    page.goto(f"{origin}/jobs/114/step/2")
    page.fill("#text", "24,5")
    page.context.clear_cookies(name="sessionid")
    page.click("text=Keep this reading")
    page.wait_for_url("**/signin**")
    assert not Reading.objects.exists()
    sign_in(page, origin, cast, cast.on_it)
    page.wait_for_selector("#unsent", state="hidden")
    assert Reading.objects.get().text == "24,5"
