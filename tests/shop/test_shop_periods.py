"""The clock, the weekly pattern, and the period that runs now."""

from datetime import UTC, date, datetime, time, timedelta
from uuid import uuid4

import pytest

from witnessmark.errors import BenchError
from witnessmark.people.models import Section
from witnessmark.shop import clock
from witnessmark.shop.models import Shop
from witnessmark.shop.periods import WeeklyPeriod, dated, period_at

TUESDAY = datetime(2026, 11, 24, 11, 12, tzinfo=UTC)


def weekly(weekday=1, **more):
    facts = {"number": 3, "start": time(10, 40), "end": time(12), "section_id": uuid4(), **more}
    return WeeklyPeriod(weekday=weekday, **facts)


def test_the_clock_runs_with_its_offset(settings):
    settings.CLOCK_OFFSET_SECONDS = 3600.0
    ahead = clock.now() - datetime.now(UTC)
    assert timedelta(minutes=59) < ahead <= timedelta(hours=1)


def test_a_given_time_stands_and_ends():
    with clock.at(TUESDAY):
        assert clock.now() == TUESDAY
        with clock.at(TUESDAY + timedelta(days=1)):
            assert clock.now().day == 25
        assert clock.now() == TUESDAY
    assert clock.now() != TUESDAY


def test_a_time_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="zone"), clock.at(datetime(2026, 11, 24)):
        pass


def test_two_weeks_of_a_weekly_pattern():
    made = dated([weekly(1), weekly(3)], date(2026, 11, 23))
    assert [period.date.day for period in made] == [24, 26, 1, 3]


@pytest.mark.parametrize("wrong", [{"weekday": 7}, {"end": time(10, 40)}, {"end": time(9)}])
def test_a_period_that_cannot_be_is_refused(wrong):
    with pytest.raises(BenchError):
        weekly(**wrong)


@pytest.mark.parametrize(
    ("at", "runs"),
    [((9, 39), False), ((9, 40), True), ((10, 59), True), ((11, 0), False)],
)
def test_the_period_is_found_in_the_shops_own_time(db, at, runs):
    Shop.objects.create(name="Skerry Point", units="metric", zone="Europe/Oslo")
    section = Section.objects.create(name="Section 2")
    for period in dated([weekly(section_id=section.pk)], date(2026, 11, 24), days=1):
        period.save()
    now = datetime(2026, 11, 24, *at, tzinfo=UTC)  # Oslo is an hour ahead in November
    assert (period_at(now) is not None) is runs
