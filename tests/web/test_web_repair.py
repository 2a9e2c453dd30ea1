"""Size the repair: the answer first; from the cause, from the Library; kept with the step."""

import re
from importlib import resources
from uuid import uuid4

import pytest

from tests.web.bench import do_first_step, do_second_step, shown_digest
from tests.web.cast import TEACHER_PIN
from witnessmark.log.models import Entry
from witnessmark.record.acts.by import By
from witnessmark.record.acts.causes import name_cause
from witnessmark.record.acts.evidence import keep_reading
from witnessmark.record.acts.intake import Intake, add_complaint, open_job
from witnessmark.record.acts.repairs import set_repair_rules
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.acts.sheets import pin_sheet, start_find
from witnessmark.record.acts.steps import assign_crew, start_step
from witnessmark.record.core import load
from witnessmark.record.models import Job, Note
from witnessmark.shop.models import Shop
from witnessmark.web.repair_form import place_of
from witnessmark.web.repair_known import _amps

FAN = resources.files("witnessmark") / "examples" / "circuits" / "fan.toml"
FAN_JOB = "/jobs/117/repair"
ASKED = {"current": "8", "length": "5", "insulation": "pvc-105"}


@pytest.fixture
def crew(cast, job):
    return cast.browser(cast.on_it)


@pytest.fixture
def fan(cast):
    """A learner's browser on a job with the fan's circuit, its ground joint named as the cause."""
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=FAN.read_text("utf-8"), name="f")
    owner = Intake(vehicle="Van", owner_name="Kitchen", owner_phone="1", promised=cast.device.until)
    job = open_job(by, uuid4(), intake=owner, complaint="Slow.", section=cast.section, number=117)
    assign_crew(by, uuid4(), job=job, people=[cast.on_it])
    sheet = pin_sheet(by, uuid4(), job=job, item=item)
    add_complaint(by, uuid4(), job=job, words="Slow fan", trust="seen here", key="slow")
    find = start_find(by, uuid4(), job=job)
    start_step(by, uuid4(), step=find)
    reading = keep_reading(by, uuid4(), step=find, key="volts F state=run", text="2.8", unit="V")
    name_cause(
        by,
        uuid4(),
        job=job,
        statement="G7 has high resistance.",
        how="find",
        step=find,
        sheet=sheet,
        suspect="G7:high",
        readings=[reading],
    )
    return cast.browser(cast.on_it)


def page(browser, address="/jobs/114/repair", **asked):
    answer = browser.get(address, asked)
    return answer.status_code, answer.content.decode()


def test_the_answer_stands_first_and_its_tests_below(crew):
    code, shown = page(crew, **ASKED)
    assert code == 200
    assert "<h2>Fit 2.5 mm² behind a fuse of 10 A.</h2>" in shown
    assert shown.index("Fit 2.5 mm²") < shown.index("2.5 mm² loses")
    assert "1.5 mm² loses 0.56 V and may lose 0.50 V." in shown
    assert 'class="tcb wd"' in shown and 'class="tcb ph"' in shown
    assert "Show as table" in shown and "1.35 times the rating" in shown
    assert "The vehicle maker’s service information comes before this advice." in shown
    assert "style=" not in shown


def test_before_it_is_asked_the_page_asks(crew):
    _, shown = page(crew)
    assert "How much current, and how much wire?" in shown
    assert "Airbag and belt-tensioner wiring" in shown
    assert "Keep the answer" not in shown


def test_a_no_is_told_with_what_fails(crew):
    _, shown = page(crew, **ASKED, was="1 mm2")
    assert "is too thin for this" in shown
    assert "every size says what it fails" in shown
    assert "no: drop" in shown


