"""Taking in a vehicle: half done is kept, a job needs what it needs, and is made once."""

import html
import re
from uuid import uuid4

import pytest

from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import add_teacher
from witnessmark.record.models import Complaint, Job

TYPED = {
    "vehicle": "Meals van",
    "make": "Brae",
    "model": "12",
    "year": "2014",
    "odometer": "96 240 km",
    "says": "The fan hardly blows. It was fine in summer.",
    "happens": ["Cold", "After a bump"],
    "owner_name": "Town kitchen",
    "owner_phone": "555 0177",
    "keys": "1 set",
    "hook": "14",
    "kind": "customer",
    "promised": "2026-12-01",
    "promised_time": "15:00",
}


def send(cast, page="/jobs/new", act="open", id=None, **typed):
    sent = {**TYPED, **typed, "act": act, "id": str(id or uuid4())}
    return cast.browser(cast.teacher).post(page, sent)


def test_a_vehicle_becomes_a_job_with_its_complaint(cast):
    answer = send(cast)
    job = Job.objects.get()
    assert answer.headers["Location"] == f"/jobs/{job.number}"
    assert job.keys == "1 set, hook 14"
    assert job.promised.isoformat() == "2026-12-01T15:00:00+00:00"
    assert Complaint.objects.get().words == TYPED["says"]
    page = cast.browser(cast.teacher).get(f"/jobs/{job.number}").content.decode()
    assert "The fan hardly blows." in page and "Tue 1 Dec" in page


def test_half_done_is_kept_whole_and_finished_later(cast):
    answer = send(cast, act="keep", owner_phone="", promised="")
    job = Job.objects.get()
    assert job.half_done
    page = cast.browser(cast.teacher).get(answer.headers["Location"]).content.decode()
    assert TYPED["says"] in page and 'value="Town kitchen"' in page
    assert "Half taken in: Meals van" in cast.browser(cast.teacher).get("/jobs").content.decode()
    assert not Complaint.objects.exists()
    assert send(cast, page=f"/jobs/{job.number}/intake").status_code == 302
    job.refresh_from_db()
    assert not job.half_done and job.says == ""
    assert Job.objects.count() == 1 and Complaint.objects.count() == 1


@pytest.mark.parametrize("read", ["1 200 h", "1203,5 hours", "59 800 mi", "96 240 km"])
def test_a_distance_or_the_hours_of_a_machine_are_kept_as_they_were_read(cast, read):
    assert send(cast, odometer=read).status_code == 302
    assert Job.objects.get().odometer_in == Job.objects.get().vehicle.odometer == read


def test_half_done_a_slip_of_the_pen_may_stand(cast):
    assert send(cast, act="keep", odometer="abc", year="1066").status_code == 302
    assert Job.objects.get().half_done


def test_a_number_alone_on_the_odometer_is_kept_in_km_as_its_label_says(cast):
    assert send(cast, odometer="184000").status_code == 302
    assert Job.objects.get().odometer_in == "184000 km"


