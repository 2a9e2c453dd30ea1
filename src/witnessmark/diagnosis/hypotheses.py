"""A choice of tests among hypotheses with certain outcomes, and what each set of them leaves open.

Each hypothesis gives each test one of a few outcomes. After some tests a set of hypotheses is
left, and it alone says what is still to be told: sets are numbers here, one bit a hypothesis, so
that each is weighed only once, however it was reached.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices

MOST_HYPOTHESES: Final = 40  # bits of a number that holds a set and a test


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What some sets of hypotheses leave to find out.

    Attributes
    ----------
    bits
        Set by test: the expected gain. [bit]
    is_open
        By set: whether more than one repair is left, none of them sure enough.
    chance
        By set: belief in all of it.
    """

    bits: Floats
    is_open: Flags
    chance: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Sets:
    """The sets of hypotheses of a choice, as numbers.

    Attributes
    ----------
    whole
        The set of all.
    shown
        Test by outcome: the set of hypotheses that give the test that outcome.
    """

    whole: int
    shown: Indices
    _weight: Floats
    _repairs: int
    _enough: float
    _starts: Indices  # of each test's pairs of repair and outcome
    _adds: Floats  # hypothesis by: those pairs, test and outcome, repair

    def left(self, sets: Indices) -> Left:
        """Return what each of some sets leaves to find out.

        Parameters
        ----------
        sets
            The sets.

        Notes
        -----
        The gain of a test is the mutual information of its outcome and the repair:
        H(outcome) + H(repair) - H(both).
        """
        has = (sets[:, None] >> np.arange(len(self._weight))) & 1
        weight = has * self._weight
        chance = weight.sum(axis=1)
        shares = (weight / np.maximum(chance, 1e-300)[:, None]) @ self._adds
        logs = shares * np.log2(np.where(shares > 0.0, shares, 1.0))
        tests, outcomes = self.shown.shape
        pairs = shares.shape[1] - tests * outcomes - self._repairs
        both = np.add.reduceat(logs[:, :pairs], self._starts, axis=1)
        outcome = logs[:, pairs : -self._repairs].reshape(-1, tests, outcomes).sum(axis=2)
        repair = logs[:, -self._repairs :].sum(axis=1)
        held = shares[:, -self._repairs :]
        is_open = (held > 0.0).sum(axis=1) > 1
        if self._enough < 1.0:
            is_open &= held.max(axis=1) < self._enough
        return Left(bits=both - outcome - repair[:, None], is_open=is_open, chance=chance)


def sets_of(problem: Problem) -> Sets:
    """Return the sets of hypotheses of a choice.

    Parameters
    ----------
    problem
        The choice; of at most 40 hypotheses.
    """
    hypotheses, tests = problem.outcome.shape
    assert hypotheses <= MOST_HYPOTHESES, f"{hypotheses} hypotheses in one choice"
    outcomes = int(problem.outcome.max(initial=0)) + 1
    repairs = int(problem.repair.max(initial=0)) + 1
    number = np.arange(hypotheses)
    gives = np.zeros((hypotheses, tests, outcomes))
    gives[number[:, None], np.arange(tests)[None, :], problem.outcome] = 1.0
    mends = np.zeros((hypotheses, repairs))
    mends[number, problem.repair] = 1.0
    pair = (np.arange(tests) * repairs + problem.repair[:, None]) * outcomes + problem.outcome
    met, column = np.unique(pair, return_inverse=True)
    together = np.zeros((hypotheses, len(met)))
    together[number[:, None], column.reshape(pair.shape)] = 1.0
    return Sets(
        whole=(1 << hypotheses) - 1,
        shown=np.einsum("hto,h->to", gives, 1 << number).astype(np.int64),
        _weight=problem.weight,
        _repairs=repairs,
        _enough=problem.enough,
        _starts=np.searchsorted(met, np.arange(tests) * repairs * outcomes),
        _adds=np.hstack([together, gives.reshape(hypotheses, -1), mends]),
    )


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
    sets = sets_of(problem)
    return np.asarray(sets.left(np.array([sets.whole])).bits[0], dtype=np.float64)
