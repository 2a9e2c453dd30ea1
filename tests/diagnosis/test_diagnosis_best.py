"""What is advised against the exact optimum, on choices small enough to work it out."""

import numpy as np
import pytest

from diagnosis.sheets_shipped import ALL, SHEETS, circuit
from diagnosis.small_cases import least_minutes, minutes_by, small_case
from witnessmark.diagnosis.hypotheses import Problem, certain_gains, sets_of
from witnessmark.diagnosis.rollout import one_step, rollout

CASES = [(name, complaint) for name in SHEETS for complaint in circuit(name).complaints]
SLOW = {"body-front.toml"}  # its dictionary alone takes seconds; the benchmark has it
MORE = [
    (name, complaint)
    for name in sorted(set(ALL) - set(SHEETS) - SLOW)
    for complaint in circuit(name).complaints
]


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


@pytest.mark.second_way("dynamic programming over sets of hypotheses and the test before")
def test_a_rollout_is_within_one_per_cent_of_the_optimum_on_the_larger_sheets_too():
    above, steps = [], []
    for name, complaint in MORE:
        problem = small_case(circuit(name), complaint)
        least = least_minutes(problem)
        above.append(minutes_by(problem, rollout) / least - 1)
        steps.append(minutes_by(problem, one_step) / least - 1)

    assert len(MORE) >= 60
    assert max(above) < 0.01
    assert np.mean(steps) < 0.03
    assert max(steps) < 0.08
    assert min(above) > -1e-9


@pytest.mark.second_way("by hand: halves and quarters")
def test_a_set_of_hypotheses_is_weighed_once_for_all_that_lead_to_it():
    problem = Problem(
        weight=np.array([0.5, 0.25, 0.25]),
        repair=np.array([0, 1, 1]),
        outcome=np.array([[0, 0], [0, 1], [1, 1]]),
        first=np.ones(2),
        after=np.ones((2, 2)),
    )
    sets = sets_of(problem)
    left = sets.left(np.array([0b111, 0b110, 0b011]))

    assert sets.shown.tolist() == [[0b011, 0b100], [0b001, 0b110]]
    assert left.is_open.tolist() == [True, False, True]
    assert left.chance.tolist() == [1.0, 0.5, 0.75]
    assert left.bits[0, 1] == 1.0  # the second test tells the repair: one bit
    assert left.bits[1].max() == 0.0
    assert certain_gains(problem.weight, problem.repair, problem.outcome)[1] == 1.0


def test_nothing_is_advised_where_one_repair_mends_all():
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
