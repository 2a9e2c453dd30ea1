"""The checker: a plan that holds, and one planted breach of every kind."""

import inspect
import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from planning.shop_weeks import TUESDAY, job, learner, period, step, week
from witnessmark.planning import (
    Bay,
    Part,
    PlaceKind,
    Presence,
    Sitting,
    Tool,
    check_plan,
    checker,
)

BUS = job(
    "bus",
    step("lift", 20, immobilises=True, permits=frozenset({"lift"}), tools=frozenset({"crane"})),
    step("pump", 30, hold_min=10, needs=("lift",), people_max=2, wait_after_min=60),
    step("fill", 20, needs=("pump",), frees=True, parts=frozenset({"coolant"})),
    name="Library bus",
    promised=TUESDAY + timedelta(days=2),
)
VAN = job(
    "van",
    step("find", 20, skills=frozenset({"meter"}), people_min=2, people_max=2),
    step("ground", 30, needs=("find",), hold_min=10, tools=frozenset({"crane"})),
    name="Meals van",
)
SIX = job("six", step("bores", 30), place=PlaceKind.BENCH, name="Training six")
WEEK = week(
    BUS,
    VAN,
    SIX,
    periods=(period(0), period(1), period(2), period(3, section="Year 1 group")),
    learners=(
        learner("Devan", permits=frozenset({"lift"})),
        learner("Esme", skills=frozenset({"meter"}), absences=frozenset({(TUESDAY, 3)})),
        learner("Isla", pace_percent=150),
        learner("Wren", section="Year 1 group"),
    ),
    bays=(
        Bay(key="1", name="Bay 1"),
        Bay(key="2", name="Bay 2"),
        Bay(key="4", name="Bench 4", kind=PlaceKind.BENCH),
    ),
    tools=(Tool(key="crane", name="crane"),),
    parts=(Part(key="coolant", name="coolant", arrives=TUESDAY + timedelta(days=1)),),
)


def sit(job_key, step_key, day, start_min, minutes, bay, *crew, hold_min=0):
    return Sitting(
        job=job_key,
        step=step_key,
        day=TUESDAY + timedelta(days=day),
        number=3,
        start_min=start_min,
        minutes=minutes,
        hold_min=hold_min,
        bay=bay,
        crew=crew,
    )


LIFT = sit("bus", "lift", 0, 0, 20, "1", "devan")
PUMP = sit("bus", "pump", 0, 20, 40, "1", "devan", hold_min=10)
FILL = sit("bus", "fill", 1, 0, 20, "1", "devan")
FIND = sit("van", "find", 1, 20, 30, "2", "esme", "isla")
GROUND = sit("van", "ground", 2, 0, 40, "2", "devan", hold_min=10)
BORES = sit("six", "bores", 2, 0, 30, "4", "esme")
GOOD = (LIFT, PUMP, FILL, FIND, GROUND, BORES)


def swapped(old, **changes):
    assert old in GOOD
    return tuple(replace(one, **changes) if one is old else one for one in GOOD)


def without(*gone):
    return tuple(one for one in GOOD if one not in gone)


def rules(problem, sittings):
    return {breach.rule for breach in check_plan(problem, sittings)}


def test_a_plan_that_holds_has_no_breach():
    assert check_plan(WEEK, GOOD) == ()


def changed_period(at, **changes):
    periods = list(WEEK.periods)
    periods[at] = replace(periods[at], **changes)
    return replace(WEEK, periods=tuple(periods))


def changed_job(old, **changes):
    return replace(
        WEEK, jobs=tuple(replace(one, **changes) if one is old else one for one in WEEK.jobs)
    )


