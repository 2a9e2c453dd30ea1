"""Plans of invented weeks against the whiteboard rule, first promised first, in the same run."""

import random
import time
from datetime import date, timedelta
from datetime import time as clock

from benchmarks import Row
from witnessmark.planning import (
    Bay,
    Job,
    Learner,
    Period,
    PlanResult,
    Status,
    Step,
    WeekProblem,
    check_plan,
    solve_week,
    tally,
    write_on_whiteboard,
)

SECONDS = 8
CASES = range(2)
MONDAY = date(2026, 11, 23)
TASKS = ("Join wires", "Measure a bore", "Torque in order", "Bleed", "Hand back")
SECTIONS = ("Year 1 group", "Year 2 group")


def invented_weeks(
    seed: int, *, jobs: int = 6, steps: int = 15, learners: int = 24, days: int = 10
) -> WeekProblem:
    """Two sections on alternate periods, five bays, one teacher; tight but mostly possible."""
    rng = random.Random(seed)
    all_days = [MONDAY + timedelta(days=day + 2 * (day // 5)) for day in range(days)]
    periods = tuple(
        Period(
            day=day,
            number=number,
            start=start,
            end=clock(start.hour + 1, 20),
            usable_min=70,
            section=SECTIONS[at],
        )
        for day in all_days
        for at, (number, start) in enumerate(((2, clock(9)), (4, clock(13))))
    )
    people = tuple(
        Learner(
            key=f"L{at}",
            name=f"Learner {at}",
            section=SECTIONS[at % 2],
            permits=frozenset({"stands"} if rng.random() < 0.7 else ()),
            skills=frozenset({"meter"} if rng.random() < 0.5 else ()),
            practice=frozenset(rng.sample(TASKS, 3)),
            absences=frozenset(one.key for one in periods if rng.random() < 0.05),
            pace_percent=rng.choice((100, 100, 125)),
        )
        for at in range(learners)
    )
    return WeekProblem(
        name=f"invented weeks {seed}",
        teacher="the teacher",
        periods=periods,
        learners=people,
        bays=tuple(Bay(key=str(at), name=f"Bay {at}") for at in range(1, 6)),
        jobs=tuple(_invented_job(rng, at, steps, all_days) for at in range(jobs)),
    )


def _invented_job(rng: random.Random, at: int, count: int, days: list[date]) -> Job:
    made: list[Step] = []
    for nth in range(count):
        before = [made[-1].key] if made else []
        if len(made) > 1 and rng.random() < 0.4:
            before = [made[-2].key]
        least = rng.choice((1, 2, 2))
        made.append(
            Step(
                key=str(nth),
                title=f"step {nth}",
                minutes=rng.randrange(20, 50, 5),
                people_min=least,
                people_max=least + 1,
                needs=tuple(before),
                hold_min=rng.choice((0, 5, 10)),
                permits=frozenset({"stands"} if rng.random() < 0.2 else ()),
                skills=frozenset({"meter"} if rng.random() < 0.2 else ()),
                practice=frozenset(rng.sample(TASKS, 1)),
                immobilises=nth == 1,
                frees=nth == count - 2,
                wait_after_min=rng.choice((0, 0, 0, 60)),
            )
        )
    return Job(
        key=f"J{at}",
        name=f"vehicle {at}",
        promised=rng.choice(days[3:]),
        may_run_on=True,
        steps=tuple(made),
    )


def _late(problem: WeekProblem) -> tuple[int, PlanResult]:
    board = write_on_whiteboard(problem)
    assert board is not None, "every job may run on"
    result = solve_week(problem, seconds=SECONDS)
    assert check_plan(problem, result.sittings) == (), "a plan that breaks a rule"
    return tally(problem, board).late, result


def rows() -> list[Row]:
    """Measure how late promises are, planned and on the whiteboard."""
    whiteboard = planned = proven = practised = practised_board = 0
    began = time.perf_counter()
    for seed in CASES:
        problem = invented_weeks(seed)
        board_late, result = _late(problem)
        whiteboard += board_late
        planned += result.late
        proven += result.status is Status.PROVEN_BEST
        practised += tally(problem, result.sittings).practised
        practised_board += tally(problem, write_on_whiteboard(problem) or ()).practised
    took_s = (time.perf_counter() - began) / len(CASES)
    against = f"whiteboard rule: {whiteboard}, {len(CASES)} invented weeks of 90 steps"
    return [
        Row(name="plan: periods late", value=planned, unit="periods", against=against),
        Row(
            name="plan: proven best for the promises",
            value=proven,
            unit=f"of {len(CASES)}",
            against=f"limit {SECONDS} s, took {took_s:.1f} s each",
        ),
        Row(
            name="plan: tasks practised by who needs them",
            value=practised,
            unit="tasks",
            against=f"whiteboard rule: {practised_board}",
        ),
    ]
