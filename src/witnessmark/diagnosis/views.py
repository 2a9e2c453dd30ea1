"""Points and readings as a screen shows them, beside what a healthy circuit would give."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.diagnosis.belief import LAMP_DARK_V, LAMP_LIT_V
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.forecast import disagreement_v
from witnessmark.diagnosis.observations import LAMP, VOLTS, TestReading
from witnessmark.diagnosis.sentences import where_words


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
                healthy_v=float(book.healthy_v[number, at]),
                span_v=disagreement_v(book, weighed, state, place.letter),
                read=last[0].text if last else "",
                read_v=volts[-1].voltage_v if volts else None,
            )
        )
    return tuple(shown)


def reading_view(book: Dictionary, reading: TestReading, weighed: Weighed) -> ReadingView:
    """Return one reading beside its healthy value.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    reading
        The reading.
    weighed
        Belief after all readings.
    """
    state, point = book.state(reading.state), book.point(reading.point)
    if reading.kind == LAMP:
        lamp_v = abs(float(book.healthy_lamp[reading.reference][state, point]))
        healthy = "lit" if lamp_v > LAMP_LIT_V[0] else "dim" if lamp_v > LAMP_DARK_V[0] else "dark"
    else:
        volts = float(book.healthy_v[state, point])
        if reading.reference:
            volts -= float(book.healthy_v[state, book.point(reading.reference)])
        healthy = f"{volts:.2f} V".replace("-0.00", "0.00").replace("-", "−")
    questioned = reading.id in weighed.questioned
    counted = reading.present is not False
    note = "Fits no suspect. Take it again." if questioned else ""
    if not counted:
        note = "The complaint was away during this test, so it clears nobody."
    where = where_words(book.places[point])
    if reading.reference:
        where += f", against {reading.reference}"
    if reading.kind == LAMP:
        where += ", test lamp"
    return ReadingView(
        id=reading.id,
        key=reading.key,
        where=where,
        state=book.settings[state].words,
        healthy=healthy,
        text=reading.text,
        questioned=questioned,
        counted=counted,
        note=note,
    )