DAY = timedelta(days=1)
PLANTED = [
    ("unknown job", WEEK, (*GOOD, replace(LIFT, job="boat"))),
    ("unknown step", WEEK, (*GOOD, replace(LIFT, step="paint"))),
    ("unknown period", WEEK, swapped(GROUND, number=7)),
    ("unknown bay", WEEK, swapped(GROUND, bay="9")),
    ("unknown learner", WEEK, swapped(GROUND, crew=("zoe",))),
    ("planned twice", WEEK, (*GOOD, replace(GROUND, start_min=0, day=TUESDAY + 2 * DAY))),
    ("not planned", WEEK, without(BORES)),
    ("step before missing", WEEK, without(LIFT)),
    ("off the tick", WEEK, swapped(GROUND, start_min=3)),
    ("before the period", WEEK, swapped(GROUND, start_min=-5)),
    ("in time that is gone", changed_period(0, gone_min=5), GOOD),
    ("past tools down", WEEK, swapped(GROUND, start_min=35)),
    ("too short", WEEK, swapped(GROUND, minutes=35)),
    ("too short", WEEK, swapped(FIND, minutes=20)),  # long enough for Esme, not for Isla
    ("wrong hold", WEEK, swapped(GROUND, hold_min=5)),
    ("wrong hold", WEEK, swapped(BORES, hold_min=5)),
    ("teacher out", changed_period(2, presence=Presence.OUT), GOOD),
    ("substitute", changed_period(2, presence=Presence.SUBSTITUTE), GOOD),
    ("named twice", WEEK, swapped(FIND, crew=("esme", "esme"))),
    ("crew too small", WEEK, swapped(FIND, crew=("esme",))),
    ("crew too large", WEEK, swapped(GROUND, crew=("devan", "isla"), minutes=55)),
    ("other section", WEEK, swapped(GROUND, crew=("wren",))),
    ("absent", WEEK, swapped(PUMP, crew=("esme",))),
    ("no permit", WEEK, swapped(LIFT, crew=("isla",), minutes=30)),
    ("no skill", WEEK, swapped(FIND, crew=("devan", "isla"))),
    ("part not there", WEEK, swapped(FILL, day=TUESDAY, start_min=60, minutes=10)),
    ("no place", WEEK, swapped(GROUND, bay=None)),
    ("wrong place", WEEK, swapped(BORES, bay="2", day=TUESDAY)),
    ("wrong place", changed_job(VAN, bays=frozenset({"1"})), GOOD),
    (
        "two holds at once",
        WEEK,
        (
            *without(GROUND, FIND, PUMP),
            replace(PUMP, day=TUESDAY + 2 * DAY, start_min=0),
            replace(FIND, day=TUESDAY + DAY),
            replace(GROUND, crew=("esme",)),
        ),
    ),
    (
        "two vehicles on one place",
        WEEK,
        (*without(FIND, GROUND), replace(FIND, bay="1"), replace(GROUND, bay="1")),
    ),
    ("other section's job", changed_job(VAN, section="Year 1 group"), GOOD),
    ("two crews at once", WEEK, swapped(BORES, crew=("devan",))),
    (
        "one tool twice",
        WEEK,
        swapped(LIFT, day=TUESDAY + 2 * DAY, start_min=10),
    ),
    ("out of order", WEEK, swapped(PUMP, start_min=10)),
    ("wait too short", WEEK, swapped(FILL, day=TUESDAY, start_min=60, minutes=10)),
    ("two places", WEEK, swapped(FILL, bay="2", day=TUESDAY + 2 * DAY, start_min=50)),
    ("cannot be moved", changed_job(VAN, immobile_now=True, bay_now="1"), GOOD),
    (
        "place is taken",
        WEEK,
        (
            LIFT,
            PUMP,
            replace(FILL, day=TUESDAY + 2 * DAY),
            replace(FIND, bay="1"),
            replace(GROUND, bay="2"),
            BORES,
        ),
    ),
    ("place is taken", changed_job(BUS, immobile_now=True, bay_now="2"), GOOD),
]


@pytest.mark.parametrize(
    ("rule", "problem", "sittings"),
    PLANTED,
    ids=[f"{at} {rule}" for at, (rule, _, _) in enumerate(PLANTED)],
)
def test_a_planted_breach_is_named(rule, problem, sittings):
    found = check_plan(problem, sittings)
    assert rule in {breach.rule for breach in found}
    for breach in found:
        assert str(breach).endswith(".")
        assert "None" not in str(breach)


def test_every_rule_of_the_checker_is_planted():
    named = set(re.findall(r'rule="([^"]+)"', inspect.getsource(checker)))
    assert named == {rule for rule, _, _ in PLANTED}


def test_a_breach_speaks_of_the_thing_by_its_name():
    found = check_plan(WEEK, swapped(GROUND, start_min=35))
    assert [str(one) for one in found] == [
        "'ground' of Meals van (Thu 26 Nov, period 3) ends 5 min after tools down."
    ]


def test_a_wait_goes_on_over_the_night():
    assert date(2026, 11, 25) == FILL.day
    assert "wait too short" not in rules(WEEK, GOOD)
