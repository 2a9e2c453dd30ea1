"""Every tiny week against the best of all plans there are, tried one by one."""

from itertools import combinations, product

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planning.shop_weeks import job, learner, period, step, week
from witnessmark.planning import (
    Bay,
    Part,
    Presence,
    Sitting,
    Status,
    Tool,
    check_plan,
    finishes,
    solve_week,
)

PRESENCES = [*[Presence.IN] * 8, Presence.SUBSTITUTE, Presence.OUT]
BAYS = (Bay(key="1", name="Bay 1"), Bay(key="2", name="Bay 2"))


def sittings_of(problem, the_job, the_step, bay):
    """All sittings of one step that could stand in a plan, good or not."""
    crews = [
        crew
        for size in range(the_step.people_min, the_step.people_max + 1)
        for crew in combinations(problem.learners, size)
    ]
    for one, crew in product(problem.periods, crews):
        minutes = problem.sitting_min(the_step, max(x.pace_percent for x in crew))
        for start in range(0, one.usable_min - minutes + 1, problem.tick_min):
            sitting = Sitting(
                job=the_job.key,
                step=the_step.key,
                day=one.day,
                number=one.number,
                start_min=start,
                minutes=minutes,
                hold_min=problem.ticks(the_step.hold_min) * problem.tick_min,
                bay=bay,
                crew=tuple(x.key for x in crew),
            )
            if {b.rule for b in check_plan(problem, (sitting,))} <= LATER:
                yield sitting


# What more sittings can mend; a vehicle counts as fast until its last freeing step is planned.
LATER = {"not planned", "step before missing", "place is taken"}


def least_late(problem):
    """Least weighted periods late of all plans; None where there is none."""
    pairs = [(one, s) for one in problem.jobs for s in one.steps]
    weight = {one.key: one.weight for one in problem.jobs}
    best = None

    def grow(at, chosen):
        nonlocal best
        if at == len(pairs):
            if check_plan(problem, chosen) == ():
                ends = finishes(problem, chosen)
                late = sum(weight[one.job] * one.periods_late for one in ends)
                best = late if best is None else min(best, late)
            return
        the_job, the_step = pairs[at]
        for sitting in sittings_of(problem, the_job, the_step, bay_of[the_job.key]):
            grown = (*chosen, sitting)
            if best == 0:
                return
            if {b.rule for b in check_plan(problem, grown)} <= LATER:
                grow(at + 1, grown)

    for bays in product([bay.key for bay in problem.bays], repeat=len(problem.jobs)):
        bay_of = dict(zip([one.key for one in problem.jobs], bays, strict=True))
        grow(0, ())
    return best


@st.composite
def tiny_weeks(draw):
    """Up to three steps, three learners, two bays, three short periods of one or two classes."""
    periods = tuple(
        period(
            day,
            usable_min=draw(st.sampled_from([10, 15, 20])),
            section=draw(st.sampled_from("AAAAB")),
            presence=draw(st.sampled_from(PRESENCES)),
            gone_min=draw(st.sampled_from([0, 0, 5])) if day == 0 else 0,
        )
        for day in range(draw(st.integers(2, 3)))
    )
    learners = tuple(
        learner(
            name,
            section=draw(st.sampled_from("AAAAB")),
            permits=frozenset(draw(st.sampled_from([["lift"], ["lift"], []]))),
            skills=frozenset(draw(st.sampled_from([["weld"], ["weld"], []]))),
            pace_percent=draw(st.sampled_from([100, 100, 150])),
        )
        for name in ("Devan", "Esme", "Isla")[: draw(st.integers(2, 3))]
    )

    def one_step(key, before):
        hold_min = draw(st.sampled_from([0, 5]))
        return step(
            key,
            draw(st.sampled_from([5, 10])),
            people_min=(least := draw(st.sampled_from([1, 1, 1, 2]))),
            people_max=max(least, draw(st.integers(1, 2))),
            hold_min=hold_min,
            with_substitute=not hold_min and draw(st.booleans()),
            parts=frozenset(draw(st.sampled_from([[], [], [], ["gasket"]]))),
            permits=frozenset(draw(st.sampled_from([[], [], [], ["lift"]]))),
            skills=frozenset(draw(st.sampled_from([[], [], [], ["weld"]]))),
            tools=frozenset(draw(st.sets(st.just("press"), max_size=1))),
            needs=tuple(draw(st.sets(st.sampled_from(before)))) if before else (),
            wait_after_min=draw(st.sampled_from([0, 0, 0, 5, 24 * 60])),
            immobilises=draw(st.sampled_from([False, False, True])),
            frees=draw(st.booleans()),
        )

    counts = draw(st.sampled_from([(2,), (1, 1), (2, 1), (1, 1, 1), (2, 2)]))
    bays = BAYS[: draw(st.integers(1, 2))]
    jobs = []
    for at, count in enumerate(counts):
        steps = [one_step("a", [])]
        if count == 2:
            steps.append(one_step("b", ["a"]))
        promised = draw(st.sampled_from([*(one.day for one in periods), None]))
        stands = draw(st.sampled_from([None, None, "1"])) if at == 0 else None
        jobs.append(
            job(
                f"job {at}",
                *steps,
                promised=promised,
                weight=draw(st.integers(1, 2)),
                bay_now=stands,
                immobile_now=stands is not None and draw(st.booleans()),
                section=draw(st.sampled_from(["", "", "", "A"])),
            )
        )
    return week(
        *jobs,
        periods=periods,
        learners=learners,
        bays=bays,
        tools=(Tool(key="press", name="press"),),
        parts=(Part(key="gasket", name="gasket", arrives=periods[-1].day),),
    )


@pytest.mark.second_way("all plans of a tiny week tried one by one, judged by the checker")
@settings(
    max_examples=120,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(problem=tiny_weeks())
def test_a_tiny_week_is_planned_as_well_as_any_plan_there_is(problem):
    result = solve_week(problem, seconds=5)
    best = least_late(problem)
    if best is None:
        assert result.status is Status.NONE_EXISTS
        assert result.reason.endswith(".")
    else:
        assert result.status is Status.PROVEN_BEST, result.reason
        assert check_plan(problem, result.sittings) == ()
        assert result.late == best == result.bound
