"""Published job-shop instances, planned through the same values and the same model.

A machine is a tool of which the shop has one, an operation a step for one person, and the whole
axis is one long period. The optimum C is checked from both sides: a period of C minutes holds
all work, and a period of C - 1 minutes is proven not to.
"""

from datetime import date, time

import pytest

from planning.shop_weeks import learner
from witnessmark.planning import (
    Job,
    Period,
    Status,
    Step,
    Tool,
    WeekProblem,
    check_plan,
    solve_week,
)

FT06_OPTIMUM = 55
FT06 = """
2 1  0 3  1 6  3 7  5 3  4 6
1 8  2 5  4 10  5 10  0 10  3 4
2 5  3 4  5 8  0 9  1 1  4 7
1 5  0 5  2 5  3 3  4 8  5 9
2 9  1 3  4 5  5 4  0 3  3 1
1 3  3 3  5 9  0 10  4 4  2 1
"""

LA01_OPTIMUM = 666
LA01 = """
1 21  0 53  4 95  3 55  2 34
0 21  3 52  4 16  2 26  1 71
3 39  4 98  1 42  2 31  0 12
1 77  0 55  4 79  2 66  3 77
0 83  3 34  2 64  1 19  4 37
1 54  2 43  4 79  0 92  3 62
3 69  4 77  1 87  2 87  0 93
2 38  0 60  1 41  3 24  4 83
3 17  1 49  4 25  0 44  2 98
4 77  3 79  2 43  1 75  0 96
"""


def job_shop(text, length_min):
    """The instance as a week problem with one period of so many minutes, counted by the minute."""
    lines = [[int(x) for x in line.split()] for line in text.split("\n") if line]
    machines = {f"M{machine}" for line in lines for machine in line[::2]}
    jobs = tuple(
        Job(
            key=f"J{at}",
            name=f"job {at}",
            steps=tuple(
                Step(
                    key=str(nth),
                    title=f"operation {nth}",
                    minutes=minutes,
                    tools=frozenset({f"M{machine}"}),
                    needs=(str(nth - 1),) if nth else (),
                    at_place=False,
                )
                for nth, (machine, minutes) in enumerate(zip(line[::2], line[1::2], strict=True))
            ),
        )
        for at, line in enumerate(lines)
    )
    return WeekProblem(
        name="job shop",
        teacher="nobody",
        periods=(
            Period(
                day=date(2026, 11, 24),
                number=1,
                start=time(6),
                end=time(22),
                usable_min=length_min,
                section="all",
            ),
        ),
        learners=tuple(learner(f"worker {at}", section="all") for at in range(len(jobs))),
        bays=(),
        tools=tuple(Tool(key=key, name=f"machine {key}") for key in sorted(machines)),
        jobs=jobs,
        tick_min=1,
    )


@pytest.mark.reference(
    "Fisher & Thompson 1963, 6 x 6 job shop (FT06), optimum 55; data and optimum seen in public "
    "collections of instances; both sides proven here"
)
@pytest.mark.parametrize("over", [0, -1])
def test_the_six_by_six_job_shop_ends_at_its_published_optimum(over):
    problem = job_shop(FT06, FT06_OPTIMUM + over)
    result = solve_week(problem, seconds=6)
    if over:
        assert result.status is Status.NONE_EXISTS
    else:
        assert result.has_plan
        assert check_plan(problem, result.sittings) == ()
        assert max(one.end_min for one in result.sittings) == FT06_OPTIMUM


@pytest.mark.reference(
    "Lawrence 1984, 10 x 5 job shop (LA01), optimum 666; data and optimum seen in public "
    "collections of instances; both sides proven here"
)
@pytest.mark.parametrize("over", [0, -1])
def test_the_ten_by_five_job_shop_ends_at_its_published_optimum(over):
    problem = job_shop(LA01, LA01_OPTIMUM + over)
    result = solve_week(problem, seconds=6)
    if over:
        assert result.status is Status.NONE_EXISTS
    else:
        assert result.has_plan
        assert check_plan(problem, result.sittings) == ()
        assert max(one.end_min for one in result.sittings) == LA01_OPTIMUM
