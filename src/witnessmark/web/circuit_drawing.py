"""The drawing beside the table in which a circuit is entered, and on the page of its sheet."""

from collections.abc import Iterator

from witnessmark.diagnosis.path import Run, way_of
from witnessmark.networks import BATTERY_MINUS, LOADS, Circuit, Kind, Part, solve
from witnessmark.papers.ladder_layout import Column, Item, Ladder, Piece, Spot
from witnessmark.papers.ladder_phone import ladder_phone_svg


def drawing_of(circuit: Circuit) -> str:
    """Return the way of the first load that has one, as a ladder in SVG; '' where none has.

    The volts are those of the last state. A half-finished circuit, which has no source yet, is not
    drawn: a ladder shows volts, and its sizes are stood in for.
    """
    if not circuit.source:
        return ""
    state = circuit.states[-1].name
    for load in (part for part in circuit.parts if part.kind in LOADS):
        way = way_of(circuit, load.name, state)
        if way is not None:
            return ladder_phone_svg(_ladder(circuit, load, (way.main, *way.coils), state))
    return ""


def _ladder(circuit: Circuit, load: Part, runs: tuple[Run, ...], state: str) -> Ladder:
    found = solve(circuit, states=[state])
    volts = {point.key: found.voltage(point.key, state) for point in circuit.points}
    plus = next(part for part in circuit.parts if part.kind is Kind.BATTERY)
    drawn: set[str] = set()
    columns = []
    for run in runs:
        first, last = run.points[0], run.points[-1]
        columns.append(
            Column(
                items=tuple(_items(circuit, run, volts, drawn)),
                start=first if first in drawn else "",
                end=last if last in drawn and last != BATTERY_MINUS else "",
            )
        )
        drawn |= set(run.points)
    return Ladder(
        title=f"The way of {load.label}: supply at the top, ground at the bottom",
        supply_v=round(circuit.supply_v, 2),
        supply=_piece(circuit, plus.name),
        columns=tuple(columns),
        ties=(),
        why=(),
    )


def _items(circuit: Circuit, run: Run, volts: dict[str, float], drawn: set[str]) -> Iterator[Item]:
    for number, key in enumerate(run.points):
        if key != BATTERY_MINUS and key not in drawn:
            point = circuit.point(key)
            yield Spot(node=key, letter=point.letter, words=point.words, healthy_v=volts[key])
        if number < len(run.pieces):
            yield _piece(circuit, run.pieces[number])


def _piece(circuit: Circuit, name: str) -> Piece:
    part = circuit.part(name.partition(".")[0])
    role = name.rpartition(".")[2] if "." in name else ""
    symbol = role if role in ("coil", "contact") else str(part.kind)
    return Piece(
        key=name,
        name=part.name,
        note=part.words or role or str(part.kind),
        symbol=symbol,
        belief=None,
    )