def test_a_pair_that_does_not_protect_is_a_shape_and_a_word(crew):
    _, shown = page(crew, **ASKED, thinnest="22 AWG", fuse="30")
    assert "22 AWG is not protected by the fuse of 30 A." in shown
    assert ">Not protected</text>" in shown and 'fill="url(#fw)"' in shown
    assert "someone may have fitted a larger one" in shown


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"current": "lots"}, "is not one number"),
        ({"current": "8 V"}, "is a voltage"),
        ({"length": "-2"}, "The length is -2 m"),
        ({"was": "14"}, "does not say whose size it is"),
        ({"fuse": "12"}, "There is no 12 A"),
        ({"wires": "two"}, "is not a number of wires"),
        ({"insulation": "tape"}, "There is no insulation"),
        ({"limits": "own", "own_drop": ""}, "Nothing was entered"),
        ({"place": "moon"}, "The form names no known place"),
        ({"air": "300"}, "Air round a wire"),
        ({"joint_drop": "20"}, "were read across"),
        ({"work": "contact", "joint_drop": "1.8", "current": ""}, "Type the current that its load"),
    ],
)
def test_what_cannot_be_is_refused_in_words_and_stays_typed(crew, typed, said):
    code, shown = page(crew, **{**ASKED, **typed})
    assert code == 422
    assert said in shown
    name, text = next((name, text) for name, text in typed.items() if name != "work")
    if name not in ("insulation", "limits", "place"):
        assert re.search(rf'name="{name}"[^>]*value="{re.escape(text)}"', shown)


def test_a_contact_without_a_sheet_has_a_field_for_its_current(crew):
    _, shown = page(crew, work="contact")
    assert "Current of its load, A" in shown and "Volts read across the bad joint" in shown
    code, shown = page(crew, work="contact", joint_drop="1.8", current="5")
    assert code == 200 and "The joint has " in shown
    assert "The current is taken as typed, 5 A with a good joint" in shown
    assert "as usual: between wires" in shown
    _, shown = page(crew, work="ground")
    assert "as usual: at a stud or body" in shown


def test_looking_changes_nothing(crew):
    before = Entry.objects.count()
    page(crew, **ASKED)
    assert (Entry.objects.count(), Note.objects.count()) == (before, 0)


def test_the_load_of_the_sheet_gives_the_current_and_the_volts_on_the_way(fan):
    _, shown = page(fan, FAN_JOB, work="wire", length="5", insulation="pvc-105")
    assert "Fan motor, the fan running: 7.97 A" in shown
    assert "Size the repair of G7 ground joint" in shown
    assert "behind a fuse of 20 A." in shown
    assert "W2 ground wire carries 7.97 A with the fan running: Fan motor 7.97 A." in shown
    assert "Fan motor gets 1" in shown and "V of 12.44 V at 7.97 A" in shown
    assert 'class="v within"' in shown and 'class="v outside"' not in shown


def test_the_volts_across_the_joint_tell_why_it_heats_in_the_sheets_circuit(fan):
    asked = {"length": "5", "insulation": "pvc-105", "joint_drop": "2.8"}
    code, shown = page(fan, FAN_JOB, **asked)
    assert code == 200 and "type the size of the wire at the joint" in shown
    asked["was"] = "2.5 mm2"
    _, shown = page(fan, FAN_JOB, **asked)
    assert "G7 ground joint has " in shown and "W of heat" in shown
    assert "with the fan running in the whole circuit of the sheet" in shown
    assert "so no fuse opens for it" in shown and "new fuse" not in shown
    assert "as usual: at a stud or body" in shown
    code, shown = page(fan, FAN_JOB, **{**asked, "joint_drop": "13"})
    assert code == 422 and "however bad it is" in shown[shown.index('id="joint_drop"') :][:600]


def test_another_current_wins_over_the_loads(fan):
    asked = {"load": "Fan run", "work": "wire", "current": "20", "length": "1", "fuse": ""}
    _, shown = page(fan, FAN_JOB, **asked, insulation="pvc-105")
    assert "behind a fuse of 25 A" in shown
    assert "W2 ground wire carries" not in shown


def test_find_leads_there_when_the_cause_is_a_joint(fan):
    shown = fan.get("/jobs/117/find").content.decode()
    assert f'href="{FAN_JOB}"' in shown


def test_the_answer_is_kept_as_a_note_of_the_step_once(crew):
    do_first_step(crew)
    step = load_step(2)
    sent = {**ASKED, "step": str(step.pk), "id": str(uuid4())}
    for _ in range(2):
        answer = crew.post("/jobs/114/repair/keep", sent)
        assert (answer.status_code, answer.url) == (302, "/jobs/114/step/2")
    note = Note.objects.get()
    assert note.step_id == step.pk
    assert note.words.startswith("Size the repair: Fit 2.5 mm² behind a fuse of 10 A.")
    assert "a voltage-drop calculator&#x27;s note" in crew.get(answer.url).content.decode()


