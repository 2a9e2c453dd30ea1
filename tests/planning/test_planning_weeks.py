"""What a plan strives for, and what it says when there is none."""

import subprocess
import sys
from dataclasses import replace
from datetime import time, timedelta

import pytest

from planning.shop_weeks import TUESDAY, job, learner, period, step, week
from witnessmark.errors import BenchError
from witnessmark.planning import (
    Bay,
    Part,
    PlaceKind,
    Presence,
    Status,
    Tool,
    check_plan,
    finishes,
    solve_week,
    tally,
    write_on_whiteboard,
)

DAY = timedelta(days=1)
TWO_BAYS = (Bay(key="1", name="Bay 1"), Bay(key="2", name="Bay 2"))


def planned(result, step_key):
    return next(one for one in result.sittings if one.step == step_key)


def solved(problem, **rest):
    result = solve_week(problem, seconds=3, **rest)
    assert result.has_plan, result.reason
    assert check_plan(problem, result.sittings) == ()
    return result


def test_the_promise_that_counts_more_is_kept_first():
    one_day = {"promised": TUESDAY}
    problem = week(
        job("bus", step("pump", 60), **one_day),
        job("van", step("find", 60), weight=3, **one_day),
        learners=(learner("Devan"),),
    )
    result = solved(problem)
    assert planned(result, "find").day == TUESDAY
    assert (result.status, result.late, result.bound, result.gap) == (Status.PROVEN_BEST, 1, 1, 0)
    assert [one.periods_late for one in finishes(problem, result.sittings)] == [1, 0]


def test_a_promise_by_a_time_of_day_is_missed_by_a_later_period_of_that_day():
    morning, afternoon = period(0, number=1), period(0, number=5)
    problem = week(
        job("bus", step("a", 60), step("b", 60, needs=("a",)), promised=TUESDAY),
        periods=(morning, afternoon),
    )
    assert solved(problem).late == 0
    by_noon = replace(problem.jobs[0], promised_by=time(12))
    assert solved(replace(problem, jobs=(by_noon,))).late == 1


def test_a_job_that_may_run_on_leaves_its_last_step_over():
    problem = week(
        job("six", step("a", 60), step("b", 60, needs=("a",)), may_run_on=True),
        periods=(period(0),),
    )
    result = solved(problem)
    assert result.left_over == (("six", "b"),)
    assert tally(problem, result.sittings).left_over_min == 60


def test_a_vehicle_on_stands_keeps_its_bay_until_it_is_freed():
    problem = week(
        job(
            "bus",
            step("off", 60, immobilises=True),
            step(
                "on", 60, needs=("off",), wait_after_min=0, parts=frozenset({"shoes"}), frees=True
            ),
        ),
        job("van", step("find", 30), promised=TUESDAY + DAY),
        periods=tuple(period(day) for day in range(4)),
        bays=(Bay(key="1", name="Bay 1"),),
        parts=(Part(key="shoes", name="brake shoes", arrives=TUESDAY + 2 * DAY),),
    )
    result = solved(problem)
    # the van goes in before the bus is lifted, or its promise would be lost
    assert planned(result, "find").day == TUESDAY
    assert planned(result, "off").day == TUESDAY + DAY
    assert result.late == 0


def test_the_teacher_sees_one_hold_at_a_time():
    jobs = [job(f"job {at}", step(f"s{at}", 30, hold_min=20)) for at in range(2)]
    problem = week(*jobs, periods=(period(0),), bays=TWO_BAYS)
    first, second = sorted(solved(problem).sittings, key=lambda one: one.hold_start_min)
    assert first.end_min <= second.hold_start_min


def test_learners_are_kept_busy_and_practise_what_they_need():
    problem = week(
        job("bus", step("bleed", 30, people_min=1, people_max=2, practice=frozenset({"bleed"}))),
        learners=(
            learner("Devan"),
            learner("Esme", practice=frozenset({"bleed"})),
            learner("Isla", practice=frozenset({"bleed"})),
        ),
    )
    result = solved(problem)
    assert set(planned(result, "bleed").crew) == {"esme", "isla"}
    assert tally(problem, result.sittings).practised == 2
    assert next(aim for aim in result.aims if aim.name == "learners").gap == 0


