"""Points and readings as a screen shows them, beside what a healthy circuit would give."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.diagnosis.answers import exact_words, note_words
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.forecast import healthy_outcome, healthy_size
from witnessmark.diagnosis.groups import disagreement_v
from witnessmark.diagnosis.kinds import KINDS, VOLTS
from witnessmark.diagnosis.observations import Observation, Test, TestReading
from witnessmark.diagnosis.outcomes import is_lamp
from witnessmark.diagnosis.watching import complained_watched
from witnessmark.diagnosis.words import what_words


@dataclass(frozen=True, slots=True, kw_only=True)
class PointView:
    """One point in the state of the drawing: healthy, read, and where the suspects part.

    Attributes
    ----------
    letter, words
        The point.
    state
        Operating state.
    healthy_v
        Volts when nothing is wrong. [V]
    span_v
        Range over which the suspects disagree, if they do. [V]
    read
        The last value read there in this state, as typed; empty if none.
    read_v
        The last voltage read there. [V]
    """

    letter: str
    words: str
    state: str
    healthy_v: float
    span_v: tuple[float, float] | None
    read: str
    read_v: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingView:
    """One reading beside what a healthy circuit would give, and whether it fits anybody."""

    id: str
    key: str
    where: str
    state: str
    healthy: str
    text: str
    questioned: bool
    counted: bool
    note: str


def point_views(
    book: Dictionary, weighed: Weighed, state: str, readings: Sequence[TestReading]
) -> tuple[PointView, ...]:
    """Return every point in one state.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    state
        Operating state.
    readings
        The readings that stand.
    """
    shown = []
    number = book.state(state)
    for at, place in enumerate(book.places):
        here = [r for r in readings if r.point == place.letter and r.state == state]
        volts = [r for r in here if r.kind == VOLTS and not r.reference]
        last = (volts or here)[-1:]
        shown.append(
            PointView(
                letter=place.letter,
                words=place.words,
                state=state,
                healthy_v=float(book.solved.volts[HEALTHY, number, at]),
                span_v=disagreement_v(book, weighed, state, place.letter),
                read=last[0].text if last else "",
                read_v=volts[-1].value if volts else None,
            )
        )
    return tuple(shown)


def reading_view(
    book: Dictionary,
    reading: TestReading,
    weighed: Weighed,
    complaints: Sequence[Observation] = (),
    again: bool = False,
) -> ReadingView:
    """Return one reading beside its healthy value.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading.
    weighed
        Belief after all readings.
    complaints
        What was reported.
    again
        Whether the same test was done twice and fits nobody either time.
    """
    test = reading.test
    watched = complained_watched(book, test, complaints)
    healthy = healthy_words(book, test)
    questioned = reading.id in weighed.questioned
    return ReadingView(
        id=reading.id,
        key=reading.key,
        where=what_words(book.places, book.parts, test),
        state=book.settings[book.state(test.state)].words if test.state else "",
        healthy=healthy,
        text=reading.text,
        questioned=questioned,
        counted=reading.present is not False,
        note=note_words(book, reading, questioned, watched, again),
    )


def healthy_words(book: Dictionary, test: Test) -> str:
    """Return what a healthy circuit would give: "0.18 V", "lit".

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    if is_lamp(test) or not KINDS[test.kind].unit:
        return healthy_outcome(book, test)
    return exact_words(healthy_size(book, test), KINDS[test.kind].unit)
