"""Fixtures of the web tests: the given time, and the cast in its shop."""

from datetime import time, timedelta
from uuid import uuid4

import pytest

from tests.web.browser import watched
from tests.web.cast import LEARNER_PIN, PASSWORD, PROCEDURE, TEACHER_PIN, TUESDAY, Cast
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.people import add_learner, add_section, open_device
from witnessmark.record.acts.school import add_bay, add_periods, put_in_library, start_shop
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.acts.steps import assign_crew
from witnessmark.shop import clock
from witnessmark.shop.periods import WeeklyPeriod


@pytest.fixture
def given_time():
    with clock.at(TUESDAY):
        yield TUESDAY


@pytest.fixture
def cast(db, given_time) -> Cast:
    """Return a shop with one teacher, one section, two learners and one open device."""
    _, teacher = start_shop(
        uuid4(),
        name="Skerry Point Technical School",
        units="metric",
        zone="UTC",
        teacher_name="R. Aldane",
        handle="aldane",
        password=PASSWORD,
        pin=TEACHER_PIN,
    )
    by = By(person=teacher)
    section = add_section(by, uuid4(), name="Section 2")
    on_it, not_on_it = (
        add_learner(by, uuid4(), name=name, section=section, pin=LEARNER_PIN)
        for name in ("Isla", "Mika")
    )
    add_bay(by, uuid4(), name="1")
    add_periods(
        by,
        uuid4(),
        pattern=[
            WeeklyPeriod(
                weekday=1, number=3, start=time(10, 40), end=time(12), section_id=section.pk
            )
        ],
        first=TUESDAY.date(),
    )
    device, token = open_device(
        by, uuid4(), name="Shop tablet 2", section=section, until=TUESDAY.replace(hour=12)
    )
    return Cast(teacher, section, on_it, not_on_it, device, token)


@pytest.fixture(autouse=True)
def quick_hashes(settings):
    """Hash quickly: the real hash is slow on purpose, and dozens of tests sign in."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def job(cast, settings, tmp_path):
    """Return a job with three steps, open for work, its crew the one learner who is on it."""
    settings.MEDIA_ROOT = tmp_path
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="procedure", text=PROCEDURE, name="thermostat")
    one = open_job(
        by,
        uuid4(),
        number=114,
        section=cast.section,
        complaint="Gauge climbs on the harbour hill.",
        intake=Intake(
            vehicle="Library bus",
            make="Corran",
            owner_name="Harbour library",
            owner_phone="555 0142",
            promised=TUESDAY + timedelta(days=10),
        ),
    )
    assign_crew(by, uuid4(), job=one, people=[cast.on_it])
    choose_procedure(by, uuid4(), job=one, item=item)
    return start_work(by, uuid4(), job=one)


@pytest.fixture
def circuit_page(transactional_db, cast, live_server):
    """Open the page on which a circuit is entered, in a browser that is signed in."""
    signed_in = cast.browser(cast.teacher).cookies.items()
    with watched(live_server.url) as browser:
        browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        page = browser.page()
        page.goto(f"{live_server.url}/library/circuit")
        yield browser, page
        page.wait_for_load_state("networkidle")  # what is still being looked through comes back
