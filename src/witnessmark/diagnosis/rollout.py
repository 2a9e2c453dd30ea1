"""Choosing a test: by what it takes and leaves to do, or by playing each one to its end.

The one-step rule adds to the minutes of a test what is left to find out after it, at a price per
bit. The rate rule is simpler: the greatest expected gain per minute; it does not see what a test
makes possible afterwards. A rollout sees most: each of the best tests is tried in thought; after
every outcome each of the best next ones, and so on for a few tests; the rate rule goes on from
there until one repair is left, and the test whose expected minutes are fewest is taken. Here
outcomes are certain. The noise of meters is left to the belief itself.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.diagnosis.hypotheses import Problem, Sets, sets_of

# How many of the best tests by the rate rule are compared, first and after each outcome; then one.
WIDTHS: Final = (10, 10, 10)
MOST_DEEP: Final = 12  # tests in a row; nobody plans further
LEAST_CHANCE: Final = 1e-5  # of a branch that is followed
WORTH_BITS: Final = 1e-9
# Weights of the three prices of the one-step rule: of the cheapest bit before the test, bit by bit
# after it, and of the cheapest bit after it.
BEFORE, BIT_BY_BIT, CHEAPEST = 0.5, 0.3, 0.2


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
    What a test leaves open, as far as other tests can tell it at all, is priced in three ways: at
    the best price of a bit before the test; bit by bit at the prices of the tests after it, the
    cheapest bits first; and all at the cheapest of these. The first overlooks what access is worth,
    the second counts on tests telling different things, the third on a good one telling all. Their
    weighted geometric mean is the program's own choice: of the weights tried it came closest to
    the optimum on the circuits that ship.
    """
    sets = sets_of(problem)
    bits = sets.left(np.array([sets.whole])).bits[0]
    tried = np.flatnonzero(bits > WORTH_BITS)
    if not len(tried):
        return None
    price_before = float((problem.first[tried] / bits[tried]).min())
    minutes = problem.first[tried].copy()
    branch, shown = sets.shown[tried].ravel(), sets.shown.shape[1]
    after = sets.left(branch)
    alive = np.flatnonzero((after.chance > LEAST_CHANCE) & after.is_open)
    if len(alive):
        test = alive // shown
        every = sets_of(_every_test_at_once(problem)).left(branch[alive]).bits[:, 0]
        left = np.maximum(every, 0.0)
        bits_after, after_min = after.bits[alive], problem.after[tried[test]]
        by_bit = _bit_by_bit(left, bits_after, after_min)
        cheapest = _per_bit(bits_after, after_min).min(axis=1)
        at_best = left * np.where(np.isfinite(cheapest), cheapest, 0.0)
        price = (left * price_before) ** BEFORE * by_bit**BIT_BY_BIT * at_best**CHEAPEST
        minutes += np.bincount(test, after.chance[alive] * price, minlength=len(tried))
    return int(tried[int(np.argmin(minutes))])


def _per_bit(bits: Floats, minutes: Floats) -> Floats:
    """Return the price of a bit; infinite where a test tells nothing. [min]"""
    telling = bits > WORTH_BITS
    return np.asarray(
        np.where(telling, minutes / np.where(telling, bits, 1.0), np.inf), dtype=np.float64
    )


def _bit_by_bit(left: Floats, bits: Floats, minutes: Floats) -> Floats:
    """Return the price of what is left, by the tests with the cheapest bits. [min]

    Tests of one gain to the last digit split what is left alike: only the cheapest counts.
    """
    telling = bits > WORTH_BITS
    price = _per_bit(bits, minutes)
    order = np.argsort(price, axis=1, kind="stable")
    offered = np.take_along_axis(np.where(telling, bits, 0.0), order, axis=1)
    alike = np.abs(offered[:, :, None] - offered[:, None, :]) < WORTH_BITS
    cheaper = np.tri(bits.shape[1], k=-1, dtype=np.bool_)
    offered = np.where((alike & cheaper).any(axis=2), 0.0, offered)
    asked = np.take_along_axis(np.where(telling, price, 0.0), order, axis=1)
    reached = np.cumsum(offered, axis=1)
    taken = np.clip(left[:, None] - (reached - offered), 0.0, offered)
    dearest = np.maximum(left - reached[:, -1], 0.0) * asked.max(axis=1)
    return np.asarray((taken * asked).sum(axis=1) + dearest, dtype=np.float64)


