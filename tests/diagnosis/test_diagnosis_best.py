"""What is advised against the exact optimum, on choices small enough to work it out."""

import numpy as np
import pytest

from diagnosis.sheets_shipped import SHEETS, circuit
from diagnosis.small_cases import least_minutes, minutes_by, small_case
from witnessmark.diagnosis.rollout import Problem, one_step, rollout

CASES = [(name, complaint) for name in SHEETS for complaint in circuit(name).complaints]


@pytest.mark.second_way("dynamic programming over sets of hypotheses and the test before")
def test_a_rollout_is_within_one_per_cent_of_the_optimum_on_every_case():
    above, steps = [], []
    for name, complaint in CASES:
        problem = small_case(circuit(name), complaint)
        least = least_minutes(problem)
        assert least > 0
        above.append(minutes_by(problem, rollout) / least - 1)
        steps.append(minutes_by(problem, one_step) / least - 1)

    assert len(CASES) >= 10
    assert max(above) < 0.01
    assert max(steps) < 0.08
    assert np.mean(steps) < 0.03
    assert max(above) <= max(steps)
    assert min(above) > -1e-9 and min(steps) > -1e-9


def test_nothing_is_advised_where_one_repair_heals_all():
    problem = Problem(
        weight=np.array([0.5, 0.5]),
        repair=np.array([0, 0]),
        outcome=np.array([[0, 1], [1, 0]]),
        first=np.ones(2),
        after=np.ones((2, 2)),
    )

    assert one_step(problem) is None
    assert rollout(problem) is None


def test_a_cheap_test_goes_before_a_dear_one_that_tells_the_same():
    problem = Problem(
        weight=np.array([0.5, 0.5]),
        repair=np.array([0, 1]),
        outcome=np.array([[0, 0], [1, 1]]),
        first=np.array([5.0, 2.0]),
        after=np.ones((2, 2)),
    )

    assert one_step(problem) == rollout(problem) == 1