def test_one_thing_that_lacks_is_called_it(cast):
    page = send(cast, owner_phone="").content.decode()
    assert "A job needs it before work begins." in page


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"owner_phone": ""}, "the owner&#x27;s phone number"),
        ({"promised": ""}, "a promised date"),
        ({"says": " "}, "no complaint"),
        ({"year": "09"}, "“09” is not a year."),
        ({"promised": "soon"}, "“soon” is not a day."),
        ({"promised_time": "tea"}, "“tea” is not a time of day."),
        ({"odometer": "abc"}, "The odometer is “abc”."),
        ({"odometer": "12 V"}, "The odometer is “12 V”."),
        ({"odometer": "1200 min"}, "or hours, as 1200 h of an hour meter."),
        ({"odometer": "1200 m"}, "It is a distance in km or mi"),
        ({"odometer": "-5 km"}, "or leave it empty if it cannot be read."),
        ({"year": "1066"}, "The vehicle is of the year 1066."),
        ({"not_before": "2026-12-10"}, "“At the latest” does not lie after “not before”."),
        ({"promised": "2020-12-01"}, "The promised day is over already."),
    ],
)
def test_what_is_missing_is_said_and_what_was_typed_stays(cast, typed, said):
    answer = send(cast, **typed)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert said in page
    assert 'value="Meals van"' in page
    assert not Job.objects.exists()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"vehicle": ""}, "vehicle"),
        ({"owner_name": ""}, "owner_name"),
        ({"owner_phone": "", "promised": ""}, "owner_phone"),
        ({"promised": ""}, "promised"),
        ({"promised": "2020-12-01"}, "promised"),
        ({"promised": "soon"}, "promised"),
        ({"not_before": "2026-12-10"}, "promised"),
        ({"not_before": "2026-12-01", "promised_time": "00:00"}, "promised"),
        ({"not_before": "later"}, "not_before"),
        ({"promised_time": "tea"}, "promised_time"),
        ({"year": "1066"}, "year"),
        ({"year": "09"}, "year"),
        ({"odometer": "12 V"}, "odometer"),
        ({"odometer": "-5 km"}, "odometer"),
        ({"says": " "}, "says"),
    ],
)
def test_what_is_refused_is_said_at_its_field(cast, typed, field):
    page = send(cast, **typed).content.decode()

    (spoken_of,) = [part for part in page.split("<") if 'aria-describedby="at_field"' in part]
    assert f' name="{field}"' in spoken_of
    assert ' aria-invalid="true"' in spoken_of and " autofocus" in spoken_of
    own = page.partition(f' name="{field}"')[2].partition('<label class="lab"')[0]
    assert own.count('id="at_field"') == page.count('id="at_field"') == 1
    is_several = page.count('class="atf" id="at_') > 1
    assert ("2 entries are not right yet." in page) == is_several
    assert ('class="warnb ink"' in page) == is_several  # and nowhere else


def test_all_that_is_wrong_is_told_at_once_each_at_its_field_and_the_first_has_the_cursor(cast):
    wrong = {
        "says": "",
        "year": "09",
        "odometer": "12 V",
        "owner_phone": "",
        "not_before": "soon",
        "promised_time": "tea",
    }
    answer = send(cast, **wrong)
    page = html.unescape(answer.content.decode())

    assert answer.status_code == 422 and not Job.objects.exists()
    assert "6 entries are not right yet." in page
    ids = re.findall(r'aria-invalid="true" aria-describedby="(\w+)"', page)
    assert ids == ["at_field", *(f"at_{field}" for field in list(wrong)[1:])]
    assert re.findall(r'class="atf" id="(\w+)"', page) == ids  # each sentence at its own field
    (begins,) = [part for part in page.split("<") if " autofocus" in part]
    assert 'name="says"' in begins
    for said in (
        "The intake of Meals van has no complaint.",
        "“09” is not a year.",
        "The odometer is “12 V”.",
        "The intake of Meals van lacks the owner's phone number.",
        "“soon” is not a day.",
        "“tea” is not a time of day.",
    ):
        assert page.count(said) == 1
    for value in [*filter(None, wrong.values()), "2026-12-01", "Town kitchen"]:
        assert f'value="{value}"' in page


def test_half_done_tells_at_once_what_cannot_even_be_kept(cast):
    page = send(cast, act="keep", vehicle="", year="09", owner_phone="").content.decode()
    assert re.findall(r'aria-describedby="(\w+)"', page) == ["at_field", "at_year"]
    assert not Job.objects.exists()


def test_the_same_form_sent_twice_makes_one_job(cast):
    id = uuid4()
    assert [send(cast, id=id).status_code for _ in range(2)] == [302, 302]
    assert Job.objects.count() == 1


def test_the_office_takes_in_and_a_learner_does_not(cast):
    by = By(person=cast.teacher)
    add_teacher(
        by,
        uuid4(),
        name="Office",
        handle="office",
        password="quiet filing cabinets",
        pin="5192",
        role="office",
    )
    office = cast.browser()
    office.post("/signin/password", {"handle": "office", "password": "quiet filing cabinets"})
    sent = {**TYPED, "act": "open", "id": str(uuid4())}
    assert office.post("/jobs/new", sent).status_code == 302
    assert cast.browser(cast.on_it).post("/jobs/new", sent).status_code == 403
    assert Job.objects.count() == 1


@pytest.mark.parametrize("where", ["section", "bay"])
def test_a_place_that_no_form_offers_makes_no_job(cast, where):
    assert send(cast, **{where: "nowhere"}).status_code == 404
    assert not Job.objects.exists()
