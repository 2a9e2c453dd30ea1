"""The Release stage: the gate with its reasons, the signature, the hand-back paper."""

import re
import subprocess
from uuid import uuid4

import pytest

from tests.web.bench import do_first_step, do_second_step, reading, send, shown_digest
from tests.web.cast import LEARNER_PIN, TEACHER_PIN
from witnessmark.log.models import Entry
from witnessmark.record.acts.by import By
from witnessmark.record.acts.causes import name_cause, write_correction
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.acts.marks import mark_cause
from witnessmark.record.core import load
from witnessmark.record.models import Job, Refusal, Release
from witnessmark.shop.models import Shop
from witnessmark.web.handback import paper_of
from witnessmark.work.digest import digest

PAGE = "/jobs/114/release"


@pytest.fixture
def at_work(cast, job):
    """Return the crew's browser; step 2 is done and waits for the teacher."""
    crew = cast.browser(cast.on_it)
    do_first_step(crew)
    do_second_step(crew)
    return crew


@pytest.fixture
def ready(at_work, cast, job):
    """Return the crew's browser; nothing is left but the signature."""
    signed = {"digest": shown_digest(), "who": str(cast.teacher.pk), "pin": TEACHER_PIN}
    assert send(at_work, 2, "mark", **signed).status_code == 302
    assert send(at_work, 3, "start").status_code == 302
    assert send(at_work, 3, "finish").status_code == 302
    by = By(person=cast.on_it, device=cast.device)
    cause = name_cause(
        by,
        uuid4(),
        job=job,
        statement="Thermostat stuck shut.",
        how="evidence",
        readings=[reading("1")],
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
    return at_work


def shown_release(kind="owner") -> str:
    return digest(load(Job.objects.get(number=114)).release_form(kind))


def sign(browser, cast, **typed):
    sent = {
        "id": str(uuid4()),
        "for": "owner",
        "digest": shown_release(),
        "who": str(cast.teacher.pk),
        "pin": TEACHER_PIN,
    }
    return browser.post(PAGE, {**sent, **typed})


def text_of(pdf: bytes, tmp_path) -> str:
    file = tmp_path / "paper.pdf"
    file.write_bytes(pdf)
    made = subprocess.run(
        ["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True
    )
    return " ".join(made.stdout.split())


def test_a_shut_gate_gives_every_reason_with_the_place_to_mend_it(at_work, cast):
    page = at_work.get(PAGE).content.decode()

    assert "gate shut, 4 things left" in page
    for words, place in (
        ("Step 2, Housing on, to torque: not marked yet.", 'href="/jobs/114/step/2"'),
        ("Step 3, Look for a leak: not finished.", 'href="/jobs/114/step/3"'),
        ("No cause is named.", 'href="/jobs/114/find"'),
        ("The correction is not written.", 'href="/jobs/114#words"'),
    ):
        assert words in page and place in page
    assert 'name="pin"' not in page
    assert sign(at_work, cast).status_code == 422
    assert not Release.objects.exists()


def test_a_broken_mark_comes_first_and_slips_in_the_gate(ready):
    page = f"/jobs/114/reading/{reading('1').pk}/correct"
    ready.post(page, {"id": str(uuid4()), "text": "22", "reason": "Measured again"})

    page = ready.get(PAGE).content.decode()
    assert "Step 2, Housing on, to torque: the mark is broken." in page
    assert 'class="join broken gt"' in page
    assert "See it again: step 2" in page


def test_the_teacher_releases_on_the_learners_device(ready, cast):
    assert "gate open" in ready.get(PAGE).content.decode()

    assert sign(ready, cast).status_code == 302
    released = Release.objects.get()
    assert (released.kind, released.mark.by) == ("owner", cast.teacher)
    page = ready.get(PAGE).content.decode()
    assert "handed back" in page
    assert "Preview. Not valid until signed." not in page
    assert Job.objects.get(number=114).closed_at is not None


def test_the_paper_says_what_was_signed(ready, cast, tmp_path):
    sign(ready, cast)
    signed = Release.objects.get().mark.digest

    answer = cast.browser(cast.teacher).get(f"{PAGE}/paper.pdf?size=Letter")
    assert answer["Content-Type"] == "application/pdf"
    words = text_of(answer.content, tmp_path)
    for part in (
        "Library bus",
        "Gauge climbs on the harbour hill.",
        "Thermostat stuck shut.",
        "Housing bolt 1: 24 N·m, limit 20 to 30 N·m: within.",
        "New thermostat, gauge steady on the hill.",
        "Step 2, Housing on, to torque Marked",
        "R. Aldane, Tue 24 Nov 2026, 11:12",
        "Received by, Harbour library",
        signed,
    ):
        assert part in words
    assert "Preview" not in words


def test_no_learner_stands_on_the_paper_and_no_owner_before_a_learner(ready, cast, tmp_path):
    for_teacher = text_of(cast.browser(cast.teacher).get(f"{PAGE}/paper.pdf").content, tmp_path)
    for_learner = text_of(ready.get(f"{PAGE}/paper.pdf").content, tmp_path)

    assert "Isla" not in for_teacher + for_learner
    assert "Harbour library" in for_teacher
    assert "Harbour library" not in for_learner
    assert "Preview. Not valid until signed." in for_teacher


def test_an_unknown_size_of_paper_is_no_page(ready):
    assert ready.get(f"{PAGE}/paper.pdf?size=A0").status_code == 404


def test_looking_changes_nothing(ready):
    before = Entry.objects.count()
    for page in (PAGE, f"{PAGE}?for=owner", f"{PAGE}?for=road-test", f"{PAGE}/paper.pdf"):
        assert ready.get(page).status_code == 200
    for page in (f"{PAGE}/said", f"{PAGE}/odometer"):
        assert ready.get(page).status_code == 405
    assert Entry.objects.count() == before


def test_a_learner_who_is_not_on_it_is_told_nothing(ready, cast):
    stranger = cast.browser(cast.not_on_it)

    assert stranger.get(PAGE).status_code == 404
    assert stranger.get(f"{PAGE}/paper.pdf").status_code == 404
    assert sign(stranger, cast).status_code == 404
    assert not Release.objects.exists()


def test_a_learner_cannot_sign_for_the_teacher_and_the_try_is_written_down(ready, cast):
    assert sign(ready, cast, who=str(cast.on_it.pk), pin=LEARNER_PIN).status_code == 403
    assert sign(ready, cast, pin=LEARNER_PIN).status_code == 403

    assert not Release.objects.exists()
    assert {row.what for row in Refusal.objects.all()} == {
        "release a vehicle",
        "release a vehicle, wrong PIN",
    }


def test_a_change_between_look_and_pin_signs_nothing(ready, cast, job):
    looked_at = shown_release()
    step = job.steps.get(position=2)
    by = By(person=cast.on_it, device=cast.device)
    add_note(by, uuid4(), job=job, step=step, words="A scratch on the housing.")

    answer = sign(ready, cast, digest=looked_at)
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "Not marked." in page and "Your PIN was not used" in page
    assert f"{PAGE}?for=owner" in page
    assert not Release.objects.exists()


def test_sent_twice_releases_once(ready, cast):
    id, shown = str(uuid4()), shown_release()

    assert sign(ready, cast, id=id, digest=shown).status_code == 302
    assert sign(ready, cast, id=id, digest=shown).status_code == 302
    assert Release.objects.count() == 1


def test_an_odometer_is_kept_with_its_unit_and_a_word_is_refused(ready):
    for typed, status in (("far", 422), ("3 L", 422), ("181 352 kmm", 422), ("181352 km", 302)):
        sent = {"id": str(uuid4()), "odometer": typed}
        answer = ready.post(f"{PAGE}/odometer", sent)
        assert answer.status_code == status
        assert status == 302 or f'value="{typed}"' in answer.content.decode()

    assert Job.objects.get(number=114).odometer_out == "181352 km"


def test_a_machine_with_an_hour_meter_leaves_with_its_hours(ready):
    Job.objects.filter(number=114).update(odometer_in="1 200 h")
    assert "Hour meter out, in 1 200 h" in ready.get(PAGE).content.decode()
    sent = {"id": str(uuid4()), "odometer": "1203,5 h"}
    assert ready.post(f"{PAGE}/odometer", sent).status_code == 302
    paper = paper_of(load(Job.objects.get(number=114)), Shop.objects.get(), "", with_owner=False)
    assert ("Hour meter", "In 1 200 h, out 1203,5 h.") in paper.more


@pytest.mark.parametrize(
    ("came_in", "typed", "said"),
    [
        ("1 200 h", "1203 km", "It came in with 1 200 h, and would go out with 1203 km."),
        ("1 200 h", "750 mi", "Read that meter again, in h."),
        ("96 240 km", "1203 h", "Read that meter again, in km."),
        ("59 800 mi", "1203 h", "Read that meter again, in mi."),
        ("96 240", "1203 hours", "It came in with 96 240, and would go out with 1203 hours."),
    ],
)
def test_hours_and_a_distance_of_one_vehicle_are_refused_and_what_was_typed_stays(
    ready, came_in, typed, said
):
    Job.objects.filter(number=114).update(odometer_in=came_in)
    answer = ready.post(f"{PAGE}/odometer", {"id": str(uuid4()), "odometer": typed, "for": "owner"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page
    assert 'name="odometer"' in page and f'value="{typed}"' in page
    assert Job.objects.get(number=114).odometer_out == ""


@pytest.mark.parametrize(
    ("came_in", "typed", "kept"),
    [
        ("1 200 h", "1203", "1203 h"),
        ("1 200 h", " 1 203,5 ", "1 203,5 h"),
        ("59 800 mi", "59 812", "59 812 mi"),
        ("96240", "96251", "96251"),
        ("", "96251", "96251"),
    ],
)
def test_a_number_without_a_unit_has_that_of_the_reading_at_intake(ready, came_in, typed, kept):
    Job.objects.filter(number=114).update(odometer_in=came_in)
    sent = {"id": str(uuid4()), "odometer": typed, "for": "owner"}
    page = ready.post(f"{PAGE}/odometer", sent, follow=True).content.decode()
    assert "The reading is kept." in page and "The odometer is kept." not in page
    assert Job.objects.get(number=114).odometer_out == kept


@pytest.mark.parametrize(
    ("came_in", "goes_out", "label", "unit"),
    [
        ("", "", "Odometer or hour meter", "km or h"),
        ("", "1203 h", "Hour meter", "h"),
        ("1 200 h", "", "Hour meter", "h"),
        ("", "96 251 km", "Odometer", "km"),
        ("96240", "", "Odometer", "km"),
        ("59 800 mi", "", "Odometer", "mi"),
    ],
)
def test_page_and_paper_call_the_meter_alike_and_h_can_be_typed_where_it_may_be_hours(
    ready, came_in, goes_out, label, unit
):
    Job.objects.filter(number=114).update(odometer_in=came_in, odometer_out=goes_out)
    page = ready.get(PAGE).content.decode()
    (field,) = re.findall(r'<input id="odometer"[^>]*>', page)
    assert f'for="odometer">{label} out' in page and f'placeholder="{unit}"' in field
    assert ('inputmode="decimal"' in field) == ("h" not in unit)
    paper = paper_of(load(Job.objects.get(number=114)), Shop.objects.get(), "", with_owner=False)
    headings = {"Odometer", "Hour meter", "Odometer or hour meter"} & set(dict(paper.more))
    assert headings == ({label} if came_in or goes_out else set())


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "The odometer is empty."),
        ("-5 km", "No odometer and no hour meter stands below 0."),
        ("−5 h", "No odometer and no hour meter stands below 0."),
        ("5 mm", "It is a distance in km or mi, as 96 240 km, or hours, as 1200 h"),
        ("1200 m", "It is a distance in km or mi, as 96 240 km, or hours, as 1200 h"),
    ],
)
def test_what_no_meter_shows_is_refused_and_may_be_gone_on_without(ready, typed, said):
    answer = ready.post(f"{PAGE}/odometer", {"id": str(uuid4()), "odometer": typed, "for": "owner"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page and "If it cannot be read, go on without it." in page
    assert "leave it empty" not in page
    assert Job.objects.get(number=114).odometer_out == ""


@pytest.mark.parametrize("came_in", ["", "about 96 000", "59 800 mi"])
def test_a_distance_is_kept_where_no_hours_were_read(ready, came_in):
    Job.objects.filter(number=114).update(odometer_in=came_in)
    sent = {"id": str(uuid4()), "odometer": "96 251 km", "for": "owner"}
    assert ready.post(f"{PAGE}/odometer", sent).status_code == 302
    assert Job.objects.get(number=114).odometer_out == "96 251 km"


@pytest.mark.parametrize("kind", ["", "moon"])
def test_a_release_to_nowhere_is_no_page(ready, cast, kind):
    assert sign(ready, cast, **{"for": kind}).status_code == 404
