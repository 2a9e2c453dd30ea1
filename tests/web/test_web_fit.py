"""The Fit screen: sizes with their verdicts, oil holes, the block, and one more reading."""

import html
import re
from datetime import timedelta
from uuid import uuid4

import pytest

from tests.web import fit_bench
from tests.web.cast import TUESDAY
from witnessmark.log.models import Entry
from witnessmark.record.models import Reading, StoredVerdict
from witnessmark.shop import clock
from witnessmark.shop.models import Instrument, Shop

PAGE = "/jobs/109/fit"


@pytest.fixture
def job(cast):
    return fit_bench.engine(cast)


@pytest.fixture
def measured(cast, job):
    fit_bench.give_sheet(cast, job)
    fit_bench.read_everything(cast, job)
    return job


def words(answer) -> str:
    """The text of a page, without its drawings and tags."""
    text = re.sub(r"<svg.*?</svg>", " ", answer.content.decode(), flags=re.DOTALL)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", text)))


def typed(place="bush-bore:3", text="49.604", instrument="bore gauge", **more):
    one = Instrument.objects.filter(name=instrument).first()
    return {
        "id": str(uuid4()),
        "place": place,
        "text": text,
        "instrument": str(one.pk) if one else "",
        "step": "1",
        **more,
    }


def test_the_page_says_every_size_with_its_verdict(cast, measured):
    answer = cast.browser(cast.on_it).get(PAGE)
    said = words(answer)
    assert answer.status_code == 200
    for size, chance, verdict in [
        ("82 ± 8", "over 99.9%", "Within"),
        ("105 ± 8", "89%", "Too close to call"),
        ("124 ± 8", "under 0.1%", "Outside"),
    ]:
        assert f"{size} {chance} to conform {verdict}" in said
    assert "read bore and journal twice more each" in said
    assert "Turn it 8° back before pressing in" in said
    assert "The zero of the micrometer is in both readings and cancels." in said
    assert "Bore gauge set in the micrometer." in said


def test_the_page_promises_nothing_about_oil_pressure(cast, measured):
    said = words(cast.browser(cast.teacher).get(PAGE)).lower()
    assert "workmanship, not of flow" in said
    assert not re.search(r"\bbar\b|pressure|oil to bush", said)


def test_looking_changes_nothing(cast, measured):
    before = Entry.objects.count()
    cast.browser(cast.on_it).get(f"{PAGE}?bush=1&step=4")
    assert Entry.objects.count() == before


@pytest.mark.parametrize("path", [PAGE, f"{PAGE}/reading", f"{PAGE}/sheet"])
def test_a_stranger_sees_no_such_job(cast, measured, path):
    stranger = cast.browser(cast.not_on_it)
    assert stranger.get(PAGE).status_code == 404
    if path != PAGE:
        assert stranger.post(path, typed()).status_code == 404
    assert cast.browser().get(PAGE).status_code in {302, 403}


def test_a_reading_is_kept_with_the_verdict_it_leads_to(cast, measured):
    learner = cast.browser(cast.on_it)
    for text, place, gauge in [
        ("49.604", "bush-bore:3", "bore gauge"),
        ("49,604 mm", "bush-bore:3", "bore gauge"),
        ("49.499", "cam-journal:3", "micrometer"),
        ("49.499", "cam-journal:3", "micrometer"),
    ]:
        answer = learner.post(f"{PAGE}/reading", typed(place, text, gauge))
        assert answer.status_code == 302, words(answer)
    standing = StoredVerdict.objects.get(key="clearance", position="3", replaced_by=None)
    assert (standing.word, standing.value, standing.expanded) == ("within", "105 µm", "± 6 µm")
    assert len(standing.reading_ids) == 6
    assert "105 ± 6 96% to conform Within" in words(learner.get(PAGE))


def test_the_same_form_sent_twice_keeps_one_reading(cast, measured):
    learner, form = cast.browser(cast.on_it), typed()
    count = Reading.objects.count()
    assert learner.post(f"{PAGE}/reading", form).status_code == 302
    assert learner.post(f"{PAGE}/reading", form).status_code == 302
    assert Reading.objects.count() == count + 1


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"text": "49.604 V"}, "“49.604 V” is a voltage."),
        ({"text": "1,2,3"}, "is not one number"),
        ({"text": ""}, "Nothing was entered."),
        ({"place": "bush-bore:9"}, "does not say what was read"),
        ({"place": "clearance:1"}, "does not say what was read"),
        ({"instrument": "protractor"}, "That instrument reads an angle."),
    ],
)
def test_what_cannot_be_used_is_said_and_stays_typed(cast, measured, form, said):
    count = Reading.objects.count()
    answer = cast.browser(cast.on_it).post(f"{PAGE}/reading", typed(**form))
    assert answer.status_code == 422
    assert said in words(answer)
    assert Reading.objects.count() == count
    if form.get("text"):
        assert f'value="{form["text"]}"' in answer.content.decode()


