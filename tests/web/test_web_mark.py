"""The teacher's mark: bound to what was shown, signed by a teacher's PIN and nobody else's."""

from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.web.bench import do_first_step, do_second_step, reading, send, shown_digest
from tests.web.cast import LEARNER_PIN, TEACHER_PIN, picture
from witnessmark.people.models import Guess
from witnessmark.record.acts.by import By
from witnessmark.record.acts.causes import name_cause
from witnessmark.record.models import Mark, Note, Photo, Refusal


@pytest.fixture
def ready(cast, job):
    """Return the crew's browser, with step 2 ready to be marked."""
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    return crew


def mark(browser, cast, **typed):
    signed = {"digest": shown_digest(), "who": str(cast.teacher.pk), "pin": TEACHER_PIN}
    return send(browser, 2, "mark", **{**signed, **typed})


def correct(browser, text):
    page = f"/jobs/114/reading/{reading('1').pk}/correct"
    return browser.post(page, {"id": str(uuid4()), "text": text, "reason": "Measured again"})


def test_everything_that_is_marked_stands_in_front_of_the_pin(ready):
    page = ready.get("/jobs/114/step/2/mark").content.decode()
    for seen in ("24 N·m", "25 N·m", "20 to 30 N·m", "invented for the tests", "<img", "back on"):
        assert seen in page
    assert shown_digest()[:4] in page and shown_digest() in page


def test_the_teacher_marks_on_the_learners_device_and_is_not_signed_in_by_it(ready, cast):
    assert mark(ready, cast).status_code == 302
    made = Mark.objects.get()
    assert made.by == cast.teacher and made.device == cast.device
    assert not made.same_person
    assert "Isla" in ready.get("/signin/me").content.decode()
    page = ready.get("/jobs/114").content.decode()
    assert 'aria-label="Mark, whole"' in page


@pytest.mark.parametrize("pin", [LEARNER_PIN, "", "0000"])
def test_another_pin_marks_nothing_and_is_written_down(ready, cast, pin):
    assert mark(ready, cast, pin=pin).status_code == 403
    assert not Mark.objects.exists()
    assert Refusal.objects.exists()


def test_a_learner_cannot_sign_in_their_own_name(ready, cast):
    assert mark(ready, cast, who=str(cast.on_it.pk), pin=LEARNER_PIN).status_code == 403
    assert not Mark.objects.exists()
    assert Refusal.objects.get().who == cast.on_it


def test_what_changed_meanwhile_is_shown_and_nothing_is_signed(ready, cast):
    seen = shown_digest()
    correct(ready, "27")
    answer = mark(ready, cast, digest=seen)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Not marked." in page
    assert "<s>24 N·m</s>" in page and "<b>27 N·m</b>" in page
    assert not Mark.objects.exists()
    assert not Guess.objects.filter(subject=f"person:{cast.teacher.pk}", wrong__gt=0).exists()


def test_the_same_mark_sent_twice_is_one(ready, cast):
    id = str(uuid4())
    assert [mark(ready, cast, id=id).status_code for _ in range(2)] == [302, 302]
    assert Mark.objects.count() == 1


def test_a_changed_reading_breaks_the_mark_and_says_so(ready, cast):
    mark(ready, cast)
    page = ready.get(f"/jobs/114/reading/{reading('1').pk}/correct").content.decode()
    assert "This breaks a mark." in page
    correct(ready, "21")
    job = ready.get("/jobs/114").content.decode()
    assert 'class="join broken"' in job and 'role="alert"' in job
    assert "Housing bolt 1 was marked at 24 N·m." in job and "by Isla" in job


def test_a_new_photo_breaks_the_mark_too(ready, cast):
    mark(ready, cast)
    photo = SimpleUploadedFile("p.jpg", picture("red"), "image/jpeg")
    send(ready, 2, "photo", photo=photo)
    assert 'aria-label="Mark, broken"' in ready.get("/jobs/114").content.decode()


def test_setting_the_value_back_does_not_heal_it_and_seeing_it_again_does(ready, cast):
    mark(ready, cast)
    correct(ready, "21")
    correct(ready, "24")
    assert 'aria-label="Mark, broken"' in ready.get("/jobs/114").content.decode()
    assert mark(ready, cast).status_code == 302
    page = ready.get("/jobs/114").content.decode()
    assert 'aria-label="Marked again"' in page and 'class="join broken"' not in page


def test_not_yet_says_what_is_missing_with_the_teachers_pin(ready, cast):
    said = {"act": "not yet", "missing": "Bolt 2 again, please."}
    assert mark(ready, cast, pin=LEARNER_PIN, **said).status_code == 422
    assert not Note.objects.exists()
    assert mark(ready, cast, **said).status_code == 302
    page = ready.get("/jobs/114/step/2").content.decode()
    assert "Bolt 2 again, please." in page
    assert "Called 11:12" not in ready.get("/jobs/114").content.decode()


def test_a_teacher_who_did_the_work_marks_it_as_the_same_person(cast, job):
    teacher = cast.browser(cast.teacher)
    do_first_step(teacher)
    do_second_step(teacher)
    assert mark(teacher, cast).status_code == 302
    assert Mark.objects.get().same_person
    assert "same person" in teacher.get("/jobs/114").content.decode()


def test_a_stranger_finds_no_page_to_mark_on(cast, ready):
    assert mark(cast.browser(cast.not_on_it), cast).status_code == 404


def test_the_cause_is_marked_with_what_proves_it(cast, job, ready):
    photo = Photo.objects.get()
    cause = name_cause(
        By(person=cast.on_it),
        uuid4(),
        job=job,
        statement="Housing gasket torn.",
        how="evidence",
        photos=[photo],
    )
    page = ready.get("/jobs/114/cause/mark")
    assert "Housing gasket torn." in page.content.decode()
    typed = {
        "id": str(uuid4()),
        "digest": page.context["digest"],
        "who": str(cast.teacher.pk),
        "pin": TEACHER_PIN,
    }
    assert ready.post("/jobs/114/cause/mark", typed | {"pin": "0000"}).status_code == 403
    assert ready.post("/jobs/114/cause/mark", typed).status_code == 302
    assert Mark.objects.get(subject_id=cause.pk).by == cast.teacher
    assert "marked R. Aldane" in ready.get("/jobs/114").content.decode()
    assert cast.browser(cast.not_on_it).get("/jobs/114/cause/mark").status_code == 404


def test_what_is_outside_its_limit_is_said_before_the_pin(ready):
    assert "Outside:" not in ready.get("/jobs/114/step/2/mark").content.decode()
    correct(ready, "61")
    page = ready.get("/jobs/114/step/2/mark").content.decode()
    assert page.index("Outside:") < page.index("PIN, 4 to 8 figures")


def test_only_instruments_of_the_readings_unit_are_offered(ready, cast):
    from witnessmark.record.acts.school import add_instrument

    by = By(person=cast.teacher)
    for name, kind, resolution in (("Wrench 9", "wrench", "1 N·m"), ("Jug 1", "jug", "0.1 L")):
        add_instrument(by, uuid4(), name=name, kind=kind, resolution=resolution)
    page = ready.get(f"/jobs/114/reading/{reading('1').pk}/correct").content.decode()
    assert "Wrench 9" in page
    assert "Jug 1" not in page