def test_work_is_shared_out_fairly():
    jobs = [job(f"job {at}", step(f"s{at}", 30)) for at in range(3)]
    problem = week(*jobs, bays=(*TWO_BAYS, Bay(key="3", name="Bay 3")))
    result = solved(problem)
    assert tally(problem, result.sittings).spread_min == 0


def test_a_new_plan_changes_little_of_the_published_one():
    jobs = [job(f"job {at}", step(f"s{at}", 50)) for at in range(3)]
    problem = week(*jobs, learners=(learner("Devan"),), bays=(*TWO_BAYS, Bay(key="3", name="B3")))
    published = tuple(
        replace(one, day=TUESDAY + at * DAY)
        for at, one in enumerate(sorted(solved(problem).sittings, key=lambda one: one.step)[::-1])
    )
    assert check_plan(problem, published) == ()
    again = solved(problem, published=published)
    assert tally(problem, again.sittings, published).changes == 0
    away = replace(problem.learners[0], absences=frozenset({(TUESDAY, 3)}))
    longer = replace(problem, learners=(away,), periods=tuple(period(day) for day in range(5)))
    moved = solved(longer, published=published)
    assert tally(longer, moved.sittings, published).changes == 1


def test_a_job_of_one_section_waits_for_its_period():
    problem = week(
        job("bus", step("a"), section="Year 1 group"),
        periods=(period(0), period(1, section="Year 1 group")),
        learners=(learner("Devan"), learner("Wren", section="Year 1 group")),
    )
    assert planned(solved(problem), "a").crew == ("wren",)


def test_who_knows_the_job_is_named_before_others():
    problem = week(job("bus", step("a"), step("b", needs=("a",)), crew_now=frozenset({"isla"})))
    assert {one.crew for one in solved(problem).sittings} == {("isla",)}


def test_nothing_is_planned_in_minutes_that_are_gone():
    problem = week(job("bus", step("a", 30)), periods=(period(0, gone_min=32), period(1)))
    sitting = planned(solved(problem), "a")
    assert (sitting.day, sitting.start_min) == (TUESDAY, 35)
    later = replace(problem, periods=(period(0, gone_min=42), period(1)))
    assert planned(solved(later), "a").day == TUESDAY + DAY


def test_a_vehicle_stays_where_it_stands():
    problem = week(job("bus", step("a"), bay_now="2"), job("van", step("b")), bays=TWO_BAYS)
    result = solved(problem)
    assert planned(result, "a").bay == "2"
    assert tally(problem, result.sittings).bay_moves == 0


def test_the_same_seed_gives_the_same_plan():
    jobs = [
        job(f"job {at}", step(f"a{at}", 25, hold_min=5), step(f"b{at}", 40, needs=(f"a{at}",)))
        for at in range(4)
    ]
    problem = week(*jobs, periods=tuple(period(day) for day in range(4)), bays=TWO_BAYS)
    first, second = (solve_week(problem, seconds=0.5, seed=7) for _ in range(2))
    assert first == second


def test_names_are_found_where_counting_heads_is_not_enough():
    # by head count each permit has its holder, but one learner holds both
    both = frozenset({"lift", "weld"})
    problem = week(
        job("bus", step("lift", 60, permits=frozenset({"lift"})), promised=TUESDAY),
        job("van", step("weld", 60, permits=frozenset({"weld"})), promised=TUESDAY),
        learners=(learner("Devan", permits=both), learner("Esme")),
        bays=TWO_BAYS,
    )
    result = solved(problem)
    assert (result.status, result.late) == (Status.PROVEN_BEST, 1)