def test_a_verdict_stays_as_it_was_shown_when_the_shop_changes_its_rule(cast, measured):
    Shop.objects.update(within_at=0.85)
    assert "105 ± 8 89% to conform Too close to call" in words(cast.browser(cast.on_it).get(PAGE))


def test_a_wide_pair_is_sent_back_by_the_names_of_its_readers(cast, measured):
    cast.browser(cast.on_it).post(f"{PAGE}/reading", typed("bush-bore:1", "50.123"))
    said = words(cast.browser(cast.teacher).get(PAGE))
    assert "50.083 mm by Isla and 50.123 mm by Isla are 0.040 mm apart" in said
    assert str(cast.on_it.pk) not in said


def test_a_bush_in_the_wrong_bore_is_named(cast, measured):
    learner = cast.browser(cast.on_it)
    bench = [("bush-at:2", "3"), ("bush-at:3", "2")]
    with clock.at(TUESDAY + timedelta(minutes=5)):  # the last look counts
        for place, bush in bench:
            assert learner.post(f"{PAGE}/reading", typed(place, bush, "")).status_code == 302
    assert "Bush 3 lies at bore 2: it is 0.19 mm too small" in words(learner.get(PAGE))


def test_every_drawing_has_its_table(cast, measured):
    answer = cast.browser(cast.on_it).get(PAGE)
    page = answer.content.decode()
    assert page.count("Show as table") == 2
    assert page.count('class="gal') == 2  # wide, and for a phone
    said = words(answer)
    assert "Bearing 2 oil feed 5 mm at 5 o’clock 6.5 mm 1° late all" in said
    assert "Bearing 4 53.25 mm 53.31 mm 49.25 mm oil feed 5 mm at 5 o’clock bush 4" in said
    assert page.count('class="ub v') == 4


def test_the_fit_is_reached_from_the_job_and_from_its_steps(cast, measured):
    learner = cast.browser(cast.on_it)
    assert f'href="{PAGE}"' in learner.get("/jobs/109").content.decode()
    assert f'href="{PAGE}?step=4"' in learner.get("/jobs/109/step/4").content.decode()


def test_another_bush_can_be_asked_for(cast, measured):
    assert "Oil hole, bearing 3" in words(cast.browser(cast.on_it).get(PAGE))
    assert "Oil hole, bearing 2" in words(cast.browser(cast.on_it).get(f"{PAGE}?bush=2"))
    assert "Oil hole, bearing 3" in words(cast.browser(cast.on_it).get(f"{PAGE}?bush=77"))


def test_readings_after_pressing_are_as_left_and_count_alone(cast, measured):
    learner = cast.browser(cast.on_it)
    prove = fit_bench.begun(cast, measured.steps.get(key="prove"))
    form = typed("bush-bore:4", "49.336", step=str(prove.position))
    assert learner.post(f"{PAGE}/reading", form).status_code == 302
    assert Reading.objects.get(text="49.336").phase == "as left"
    assert "84 ± 8" in words(learner.get(PAGE))


def test_without_a_sheet_the_page_says_what_to_do(cast, job):
    learner = cast.browser(cast.on_it)
    said = words(learner.get(PAGE))
    assert "This job has no assembly sheet yet." in said
    assert learner.post(f"{PAGE}/sheet", {"id": str(uuid4()), "item": "x"}).status_code == 422
    form = typed()
    assert learner.post(f"{PAGE}/reading", form).status_code == 422


def test_a_sheet_from_the_library_is_given_to_the_job(cast, job, measured):
    from witnessmark.shop.models import LibraryItem

    item = LibraryItem.objects.get(kind="assembly")
    form = {"id": str(uuid4()), "item": str(item.pk)}
    assert cast.browser(cast.on_it).post(f"{PAGE}/sheet", form).status_code == 302


def test_with_a_sheet_and_no_reading_everything_is_still_to_read(cast, job):
    fit_bench.give_sheet(cast, job)
    said = words(cast.browser(cast.on_it).get(PAGE))
    assert said.count("not read yet") >= 8
    assert "Within from 95%" in said


def test_the_page_asks_the_database_no_more_for_more_readings(
    cast, measured, django_assert_max_num_queries
):
    learner = cast.browser(cast.on_it)
    learner.get(PAGE)
    with django_assert_max_num_queries(45):
        learner.get(PAGE)
