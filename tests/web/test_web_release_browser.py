"""Steps and Release in a browser: three widths, large targets, the PIN pad, the dark look."""

from datetime import timedelta
from uuid import uuid4

import pytest

from tests.web.bench import do_first_step, do_second_step, send, shown_digest
from tests.web.browser import watched
from tests.web.cast import PROCEDURE, TEACHER_PIN, TUESDAY
from witnessmark.record.acts.by import By
from witnessmark.record.acts.causes import name_cause, write_correction
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.marks import mark_cause
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.core import load
from witnessmark.record.models import Job, Reading, Release
from witnessmark.work.digest import digest

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SMALL_TARGETS = """
() => [...document.querySelectorAll('main a, main button, main select, main input, main summary')]
  .filter(one => one.offsetParent !== null && one.type !== 'hidden')
  .map(one => [one, (one.closest('.fld, .entry') || one).getBoundingClientRect()])
  .filter(([one, box]) => box.width > 5 && (box.height < 47.5 || box.width < 47.5))
  .map(([one, box]) => `${one.tagName} ${one.textContent.trim()} ${box.width}x${box.height}`)
"""
FORGOTTEN = PROCEDURE.replace('[[steps.on]]\nkey = "housing-bolt"\n', "").replace(
    'title = "Thermostat housing"', 'title = "Thermostat, bolts forgotten"'
)


@pytest.fixture
def browser(transactional_db, cast, job, live_server):
    """Return a watched browser in which the teacher is signed in."""
    signed_in = cast.browser(cast.teacher).cookies.items()
    with watched(live_server.url) as open_browser:
        open_browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        yield open_browser


def has_large_targets(page) -> bool:
    small = []
    for width in (1440, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        small += page.evaluate(SMALL_TARGETS)
    assert small == []
    return True


def make_ready(cast, job) -> None:
    """Do everything that the gate asks for, but the signature."""
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    signed = {"digest": shown_digest(), "who": str(cast.teacher.pk), "pin": TEACHER_PIN}
    send(crew, 2, "mark", **signed)
    send(crew, 3, "start")
    send(crew, 3, "finish")
    by = By(person=cast.on_it, device=cast.device)
    readings = list(Reading.objects.filter(job=job, position="1"))
    cause = name_cause(
        by, uuid4(), job=job, statement="Thermostat stuck.", how="evidence", readings=readings
    )
    mark_cause(
        by,
        uuid4(),
        cause=cause,
        shown_digest=digest(load(job).cause_form(cause)),
        teacher=cast.teacher,
        pin=TEACHER_PIN,
    )
    write_correction(by, uuid4(), job=job, words="New thermostat, gauge steady on the hill.")


def test_a_procedure_is_chosen_and_its_mistake_is_shown_at_the_step(browser, cast, live_server):
    by = By(person=cast.teacher)
    put_in_library(by, uuid4(), kind="procedure", text=FORGOTTEN, name="forgotten")
    promised = TUESDAY + timedelta(days=9)
    intake = Intake(
        vehicle="Van", owner_name="Harbour library", owner_phone="555", promised=promised
    )
    open_job(by, uuid4(), number=120, intake=intake, complaint="Runs cold.", section=cast.section)
    page = browser.page()
    page.goto(f"{live_server.url}/jobs/120/steps")
    assert has_large_targets(page)
    browser.shoot(page, "steps-choose")

    row = page.locator("li.join", has_text="bolts forgotten")
    row.get_by_role("button", name="Choose").click()
    page.wait_for_selector("text=1 to mend")
    assert page.get_by_role("button", name="Start work").is_disabled()
    assert has_large_targets(page)
    browser.shoot(page, "steps")


def test_a_shut_gate_at_every_width(browser, cast, job, live_server):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    page = browser.page()
    page.goto(f"{live_server.url}/jobs/114/release")

    assert page.get_by_role("button", name="Sign and release").is_disabled()
    assert has_large_targets(page)
    browser.shoot(page, "release-shut")


def test_the_teacher_signs_with_the_pad_and_the_paper_is_no_preview_any_more(
    browser, cast, job, live_server
):
    make_ready(cast, job)
    page = browser.page()
    page.goto(f"{live_server.url}/jobs/114/release")
    assert page.get_by_text("Preview. Not valid until signed.").is_visible()
    browser.shoot(page, "release")
    page.set_viewport_size({"width": 390, "height": 844})
    for figure in TEACHER_PIN:
        page.locator(f'[data-figure="{figure}"]').click()
    page.get_by_role("button", name="Sign and release").click()
    page.wait_for_selector("text=Released to the owner")

    assert Release.objects.get().kind == "owner"
    assert Job.objects.get(number=114).closed_at is not None
    assert page.get_by_text("Preview. Not valid until signed.").count() == 0
    browser.shoot(page, "release-signed")
    page.emulate_media(color_scheme="dark")
    browser.shoot(page, "release-dark")
    page.emulate_media(media="print", color_scheme="light")
    page.set_viewport_size({"width": 760, "height": 1000})
    assert page.locator(".gate").is_hidden()
    assert page.locator(".paper").is_visible()
