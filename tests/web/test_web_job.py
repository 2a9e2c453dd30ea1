"""The job's page: complaint, cause, correction; crew and place; the handover card."""

import re
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.web import fit_bench
from tests.web.bench import do_first_step, do_second_step, send, shown_digest
from tests.web.cast import TEACHER_PIN
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.steps import assign_crew
from witnessmark.record.models import Complaint, Correction, Job, Note
from witnessmark.record.specs import spec_of


def test_the_page_says_where_the_job_stands(cast, job):
    page = cast.browser(cast.on_it).get("/jobs/114").content.decode()
    for seen in ("J-114", "Library bus", "Corran", "Gauge climbs", "Housing off", "Fri 4 Dec"):
        assert seen in page
    assert "Isla" in page and "Hold" in page


def test_a_correction_is_kept_and_written_anew(cast, job):
    crew = cast.browser(cast.on_it)
    first = {"id": str(uuid4()), "words": "New gasket."}
    assert crew.post("/jobs/114/correction", first).status_code == 302
    kept = Correction.objects.get()
    second = {"id": str(uuid4()), "words": "New gasket and clamp.", "replaces": str(kept.pk)}
    assert crew.post("/jobs/114/correction", second).status_code == 302
    page = crew.get("/jobs/114").content.decode()
    assert "New gasket and clamp." in page and "not yet proved" in page
    late = {"id": str(uuid4()), "words": "Something else.", "replaces": str(kept.pk)}
    answer = cast.browser(cast.teacher).post("/jobs/114/correction", late)
    assert answer.status_code == 409
    assert "Something else." in answer.content.decode()  # what was typed stays


def test_what_is_seen_here_is_added_to_the_complaints(cast, job):
    sent = {"id": str(uuid4()), "words": "Drips when warm.", "trust": "seen here"}
    assert cast.browser(cast.on_it).post("/jobs/114/complaint", sent).status_code == 302
    assert Complaint.objects.filter(job=job).count() == 2
    stranger = cast.browser(cast.not_on_it)
    assert stranger.post("/jobs/114/complaint", sent).status_code == 404


def test_the_teacher_sets_the_crew_and_a_learner_does_not(cast, job):
    sent = {"id": str(uuid4()), "act": "crew", "person": [str(cast.not_on_it.pk)]}
    assert cast.browser(cast.on_it).post("/jobs/114/crew", sent).status_code == 403
    assert cast.browser(cast.teacher).post("/jobs/114/crew", sent).status_code == 302
    assert cast.browser(cast.not_on_it).get("/jobs/114").status_code == 200
    assert cast.browser(cast.on_it).get("/jobs/114").status_code == 404


def test_a_finished_step_names_who_did_it_and_not_who_was_planned(cast, job):
    by, planned = By(person=cast.teacher), [cast.not_on_it]
    assign_crew(by, uuid4(), job=job, people=planned, step=job.steps.first())
    crew = cast.browser(cast.on_it)
    assert send(crew, 1, "start", caution=["COOLANT"]).status_code == 302
    named = re.compile(r"Housing off</a></b><span[^>]*>([^<]*), 10 min")
    assert named.search(crew.get("/jobs/114").content.decode())[1] == "Isla, Mika"
    assert send(crew, 1, "finish").status_code == 302
    assert named.search(crew.get("/jobs/114").content.decode())[1] == "Isla"


def test_the_vehicle_is_given_a_bay(cast, job):
    from witnessmark.shop.models import Bay

    bay = Bay.objects.get()
    sent = {"id": str(uuid4()), "act": "bay", "bay": str(bay.pk)}
    assert cast.browser(cast.teacher).post("/jobs/114/crew", sent).status_code == 302
    assert Job.objects.get().bay == bay


def test_the_handover_card_says_what_is_off_and_what_comes_next(cast, job):
    crew = cast.browser(cast.on_it)
    send(crew, 1, "start", caution=["COOLANT"])
    off = {"what": "Coolant", "how": "drained", "quantity": "3", "unit": "L", "place": "Drum 2"}
    send(crew, 1, "off", **off)
    page = crew.get("/jobs/114/handover").content.decode()
    assert "Coolant, 3 L: drained, Drum 2." in page
    assert "Housing off" in page
    sent = {"id": str(uuid4()), "words": "The drum is not here."}
    assert crew.post("/jobs/114/handover", sent).status_code == 302
    assert Note.objects.get().words == "The drum is not here."
    assert "The drum is not here." in crew.get("/jobs/114/handover").content.decode()


def test_the_jobs_list_shows_what_waits_for_the_teacher_and_only_ones_own(cast, job):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    page = cast.browser(cast.teacher).get("/jobs").content.decode()
    assert "Called" in page and "step 2" in page
    own = crew.get("/jobs").content.decode()
    assert "Library bus" in own and "1 with you in the crew." in own
    assert "1 in the shop." in page
    assert "You are on no job." in cast.browser(cast.not_on_it).get("/jobs").content.decode()


def test_a_reading_of_an_assembly_has_the_name_that_people_say(cast):
    engine = fit_bench.engine(cast)
    fit_bench.give_sheet(cast, engine)
    fit_bench.read_everything(cast, engine)
    for address in ("/jobs/109", "/jobs/109/step/1", "/jobs/109/step/1/mark"):
        page = cast.browser(cast.teacher).get(address).content.decode()
        assert "Bearing 1, journal" in page
        assert "bush-bore 1" not in page and "cam-journal 4" not in page


def test_what_is_done_to_a_marked_step_is_said_to_break_the_mark(cast, job):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    assert "breaks the mark" not in crew.get("/jobs/114/step/2").content.decode()
    signed = {"digest": shown_digest(), "who": str(cast.teacher.pk), "pin": TEACHER_PIN}
    assert send(crew, 2, "mark", **signed).status_code == 302
    assert "breaks the mark" in crew.get("/jobs/114/step/2").content.decode()


