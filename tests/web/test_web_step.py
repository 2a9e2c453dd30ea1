"""One step on a phone: cautions, readings, the ledger, photos, the call."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.web.bench import do_first_step, do_second_step, reading, send
from tests.web.cast import led_back, picture
from witnessmark.record.models import Call, LedgerLine, Movement, Note, Photo, Reading, StepEvent


@pytest.fixture
def crew(cast, job):
    return cast.browser(cast.on_it)


def test_a_step_starts_only_when_its_cautions_are_ticked(crew):
    answer = send(crew, 1, "start")
    assert answer.status_code == 422
    assert "caution is not ticked" in answer.content.decode()
    assert send(crew, 1, "start", caution=["COOLANT"]).status_code == 302
    page = crew.get("/jobs/114/step/1").content.decode()
    assert "ticked by Isla 11:12" in page


def test_a_step_waits_for_the_one_before_it(crew):
    page = crew.get("/jobs/114/step/2").content.decode()
    assert "Step 1 comes first." in page
    assert "disabled>Start step 2" in page
    answer = send(crew, 2, "start")
    assert answer.status_code == 422
    assert not StepEvent.objects.filter(what="started").exists()


def test_what_comes_off_stands_in_the_ledger_with_its_bag_until_it_is_back(crew):
    do_first_step(crew)
    assert "Bag 31" in crew.get("/jobs/114").content.decode()
    assert "Still" not in crew.get("/jobs/114/ledger").content.decode()
    assert "still off" in crew.get("/jobs/114/ledger").content.decode()
    send(crew, 2, "start")
    line = LedgerLine.objects.get()
    assert send(crew, 2, "move", line=str(line.pk), kind="back on", quantity="1").status_code == 302
    assert "1 of 2" in crew.get("/jobs/114/ledger").content.decode()
    answer = send(crew, 2, "move", line=str(line.pk), kind="back on", quantity="3")
    assert answer.status_code == 422
    assert "1 is still off" in answer.content.decode()


@pytest.fixture
def drained(crew):
    """The browser, with 4.5 L of coolant drained on step 1, and the line of it."""
    send(crew, 1, "start", caution=["COOLANT"])
    off = {"what": "Coolant", "how": "drained", "quantity": "4.5", "unit": "L", "place": "Drum 2"}
    send(crew, 1, "off", **off)
    return crew, {"line": str(LedgerLine.objects.get().pk), "kind": "refilled"}


def test_more_than_was_drained_is_asked_about_once(drained):
    crew, fill = drained
    answer = send(crew, 1, "move", quantity="6 L", **fill)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "4.5 L were drained, 6 L go in." in page and "Is that right?" in page
    assert 'name="quantity" value="6 L"' in page  # the answer carries what was typed
    assert 'autocomplete="off" value="6 L" data-shown' in page  # and so does the entry
    assert not Movement.objects.exists()
    yes = {"quantity": "6 L", "answered": "4.5 L were drained, 6 L go in.", "id": str(uuid4())}
    assert [send(crew, 1, "move", **fill, **yes).status_code for _ in range(2)] == [302, 302]
    kept = Movement.objects.get()
    assert (kept.quantity, kept.answered) == ("6", "4.5 L were drained, 6 L go in.")
    assert "go in. Said to be right." in crew.get("/jobs/114/ledger").content.decode()
    assert "go in. Said to be right." in crew.get("/jobs/114/step/1/mark").content.decode()


def test_ten_times_what_was_drained_is_refused_and_stays_in_its_field(drained):
    crew, fill = drained
    answer = send(crew, 1, "move", quantity="45", **fill)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "That is 10 times as much, or more." in page
    assert "Yes, that is right" not in page
    assert 'autocomplete="off" value="45" data-shown' in page
    assert send(crew, 1, "move", quantity="4500 mL", **fill).status_code == 302
    assert Movement.objects.get().answered == ""


def test_readings_are_asked_one_after_another_and_judged(crew):
    do_first_step(crew)
    send(crew, 2, "start")
    assert "Housing bolt 1" in crew.get("/jobs/114/step/2").content.decode()
    send(crew, 2, "reading", key="bolt", position="1", text="24,5")
    page = crew.get("/jobs/114/step/2").content.decode()
    assert "24,5 N·m" in page  # as typed
    assert 'class="v within"' in page
    send(crew, 2, "reading", key="bolt", position="2", text="41")
    assert 'class="v outside"' in crew.get("/jobs/114/step/2").content.decode()


@pytest.mark.parametrize("typed", ["about 24", "24 bar", "nan", ""])
def test_a_reading_that_cannot_be_is_refused_and_stays_in_its_field(crew, typed):
    do_first_step(crew)
    send(crew, 2, "start")
    answer = send(crew, 2, "reading", key="bolt", position="1", text=typed)
    assert answer.status_code == 422
    assert f'value="{typed}" required data-shown' in answer.content.decode()
    assert not Reading.objects.exists()


def test_the_same_reading_sent_twice_is_one_even_if_the_second_waited(crew):
    do_first_step(crew)
    send(crew, 2, "start")
    typed = {"id": str(uuid4()), "key": "bolt", "position": "1", "text": "24"}
    assert send(crew, 2, "reading", **typed).status_code == 302
    assert send(crew, 2, "reading", **typed, waited_s="90").status_code == 302
    assert Reading.objects.count() == 1


def test_an_entry_that_waited_for_the_connection_says_when_it_was_done(crew, given_time):
    do_first_step(crew)
    send(crew, 2, "start")
    send(crew, 2, "reading", key="bolt", position="1", text="24", waited_s="300")
    kept = Reading.objects.get()
    assert kept.done_at == given_time - timedelta(minutes=5)
    assert kept.received_at == given_time


def test_a_photo_is_kept_and_shown_to_the_crew_only(cast, crew):
    do_first_step(crew)
    send(crew, 2, "start")
    photo = SimpleUploadedFile("p.jpg", picture(), "image/jpeg")
    assert send(crew, 2, "photo", key="bolts", photo=photo, caption="Both tight").status_code == 302
    kept = Photo.objects.get()
    answer = crew.get(f"/photos/{kept.pk}")
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "image/jpeg"
    assert "immutable" in answer.headers["Cache-Control"]
    answer.close()
    assert crew.get(f"/photos/{kept.pk}/small").status_code == 200
    assert cast.browser(cast.not_on_it).get(f"/photos/{kept.pk}/small").status_code == 404
    assert cast.browser(cast.not_on_it).get(f"/photos/{kept.pk}").status_code == 404
    assert cast.browser().get(f"/photos/{kept.pk}").status_code == 302


def test_a_file_that_is_no_picture_is_refused(crew):
    do_first_step(crew)
    send(crew, 2, "start")
    answer = send(crew, 2, "photo", photo=SimpleUploadedFile("p.jpg", b"<svg onload=x>"))
    assert answer.status_code == 422
    assert "not a photo that can be opened" in answer.content.decode()
    assert send(crew, 2, "photo").status_code == 422
    assert not Photo.objects.exists()


def test_the_teacher_is_called_when_everything_is_there_and_for_help_at_any_time(crew):
    do_first_step(crew)
    send(crew, 2, "start")
    answer = send(crew, 2, "call", what="mark")
    assert answer.status_code == 422
    assert "still lacks" in answer.content.decode()
    assert send(crew, 2, "call", what="help").status_code == 302
    assert [call.what for call in Call.objects.all()] == ["help"]


def test_a_called_hold_shows_its_call(crew):
    do_first_step(crew)
    do_second_step(crew)
    page = crew.get("/jobs/114").content.decode()
    assert 'aria-label="Teacher called"' in page
    assert "Called 11:12" in page


def test_at_a_witness_point_the_teacher_is_told_and_work_goes_on(cast, crew):
    from tests.web.bench import shown_digest
    from tests.web.cast import TEACHER_PIN

    do_first_step(crew)
    do_second_step(crew)
    mark = {"digest": shown_digest(), "who": str(cast.teacher.pk), "pin": TEACHER_PIN}
    assert send(crew, 2, "mark", **mark).status_code == 302
    send(crew, 3, "start")
    assert send(crew, 3, "tell").status_code == 302
    assert send(crew, 3, "finish").status_code == 302
    assert "told 11:12, work went on" in crew.get("/jobs/114").content.decode()


def test_a_note_is_kept_as_text(crew):
    send(crew, 1, "note", words="<b>Mind the hose</b>")
    assert Note.objects.get().words == "<b>Mind the hose</b>"
    page = crew.get("/jobs/114/step/1").content.decode()
    assert "&lt;b&gt;Mind the hose&lt;/b&gt;" in page


@pytest.mark.parametrize("what", ["start", "reading", "off", "move", "photo", "call", "finish"])
def test_a_learner_of_another_crew_does_nothing_here(cast, job, what):
    stranger = cast.browser(cast.not_on_it)
    before = StepEvent.objects.count() + Reading.objects.count() + LedgerLine.objects.count()
    assert send(stranger, 1, what, caution=["COOLANT"]).status_code == 404
    after = StepEvent.objects.count() + Reading.objects.count() + LedgerLine.objects.count()
    assert after == before


def test_an_act_that_is_not_there_is_not_found(crew):
    assert send(crew, 1, "weld").status_code == 404
    assert crew.get("/jobs/114/step/9").status_code == 404


def test_a_correction_keeps_the_old_value_struck_through(crew):
    do_first_step(crew)
    do_second_step(crew)
    page = f"/jobs/114/reading/{reading('1').pk}/correct"
    assert "It stays on the record." in crew.get(page).content.decode()
    typed = {"id": str(uuid4()), "text": "26", "reason": "Misread", "words": "wrong line"}
    assert crew.post(page, typed).status_code == 302
    assert reading("1").reason == "Misread: wrong line"
    shown = crew.get("/jobs/114/step/2").content.decode()
    assert '<s class="dim">24 N·m</s>' in shown and "26 N·m" in shown


def test_a_correction_without_a_reason_is_refused_and_what_was_typed_stays(crew):
    do_first_step(crew)
    do_second_step(crew)
    page = f"/jobs/114/reading/{reading('1').pk}/correct"
    answer = led_back(crew, crew.post(page, {"id": str(uuid4()), "text": "26"}))
    assert answer.status_code == 422
    assert 'value="26"' in answer.content.decode()
    assert reading("1").text == "24"


def test_two_corrections_of_one_reading_show_both(cast, crew):
    do_first_step(crew)
    do_second_step(crew)
    page = f"/jobs/114/reading/{reading('1').pk}/correct"
    typed = {"id": str(uuid4()), "text": "26", "reason": "Misread"}
    assert crew.post(page, typed).status_code == 302
    late = {"id": str(uuid4()), "text": "27", "reason": "Measured again"}
    teacher = cast.browser(cast.teacher)
    answer = led_back(teacher, teacher.post(page, late))
    assert answer.status_code == 409
    shown = answer.content.decode()
    assert "26 N·m" in shown and "27 N·m" in shown and "not kept" in shown
    assert reading("1").text == "26"


@pytest.mark.parametrize("waited_s", ["²", "9" * 5000, "-5", "1e9"])
def test_a_waiting_time_that_no_page_sends_ends_in_no_error_page(crew, waited_s):
    assert send(crew, 1, "note", words="Seen.", waited_s=waited_s).status_code == 302
    assert Note.objects.count() == 1
