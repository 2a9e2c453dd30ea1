"""Find: the advised readings lead to the cause; who may, what is refused, what stays."""

import re
from importlib import resources
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.web.cast import TEACHER_PIN, led_back
from witnessmark.diagnosis.kinds import KINDS
from witnessmark.record.acts.by import By
from witnessmark.record.acts.causes import name_cause
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.people import give_permit
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.acts.steps import assign_crew
from witnessmark.record.models import Cause, Complaint, Photo, PinnedSheet, Reading, Step
from witnessmark.shop.models import LibraryItem, Shop

CIRCUITS = resources.files("witnessmark") / "examples" / "circuits"
FAN = CIRCUITS / "fan.toml"
WORDS = "The fan hardly blows. It was fine in summer."
# What the meter shows on a van whose ground joint has 0.5 ohm too much.
VOLTS = {"A": "12.5", "B": "12.5", "C": "12.4", "D": "12.2", "E": "2.9", "F": "2.8"}


@pytest.fixture
def van(cast):
    """A job whose fan is slow; the Library holds its circuit sheet."""
    by = By(person=cast.teacher)
    put_in_library(by, uuid4(), kind="circuit", text=FAN.read_text("utf-8"), name="fan.toml")
    job = open_job(
        by,
        uuid4(),
        intake=Intake(
            vehicle="Meals van",
            make="Brae",
            model="12",
            owner_name="Harbour kitchen",
            owner_phone="555 0117",
            promised=cast.device.until,
        ),
        complaint=WORDS,
        section=cast.section,
        number=117,
    )
    assign_crew(by, uuid4(), job=job, people=[cast.on_it])
    return job


def send(browser, van, act, **fields):
    """Post one act of Find as its form does."""
    address = f"/jobs/{van.number}/find/{act}"
    return led_back(browser, browser.post(address, {"id": str(uuid4()), **fields}))


def shown(browser, van, query=""):
    return browser.get(f"/jobs/{van.number}/find{query}").content.decode()


@pytest.fixture
def opened(cast, van):
    """The learner's browser, with Find open on the van's sheet and the complaint tied to it."""
    browser = cast.browser(cast.on_it)
    sheet = re.search(r'<option value="([0-9a-f-]{36})">Brae', shown(browser, van))[1]
    answer = send(browser, van, "open", sheet=sheet, sheet_id=str(uuid4()))
    assert answer.status_code == 302, answer.content.decode()
    row = Complaint.objects.get(job=van)
    answer = send(browser, van, "complaint", complaint=str(row.pk), key="slow")
    assert answer.status_code == 302, answer.content.decode()
    return browser


def told(key):
    """What the advised test shows on this van."""
    kind, place = key.split()[:2]
    if kind == "volts":
        to = key.partition(" to=")[2].split()
        volts = float(VOLTS[place]) - (float(VOLTS[to[0]]) if to else 0.0)
        return {"text": f"{volts:.1f}"}
    if kind == "clamp":
        return {"text": "6.2"}
    if kind == "ohms":
        return {"text": "0.2"}
    if kind == "lamp":
        across = abs(float(VOLTS[place]) - (float(VOLTS["A"]) if " to=A" in key else 0.0))
        return {"outcome": "lit" if across > 8 else "dim" if across > 2.5 else "dark"}
    return {"outcome": KINDS[kind].outcomes[kind != "watch" and place != "G7"]}


def advised(page):
    """Return the key of the advised test."""
    found = re.search(r'name="test" value="([^"]+)"', page)
    return found and found[1]


def follow(browser, van):
    """Do what is advised until the cause can be named."""
    for _ in range(8):
        page = shown(browser, van)
        if "Cause found" in page:
            return page
        key = advised(page)
        answer = send(browser, van, "reading", test=key, present="yes", **told(key))
        assert answer.status_code == 302, answer.content.decode()
    raise AssertionError("the advised readings lead nowhere")


