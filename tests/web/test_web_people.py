"""People: permits by PIN, learners added, PINs renewed, devices closed."""

from uuid import uuid4

import pytest

from tests.web.cast import LEARNER_PIN, TEACHER_PIN
from witnessmark.people import permits
from witnessmark.people.models import Permit, Person, Section
from witnessmark.record.verify import verify_record


@pytest.fixture
def asked(cast):
    return {
        "id": str(uuid4()),
        "section": str(cast.section.pk),
        "who": str(cast.on_it.pk),
        "kind": "press",
        "level": "beside",
        "pin": TEACHER_PIN,
    }


def test_a_permit_is_signed_with_the_teachers_pin(cast, asked):
    teacher = cast.browser(cast.teacher)
    assert teacher.post("/people", asked).status_code == 302
    assert permits.level(cast.on_it.pk, "press") == "beside"
    page = teacher.get(f"/people?who={cast.on_it.pk}&kind=press").content.decode()
    assert "With teacher beside" in page


def test_a_permit_is_taken_back_and_the_record_stays(cast, asked):
    teacher = cast.browser(cast.teacher)
    teacher.post("/people", asked)
    teacher.post("/people", asked | {"id": str(uuid4()), "level": "none"})
    assert permits.level(cast.on_it.pk, "press") == "none"
    assert Permit.objects.count() == 2


def test_a_wrong_pin_gives_no_permit(cast, asked):
    answer = cast.browser(cast.teacher).post("/people", asked | {"pin": LEARNER_PIN})
    assert answer.status_code in (403, 422)
    assert "not the PIN" in answer.content.decode()
    assert not Permit.objects.exists()


def test_the_same_permit_sent_twice_is_one(cast, asked):
    teacher = cast.browser(cast.teacher)
    assert [teacher.post("/people", asked).status_code for _ in range(2)] == [302, 302]
    assert Permit.objects.count() == 1


def test_a_learner_gives_no_permit(cast, asked):
    assert cast.browser(cast.on_it).post("/people", asked).status_code == 403
    assert not Permit.objects.exists()


def test_a_section_and_its_learners_are_added(cast):
    teacher = cast.browser(cast.teacher)
    teacher.post("/people/here", {"id": str(uuid4()), "add": "section", "name": "Section 5"})
    section = Section.objects.get(name="Section 5")
    sent = {"id": str(uuid4()), "add": "learner", "name": "Joss", "pin": "5937"}
    answer = teacher.post("/people/here", sent | {"section": str(section.pk)}, follow=True)
    assert "Joss is added." in answer.content.decode()
    assert Person.objects.get(name="Joss").memberships.get().section == section


def test_a_guessable_pin_is_refused_and_the_name_stays(cast):
    sent = {"id": str(uuid4()), "add": "learner", "name": "Priya", "pin": "4444"}
    answer = cast.browser(cast.teacher).post(
        "/people/here", sent | {"section": str(cast.section.pk)}
    )
    assert answer.status_code == 422
    assert "All digits of this PIN are the same." in answer.content.decode()
    assert 'value="Priya"' in answer.content.decode()
    assert not Person.objects.filter(name="Priya").exists()


def test_a_new_pin_replaces_the_old_one(cast):
    page = f"/people/here/{cast.on_it.pk}"
    sent = {"id": str(uuid4()), "act": "pin", "pin": "6174"}
    assert cast.browser(cast.teacher).post(page, sent).status_code == 302
    tablet = cast.browser()
    tablet.cookies["device"] = cast.token
    door = f"/signin/who/{cast.on_it.pk}"
    assert tablet.post(door, {"pin": LEARNER_PIN}).status_code == 422
    assert tablet.post(door, {"pin": "6174"}).status_code == 302


def test_who_left_cannot_sign_in(cast):
    learner = cast.browser(cast.on_it)
    page = f"/people/here/{cast.on_it.pk}"
    cast.browser(cast.teacher).post(page, {"id": str(uuid4()), "act": "leave"})
    assert learner.get("/jobs").headers["Location"].startswith("/signin")


def test_a_device_that_was_left_behind_is_closed_from_afar(cast):
    learner = cast.browser(cast.on_it)
    page = f"/people/devices/{cast.device.pk}/close"
    assert cast.browser(cast.teacher).post(page, {"id": str(uuid4())}).status_code == 302
    assert learner.get("/jobs").headers["Location"].startswith("/signin")


def test_a_person_is_erased_only_by_typing_the_name_and_the_record_holds(cast):
    page = f"/people/here/{cast.on_it.pk}"
    name = cast.on_it.name
    teacher = cast.browser(cast.teacher)
    wrong = teacher.post(page, {"id": str(uuid4()), "act": "erase", "typed": "somebody"})
    assert wrong.status_code == 422
    assert "does not match" in wrong.content.decode()
    assert Person.objects.filter(name=name).exists()
    teacher.post(page, {"id": str(uuid4()), "act": "erase", "typed": name, "photos": "1"})
    assert not Person.objects.filter(name=name).exists()
    assert verify_record() == ()


def test_a_learner_cannot_erase_anybody(cast):
    page = f"/people/here/{cast.teacher.pk}"
    answer = cast.browser(cast.on_it).post(
        page, {"id": str(uuid4()), "act": "erase", "typed": cast.teacher.name}
    )
    assert answer.status_code in {403, 404}
    assert Person.objects.filter(pk=cast.teacher.pk, erased_at=None).exists()
