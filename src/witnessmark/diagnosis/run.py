"""A Find run as one value: belief, next test, stop and proof, from sheet, complaints, readings."""

from collections.abc import Collection, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from witnessmark.diagnosis.advice import Advice, Weighing, advise, compare
from witnessmark.diagnosis.dictionary import SOMETHING_ELSE, Dictionary
from witnessmark.diagnosis.evidence import Weighed, trouble, weigh
from witnessmark.diagnosis.observations import LAMP, Observation, Test, TestReading
from witnessmark.diagnosis.proof import Proof, proofs
from witnessmark.diagnosis.sentences import Sides, percent_words, suspect_words
from witnessmark.diagnosis.stop import CAUSE, Stop, stop_rule, twin_parts, unexplained_words
from witnessmark.diagnosis.views import PointView, ReadingView, point_views, reading_view


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One suspect and its share of the belief."""

    key: str
    part: str
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
    unexplained
        Words of complaints that the likeliest repair would leave.
    twins
        Groups of parts that no test on the sheet tells apart.
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
    unexplained: tuple[str, ...]
    twins: tuple[tuple[str, ...], ...]
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
        Letters of points that the crew cannot reach.
    """
    sides = sides or {}
    weighed = weigh(book, complaints, readings)
    last = readings[-1].test if readings else None
    asked = [reading.key for reading in readings]
    # A reading that fits nobody may be taken once more.
    again = {reading.key for reading in readings if reading.id in weighed.questioned}
    done = {key for key in asked if key not in again or asked.count(key) > 1}
    weighing = compare(book, weighed, last, done, out_of_reach)
    unexplained = unexplained_words(book, weighed, complaints)
    counted = [reading for reading in readings if reading.present is not False]
    # Nothing is named on complaints alone: the first test is asked for however little it tells.
    best = weighing.best() if counted else weighing.best(least_bits=0.0)
    stop = stop_rule(book, weighed, unexplained, best is not None, bool(counted), sides)
    offered = None if stop.kind == CAUSE else best
    state = _drawn_state(book, weighing, offered, complaints, last)
    return FindRun(
        belief=_belief(book, weighed),
        parts=_by_part(book, weighed),
        next_test=None if offered is None else advise(book, weighed, weighing, offered, sides),
        lamp_instead=_lamp_instead(book, weighed, weighing, offered, sides),
        elsewhere=_elsewhere(book, weighed, weighing, offered, sides),
        stop=stop,
        state=state,
        points=point_views(book, weighed, state, readings),
        node_v=dict(book.node_v.get(state, {})),
        readings=tuple(reading_view(book, reading, weighed) for reading in readings),
        questioned=weighed.questioned,
        unexplained=unexplained,
        twins=twin_parts(book, weighed),
        proof=proofs(book, weighed, complaints, state) if stop.kind == CAUSE else (),
    )


def _belief(book: Dictionary, weighed: Weighed) -> tuple[Share, ...]:
    order = np.argsort(-weighed.suspects, kind="stable").tolist()
    return tuple(
        Share(
            key=book.suspects[number].key,
            part=book.suspects[number].part,
            words=suspect_words(book.suspects[number]),
            repair=book.suspects[number].repair,
            share=float(weighed.suspects[number]),
            percent=percent_words(float(weighed.suspects[number])),
        )
        for number in order
    )


def _by_part(book: Dictionary, weighed: Weighed) -> dict[str, float]:
    parts: dict[str, float] = {}
    for suspect, share in zip(book.suspects, weighed.suspects.tolist(), strict=True):
        if suspect.key != SOMETHING_ELSE:
            parts[suspect.part] = parts.get(suspect.part, 0.0) + share
    return parts


def _drawn_state(
    book: Dictionary,
    weighing: Weighing,
    offered: int | None,
    complaints: Sequence[Observation],
    last: Test | None,
) -> str:
    if offered is not None:
        return weighing.tests[offered].state
    if complaints:
        return trouble(book, complaints[0].complaint).state
    return last.state if last else book.settings[0].name


def _lamp_instead(
    book: Dictionary, weighed: Weighed, weighing: Weighing, offered: int | None, sides: Sides
) -> Advice | None:
    if offered is None or weighing.tests[offered].kind == LAMP:
        return None
    asked = weighing.tests[offered]
    for number, test in enumerate(weighing.tests):
        if (test.kind, test.point, test.state, test.reference) == (
            LAMP,
            asked.point,
            asked.state,
            "",
        ):
            return advise(book, weighed, weighing, number, sides)
    return None


def _elsewhere(
    book: Dictionary, weighed: Weighed, weighing: Weighing, offered: int | None, sides: Sides
) -> Advice | None:
    if offered is None:
        return None
    here = weighing.tests[offered].point
    away = np.array([here not in (test.point, test.reference) for test in weighing.tests])
    other = Weighing(
        tests=weighing.tests,
        gain_bits=np.where(away, weighing.gain_bits, 0.0),
        minutes=weighing.minutes,
    ).best()
    return None if other is None else advise(book, weighed, weighing, other, sides)