def test_the_advised_readings_lead_to_the_cause_and_the_teacher_marks_it(cast, van, opened):
    page = follow(opened, van)
    assert "G7, high resistance" in page
    assert "must read" in page  # the proof of the repair
    statement = re.search(r'<textarea id="statement"[^>]*>([^<]+)', page)[1]
    assert "G7 ground joint: high resistance" in statement
    assert re.search(r"[A-Z] read -?[0-9.]+ V[.]", statement), statement

    answer = send(opened, van, "cause", statement=statement)
    assert answer.status_code == 302, answer.content.decode()
    cause = Cause.objects.get(job=van)
    assert cause.how == "find"
    assert cause.suspect == "G7:high"
    assert cause.reading_ids and cause.belief[0]["suspect"] == "G7, high resistance"

    marking = f"/jobs/{van.number}/cause/mark"
    page = opened.get(marking).content.decode()
    assert "E, motor −, the fan running" in page  # a test in words, not its key
    digest = re.search(r'name="digest" value="([0-9a-f]{64})"', page)[1]
    sent = {"id": str(uuid4()), "digest": digest, "pin": TEACHER_PIN, "who": str(cast.teacher.pk)}
    assert opened.post(marking, sent).status_code == 302
    assert "On to the steps" in shown(opened, van)


def test_the_hand_back_paper_names_the_test_that_proved_the_cause(van, opened):
    follow(opened, van)
    send(opened, van, "cause", statement="G7 ground joint: high resistance.")
    page = opened.get(f"/jobs/{van.number}/release?for=owner")
    assert page.status_code == 200
    assert "E, motor −, the fan running: 2.9 V" in page.content.decode()
    paper = opened.get(f"/jobs/{van.number}/release/paper.pdf")
    assert paper.content.startswith(b"%PDF")


def test_the_page_says_one_sentence_why_and_draws_the_circuit(van, opened):
    page = shown(opened, van)

    assert page.count("Next test, ") == 1
    assert "Measure volts at " in page
    assert "Why: " in page
    assert page.count('class="cct wd"') == page.count('class="cct ph"') == 1
    assert page.count('class="cct"') == 1  # the whole circuit
    assert "Show as table" in page and "Show as list" in page
    assert "stud G7" in page
    assert "style=" not in page


def test_a_range_is_explained_once_where_one_is_said(van, opened):
    words = "About nine readings in ten lie within such a range; yours may lie a little outside."
    with_range, without = set(), set()
    for lack in ("", "meter", "meter,test+lamp"):
        page = shown(opened, van, f"?lack={lack}")
        why = page.partition('<p class="why">Why: ')[2].partition("</p>")[0]
        (with_range if re.search(r"\d to \d", why) else without).add(page.count(words))
    assert with_range == {1} and without == {0}


def test_before_find_is_open_the_page_says_what_to_do(cast, van):
    page = shown(cast.browser(cast.on_it), van)

    assert "Find is not open on this job yet" in page
    assert "Open Find" in page


def test_looking_changes_nothing(van, opened):
    before = (Reading.objects.count(), Complaint.objects.count(), Step.objects.count())
    shown(opened, van)
    shown(opened, van, "?skip=E")
    assert (Reading.objects.count(), Complaint.objects.count(), Step.objects.count()) == before


def test_a_stranger_finds_no_job(cast, van, opened):
    stranger = cast.browser(cast.not_on_it)
    assert stranger.get(f"/jobs/{van.number}/find").status_code == 404
    for what in ("open", "reading", "cause", "evidence", "photo", "look", "call", "complaint"):
        assert send(stranger, van, what).status_code == 404
    assert cast.browser().get(f"/jobs/{van.number}/find").status_code == 302


def test_a_learner_cannot_mark_the_cause(cast, van, opened):
    follow(opened, van)
    send(opened, van, "cause", statement="G7: bad joint.")
    marking = f"/jobs/{van.number}/cause/mark"
    page = opened.get(marking).content.decode()
    digest = re.search(r'name="digest" value="([0-9a-f]{64})"', page)[1]
    sent = {"id": str(uuid4()), "digest": digest, "pin": "2846", "who": str(cast.on_it.pk)}
    assert opened.post(marking, sent).status_code == 403
    assert "On to the steps" not in shown(opened, van)


