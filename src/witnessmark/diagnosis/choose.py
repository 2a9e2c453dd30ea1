"""The next test: all tests compared by gain per minute, the best ones played to the end."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import METERS, Flags, Floats, Indices
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed, trouble
from witnessmark.diagnosis.gains import ASKED_FOR, gains
from witnessmark.diagnosis.hypotheses import Problem, certain_gains
from witnessmark.diagnosis.kinds import LAMPS, METER_AND_LAMP, WATCH, Means, has_size
from witnessmark.diagnosis.observations import Observation, Test
from witnessmark.diagnosis.offers import Menu, between, kept, menu_of, minutes_after, standing_after
from witnessmark.diagnosis.outcomes import sign_chances
from witnessmark.diagnosis.reports import LOOKS, WEAK
from witnessmark.diagnosis.rollout import least_expected
from witnessmark.diagnosis.sizes import sizes
from witnessmark.diagnosis.standing import Standing, standing
from witnessmark.diagnosis.stop import CERTAIN
from witnessmark.diagnosis.watching import told_in

# To fit a part, see that nothing changed, and go on: the program's own choice.
WRONG_PART_MIN: Final = 30.0
WORTH_BITS: Final = 0.04  # a test that tells less is not worth its minutes
HYPOTHESES: Final = 16  # runs of severities that are played through
COVERED: Final = 0.8  # of the belief: below it, too much would be left out of the play
APART_IN_U: Final = 3.0  # sizes so far apart count as different outcomes
MOST_OUTCOMES: Final = 5
AFTER_SIGN: Final = (4, 4)  # tests that are compared, one after another, after such a sign
NEAR: Final = 0.5  # of the best rate: a test below it is not put first, whatever comes after
UNSEEN: Final = 0.5  # of a gain is left where a complaint that comes and goes cannot be watched
# Of the gain of watching a load; the second where something is only weak, since others may be a
# little so too, which eyes hardly tell. With more of it, simulated fleets took longer.
BY_EYE: Final = (0.8, 0.4)
CLEAR: Final = 0.7  # of the gain in the play that a test must have in earnest


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """All tests with their gains and minutes.

    Attributes
    ----------
    menu
        The tests.
    gain_bits
        Expected gain of each; nothing for one that is done or out of reach. [bit]
    minutes
        Minutes of each from where the crew stands. [min]
    spared
        By how much each is expected to make the likeliest repair a surer one; at most 1.
    chosen
        The test that the rollout found; None where the rate decides alone.
    """

    menu: Menu
    gain_bits: Floats
    minutes: Floats
    spared: Floats
    chosen: int | None = None

    def best(self, least_bits: float = WORTH_BITS) -> int | None:
        """Return the number of the best test, or None if none tells more than so little."""
        worth = self.gain_bits > least_bits
        if not worth.any():
            return None
        if self.chosen is not None and worth[self.chosen]:
            return self.chosen
        return int(np.where(worth, self.gain_bits / self.minutes, -1.0).argmax())

    @property
    def spares(self) -> bool:
        """Whether a test is expected to spare more minutes of wrong parts than it takes."""
        return bool((WRONG_PART_MIN * self.spared > self.minutes).any())

    def best_of(self, allowed: Flags, least_bits: float = WORTH_BITS) -> int | None:
        """Return the number of the best among some tests by gain per minute."""
        worth = allowed & (self.gain_bits > least_bits)
        if not worth.any():
            return None
        return int(np.where(worth, self.gain_bits / self.minutes, -1.0).argmax())


def compare(
    book: Dictionary,
    weighed: Weighed,
    complaints: Sequence[Observation] = (),
    last: Test | None = None,
    done: Collection[str] = (),
    out_of_reach: Collection[str] = (),
    means: Means = METER_AND_LAMP,
    ahead: bool = True,
) -> Weighing:
    """Return every test that can be done with its expected gain and its minutes.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    complaints
        What was reported.
    last
        The test before, which set up the state and gave access to the place.
    done
        Keys of tests whose answer is known; they are not offered again.
    out_of_reach
        Letters of points, and names of parts, that the crew cannot reach.
    means
        Tools and permits of the crew.
    ahead
        Whether to play the best tests to the end; else gain per minute decides.
    """
    menu = menu_of(book, means, complaints)
    if done or out_of_reach:
        barred = set(out_of_reach)
        chosen = np.array(
            [
                key not in done and barred.isdisjoint((test.point, test.reference, test.part))
                for key, test in zip(menu.keys, menu.tests, strict=True)
            ],
            dtype=np.bool_,
        )
        menu = kept(menu, chosen)
    left = standing(book, weighed)
    minutes = minutes_after(book, menu, last)
    share = _share_told(book, menu, complaints)
    told = gains(book, weighed, menu, complaints, left, minutes / share)
    told = told.less(share, left.likeliest)
    known = float(weighed.belief[book.known].sum())
    spared = known * (told.right - left.likeliest)
    found = Weighing(menu=menu, gain_bits=told.bits, minutes=minutes, spared=spared)
    if not ahead or found.best() is None:
        return found
    return replace(found, chosen=_ahead(book, weighed, left, found, complaints, last))


def _share_told(book: Dictionary, menu: Menu, complaints: Sequence[Observation]) -> Floats:
    """Return by test how much of its gain is left.

    Where a complaint comes and goes, a reading that looks healthy clears nobody in a state in which
    no one can see whether the complaint is there.
    """
    told = [(one.look or trouble(book, one.complaint).look) for one in complaints]
    by_eye = BY_EYE[LOOKS[WEAK] in told]
    share = np.array([by_eye if test.kind == WATCH else 1.0 for test in menu.tests])
    if any(one.comes_and_goes for one in complaints):
        seen = {"", *told_in(book, complaints)}
        share[[test.state not in seen for test in menu.tests]] *= UNSEEN
    return share


def _ahead(
    book: Dictionary,
    weighed: Weighed,
    left: Standing,
    found: Weighing,
    complaints: Sequence[Observation],
    last: Test | None,
) -> int | None:
    """Return the test that a rollout finds best; None where gain per minute must do.

    The leader by gain per minute may be a load watched, a look, a touch or a wiggle, which err too
    often to be played through like a reading: it is put first if it leads to the end sooner so.
    """
    leader = found.best()
    if leader is None:
        return None
    rate = np.where(found.gain_bits > WORTH_BITS, found.gain_bits / found.minutes, 0.0)
    certain = np.array([has_size(test.kind) for test in found.menu.tests])
    order = np.argsort(-rate * certain, kind="stable")[:ASKED_FOR]
    order = order[rate[order] * certain[order] > 0]
    runs = np.argsort(-left.belief, kind="stable")[:HYPOTHESES]
    weight = left.belief[runs]
    if len(order) < 2 or weight.sum() < COVERED:
        return None
    suspects = left.suspect[runs]
    repair = np.unique(book.repair_of[suspects], return_inverse=True)[1]
    if repair.max() == 0:
        return None
    # What is left out of the play, or not on the sheet, keeps a cause from being named sooner.
    covered = float(weight.sum() * weighed.belief[book.known].sum())
    weight = weight / weight.sum()
    outcome = _outcomes(book, left, kept_in_order(found.menu, order), runs)
    # A test whose noise blurs what would be certain in the play is left out of it.
    clear = found.gain_bits[order] >= CLEAR * certain_gains(weight, repair, outcome)
    order = order[clear]
    if len(order) < 2:
        return None
    ahead = kept_in_order(found.menu, order)
    problem = Problem(
        weight=weight,
        repair=repair,
        outcome=outcome[:, clear],
        first=found.minutes[order],
        after=between(ahead, book),
        enough=min(1.0, CERTAIN / covered),
    )
    best, minutes = least_expected(problem, among=rate[order] >= NEAR * rate[order[0]])
    if best is None:
        return None
    if not certain[leader]:
        led = found.menu.tests[leader]
        sign = sign_chances(book, led, complaints)[left.sample[runs]]
        before = [led] if last is None else [last, led]
        first = minutes_after(book, ahead, standing_after(before))
        if found.minutes[leader] + _after_sign(problem, sign, first) < minutes:
            return leader
    return int(order[best])


def _after_sign(problem: Problem, sign: Floats, first: Floats) -> float:
    """Return the expected minutes left after a sign that may deceive. [min]

    Parameters
    ----------
    problem
        The choice before it.
    sign
        By hypothesis: the chance of the first of two outcomes.
    first
        Minutes of each test after it. [min]
    """
    minutes = 0.0
    for chance in (sign, 1.0 - sign):
        weight = problem.weight * chance
        share = float(weight.sum())
        if share > 0:
            shown = replace(problem, weight=weight / share, first=first)
            minutes += share * least_expected(shown, widths=AFTER_SIGN)[1]
    return minutes


def kept_in_order(menu: Menu, order: Indices) -> Menu:
    """Return some of the tests in a given order.

    Parameters
    ----------
    menu
        The tests.
    order
        Their numbers.
    """
    return Menu(
        tests=tuple(menu.tests[number] for number in order.tolist()),
        keys=tuple(menu.keys[number] for number in order.tolist()),
        doing=menu.doing[order],
        setup=menu.setup[order],
    )


def _outcomes(book: Dictionary, left: Standing, menu: Menu, runs: Indices) -> Indices:
    """Return hypothesis by test: outcomes that stand apart, numbered from the smallest size."""
    low, high, blind, _ = sizes(book, left, menu, np.arange(len(menu.tests)))
    low, high, blind = low[runs], high[runs], blind[runs]
    least, most = np.minimum(low, high), np.maximum(low, high)
    outcome = np.zeros(least.shape, dtype=np.intp)
    for kind in {test.kind for test in menu.tests}:
        columns = np.flatnonzero([test.kind == kind for test in menu.tests])
        if kind in LAMPS:
            middle = np.abs(least[:, columns] + most[:, columns]) / 2.0
            outcome[:, columns] = (middle > 2.5).astype(np.intp) + (middle > 8.0)
            continue
        meter = METERS[kind]
        below = least[:, columns]
        order = np.argsort(below, axis=0, kind="stable")
        sorted_low = np.take_along_axis(below, order, axis=0)
        reached = np.maximum.accumulate(np.take_along_axis(most[:, columns], order, axis=0), axis=0)
        u = np.hypot(meter.gain * np.abs(sorted_low[1:]), meter.floor)
        steps = (sorted_low[1:] - reached[:-1]) > APART_IN_U * u
        rank = np.concatenate([np.zeros((1, len(columns)), dtype=np.intp), steps.cumsum(axis=0)])
        ranked = np.empty_like(rank)
        np.put_along_axis(ranked, order, np.minimum(rank, MOST_OUTCOMES - 2), axis=0)
        outcome[:, columns] = ranked
    outcome[blind] = MOST_OUTCOMES - 1
    return outcome