def test_the_log_names_a_reading_as_the_step_does(cast, job):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    page = crew.get("/jobs/114").content.decode()
    spec = spec_of(job.steps.get(position=2)).measurements[0]
    assert f"read {spec.named(spec.places[0])}, " in page
    assert f"read {spec.key} {spec.places[0]}, " not in page


def test_the_whole_log_is_shown_when_it_is_asked_for(cast, job):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    page = crew.get("/jobs/114").content.decode()
    assert "Show the whole log" in page and "opened the job." not in page
    whole = crew.get("/jobs/114?log").content.decode()
    assert "Show the whole log" not in whole and "R. Aldane opened the job." in whole


def test_a_training_unit_without_a_complaint_has_no_cause_to_find(cast):
    by = By(person=cast.teacher)
    unit = Intake(vehicle="Training six", kind="training")
    open_job(by, uuid4(), intake=unit, complaint="", number=109)
    page = cast.browser(cast.teacher).get("/jobs/109").content.decode()
    assert "None to find." in page and "Find the cause" not in page
    assert "No promise" in page
    assert "Hold, not yet marked" not in page


def test_an_empty_shop_says_what_to_do_next(cast):
    page = cast.browser(cast.teacher).get("/jobs").content.decode()
    assert "An empty shop." in page and "Take in a vehicle" in page


def test_the_page_asks_the_database_no_more_for_more_readings(cast, job):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    send(crew, 2, "start")

    def queries() -> int:
        crew.get("/jobs/114")
        with CaptureQueriesContext(
            connection,
        ) as caught:
            crew.get("/jobs/114")
        return len(caught)

    send(crew, 2, "reading", key="bolt", position="1", text="24")
    few = queries()
    for text in ("25", "26", "27", "28"):
        send(crew, 2, "reading", key="bolt", position="2", text=text)
        send(crew, 2, "note", words=f"read {text}")
    assert queries() <= few + 1


def test_a_job_that_was_handed_back_says_so_and_offers_no_writing(cast, job):
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    teacher = cast.browser(cast.teacher)
    assert "Write what was done" in teacher.get("/jobs/114").content.decode()
    Job.objects.update(closed_at=cast.device.opened_at)
    page = teacher.get("/jobs/114").content.decode()
    assert "Write what was done" not in page
    assert "Handed back Tue 24 Nov, 11:12." in page
    sent = {"id": str(uuid4()), "words": "New gasket."}
    assert teacher.post("/jobs/114/correction", sent).status_code == 422


def test_the_promise_is_a_day_and_no_guess(cast, job):
    page = cast.browser(cast.teacher).get("/jobs/114").content.decode()
    assert "Not in a published plan yet." in page
    assert "likely" not in page


def test_the_promise_is_moved_and_a_part_is_waited_for_until_it_is_here(cast, job):
    teacher = cast.browser(cast.teacher)
    page = "/jobs/114/crew"

    def send_form(**typed):
        return teacher.post(page, {"id": str(uuid4()), **typed})

    moved = {"act": "promise", "promised": "2026-12-07", "at": "12:00"}
    assert send_form(**moved).status_code == 302
    part = {"act": "part", "what": "Housing gasket", "due": "2026-11-26"}
    assert send_form(**part).status_code == 302
    shown = teacher.get("/jobs/114").content.decode()
    assert "Mon 7 Dec" in shown and "Waiting for Housing gasket, due Thu 26 Nov." in shown
    order = job.parts.get()
    assert send_form(act="arrived", part=str(order.pk)).status_code == 302
    assert "Waiting for" not in teacher.get("/jobs/114").content.decode()
    assert send_form(act="promise", promised="", at="12:00").status_code == 422
    assert send_form(act="part", what=" ").status_code == 422


def test_a_promise_keeps_its_first_day_and_is_refused_at_its_field(cast, job):
    teacher = cast.browser(cast.teacher)

    def send_form(**typed):
        return teacher.post("/jobs/114/crew", {"id": str(uuid4()), "act": "promise", **typed})

    kept = {"not_before": "2026-12-03", "promised": "2026-12-07", "at": "12:00"}
    assert send_form(**kept).status_code == 302
    job.refresh_from_db()
    assert f"{job.not_before:%d %b %H:%M}" == "03 Dec 00:00"
    page = teacher.get("/jobs/114/crew").content.decode()
    assert 'value="2026-12-03"' in page and 'value="2026-12-07"' in page
    for typed, field in (
        ({"not_before": "2026-12-07", "at": "00:00"}, "promised"),
        ({"not_before": "2026-12-08"}, "promised"),
        ({"at": "tea"}, "at"),
        ({"not_before": "soon"}, "not_before"),
    ):
        answer = send_form(**(kept | typed))
        page = answer.content.decode()
        assert answer.status_code == 422
        (begins,) = [part for part in page.split("<") if 'aria-describedby="at_field"' in part]
        assert f' name="{field}"' in begins and page.count('id="at_field"') == 1
        for name, value in typed.items():
            assert f'name="{name}"' in page and f'value="{value}"' in page
    assert 'role="alert"' in send_form(act="part", what=" ").content.decode()


@pytest.mark.parametrize("person", ["nobody", "²"])
def test_a_person_that_is_none_is_not_put_on_the_job(cast, job, person):
    sent = {"id": str(uuid4()), "act": "crew", "person": [person, str(cast.not_on_it.pk)]}
    answer = cast.browser(cast.teacher).post("/jobs/114/crew", sent)
    assert answer.status_code == 404
    assert [row.person for row in job.crew.filter(until=None)] == [cast.on_it]
