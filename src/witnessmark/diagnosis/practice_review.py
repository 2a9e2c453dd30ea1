"""The review of a practice case: the learner's path beside the best one."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from witnessmark.diagnosis.advice import Advice
from witnessmark.diagnosis.building import dictionary_of, with_jumpers
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.find import way_of_complaint
from witnessmark.diagnosis.kinds import EVERYTHING, JUMPER, Means
from witnessmark.diagnosis.observations import TestReading, parse_test_key
from witnessmark.diagnosis.path_words import best_words
from witnessmark.diagnosis.practice import Hidden, fuses_it_blows
from witnessmark.diagnosis.practice_answers import answer
from witnessmark.diagnosis.practice_offers import minutes_taken
from witnessmark.diagnosis.practice_steps import Step, Taken, reading_from, steps_of
from witnessmark.diagnosis.practice_words import (
    LATE,
    Told,
    cause_words,
    late_words,
    repair_words,
    told_most_words,
)
from witnessmark.diagnosis.run import run
from witnessmark.diagnosis.stop import CAUSE, Stop
from witnessmark.diagnosis.words import percent_words
from witnessmark.networks import Circuit

TOLD_MOST: Final = 0.05  # of belief: a smaller rise is not worth a word
MOST_TESTS: Final = 20  # of the best path
FREE: Final = Means(tools=EVERYTHING.tools)  # what everybody may do: no permit, so no jumper
RIGHT, LUCKY, WRONG, GIVEN_UP = "right", "not proved", "wrong", "given up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """How a practice case went.

    Attributes
    ----------
    path, best
        The learner's tests and the advised ones, against the same hidden fault.
    minutes, best_minutes
        Of both paths. [min]
    verdict
        "right", "not proved" (right, but the readings did not say so yet), "wrong", "given up".
    cause_right, repair_right, proved
        Whether the cause named was right, the repair chosen, and whether the readings had
        proved the cause when it was named.
    best_proved
        Whether the best path ends with the cause proved.
    before
        Belief in the true cause before any test, in words.
    cause, repair, told_most, best_ends
        What to say of each.
    told_most_at
        Number of the test after which belief in the true cause rose most; 0 if none told much.
    wasted
        The sentences of tests that told little.
    truth, mend
        The hidden fault and what puts it right, in words.
    """

    path: tuple[Step, ...]
    best: tuple[Step, ...]
    minutes: float
    best_minutes: float
    verdict: str
    cause_right: bool
    repair_right: bool
    proved: bool
    best_proved: bool
    before: str
    cause: str
    repair: str
    told_most: str
    told_most_at: int
    best_ends: str
    wasted: tuple[str, ...]
    truth: str
    mend: str


def review(
    circuit: Circuit, hidden: Hidden, seed: int, taken: Sequence[Taken], suspect: str, repair: str
) -> Review:
    """Return how a practice case went.

    Parameters
    ----------
    circuit
        The circuit.
    hidden
        The hidden fault.
    seed
        Where the dice of the case start.
    taken
        The tests that the learner did, in their order.
    suspect
        Key of the cause that was named; empty where the learner gave up.
    repair
        The repair that was chosen; empty where the learner gave up.

    Notes
    -----
    A practice case hides one fault, and says so. Belief is weighed among single faults, by the
    rates by which it was drawn.
    """
    readings = [reading_from(number, one) for number, one in enumerate(taken, start=1)]
    bridged = any(reading.kind == JUMPER for reading in readings)
    rates = hidden.rates
    book = with_jumpers(circuit, rates) if bridged else dictionary_of(circuit, dict(rates))
    path = steps_of(book, hidden, readings, [one.minutes for one in taken])
    best, best_stop = _best(circuit, hidden, seed)
    # What never happens in this shop may be named all the same.
    named = next((one for one in dictionary_of(circuit).suspects if one.key == suspect), None)
    stop = run(book, hidden.complaints, readings, means=FREE).stop
    weighed = weigh(book, hidden.complaints, readings)
    cause_right = named is not None and named.repair == hidden.repair
    proved = cause_right and stop.kind == CAUSE
    fuses = fuses_it_blows(circuit, hidden.fault)
    told = Told(
        truth=hidden.words,
        mend=hidden.repair,
        named="" if named is None else named.key,
        belief_true=float(weighed.repairs[book.repairs.index(hidden.repair)]),
        belief_named=(
            float(weighed.repairs[book.repairs.index(named.repair)])
            if named is not None and named.repair in book.repairs
            else 0.0
        ),
        fuses=fuses,
        tests=len(path),
        is_proved=stop.kind == CAUSE and stop.repair == hidden.repair,
        named_words=(
            named.words if named is not None and cause_right and named.key != hidden.suspect else ""
        ),
    )
    before = weigh(book, hidden.complaints, [])
    start = float(before.repairs[book.repairs.index(hidden.repair)])
    told_most_at = _told_most_at(start, path)
    if named is None:
        verdict = GIVEN_UP
    elif not cause_right:
        verdict = WRONG
    else:
        verdict = RIGHT if proved else LUCKY
    return Review(
        path=path,
        best=best,
        minutes=path[-1].at_minutes if path else 0.0,
        best_minutes=best[-1].at_minutes if best else 0.0,
        verdict=verdict,
        cause_right=cause_right,
        repair_right=repair == hidden.repair,
        proved=proved,
        best_proved=best_stop.kind == CAUSE,
        before=percent_words(start),
        cause=cause_words(told, cause_right, proved),
        repair=repair_words(told, repair, repair == hidden.repair),
        told_most=_told_most(start, path, told_most_at),
        told_most_at=told_most_at,
        best_ends=best_words(best_stop.kind == CAUSE, best[-1:]),
        wasted=_wasted(path),
        truth=hidden.words,
        mend=hidden.repair,
    )


def best_path(circuit: Circuit, hidden: Hidden, seed: int) -> tuple[Step, ...]:
    """Return the tests that Find would have advised one after another, with this hidden fault.

    Parameters
    ----------
    circuit
        The circuit.
    hidden
        The hidden fault.
    seed
        Where the dice of the case start: a test shows here what it shows the learner.

    Notes
    -----
    It knows no more than the learner does, and it may be beaten by luck. The complaint is
    watched during every test.
    """
    return _best(circuit, hidden, seed)[0]


def _best(circuit: Circuit, hidden: Hidden, seed: int) -> tuple[tuple[Step, ...], Stop]:
    """Return the best path, and how Find ends it."""
    book = dictionary_of(circuit, dict(hidden.rates))
    way = way_of_complaint(circuit, hidden.complaints)
    readings: list[TestReading] = []
    minutes: list[float] = []
    advised: list[Advice] = []
    while True:
        found = run(book, hidden.complaints, readings, way.sides if way else {}, means=FREE)
        if found.next_test is None or len(readings) >= MOST_TESTS:
            break
        earlier = [reading.key for reading in readings]
        test = parse_test_key(found.next_test.key)
        shown = answer(circuit, hidden, seed, earlier, test, watched=True)
        took = minutes_taken(circuit, earlier, test)
        minutes.append(took)
        one = Taken(key=test.key, answer=shown, minutes=took)
        readings.append(reading_from(len(readings) + 1, one))
        advised.append(found.next_test)
    steps = steps_of(book, hidden, readings, minutes)
    told = tuple(
        replace(step, why=one.why, says_range=one.says_range)
        for step, one in zip(steps, advised, strict=True)
    )
    return told, found.stop


def _told_most_at(start: float, path: Sequence[Step], wasted: bool = False) -> int:
    """Return the number of the test after which belief in the true cause rose most.

    A test from which little was to be expected is not praised for its luck, unless only such are
    asked for, as `wasted`.
    """
    shares = np.array([start, *(step.belief for step in path)])
    asked = np.array([bool(step.wasted) is wasted for step in path], dtype=np.bool_)
    rise = np.where(asked, np.diff(shares), 0.0)
    if rise.max(initial=0.0) < TOLD_MOST:
        return 0
    return int(rise.argmax()) + 1


def _wasted(path: Sequence[Step]) -> tuple[str, ...]:
    """Return why tests told little; all that came too late in one sentence."""
    late = [step.number for step in path if step.wasted.endswith(LATE)]
    if len(late) < 2:
        return tuple(step.wasted for step in path if step.wasted)
    early = (step.wasted for step in path if step.wasted and step.number not in late)
    return (*early, late_words(late))


def _told_most(start: float, path: Sequence[Step], number: int) -> str:
    if not path:
        return "No test was done."
    is_luck = not number
    number = number or _told_most_at(start, path, wasted=True)
    step = path[number - 1] if number else None
    return told_most_words(
        step.where if step else "",
        number,
        _before(start, path, number),
        step.belief if step else start,
        is_luck,
    )


def _before(start: float, path: Sequence[Step], number: int) -> float:
    return path[number - 2].belief if number > 1 else start
