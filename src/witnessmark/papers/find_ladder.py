"""From a circuit and a Find run to the ladder that is drawn."""

from collections.abc import Iterable, Sequence

from witnessmark.diagnosis.path import Run, Way
from witnessmark.diagnosis.run import FindRun
from witnessmark.diagnosis.sentences import listed
from witnessmark.networks import BATTERY_MINUS, Circuit, Kind, Part
from witnessmark.papers.ladder_layout import Column, Item, Ladder, Piece, Spot
from witnessmark.quantities import show

_COIL, _CONTACT = ".coil", ".contact"


def find_ladder(circuit: Circuit, way: Way, found: FindRun) -> Ladder:
    """Return the ladder of the complained load with belief, readings and the next test on it.

    Parameters
    ----------
    circuit
        The circuit.
    way
        The way of the load's current, with its coils.
    found
        The Find run.
    """
    drawn: set[str] = set()
    columns = []
    for run in (way.main, *way.coils):
        columns.append(_column(circuit, run, found, drawn))
        drawn |= set(run.points)
    plus = next(part for part in circuit.parts if part.kind is Kind.BATTERY)
    return Ladder(
        title=f"Ladder of {circuit.part(way.load).label}: supply at the top, ground at the "
        "bottom, volts at each point to the right",
        supply_v=round(circuit.supply_v, 2),
        supply=_piece(plus.name, plus, found),
        columns=tuple(columns),
        ties=tuple(_ties(run.pieces for run in (way.main, *way.coils))),
        why=_why(found),
    )


def _ties(runs: Iterable[Sequence[str]]) -> list[tuple[str, str]]:
    names = [name for run in runs for name in run]
    return [
        (name, name.removesuffix(_COIL) + _CONTACT)
        for name in names
        if name.endswith(_COIL) and name.removesuffix(_COIL) + _CONTACT in names
    ]


def _column(circuit: Circuit, run: Run, found: FindRun, drawn: set[str]) -> Column:
    items: list[Item] = []
    first, last = run.points[0], run.points[-1]
    for number, key in enumerate(run.points):
        if key != BATTERY_MINUS and key not in drawn:
            items.append(_spot(circuit, key, found))
        if number < len(run.pieces):
            name = run.pieces[number]
            items.append(_piece(name, circuit.part(name.split(".")[0]), found))
    return Column(
        items=tuple(items),
        start=first if first in drawn else "",
        end=last if last in drawn and last != BATTERY_MINUS else "",
    )


def _spot(circuit: Circuit, key: str, found: FindRun) -> Spot:
    healthy_v = found.node_v.get(key, 0.0)
    view = next((point for point in found.points if point.letter == key), None)
    if view is None:
        return Spot(node=key, healthy_v=healthy_v)
    return Spot(
        node=key,
        letter=view.letter,
        words=view.words,
        healthy_v=view.healthy_v,
        read=view.read,
        read_v=view.read_v,
        span_v=view.span_v,
        probe=found.next_test is not None and found.next_test.point == key,
    )


def _piece(name: str, part: Part, found: FindRun) -> Piece:
    symbol = str(part.kind)
    if name.endswith((_COIL, _CONTACT)):
        symbol = name.rpartition(".")[2]
    return Piece(
        key=name,
        name=part.name,
        note=_note(part, symbol),
        symbol=symbol,
        # The belief stands once, at the contact: a coil and its contact are one part.
        belief=None if name.endswith(_COIL) else found.parts.get(part.name),
    )


def _note(part: Part, symbol: str) -> str:
    if symbol in ("coil", "contact"):
        return symbol
    if part.kind is Kind.FUSE:
        return show(part.size("rating"), "A")
    if part.words:
        return part.words
    if part.kind is Kind.GROUND:
        return "ground joint"
    return str(part.kind)


def _why(found: FindRun) -> tuple[str, ...]:
    advice = found.next_test
    if advice is None or advice.kind != "volts":
        return ()
    return tuple(
        f"{meaning.outcome} if {_short(meaning.points_to)}" for meaning in advice.meanings[:2]
    )


def _short(words: str) -> str:
    """Return the parts alone: "a bad ground path, G7 or S9" becomes "G7 or S9"."""
    for lead in ("a bad ground path, ", "a bad feed, "):
        words = words.removeprefix(lead)
    return listed([words.partition(" (")[0]])
