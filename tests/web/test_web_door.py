"""Signing in: names only on an open device, PINs that are slow to guess, doors that close."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client

from tests.web.cast import LEARNER_PIN, PASSWORD, TEACHER_PIN
from witnessmark.log.models import Entry
from witnessmark.people.models import Device
from witnessmark.shop import clock

STARTED = {
    "name": "Harbour Lane School",
    "units": "inch",
    "zone": "America/Halifax",
    "paper": "Letter",
    "teacher_name": "M. Corse",
    "handle": "corse",
    "password": "four quiet gasket rings",
    "pin": "8052",
}


@pytest.mark.django_db
def test_an_empty_shop_asks_for_itself_and_opens_for_its_first_teacher():
    browser = Client()
    assert browser.get("/jobs").headers["Location"] == "/start"
    assert browser.get("/start").status_code == 200
    sent = STARTED | {"id": str(uuid4())}
    assert browser.post("/start", sent).headers["Location"] == "/jobs"
    assert browser.get("/signin/me").status_code == 200
    assert browser.get("/start").headers["Location"] == "/"  # never a second time
    stranger = Client()
    assert stranger.post("/start", STARTED | {"id": str(uuid4())}).headers["Location"] == "/"


@pytest.mark.django_db
def test_a_refused_start_keeps_what_was_typed_but_not_the_secrets():
    answer = Client().post("/start", STARTED | {"id": str(uuid4()), "pin": "1234"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "run straight up or down" in page
    assert "Harbour Lane School" in page
    assert "1234" not in page and STARTED["password"] not in page


def test_names_stand_only_on_an_open_device(cast):
    closed = cast.browser().get("/signin").content.decode()
    assert "This device is closed" in closed
    assert "Isla" not in closed
    tablet = Client()
    tablet.cookies["device"] = cast.token
    assert "Isla" in tablet.get("/signin").content.decode()
    with clock.at(cast.device.until + timedelta(minutes=1)):
        assert "Isla" not in tablet.get("/signin").content.decode()


def test_a_teacher_opens_a_device_for_a_section_and_nobody_is_signed_in_by_it(cast):
    browser = cast.browser()
    sent = {
        "id": str(uuid4()),
        "handle": "aldane",
        "password": PASSWORD,
        "device": "Shop tablet 5",
        "section": str(cast.section.pk),
        "for": "period",
    }
    assert browser.post("/signin/open", sent).headers["Location"] == "/signin"
    device = Device.objects.get(name="Shop tablet 5")
    assert device.until == clock.now().replace(hour=12, minute=0)
    assert "Mika" in browser.get("/signin").content.decode()
    assert browser.get("/jobs").status_code == 302


def test_a_wrong_password_opens_nothing(cast):
    browser = cast.browser()
    sent = {"id": str(uuid4()), "handle": "aldane", "password": "guess", "device": "Mine"}
    answer = browser.post("/signin/open", sent | {"section": str(cast.section.pk)})
    assert answer.status_code == 422
    assert "That is not right" in answer.content.decode()
    assert not Device.objects.filter(name="Mine").exists()


def test_a_learner_signs_in_with_a_pin_and_out_again(cast):
    browser = cast.browser(cast.on_it)
    assert "Isla" in browser.get("/signin/me").content.decode()
    browser.post("/signin/me")
    assert browser.get("/signin/me").headers["Location"] == "/signin"


def test_a_learner_is_out_when_the_device_closes(cast):
    browser = cast.browser(cast.on_it)
    with clock.at(cast.device.until + timedelta(minutes=1)):
        assert browser.get("/jobs").headers["Location"].startswith("/signin")


def test_a_learner_cannot_sign_in_where_no_device_is_open(cast):
    answer = cast.browser().post(f"/signin/who/{cast.on_it.pk}", {"pin": LEARNER_PIN})
    assert answer.status_code == 404


def test_guessing_a_pin_makes_one_wait(cast):
    tablet = Client()
    tablet.cookies["device"] = cast.token
    for _ in range(5):
        answer = tablet.post(f"/signin/who/{cast.on_it.pk}", {"pin": "9999"})
    assert answer.status_code == 422
    assert "Too many wrong tries. Wait" in answer.content.decode()
    assert tablet.post(f"/signin/who/{cast.on_it.pk}", {"pin": LEARNER_PIN}).status_code == 422


def test_only_a_teachers_pin_closes_a_device(cast):
    tablet = cast.browser(cast.on_it)
    sent = {"who": str(cast.teacher.pk), "id": str(uuid4())}
    assert tablet.post("/signin/close", sent | {"pin": LEARNER_PIN}).status_code == 422
    cast.device.refresh_from_db()
    assert cast.device.closed_at is None
    assert tablet.post("/signin/close", sent | {"pin": TEACHER_PIN}).status_code == 302
    cast.device.refresh_from_db()
    assert cast.device.closed_at is not None
    assert "This device is closed" in tablet.get("/signin").content.decode()


@pytest.mark.parametrize("page", ["/signin", "/signin/password", "/signin/close", "/signin/me"])
def test_looking_at_a_page_changes_nothing(cast, page):
    before = Entry.objects.count()
    tablet = cast.browser(cast.on_it)
    assert tablet.get(page).status_code == 200
    assert Entry.objects.count() == before


def test_the_way_back_after_signing_in_stays_inside_the_shop(cast):
    browser = cast.browser()
    sent = {"handle": "aldane", "password": PASSWORD, "next": "https://elsewhere.example/"}
    assert browser.post("/signin/password", sent).headers["Location"] == "/"


@pytest.mark.parametrize("page", ["/signin", "/static/witnessmark/app.js", "/nowhere"])
def test_every_answer_carries_the_policy(cast, page):
    policy = cast.browser().get(page).headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
