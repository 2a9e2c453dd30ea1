"""Settings of the shop: places, timetable, instruments."""

from uuid import uuid4

import pytest

from witnessmark.shop.models import Bay, Instrument, Period, Shop


def send(cast, **typed):
    return cast.browser(cast.teacher).post("/shop", {"id": str(uuid4()), **typed}, follow=True)


def test_a_bay_is_added_once_however_often_it_is_sent(cast):
    teacher, sent = cast.browser(cast.teacher), {"id": str(uuid4()), "act": "bay", "name": "4"}
    for _ in range(2):
        assert teacher.post("/shop", sent | {"kind": "bench"}).status_code == 302
    assert Bay.objects.filter(name="4", kind="bench").count() == 1


def test_a_weekly_period_becomes_the_dated_periods_of_two_weeks(cast):
    before = Period.objects.count()
    answer = send(
        cast,
        act="periods",
        day=["0", "3"],
        number="4",
        start="13:00",
        end="14:20",
        section=str(cast.section.pk),
        first="2026-11-24",
    )
    assert "4 periods are added." in answer.content.decode()
    assert Period.objects.count() == before + 4


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"start": "noon"}, "“noon” is not a time of day."),
        ({"number": "three"}, "is not a number of period number"),
        ({"end": "12:00"}, "A period ends after it starts."),
        ({"section": ""}, ""),
    ],
)
def test_a_period_that_cannot_be_is_refused_in_words(cast, typed, said):
    whole = {"day": ["1"], "number": "5", "start": "13:00", "end": "14:00", "first": "2026-11-24"}
    before = Period.objects.count()
    section = {"section": str(cast.section.pk)}
    answer = send(cast, act="periods", **{**whole, **section, **typed})
    assert answer.status_code in (404, 422)
    assert said in answer.content.decode()
    assert Period.objects.count() == before


def test_a_period_without_a_teacher_is_said_so(cast):
    period = Period.objects.first()
    send(cast, act="presence", period=str(period.pk), presence="out")
    period.refresh_from_db()
    assert period.presence == "out"


def test_an_instrument_is_kept_as_typed_and_one_without_unit_is_refused(cast):
    send(cast, act="instrument", name="Wrench 2", kind="torque wrench", resolution="1 N·m")
    assert Instrument.objects.get().resolution == "1 N·m"
    answer = send(cast, act="instrument", name="Wrench 3", kind="wrench", resolution="1 furlong")
    assert answer.status_code == 422
    assert 'value="Wrench 3"' in answer.content.decode()
    assert Instrument.objects.count() == 1


def test_settings_are_kept(cast):
    send(
        cast,
        act="settings",
        units="inch",
        paper="Letter",
        tools_down_minutes="12",
        within_at="95 %",
        outside_at="5",
    )
    shop = Shop.objects.get()
    assert (shop.units, shop.paper, shop.tools_down_minutes) == ("inch", "Letter", 12)
    assert (shop.within_at, shop.outside_at) == (0.95, 0.05)


def test_a_gauge_is_set_in_another_instrument_and_carries_its_zero(cast):
    send(
        cast,
        act="instrument",
        name="Micrometer 1",
        kind="micrometer",
        resolution="0.001 mm",
        u_repeat="2 µm",
        u_zero="2 µm",
    )
    micrometer = Instrument.objects.get()
    send(
        cast,
        act="instrument",
        name="Bore gauge 1",
        kind="bore gauge",
        resolution="0.001 mm",
        u_repeat="3 µm",
        set_in=str(micrometer.pk),
    )
    gauge = Instrument.objects.get(name="Bore gauge 1")
    assert (gauge.set_in, gauge.u_repeat) == (micrometer, "3 µm")
    assert "set in Micrometer 1" in cast.browser(cast.teacher).get("/shop").content.decode()


def test_the_rules_for_repairs_are_kept_and_an_impossible_limit_is_refused(cast):
    answer = send(cast, act="repairs", joint_rule="crimp", own_drop="0,3 V")
    assert "The rules for repairs are kept." in answer.content.decode()
    shop = Shop.objects.get()
    assert (shop.joint_rule, shop.own_drop) == ("crimp", "0,3 V")
    for own_drop, joint_rule, said in (
        ("90 V", "crimp", "The allowed drop is 90 V"),
        ("0.3 A", "crimp", "is a current"),
        ("", "tape", "There is no joint rule"),
    ):
        answer = send(cast, act="repairs", joint_rule=joint_rule, own_drop=own_drop)
        assert answer.status_code == 422
        assert said in answer.content.decode()
    shop.refresh_from_db()
    assert (shop.joint_rule, shop.own_drop) == ("crimp", "0,3 V")
