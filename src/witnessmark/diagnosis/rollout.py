"""Choosing a test: by what it takes and leaves to do, or by playing each one to its end.

The one-step rule adds to the minutes of a test what is left to find out after it, at a price per
bit. The rate rule is simpler: the greatest expected gain per minute; it does not see what a test
makes possible afterwards. A rollout sees most: each of the best tests is tried in thought, every
outcome is followed by the rate rule until one repair is left, and the test whose expected minutes
are fewest is taken. Here outcomes are certain: each hypothesis gives each test one of a few
outcomes. The noise of meters is left to the belief itself.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices

CANDIDATES: Final = 10  # tests that are played to the end
MOST_DEEP: Final = 12  # tests in a row; nobody plans further
LEAST_CHANCE: Final = 1e-5  # of a branch that is followed
WORTH_BITS: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """A choice of tests among hypotheses with certain outcomes.

    Attributes
    ----------
    weight
        Belief in each hypothesis; adds up to 1.
    repair
        For each hypothesis, the number of its repair, from 0 without gaps.
    outcome
        Hypothesis by test: number of the outcome, from 0.
    first
        Minutes of each test from where the crew stands. [min]
    after
        Test by test: minutes of the second after the first. [min]
    enough
        Belief in one repair at which no more tests are made.
    """

    weight: Floats
    repair: Indices
    outcome: Indices
    first: Floats
    after: Floats
    enough: float = 1.0

    @property
    def outcomes(self) -> int:
        """Return how many outcomes a test may have."""
        return int(self.outcome.max(initial=0)) + 1


def one_step(problem: Problem) -> int | None:
    """Return the test with the fewest minutes, its own and the price of what it leaves to find out.

    Parameters
    ----------
    problem
        The choice.

    Returns
    -------
    int or None
        Number of the test; None if no test tells anything.

    Notes
    -----
    A bit costs the minutes of the test that gives most bits a minute. What a test leaves open, as
    far as other tests can tell it at all, is priced between two prices: the one before the test,
    and the one after it, when the crew is set up and has its access. The geometric mean is the
    program's own choice: the first price alone overlooks what access is worth, the second alone
    counts on every bit being as cheap as the next one.
    """
    bits = _gains(problem, problem.weight[None, :])[0]
    tried = np.flatnonzero(bits > WORTH_BITS)
    if not len(tried):
        return None
    price_before = float((problem.first[tried] / bits[tried]).min())
    branch = (_shows(problem)[tried] * problem.weight).reshape(-1, len(problem.weight))
    test = np.repeat(np.arange(len(tried)), problem.outcomes)
    chance = branch.sum(axis=1)
    alive = np.flatnonzero((chance > LEAST_CHANCE) & _several(problem, branch))
    branch, test, chance = branch[alive], test[alive], chance[alive]
    minutes = problem.first[tried].copy()
    if len(alive):
        bits = _gains(problem, branch)
        telling = bits > WORTH_BITS
        bits_per_min = np.where(telling, bits / problem.after[tried[test]], 0.0).max(axis=1)
        price_after = 1.0 / np.where(bits_per_min > 0, bits_per_min, np.inf)
        left = _gains(_every_test_at_once(problem), branch)[:, 0]
        minutes += np.bincount(
            test, chance * left * np.sqrt(price_before * price_after), minlength=len(tried)
        )
    return int(tried[int(np.argmin(minutes))])


def _every_test_at_once(problem: Problem) -> Problem:
    """Return the choice with one test that shows what all of them together would."""
    _, number = np.unique(problem.outcome, axis=0, return_inverse=True)
    return Problem(
        weight=problem.weight,
        repair=problem.repair,
        outcome=number.reshape(-1, 1).astype(np.intp),
        first=problem.first[:1],
        after=problem.after[:1, :1],
    )


def _shows(problem: Problem) -> Flags:
    """Return test by outcome by hypothesis: whether it gives the test that outcome."""
    outcomes = np.arange(problem.outcomes)
    return np.asarray(problem.outcome.T[:, None, :] == outcomes[None, :, None])


def rollout(
    problem: Problem, candidates: int = CANDIDATES, among: Flags | None = None
) -> int | None:
    """Return the test with the fewest expected minutes if the rate rule goes on after it.

    Parameters
    ----------
    problem
        The choice.
    candidates
        How many of the best tests by the rate rule are compared.
    among
        Tests that may come first; all by default.

    Returns
    -------
    int or None
        Number of the test; None if no test tells anything.
    """
    return least_expected(problem, candidates, among)[0]


def least_expected(
    problem: Problem, candidates: int = CANDIDATES, among: Flags | None = None
) -> tuple[int | None, float]:
    """Return the test with the fewest expected minutes, as `rollout`, and its minutes. [min]

    Parameters
    ----------
    problem
        The choice.
    candidates
        How many of the best tests by the rate rule are compared.
    among
        Tests that may come first; all by default.

    Returns
    -------
    tuple
        Number of the test and its minutes; None and 0 if no test tells anything, or enough is
        known.
    """
    bits = _gains(problem, problem.weight[None, :])[0]
    telling = (bits > WORTH_BITS) & (True if among is None else among)
    if not telling.any() or not _several(problem, problem.weight[None, :])[0]:
        return None, 0.0
    rate = np.where(telling, bits / problem.first, -1.0)
    order = np.argsort(-rate, kind="stable")
    tried = order[: min(candidates, int(telling.sum()))]
    minutes = expected_minutes(problem, tried)
    best = int(np.argmin(minutes))
    return int(tried[best]), float(minutes[best])


def certain_gains(weight: Floats, repair: Indices, outcome: Indices) -> Floats:
    """Return the gain of each test with certain outcomes. [bit]

    Parameters
    ----------
    weight
        Belief in each hypothesis; adds up to 1.
    repair
        For each hypothesis, the number of its repair.
    outcome
        Hypothesis by test: number of the outcome.
    """
    nothing = np.zeros(outcome.shape[1])
    problem = Problem(
        weight=weight, repair=repair, outcome=outcome, first=nothing, after=nothing[:, None]
    )
    return np.asarray(_gains(problem, weight[None, :])[0], dtype=np.float64)


def expected_minutes(problem: Problem, tried: Indices) -> Floats:
    """Return the expected minutes of each test with the rate rule after it. [min]

    Parameters
    ----------
    problem
        The choice.
    tried
        Numbers of the tests to start with.
    """
    minutes = problem.first[tried].copy()
    shows = _shows(problem)
    begun = np.arange(len(tried))
    branch = shows[tried] * problem.weight[None, None, :]
    for _ in range(MOST_DEEP):
        start = np.repeat(begun, branch.shape[1])
        stands = np.repeat(tried, branch.shape[1])
        branch = branch.reshape(-1, branch.shape[-1])
        chance = branch.sum(axis=1)
        open_ones = np.flatnonzero((chance > LEAST_CHANCE) & _several(problem, branch))
        if not len(open_ones):
            break
        branch, chance = branch[open_ones], chance[open_ones]
        start, stands = start[open_ones], stands[open_ones]
        bits = _gains(problem, branch)
        telling = bits > WORTH_BITS
        next_minutes = problem.after[stands]
        rate = np.where(telling, bits / next_minutes, -1.0)
        chosen = rate.argmax(axis=1)
        go = np.flatnonzero(telling.any(axis=1))
        if not len(go):
            break
        chosen, branch, start, chance = chosen[go], branch[go], start[go], chance[go]
        took = problem.after[stands[go], chosen]
        minutes += np.bincount(start, weights=chance * took, minlength=len(minutes))
        branch = shows[chosen] * branch[:, None, :]
        begun, tried = start, chosen
    return minutes


def _several(problem: Problem, branch: Floats) -> Flags:
    """Return the branches in which more than one repair is left, none of them sure enough."""
    held = np.zeros((len(branch), int(problem.repair.max()) + 1))
    for repair in range(held.shape[1]):
        held[:, repair] = branch[:, problem.repair == repair].sum(axis=1)
    several = (held > 0).sum(axis=1) > 1
    if problem.enough < 1.0:
        several &= held.max(axis=1) < problem.enough * held.sum(axis=1)
    return np.asarray(several)


def _gains(problem: Problem, branch: Floats) -> Floats:
    """Return branch by test: the expected gain. [bit]"""
    repairs = int(problem.repair.max()) + 1
    hypotheses, tests = problem.outcome.shape
    outcomes = problem.outcomes
    total = branch.sum(axis=1, keepdims=True)
    share = branch / total
    by_repair = np.zeros((len(branch), repairs, hypotheses))
    by_repair[:, problem.repair, np.arange(hypotheses)] = share
    shows = np.zeros((hypotheses, tests, outcomes))
    shows[np.arange(hypotheses)[:, None], np.arange(tests)[None, :], problem.outcome] = 1.0
    joint = (by_repair.reshape(-1, hypotheses) @ shows.reshape(hypotheses, -1)).reshape(
        len(branch), repairs, tests, outcomes
    )
    bits = (
        _p_log_p(joint).sum(axis=(1, 3))
        - _p_log_p(joint.sum(axis=1)).sum(axis=2)
        - _p_log_p(joint.sum(axis=3)).sum(axis=1)
    )
    return np.asarray(bits, dtype=np.float64)


def _p_log_p(shares: Floats) -> Floats:
    held = np.where(shares > 0.0, shares, 1.0)
    return np.asarray(held * np.log2(held), dtype=np.float64)
