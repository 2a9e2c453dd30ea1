"""The one seam to the circuit's drawing in a practice case: own readings on it, and no belief."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString, mark_safe

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import HEALTHY
from witnessmark.diagnosis.find import way_of_complaint
from witnessmark.diagnosis.kinds import VOLTS
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.diagnosis.run import FindRun
from witnessmark.diagnosis.several import Common
from witnessmark.diagnosis.stop import KEEP_ON, Stop
from witnessmark.diagnosis.views import PointView
from witnessmark.networks import Circuit
from witnessmark.papers.find_ladder import find_ladder
from witnessmark.papers.ladder import LadderRow, ladder_svg, ladder_table
from witnessmark.papers.ladder_layout import Column, Piece
from witnessmark.papers.ladder_phone import ladder_phone_svg


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A circuit as it is drawn, wide and narrow, and the same as a table of its points."""

    wide: SafeString
    narrow: SafeString
    points: tuple[LadderRow, ...]


def drawing_of(
    circuit: Circuit,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
    state: str,
    ranking: Sequence[str] = (),
) -> Drawing | None:
    """Return the drawing of a circuit with readings and the learner's own ranking; None if none.

    It is told nothing of what is hidden, so it cannot show it.
    """
    way = way_of_complaint(circuit, complaints)
    if way is None:
        return None
    ladder = find_ladder(circuit, way, _plain(circuit, readings, state))
    ranks = {part: number for number, part in enumerate(ranking, start=1)}
    ladder = replace(ladder, columns=tuple(_ranked(column, ranks) for column in ladder.columns))
    return Drawing(
        wide=_drawn(ladder_svg(ladder)),
        narrow=_drawn(ladder_phone_svg(ladder)),
        points=tuple(row for row in ladder_table(ladder) if row.healthy),
    )


def _plain(circuit: Circuit, readings: Sequence[TestReading], state: str) -> FindRun:
    """Return a run that knows readings and healthy volts, and nothing else."""
    book = dictionary_of(circuit)
    number = book.state(state)
    points = []
    for at, place in enumerate(book.places):
        here = [one for one in readings if one.point == place.letter and one.state == state]
        volts = [one for one in here if one.kind == VOLTS and not one.reference]
        last = (volts or here)[-1:]
        points.append(
            PointView(
                letter=place.letter,
                words=place.words,
                state=state,
                healthy_v=float(book.solved.volts[HEALTHY, number, at]),
                span_v=None,
                read=last[0].text.replace("-", "−") if last else "",
                read_v=volts[-1].value if volts else None,
            )
        )
    return FindRun(
        belief=(),
        parts={},
        next_test=None,
        lamp_instead=None,
        elsewhere=None,
        stop=Stop(kind=KEEP_ON, repair="", parts=(), share=0.0, sentence=""),
        state=state,
        points=tuple(points),
        node_v=dict(book.node_v.get(state, {})),
        readings=(),
        questioned=(),
        unexplained=(),
        twins=(),
        common=Common(one=0.0, two=0.0, part="", sentence=""),
        proof=(),
    )


def _ranked(column: Column, ranks: Mapping[str, int]) -> Column:
    """Return a column whose parts say the learner's own number."""
    return replace(
        column,
        items=tuple(
            replace(item, note=f"{ranks[item.name]}. {item.note}")
            if isinstance(item, Piece) and item.name in ranks and not item.key.endswith(".coil")
            else item
            for item in column.items
        ),
    )


def _drawn(svg: str) -> SafeString:
    """Return a drawing of our own; the words of a sheet are escaped where it is drawn."""
    return mark_safe(svg)  # noqa: S308
