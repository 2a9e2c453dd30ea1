"""The one seam to the circuit's drawing in a practice case: own readings on it, and no belief."""

from collections.abc import Sequence

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary
from witnessmark.diagnosis.kinds import VOLTS
from witnessmark.diagnosis.observations import Observation, TestReading
from witnessmark.networks import BATTERY_MINUS, Circuit
from witnessmark.papers.circuit import Overlay, Reading, conducting
from witnessmark.web.find_drawing import Views, views_of


def drawing_of(
    circuit: Circuit,
    complaints: Sequence[Observation],
    readings: Sequence[TestReading],
    state: str,
    ranking: Sequence[str] = (),
) -> Views | None:
    """Return the drawing of a circuit with readings and the learner's own ranking; None if none.

    It is told nothing of what is hidden, so it cannot show it: contacts stand as in a healthy
    circuit.
    """
    points = {BATTERY_MINUS: Reading(healthy_v=0.0)}
    points |= _read(dictionary_of(circuit), readings, state)
    overlay = Overlay(
        conducts=conducting(circuit, state),
        ranks={part: number for number, part in enumerate(ranking, start=1)},
        points=points,
        supply_v=round(circuit.supply_v, 2),
    )
    return views_of(circuit, complaints, overlay)


def _read(book: Dictionary, readings: Sequence[TestReading], state: str) -> dict[str, Reading]:
    """Return what each point showed in a state.

    Its healthy volts stand beside it only where the learner has said what to expect there: they
    would be the answer to that question.
    """
    number = book.state(state)
    found = {}
    for at, place in enumerate(book.places):
        here = [one for one in readings if one.point == place.letter and one.state == state]
        volts = [one for one in here if one.kind == VOLTS and not one.reference]
        last = (volts or here)[-1:]
        found[place.letter] = Reading(
            healthy_v=float(book.solved.volts[HEALTHY, number, at]) if volts else None,
            read=last[0].text.replace("-", "−") if last else "",
            read_v=volts[-1].value if volts else None,
        )
    return found
