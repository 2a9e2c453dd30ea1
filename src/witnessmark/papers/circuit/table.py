"""The facts of a drawing as rows, for whoever cannot see it."""

from dataclasses import dataclass

from witnessmark.diagnosis.words import percent_words, volts_words
from witnessmark.networks import BATTERY_MINUS, Circuit, Kind
from witnessmark.papers.circuit.focus import Focus
from witnessmark.papers.circuit.overlay import Overlay, Reading
from witnessmark.papers.circuit.volts import volts_text


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """One part: what it is and where it lies.

    Attributes
    ----------
    name
        The author's name.
    words
        The author's words, or its kind.
    ends
        Each terminal and its point, in words.
    """

    name: str
    words: str
    ends: str


def part_rows(circuit: Circuit) -> tuple[PartRow, ...]:
    """Return the parts of a circuit in the author's order.

    Parameters
    ----------
    circuit
        The circuit; it may be half finished.
    """
    points = {point.key: point for point in circuit.points}

    def named(key: str) -> str:
        point = points.get(key)
        if point is None or not point.letter:
            return key
        if key == BATTERY_MINUS:
            return point.words
        return f"{point.letter}, {point.said}" if point.said else point.letter

    rows = []
    for part in circuit.parts:
        kind = "switch" if part.kind is Kind.SELECTOR else part.kind.value
        words = f"{part.words} ({kind})" if part.words else kind
        ends = "; ".join(named(key) for _, key in part.ends) or "not connected"
        rows.append(PartRow(name=part.name, words=words, ends=ends))
    return tuple(rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class PointRow:
    """One point of a drawing: what it would show and what it showed.

    Attributes
    ----------
    name, words
        Letter, and the author's words.
    healthy
        Volts when nothing is wrong.
    read
        What was read.
    suspects
        What the suspects predict, where they disagree.
    """

    name: str
    words: str
    healthy: str
    read: str
    suspects: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BeliefRow:
    """One part of a drawing and the belief that it is at fault."""

    name: str
    words: str
    belief: str


def point_rows(circuit: Circuit, focus: Focus, overlay: Overlay) -> tuple[PointRow, ...]:
    """Return the points of a focus from supply to ground, the strong way first.

    Parameters
    ----------
    circuit
        The circuit.
    focus
        What is drawn of it.
    overlay
        What is drawn over it.
    """
    keys = dict.fromkeys(key for run in (focus.main, *focus.others) for key in run.points)
    rows = []
    for point in (circuit.point(key) for key in keys if key != BATTERY_MINUS):
        if not point.letter:
            continue
        shown = overlay.points.get(point.key, Reading())
        healthy = "" if shown.healthy_v is None else f"{volts_text(shown.healthy_v)} V"
        rows.append(
            PointRow(
                name=point.letter,
                words=point.said,
                healthy=healthy,
                read=shown.read,
                suspects="" if shown.span_v is None else volts_words(*shown.span_v),
            )
        )
    return tuple(rows)


def belief_rows(circuit: Circuit, overlay: Overlay) -> tuple[BeliefRow, ...]:
    """Return every part that is a suspect, in the author's order.

    Parameters
    ----------
    circuit
        The circuit.
    overlay
        What is drawn over it.
    """
    return tuple(
        BeliefRow(
            name=part.name,
            words=part.words or part.kind.value,
            belief=percent_words(overlay.belief[part.name]),
        )
        for part in circuit.parts
        if part.name in overlay.belief
    )