def test_the_mark_covers_the_note_and_a_later_one_breaks_it(cast, crew):
    do_first_step(crew)
    do_second_step(crew)
    step = load_step(2)
    crew.post("/jobs/114/repair/keep", {**ASKED, "step": str(step.pk), "id": str(uuid4())})
    digest = shown_digest()
    sent = {"id": str(uuid4()), "digest": digest, "pin": TEACHER_PIN, "who": str(cast.teacher.pk)}
    assert crew.post("/jobs/114/step/2/mark", sent).status_code == 302
    shown = page(crew, **ASKED)[1]
    assert "(marked: the mark breaks)" in shown
    crew.post(
        "/jobs/114/repair/keep",
        {**ASKED, "length": "1", "step": str(step.pk), "id": str(uuid4())},
    )
    assert shown_digest() != digest
    assert load(step.job).states[step.pk].value == "broken"


def test_without_a_step_it_is_kept_with_the_job(crew):
    answer = crew.post("/jobs/114/repair/keep", {**ASKED, "step": "", "id": str(uuid4())})
    assert answer.url == "/jobs/114"
    assert Note.objects.get().step_id is None


def test_a_stranger_keeps_nothing_and_a_foreign_step_is_not_found(cast, job, crew):
    stranger = cast.browser(cast.not_on_it)
    sent = {**ASKED, "step": "", "id": str(uuid4())}
    assert stranger.post("/jobs/114/repair/keep", sent).status_code == 404
    for step in (str(uuid4()), "7"):
        assert crew.post("/jobs/114/repair/keep", {**sent, "step": step}).status_code == 404
    assert not Note.objects.exists()


def test_what_cannot_be_kept_is_shown_again(crew):
    answer = crew.post("/jobs/114/repair/keep", {**ASKED, "was": "14", "id": str(uuid4())})
    assert answer.status_code == 422
    assert "does not say whose size it is" in answer.content.decode()
    assert not Note.objects.exists()


def test_the_library_opens_it_without_a_job(cast):
    browser = cast.browser(cast.not_on_it)
    assert 'href="/library/repair"' in browser.get("/library").content.decode()
    code, shown = page(browser, "/library/repair", **ASKED)
    assert code == 200
    assert "Fit 2.5 mm²" in shown and "Keep the answer" not in shown


def test_the_shops_rules_are_used(cast, crew):
    by = By(person=cast.teacher)
    set_repair_rules(by, uuid4(), joint_rule="crimp-solder", own_drop="0.3 V")
    _, shown = page(crew, **ASKED)
    assert "Crimp band, then solder, then sleeve" in shown
    assert "of 0.30 V" in shown
    Shop.objects.update(units="inch")
    _, shown = page(crew, current="8", length="16", insulation="pvc-105")
    assert "Wire there and back, ft" in shown and "AWG behind a fuse of 10 A" in shown


def test_both_schools_are_quoted(crew):
    _, shown = page(crew)
    assert "NASA-STD-8739.4" in shown and "Australian AC 21-99" in shown
    assert "Good bodies accept both." in shown


def load_step(position):
    record = load(Job.objects.get(number=114))
    return next(one for one in record.steps if one.position == position)


@pytest.mark.parametrize(
    ("place", "air", "air_c"),
    [("engine", "35", 50), ("engine", "70", 70), ("body", "-10", 30), ("body", "", 30)],
)
def test_air_that_is_cooler_does_not_cool_the_place_that_was_chosen(place, air, air_c):
    typed = {"place": place, "air": air, "wires": "1"}
    assert place_of(typed).temperature_c == air_c


def test_a_current_of_a_starter_is_filled_in_as_a_person_types_it():
    assert [_amps(one) for one in (1200.0, 0.1234, 5.058, 10.25)] == [
        "1200",
        "0.123",
        "5.06",
        "10.2",
    ]
