"""The owner's page: who sees it, and how a teacher erases an owner after hand-back."""

from uuid import uuid4

import pytest

from tests.web.cast import LEARNER_PIN, PASSWORD, TEACHER_PIN
from witnessmark.log.models import Entry
from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import add_teacher
from witnessmark.record.core import load
from witnessmark.record.models import Job, Owner
from witnessmark.record.verify import verify_record

PAGE = "/jobs/114/owner"


@pytest.fixture
def closed(cast, job):
    """The job, handed back."""
    Job.objects.filter(pk=job.pk).update(closed_at=cast.device.opened_at)
    return job


def erasing(pin=TEACHER_PIN, **more):
    return {"id": str(uuid4()), "pin": pin, **more}


def shown(browser, page=PAGE):
    answer = browser.get(page)
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_owner_is_shown_with_every_visit_and_stays_while_the_vehicle_is_here(cast, job):
    teacher = cast.browser(cast.teacher)
    assert PAGE in shown(teacher, "/jobs/114")
    page = shown(teacher)
    assert "Harbour library" in page and "555 0142" in page and "J-114" in page
    assert "once the vehicle is handed back" in page
    assert "Erase the owner" not in page
    answer = teacher.post(PAGE, erasing())
    assert answer.status_code == 422
    assert "The owner has a vehicle here." in answer.content.decode()


def test_a_teacher_erases_the_owner_by_pin_and_the_record_holds(cast, closed):
    teacher = cast.browser(cast.teacher)
    page = shown(teacher)
    assert "Gone for good:" in page and "Stays:" in page
    answer = teacher.post(PAGE, erasing(), follow=True)
    said = answer.content.decode()
    assert "The owner is erased." in said and "Erased 11:12." in said
    assert "Harbour library" not in said and "Erase the owner" not in said
    owner = Owner.objects.get()
    assert (owner.name, owner.phone) == ("", "")
    assert [row.words for row in load(closed).complaints] == ["(erased)"]
    assert "Harbour library" not in shown(teacher, "/jobs/114/release?for=owner")
    (found,) = verify_record()  # nothing but what the fixture did behind the program's back
    assert "closed_at" in found.what


def test_a_wrong_pin_erases_nothing(cast, closed):
    answer = cast.browser(cast.teacher).post(PAGE, erasing(LEARNER_PIN))
    assert answer.status_code == 422
    assert "That is not the PIN." in answer.content.decode()
    assert Owner.objects.get().name == "Harbour library"


def test_looking_changes_nothing(cast, closed):
    before = Entry.objects.count()
    shown(cast.browser(cast.teacher))
    assert Entry.objects.count() == before


def test_learners_do_not_see_whose_vehicle_it_is(cast, closed):
    for learner in (cast.on_it, cast.not_on_it):
        browser = cast.browser(learner)
        assert browser.get(PAGE).status_code == 403
        assert browser.post(PAGE, erasing(LEARNER_PIN)).status_code == 403
    assert PAGE not in shown(cast.browser(cast.on_it), "/jobs/114")
    assert cast.browser().get(PAGE).headers["Location"].startswith("/signin")
    assert Owner.objects.get().name == "Harbour library"


def test_the_office_sees_the_owner_and_erases_nobody(cast, closed):
    office = add_teacher(
        By(person=cast.teacher),
        uuid4(),
        name="Office",
        handle="office",
        password=PASSWORD,
        pin="4961",
        role="office",
    )
    browser = cast.browser()
    browser.post("/signin/password", {"handle": office.handle, "password": PASSWORD})
    page = shown(browser)
    assert "Harbour library" in page and "Erase the owner" not in page
    assert browser.post(PAGE, erasing("4961")).status_code == 403
    assert Owner.objects.get().name == "Harbour library"


def test_erasing_twice_is_done_once(cast, closed):
    teacher, sent = cast.browser(cast.teacher), erasing()
    assert [teacher.post(PAGE, sent).status_code for _ in range(2)] == [302, 302]
    assert Entry.objects.filter(verb="owner erased").count() == 1
    again = teacher.post(PAGE, erasing())
    assert again.status_code == 422
    assert "This owner is erased already." in again.content.decode()