@pytest.mark.parametrize(
    ("problem", "said"),
    [
        (
            week(job("bus", step("pump", 90, title="Pump off"))),
            "No period can hold 'Pump off' of bus: in 3 of 3 periods it takes 90 min and tools "
            "go down after 70 min.",
        ),
        (
            week(job("bus", step("pump", permits=frozenset({"lift"})))),
            "in 3 of 3 periods it takes 1 person and 0 there hold the permit for lift.",
        ),
        (
            week(job("bus", step("pump")), periods=(period(0, presence=Presence.OUT),)),
            "in 1 of 1 periods the teacher is out.",
        ),
        (
            week(
                job("bus", step("pump", hold_min=5)),
                periods=(period(0, presence=Presence.SUBSTITUTE),),
            ),
            "a substitute is in, and the step needs the teacher.",
        ),
        (
            week(
                job("bus", step("pump", parts=frozenset({"p"}))),
                parts=(Part(key="p", name="water pump", arrives=TUESDAY + 9 * DAY),),
            ),
            "in 3 of 3 periods water pump has not arrived.",
        ),
        (
            week(job("six", step("bores"), place=PlaceKind.BENCH), bays=TWO_BAYS),
            "six needs a bench, and there is none.",
        ),
        (
            week(
                job("bus", step("a", 60)),
                job("van", step("b", 60)),
                periods=(period(0),),
                bays=(Bay(key="1", name="Bay 1"),),
            ),
            "It would fit with one more bay.",
        ),
        (
            week(
                *(job(f"j{at}", step("a", 30, hold_min=40)) for at in range(2)),
                periods=(period(0),),
                bays=TWO_BAYS,
            ),
            "It would fit with a second teacher for the holds.",
        ),
        (
            week(
                *(job(f"j{at}", step("a", 60, tools=frozenset({"press"}))) for at in range(2)),
                periods=(period(0),),
                bays=TWO_BAYS,
                tools=(Tool(key="press", name="press"),),
            ),
            "It would fit with a second press.",
        ),
        (
            week(
                job("bus", step("a", 40), step("b", 40, needs=("a",)), step("c", 40, needs=("b",))),
                periods=(period(0), period(1)),
            ),
            "no single thing would make it fit: 40 min of work stay over. "
            "Add periods, or let a job run on.",
        ),
    ],
)
def test_why_there_is_no_plan_names_what_is_short(problem, said):
    result = solve_week(problem, seconds=3)
    assert result.status is Status.NONE_EXISTS
    assert said in result.reason


def test_the_whiteboard_plan_holds():
    jobs = [
        job(
            f"job {at}",
            step("a", 25, hold_min=5, immobilises=True),
            step("b", 40, needs=("a",), frees=True),
        )
        for at in range(4)
    ]
    problem = week(*jobs, periods=tuple(period(day) for day in range(6)), bays=TWO_BAYS)
    sittings = write_on_whiteboard(problem)
    assert sittings is not None
    assert check_plan(problem, sittings) == ()


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: step("a", 0), "takes 0 min"),
        (lambda: step("a", people_min=3, people_max=2), "3 to 2 people"),
        (lambda: step("a", hold_min=-5), "below 0 min"),
        (lambda: step("a", hold_min=5, with_substitute=True), "Only the teacher can see a hold"),
        (lambda: step("a", frees=True, at_place=False), "stands, or taken off"),
        (lambda: learner("Devan", pace_percent=5), "pace of 5 %"),
        (lambda: period(usable_min=90), "Tools down must lie inside"),
        (lambda: period(gone_min=75), "75 min of 70 min are gone"),
        (lambda: job("bus", weight=0), "counts at least once"),
        (lambda: job("bus", immobile_now=True), "no bay is named"),
        (lambda: week(job("bus", step("a", needs=("b",)))), "'a' names step 'b'"),
        (lambda: week(job("bus", step("a", tools=frozenset({"x"})))), "names tool 'x'"),
        (lambda: week(job("bus", step("a", parts=frozenset({"x"})))), "names part 'x'"),
        (lambda: week(job("bus", bay_now="4")), "needs a bay and '4' is a bench"),
        (lambda: week(job("bus", bays=frozenset({"7"}))), "names bay '7'"),
        (lambda: week(job("bus", step("a"), step("a"))), "has two steps 'a'"),
        (lambda: week(job("bus"), job("bus")), "'bus' stands twice in jobs"),
        (
            lambda: week(job("bus", step("a", needs=("b",)), step("b", needs=("a",)))),
            "wait for each other: a, b",
        ),
        (
            lambda: week(
                *(job(key, immobile_now=True, bay_now="1") for key in ("bus", "van")),
            ),
            "bus and van both stand fast on '1'",
        ),
        (lambda: week(periods=(period(0), period(0))), "overlap"),
    ],
)
def test_a_value_that_cannot_be_is_refused_in_words(make, said):
    with pytest.raises(BenchError, match=said.replace("?", r"\?")):
        make()


def test_importing_planning_does_not_load_the_solver():
    code = "import sys, witnessmark.planning; print('ortools' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": ":".join(sys.path)},
    )
    assert done.stdout.strip() == "False"
