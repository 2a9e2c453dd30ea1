"""A Find run as one value: belief, next test, stop and proof, from sheet, complaints, readings."""

from collections.abc import Collection, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from witnessmark.diagnosis.advice import Advice, advise
from witnessmark.diagnosis.choose import Weighing, compare
from witnessmark.diagnosis.confirming import confirming
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed, as_taken, trouble, weigh
from witnessmark.diagnosis.focus import focused
from witnessmark.diagnosis.kinds import LAMP, METER_AND_LAMP, SHOW_ANYWAY, WATCH, WIGGLE, Means
from witnessmark.diagnosis.observations import Observation, Test, TestReading
from witnessmark.diagnosis.offers import standing_after
from witnessmark.diagnosis.proof import Proof, proofs
from witnessmark.diagnosis.several import (
    Common,
    common_cause,
    explained_by_repair,
    unexplained_words,
)
from witnessmark.diagnosis.stop import CAUSE, Stop, halted, stop_rule
from witnessmark.diagnosis.twins import Twins, twin_parts
from witnessmark.diagnosis.views import PointView, ReadingView, point_views, reading_view
from witnessmark.diagnosis.watching import not_there, told_in
from witnessmark.diagnosis.words import Sides, percent_words, suspect_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One suspect and its share of the belief."""

    key: str
    part: str
    parts: tuple[str, ...]
    words: str
    repair: str
    share: float
    percent: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FindRun:
    """All that Find knows, computed afresh from circuit, complaints and readings.

    Attributes
    ----------
    belief
        Suspects, the likeliest first; 'something not on the sheet' is one of them.
    parts
        Belief by part.
    next_test
        The best test in words; None where the cause is known or no test is worth it.
    lamp_instead
        The test lamp at the same point.
    elsewhere
        The best test at another point, for a crew that cannot reach this one.
    stop
        Whether the cause can be named.
    state
        The state that the drawing shows.
    points
        Every point in that state.
    node_v
        Healthy volts in that state, by key of the point, lettered or not. [V]
    readings
        The readings, in the order given.
    questioned
        Identifiers of readings that fit no suspect.
    not_there
        Keys of the complaints whose load was last watched and does what it should.
    unexplained
        Words of complaints that the likeliest repair would leave.
    explains
        Keys of the complaints that each repair explains.
    twins
        Parts that no test on the sheet tells apart, and the point that would part them.
    common
        One common cause against two at once.
    proof
        Readings that prove the repair, once a cause can be named.
    """

    belief: tuple[Share, ...]
    parts: dict[str, float]
    next_test: Advice | None
    lamp_instead: Advice | None
    elsewhere: Advice | None
    stop: Stop
    state: str
    points: tuple[PointView, ...]
    node_v: dict[str, float]
    readings: tuple[ReadingView, ...]
    questioned: tuple[str, ...]
    not_there: tuple[str, ...]
    unexplained: tuple[str, ...]
    explains: dict[str, tuple[str, ...]]
    twins: tuple[Twins, ...]
    common: Common
    proof: tuple[Proof, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the run as plain values with the names of its fields."""
        return asdict(self)


def run(
    book: Dictionary,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
    sides: Sides | None = None,
    out_of_reach: Collection[str] = (),
    means: Means = METER_AND_LAMP,
    halt: str = "",
) -> FindRun:
    """Return the run for a dictionary that is there already.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaints
        What was reported.
    readings
        The readings that stand, in the order in which they were taken.
    sides
        On which side of the complained load each part lies.
    out_of_reach
        Letters of points, and names of parts, that the crew cannot reach.
    means
        Tools and permits of the crew.
    halt
        Why nobody in the class may test this circuit; empty where they may.
    """
    sides = sides or {}
    readings = as_taken(book, complaints, readings)
    book, weighed = focused(book, weigh(book, complaints, readings))
    last = standing_after([reading.test for reading in readings])
    unexplained = unexplained_words(book, weighed, complaints)
    counted = [reading for reading in readings if _counts(reading)]
    done = _done(readings, weighed)
    weighing = every = compare(book, weighed, complaints, last, done, out_of_reach, means)
    in_vain = _in_vain(book, every, complaints, readings)
    if in_vain:
        elsewhere = compare(book, weighed, complaints, last, done | in_vain, out_of_reach, means)
        weighing = every if elsewhere.best() is None else elsewhere
    fits_nobody = [one.key for one in readings if one.id in weighed.questioned]
    doubted = _doubted(readings, weighed)
    best = asked_next(book, weighed, weighing, complaints, readings)
    stop = stop_rule(
        book,
        weighed,
        unexplained,
        best is not None,
        bool(counted),
        sides,
        doubted=bool(doubted),
        spares=every.spares,
        told=bool(complaints),
    )
    if halt:
        stop = halted(halt)
    offered = None if stop.kind == CAUSE or halt else best
    state = _drawn_state(book, weighing, offered, complaints, last)

    def told(number: int | None) -> Advice | None:
        return (
            number if number is None else advise(book, weighed, weighing, number, sides, complaints)
        )

    return FindRun(
        belief=_belief(book, weighed),
        parts=_by_part(book, weighed),
        next_test=told(offered),
        lamp_instead=told(_lamp_instead(weighing, offered)),
        elsewhere=told(_elsewhere(weighing, offered)),
        stop=stop,
        state=state,
        points=point_views(book, weighed, state, readings),
        node_v=dict(book.node_v.get(state, {})),
        readings=tuple(
            reading_view(book, one, weighed, complaints, fits_nobody.count(one.key) > 1)
            for one in readings
        ),
        questioned=weighed.questioned,
        not_there=not_there(book, complaints, readings),
        unexplained=unexplained,
        explains=explained_by_repair(book, weighed, complaints),
        twins=tuple(
            Twins(parts=parts, point="", sentence="") for parts in twin_parts(book, weighed)
        ),
        common=common_cause(book, weighed, complaints),
        proof=proofs(book, weighed, complaints, state, readings) if stop.kind == CAUSE else (),
    )