def _every_test_at_once(problem: Problem) -> Problem:
    """Return the choice with one test that shows what all of them together would."""
    _, number = np.unique(problem.outcome, axis=0, return_inverse=True)
    return replace(problem, outcome=number.reshape(-1, 1).astype(np.intp))


def rollout(problem: Problem, among: Flags | None = None) -> int | None:
    """Return the test with the fewest expected minutes if it is played on as well as one looks.

    Parameters
    ----------
    problem
        The choice.
    among
        Tests that may come first; all by default.

    Returns
    -------
    int or None
        Number of the test; None if no test tells anything.
    """
    return least_expected(problem, among)[0]


def least_expected(
    problem: Problem, among: Flags | None = None, widths: tuple[int, ...] = WIDTHS
) -> tuple[int | None, float]:
    """Return the test with the fewest expected minutes, as `rollout`, and its minutes. [min]

    Parameters
    ----------
    problem
        The choice.
    among
        Tests that may come first; all by default.
    widths
        How many of the best tests by the rate rule are compared first, second and so on.

    Returns
    -------
    tuple
        Number of the test and its minutes; None and 0 if no test tells anything, or enough is
        known.
    """
    sets = sets_of(problem)
    tests = len(problem.first)
    took = np.vstack([problem.after, problem.first])  # from the start as after one test more
    nodes = np.array([sets.whole * (tests + 1) + tests])
    levels = []
    for deep in range(MOST_DEEP):
        width = widths[deep] if deep < len(widths) else 1
        level, reached = _grown(sets, took, nodes, width, among if deep == 0 else None)
        if not len(level.test):
            break
        levels.append(level)
        nodes = reached
    if not levels:
        return None, 0.0
    left = np.zeros(len(nodes))
    for level in reversed(levels):
        options = level.minutes + np.bincount(
            level.option, left[level.child], minlength=len(level.minutes)
        )
        starts = np.flatnonzero(np.diff(level.node, prepend=-1))
        left = np.zeros(level.nodes)
        left[level.node[starts]] = np.minimum.reduceat(options, starts)
    best = int(np.argmin(options))
    return int(levels[0].test[best]), float(options[best])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Level:
    """Tests in thought after as many others; a node is a set of hypotheses and the test before.

    Minutes are weighed with the chance of coming there. `option` and `child` go together: an
    outcome of the option leads to the child, a node of the next level.
    """

    nodes: int
    node: Indices
    test: Indices
    minutes: Floats
    option: Indices
    child: Indices


def _grown(
    sets: Sets, took: Floats, nodes: Indices, width: int, among: Flags | None
) -> tuple[_Level, Indices]:
    """Return the best tests at some nodes, and the nodes to which their outcomes lead."""
    set_, last = np.divmod(nodes, len(took))
    different, where = np.unique(set_, return_inverse=True)
    left = sets.left(different)
    bits, minutes = left.bits[where], took[last]
    telling = (bits > WORTH_BITS) & (True if among is None else among)
    telling &= ((left.chance > LEAST_CHANCE) & left.is_open)[where][:, None]
    rate = np.where(telling, bits / minutes, -1.0)
    if width == 1:
        best = rate.argmax(axis=1)[:, None]
    else:
        best = np.argsort(-rate, axis=1, kind="stable")[:, :width]
    node, place = np.nonzero(np.take_along_axis(rate, best, axis=1) > 0.0)
    test = best[node, place]
    reached = set_[node, None] & sets.shown[test]
    option, outcome = np.nonzero(reached)
    found, child = np.unique(
        reached[option, outcome] * len(took) + test[option], return_inverse=True
    )
    level = _Level(
        nodes=len(nodes),
        node=node,
        test=test,
        minutes=left.chance[where][node] * minutes[node, test],
        option=option,
        child=child,
    )
    return level, found