def test_sending_a_reading_twice_keeps_one(van, opened):
    sent = {"id": str(uuid4()), "test": advised(shown(opened, van)), "text": "2.9"}
    for _ in range(2):
        assert opened.post(f"/jobs/{van.number}/find/reading", sent).status_code == 302
    assert Reading.objects.filter(job=van).count() == 1


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"test": "volts E state=run", "text": "abc"}, "not one number"),
        ({"test": "volts D state=run", "text": "-30 V"}, "Check the scale of the meter"),
        ({"test": "volts D state=run", "text": "12 A"}, "needed here"),
        ({"kind": "volts", "place": "D", "state": "run", "text": "1200"}, "Check the scale"),
        ({"test": "volts E state=run", "text": "1200"}, "Check the scale of the meter"),
        ({"test": "volts Q state=run", "text": "12"}, "The sheet has the points"),
        ({"test": "ohm E", "text": "12"}, "Choose the test from the screen again"),
        ({"test": "ohms F12 state=run", "text": "1"}, "An ohmmeter on a live circuit"),
        ({"kind": "ohms", "place": "K3", "text": "much"}, "not one number"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_with_what_was_typed(fields, words, van, opened):
    answer = send(opened, van, "reading", **fields)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert f'value="{fields["text"]}"' in page
    entry = page.partition(f'value="{fields["text"]}"')[2]
    assert words in entry.partition("</form>")[0]  # at its field, not far above it on a phone
    if "kind" in fields:
        put = page.partition(f'name="place" value="{fields["place"]}"')[2]
        assert " checked" in put.partition(">")[0]
    assert 'name="answered"' not in page
    assert not Reading.objects.filter(job=van).exists()


ODD = {
    "swapped": ("-3", "−3 V at D would mean the probes are swapped."),
    "a charger": ("14.4", "14.4 V at D is higher than any fault on this sheet gives."),
}


@pytest.mark.parametrize(("text", "said"), ODD.values(), ids=ODD.keys())
@pytest.mark.parametrize(
    "form", [{"test": "volts D state=run", "present": "no"}, {"kind": "volts", "place": "D"}]
)
def test_an_odd_reading_is_asked_about_at_its_entry_and_kept_when_entered_again(
    van, opened, form, text, said
):
    form = {"state": "run", **form, "text": text}
    answer = send(opened, van, "reading", **form)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page and "or enter it again to keep it." in page
    assert f'value="{text}"' in page
    assert f'name="answered" value="{said}"' in page
    assert said in page.partition(f'value="{text}"')[2].partition("</form>")[0]
    assert "present" not in form or 'name="present" value="no" checked' in page
    assert not Reading.objects.filter(job=van).exists()
    other = send(opened, van, "reading", **form | {"text": "-5"}, answered=said)
    assert other.status_code == 422  # the answer is to one value alone
    assert send(opened, van, "reading", **form, answered=said).status_code == 302
    assert Reading.objects.get(job=van).text == text


def test_a_correction_is_asked_about_as_its_entry_is(van, opened):
    send(opened, van, "reading", test="volts D state=run", text="12.2")
    row = Reading.objects.get(job=van)
    page = f"/jobs/{van.number}/reading/{row.pk}/correct"
    fields = {"text": "-12.2", "reason": "Misread"}
    answer = led_back(opened, opened.post(page, {"id": str(uuid4()), **fields}))
    said = "−12.2 V at D would mean the probes are swapped."
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert 'value="-12.2"' in answer.content.decode()
    far = opened.post(page, {"id": str(uuid4()), **fields, "text": "1200"})
    assert led_back(opened, far).status_code == 422
    assert Reading.objects.count() == 1
    sent = {"id": str(uuid4()), **fields, "answered": said}
    assert opened.post(page, sent).status_code == 302
    assert Reading.objects.get(replaced_by=None).text == "-12.2"


def test_a_comma_a_lamp_and_another_point_are_taken(van, opened):
    send(opened, van, "reading", test="volts A state=run", text="12,5", present="yes")
    send(opened, van, "reading", test="lamp D state=run", outcome="lit")
    send(opened, van, "reading", kind="volts", place="B", state="off", text="12.6")

    rows = {row.key: row for row in Reading.objects.filter(job=van)}
    assert rows["volts A state=run"].present == "yes"
    assert rows["lamp D state=run"].outcome == "lit"
    assert rows["volts B state=off"].text == "12.6"
    page = shown(opened, van)
    assert "A, battery +" in page and "D, motor +, test lamp" in page


def test_the_state_stands_beside_each_reading_that_was_taken_in_one(van, opened):
    send(opened, van, "reading", kind="volts", place="B", state="off", text="12.6")
    send(opened, van, "reading", kind="volts", place="B", state="run", text="12.5")
    send(opened, van, "reading", kind="look", place="G7", outcome="sound")

    table = shown(opened, van).partition('id="readings"')[2].partition("</table>")[0]
    (off,) = [one for one in table.split("<tr>") if "12.6 V" in one]
    (run,) = [one for one in table.split("<tr>") if "12.5 V" in one]
    (look,) = [one for one in table.split("<tr>") if "to the eye" in one]
    assert '<br><span class="dim">everything switched off</span>' in off
    assert '<br><span class="dim">the fan running</span>' in run
    assert "<br>" not in look


def test_out_of_reach_asks_for_another_point_and_is_remembered(van, opened):
    first = advised(shown(opened, van)).split()[1]
    page = shown(opened, van, f"?skip={first}")
    assert advised(page).split()[1] != first
    answer = send(opened, van, "reading", test=advised(page), text="12.4", skip=first)
    assert f"skip={first}" in answer.headers["Location"]


def test_a_corrected_reading_takes_the_old_ones_place(van, opened):
    send(opened, van, "reading", test="volts E state=run", text="9.2")
    before = shown(opened, van)
    row = Reading.objects.get(job=van)
    fields = {"id": str(uuid4()), "text": "2.9", "reason": "Misread"}
    answer = opened.post(f"/jobs/{van.number}/reading/{row.pk}/correct", fields)
    assert answer.status_code == 302, answer.content.decode()
    after = shown(opened, van)
    assert advised(before) and "<s " in after and "9.2 V" in after
    assert Reading.objects.filter(job=van).count() == 2


def test_a_reading_while_the_complaint_was_away_clears_nobody(van, opened):
    fields = {"test": "volts E state=run", "text": "0.18", "present": "no"}
    send(opened, van, "reading", **fields)

    assert Reading.objects.get(job=van).present == "no"
    assert "clears nobody" in shown(opened, van)


def test_a_cause_is_not_named_before_the_run_has_proved_it(van, opened):
    answer = send(opened, van, "cause", statement="It is G7, I feel it.")

    assert answer.status_code == 422
    assert "leave more than one cause" in answer.content.decode()
    assert not Cause.objects.exists()


def test_a_worn_part_is_proved_by_a_reading_and_a_photo_without_any_circuit(cast, van):
    browser = cast.browser(cast.on_it)
    assert send(browser, van, "open", sheet="").status_code == 302
    assert not PinnedSheet.objects.filter(job=van).exists()
    send(browser, van, "look", what="Lining, left rear shoe", value="1.2 mm")
    send(browser, van, "look", what="Drum, left rear", value="scored")
    from io import BytesIO

    from PIL import Image

    picture = BytesIO()
    Image.new("RGB", (60, 40), "grey").save(picture, "JPEG")
    file = SimpleUploadedFile("shoe.jpg", picture.getvalue(), "image/jpeg")
    answer = send(browser, van, "photo", photo=file, caption="Lining worn to the rivets")
    assert answer.status_code == 302, answer.content.decode()
    page = shown(browser, van)
    assert "Lining, left rear shoe" in page and "scored" in page

    empty = send(browser, van, "evidence", statement="Worn lining.")
    assert empty.status_code == 422
    reading = Reading.objects.get(job=van, text="1.2")
    photo = Photo.objects.get(job=van)
    fields = {"reading": str(reading.pk), "photo": str(photo.pk)}
    answer = send(browser, van, "evidence", statement="Left rear lining worn.", **fields)
    assert answer.status_code == 302, answer.content.decode()
    cause = Cause.objects.get(job=van)
    assert cause.how == "evidence"
    assert cause.photo_ids == (photo.pk,)


def test_the_teacher_is_called_to_the_cause(van, opened):
    assert send(opened, van, "call", what="cause").status_code == 422  # nothing is named yet
    follow(opened, van)
    send(opened, van, "cause", statement="G7: bad joint.")
    assert send(opened, van, "call", what="cause").status_code == 302
    assert "Called" in shown(opened, van)


def test_a_circuit_above_60_v_stops_the_learner(cast, van):
    text = FAN.read_text("utf-8").replace('emf = "12.6 V"', 'emf = "96 V"')
    text = text.replace('name = "Brae 12, fan and heater"', 'name = "Brae 12, traction"')
    put_in_library(By(person=cast.teacher), uuid4(), kind="circuit", text=text, name="high.toml")
    browser = cast.browser(cast.on_it)
    sheet = re.search(r'<option value="([0-9a-f-]{36})">Brae 12, traction', shown(browser, van))[1]
    send(browser, van, "open", sheet=sheet, sheet_id=str(uuid4()))
    page = shown(browser, van)

    assert "carries 96 V, and more than 60 V DC can kill" in page
    assert "Next test, " not in page
    assert "Another test" not in page
    answer = send(browser, van, "reading", test="volts A state=run", text="96")
    assert answer.status_code == 422
    assert "tell the teacher" in answer.content.decode()
    assert not Reading.objects.filter(job=van).exists()


def test_a_tool_that_is_not_here_is_not_asked_for_again(van, opened):
    page = shown(opened, van, "?lack=meter,clamp+meter,eyes+and+hands,known-good+part")
    assert advised(page).startswith("lamp ")
    assert "Not here: meter, clamp meter" in page
    kept = send(opened, van, "reading", test=advised(page), outcome="lit", lack="meter")
    assert "lack=meter" in kept.headers["Location"]


def test_a_jumper_is_offered_only_to_a_crew_with_the_permit(cast):
    from witnessmark.diagnosis.kinds import JUMPER, KINDS
    from witnessmark.web.find_facts import means_of

    shop = Shop.objects.get(pk=1)
    assert not means_of(shop, [cast.on_it]).allow(KINDS[JUMPER])
    give_permit(By(person=cast.teacher), uuid4(), person=cast.on_it, kind="live", level="allowed")
    assert means_of(shop, [cast.on_it]).allow(KINDS[JUMPER])
    assert not means_of(shop, [cast.on_it], ["fused jumper lead"]).allow(KINDS[JUMPER])


TOLD_ON_FIND = "E, motor −, the fan running"


def read_at_e(browser, van):
    """Read the volts at E."""
    sent = send(browser, van, "reading", test="volts E state=run", text="2.9", present="yes")
    assert sent.status_code == 302, sent.content.decode()
    return Reading.objects.get(job=van)


def test_a_cause_from_readings_shows_its_tests_in_the_words_of_find(van, opened):
    row = read_at_e(opened, van)
    answer = send(opened, van, "evidence", statement="G7 is green.", reading=str(row.pk))
    assert answer.status_code == 302, answer.content.decode()
    cause = Cause.objects.get(job=van)
    assert cause.how == "evidence" and cause.sheet is not None
    assert f"{TOLD_ON_FIND}: 2.9 V" in shown(opened, van)
    for page in (
        f"/jobs/{van.number}/cause/mark",
        f"/jobs/{van.number}/release?for=owner",
        f"/jobs/{van.number}",
    ):
        text = opened.get(page).content.decode()
        assert "state=run" not in text, page
    assert TOLD_ON_FIND in opened.get(f"/jobs/{van.number}/cause/mark").content.decode()


def test_a_cause_that_kept_no_sheet_shows_its_tests_in_words_and_its_mark_stays(cast, van, opened):
    row = read_at_e(opened, van)
    name_cause(
        By(person=cast.teacher),
        uuid4(),
        job=van,
        statement="G7 is green.",
        how="evidence",
        readings=[row],
    )
    marking = f"/jobs/{van.number}/cause/mark"
    page = opened.get(marking).content.decode()
    assert TOLD_ON_FIND in page and "state=run" not in page
    digest = re.search(r'name="digest" value="([0-9a-f]{64})"', page)[1]
    sent = {"id": str(uuid4()), "digest": digest, "pin": TEACHER_PIN, "who": str(cast.teacher.pk)}
    assert opened.post(marking, sent).status_code == 302
    assert "Nothing changed since" in opened.get(marking).content.decode()
    paper = opened.get(f"/jobs/{van.number}/release?for=owner").content.decode()
    assert "state=run" not in paper


def test_a_sheet_in_the_library_leads_to_the_jobs_that_wait_for_one(cast, van):
    item = LibraryItem.objects.get(kind="circuit")
    teacher = cast.browser(cast.teacher)
    page = teacher.get(f"/library/{item.pk}").content.decode()
    address = f"/jobs/{van.number}/find?sheet={item.pk}"
    assert f'<a href="{address}">Take it for J-{van.number}</a>' in page
    assert f'<option value="{item.pk}" selected>' in teacher.get(address).content.decode()

    answer = send(teacher, van, "open", sheet=str(item.pk), sheet_id=str(uuid4()))
    assert answer.status_code == 302
    assert "Take it for" not in teacher.get(f"/library/{item.pk}").content.decode()


def test_a_job_whose_cause_is_open_leads_to_find_before_the_steps(cast, van):
    page = cast.browser(cast.teacher).get(f"/jobs/{van.number}").content.decode()
    assert f'<a class="btn act" href="/jobs/{van.number}/find">Find the cause</a>' in page
    assert f'<a class="btn big" href="/jobs/{van.number}/steps">Choose the steps</a>' in page