def asked_next(
    book: Dictionary,
    weighed: Weighed,
    weighing: Weighing,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
) -> int | None:
    """Return the number of the test to do next, or None if none is worth it.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    weighing
        The tests that are left.
    complaints
        What was reported.
    readings
        The readings that stand.
    """
    doubted = _doubted(readings, weighed)
    if doubted and doubted[0] in weighing.menu.keys:
        return weighing.menu.number(doubted[0])
    if not any(_counts(reading) for reading in readings):
        # Nothing is named on complaints alone: a test is asked for however little it tells.
        return weighing.best(least_bits=0.0)
    best = weighing.best()
    return confirming(book, weighed, weighing, complaints) if best is None else best


def _counts(reading: TestReading) -> bool:
    """Return whether a reading is more than watching or wiggling, with the complaint not away."""
    return reading.kind not in (WATCH, WIGGLE) and reading.present is not False


def _done(readings: Sequence[TestReading], weighed: Weighed) -> set[str]:
    """Return the keys of tests whose answer is known.

    A reading that fits nobody may be taken once more, and one that was taken while the complaint
    was away is not taken yet.
    """
    asked = [reading.key for reading in readings if reading.present is not False]
    return set(asked) - set(_doubted(readings, weighed))


def _in_vain(
    book: Dictionary,
    weighing: Weighing,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
) -> set[str]:
    """Return the keys of tests that would wait for a complaint that was away just now.

    Only where another complaint shows in another state: until then the crew is better off there.
    """
    if not readings or readings[-1].present is not False:
        return set()
    state = readings[-1].test.state
    if set(told_in(book, complaints)) <= {state}:
        return set()
    tests = zip(weighing.menu.keys, weighing.menu.tests, strict=True)
    return {key for key, test in tests if test.state == state and test.kind not in SHOW_ANYWAY}


def _doubted(readings: Sequence[TestReading], weighed: Weighed) -> tuple[str, ...]:
    """Return the keys of readings that fit nobody and have been taken only once."""
    asked = [reading.key for reading in readings if reading.present is not False]
    again = [reading.key for reading in readings if reading.id in weighed.questioned]
    return tuple(key for key in dict.fromkeys(again) if asked.count(key) == 1)


def _belief(book: Dictionary, weighed: Weighed) -> tuple[Share, ...]:
    order = np.argsort(-weighed.suspects, kind="stable").tolist()
    return tuple(
        Share(
            key=book.suspects[number].key,
            part=book.suspects[number].part,
            parts=book.suspects[number].parts,
            words=suspect_words(book.suspects[number]),
            repair=book.suspects[number].repair,
            share=float(weighed.suspects[number]),
            percent=percent_words(float(weighed.suspects[number])),
        )
        for number in order
    )


def _by_part(book: Dictionary, weighed: Weighed) -> dict[str, float]:
    """Return the belief by part; two parts at fault at once both count."""
    parts: dict[str, float] = {}
    for suspect, share in zip(book.suspects, weighed.suspects.tolist(), strict=True):
        for part in suspect.parts:
            parts[part] = parts.get(part, 0.0) + share
    return parts


def _drawn_state(
    book: Dictionary,
    weighing: Weighing,
    offered: int | None,
    complaints: Sequence[Observation],
    last: Test | None,
) -> str:
    if offered is not None and weighing.menu.tests[offered].state:
        return weighing.menu.tests[offered].state
    if complaints:
        return trouble(book, complaints[0].complaint).state
    return last.state if last and last.state else book.settings[0].name


def _lamp_instead(weighing: Weighing, offered: int | None) -> int | None:
    """Return the test lamp at the same point, to ground."""
    if offered is None:
        return None
    asked = weighing.menu.tests[offered]
    if asked.kind == LAMP or not asked.point:
        return None
    key = Test(kind=LAMP, point=asked.point, state=asked.state).key
    return weighing.menu.number(key) if key in weighing.menu.keys else None


def _elsewhere(weighing: Weighing, offered: int | None) -> int | None:
    """Return the best test at another place."""
    if offered is None:
        return None
    asked = weighing.menu.tests[offered]
    away = [
        asked.place not in (test.point, test.reference, test.part) for test in weighing.menu.tests
    ]
    return weighing.best_of(np.array(away, dtype=np.bool_))
