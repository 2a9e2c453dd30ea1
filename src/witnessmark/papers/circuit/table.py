"""The facts of a drawing as rows, for whoever cannot see it."""

from dataclasses import dataclass

from witnessmark.networks import BATTERY_MINUS, Circuit, Kind


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
        return point.words if key == BATTERY_MINUS else f"{point.letter}, {point.words}"

    rows = []
    for part in circuit.parts:
        kind = "switch" if part.kind is Kind.SELECTOR else part.kind.value
        words = f"{part.words} ({kind})" if part.words else kind
        ends = "; ".join(named(key) for _, key in part.ends) or "not connected"
        rows.append(PartRow(name=part.name, words=words, ends=ends))
    return tuple(rows)
