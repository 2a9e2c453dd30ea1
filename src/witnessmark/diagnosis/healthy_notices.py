"""What looks wrong in a healthy circuit: most often the sheet, seldom the vehicle."""

import re
from collections.abc import Iterator
from typing import Final

from witnessmark.diagnosis.healthy_idle import idle_of
from witnessmark.diagnosis.healthy_said import Notice, when
from witnessmark.diagnosis.healthy_way import (
    Flow,
    amps_said,
    beside_a_limit,
    short_circuit,
    volts_said,
)
from witnessmark.networks import LOADS, Circuit, Kind, Look, Part, Solution, coils_of
from witnessmark.networks.copper import AWG, MM2
from witnessmark.networks.pieces import wire_ohm
from witnessmark.quantities import convert, listed, show
from witnessmark.wiring.ampacity import Place, table_amps
from witnessmark.wiring.carried import wires_behind
from witnessmark.wiring.fuses import RATINGS_A, FuseKind, fuse_of
from witnessmark.wiring.heating import heating_of
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.on_sheet import wire_size
from witnessmark.wiring.protection import Guard, check_protection

CABLE_MM2: Final = 16.0  # from here on a cable to battery or starter: common practice
STARTS: Final = 2.0  # such a cable bears twice its amps while the engine is cranked: the same
PUSHED_A: Final = 1.0  # into a battery, with no alternator turning
HEATS_W: Final = (
    3.0  # heaters use more, from those of a washer nozzle on: common practice, no source
)
PLAIN: Final = insulation("unknown")
COMMON: Final = insulation("pvc-80")  # most wires of a vehicle: common practice, no source
AMPS_IN_WORDS: Final = re.compile(r"(\d+(?:[.,]\d+)?) ?A\b")


def notices_of(circuit: Circuit, found: Solution, flows: list[Flow]) -> Iterator[Notice]:
    """Yield what looks wrong in a healthy circuit.

    Parameters
    ----------
    circuit
        The circuit.
    found
        Its solution, nothing broken.
    flows
        Each of its states.
    """
    yield from _shorts(circuit, flows)
    yield from _pushed(circuit, flows)
    for part in circuit.parts:
        if part.kind in (Kind.FUSE, Kind.LINK):
            yield from _other_rating(part)
            yield from _over_fuse(part, flows)
            yield from _not_saved(circuit, found, part)
        elif part.kind is Kind.WIRE and part.has("size"):
            yield from _over_wire(part, flows)
        elif part.kind in LOADS:
            yield from _starved(part, flows)
            if part.kind is Kind.HEATER:
                yield from _ohms_or_watts(part, flows)
    for flow in flows:
        if flow.chatters:
            coil = next((coil.part for coil in coils_of(circuit)), "")
            yield Notice(
                part=coil,
                sentence=f"A relay chatters {when([flow])}: its own contact takes its coil's feed "
                "away. Look at the ends of its coil and its contact.",
            )
    yield from idle_of(circuit, found, flows)
    yield from _contrary(circuit, flows)


def _shorts(circuit: Circuit, flows: list[Flow]) -> Iterator[Notice]:
    found: dict[tuple[str, ...], list[Flow]] = {}
    for flow in flows:
        for names in short_circuit(flow):
            found.setdefault(names, []).append(flow)
    for names, where in found.items():
        source, *way = names
        yield Notice(
            part=way[0] if way else source,
            sentence=f"A short circuit {when(where)}: {listed(way, 'and') or 'nothing'} "
            f"{'joins' if len(way) < 2 else 'join'} both posts of {source}, and nothing on that "
            "way uses the current. Look at their ends.",
        )


def _pushed(circuit: Circuit, flows: list[Flow]) -> Iterator[Notice]:
    """A battery that another one charges: two that are joined and have not the same volts."""
    batteries = [part for part in circuit.parts if part.kind is Kind.BATTERY]
    others = [part for part in circuit.parts if part.kind is Kind.ALTERNATOR]
    if len(batteries) < 2:
        return
    for part in batteries:
        pushed = [
            flow
            for flow in flows
            if flow.amps(part.name) > PUSHED_A and not any(map(flow.turns, others))
        ]
        if pushed:
            amps = max(flow.amps(part.name) for flow in pushed)
            rest = [one.name for one in batteries if one is not part]
            yield Notice(
                part=part.name,
                sentence=f"{listed(rest)} pushes {amps_said(amps)} into {part.name} {when(pushed)}."
                " Look at their posts and at their volts at rest.",
            )


def _other_rating(part: Part) -> Iterator[Notice]:
    """A fuse whose words say another rating, as those of a copied sheet may."""
    told = AMPS_IN_WORDS.search(part.words)
    if told is None or not part.has("rating"):
        return
    if float(told[1].replace(",", ".")) != part.size("rating"):
        yield Notice(
            part=part.name,
            sentence=f"{part.name} is called “{part.words}”, and its rating is "
            f"{show(part.size('rating'), 'A')}. Look which one is right, and change the other.",
        )


def _over_fuse(part: Part, flows: list[Flow]) -> Iterator[Notice]:
    blown = [flow for flow in flows if part.name in flow.blown]
    if blown:
        yield Notice(
            part=part.name,
            sentence=f"{part.label} blows {when(blown)}. Look at its rating and at what it feeds.",
        )
    if not part.has("rating"):
        return
    over = [flow for flow in flows if abs(flow.amps(part.name)) > part.size("rating")]
    if over:
        amps = max(abs(flow.amps(part.name)) for flow in over)
        yield Notice(
            part=part.name,
            sentence=f"{part.label} carries {beside_a_limit(amps)} {when(over)}, more than its "
            f"rating of {show(part.size('rating'), 'A')}. Look at its rating and at the loads "
            "behind it.",
        )


def _not_saved(circuit: Circuit, found: Solution, fuse: Part) -> Iterator[Notice]:
    """The thinnest wire behind a fuse, where the fuse would open too late to save it."""
    if fuse.kind is not Kind.FUSE or not fuse.has("rating"):
        return
    kind = next((one for one in FuseKind if fuse.size("rating") in RATINGS_A[one]), None)
    if kind is None:
        return
    behind = [circuit.part(name) for name in wires_behind(circuit, found, fuse.name)]
    sized = [(size, wire) for wire in behind if (size := wire_size(wire)) is not None]
    if not sized:
        return
    size, wire = min(sized, key=lambda one: one[0].area_mm2)
    heating = heating_of(size, COMMON, Place())
    if check_protection(fuse_of(kind, fuse.size("rating")), heating).guard is Guard.DOES_NOT:
        yield Notice(
            part=fuse.name,
            sentence=f"{fuse.label} does not save {wire.label} of {_size(wire)} behind it: with a "
            "short there, the wire would be hurt before the fuse opens. Look at its rating and at "
            "that size.",
        )


def _over_wire(part: Part, flows: list[Flow]) -> Iterator[Notice]:
    area_mm2 = part.size("size")
    most_a = table_amps(area_mm2, PLAIN.column_c) * (STARTS if area_mm2 >= CABLE_MM2 else 1.0)
    over = [flow for flow in flows if abs(flow.amps(part.name)) > most_a]
    if over:
        amps = max(abs(flow.amps(part.name)) for flow in over)
        yield Notice(
            part=part.name,
            sentence=f"{part.label} carries {beside_a_limit(amps)} {when(over)}; a wire of "
            f"{_size(part)} bears {most_a:.0f} A with the plainest insulation. Look at its size.",
        )


def _size(part: Part) -> str:
    unit = AWG if part.choice("standard") == AWG else MM2
    return show(convert(part.size("size"), MM2, unit), unit, 0.01 if unit == MM2 else None)


def _starved(load: Part, flows: list[Flow]) -> Iterator[Notice]:
    runs = [flow for flow in flows if flow.runs(load)]
    poor = [flow for flow in runs if not flow.has_enough(load) and flow.takes_most(load) is None]
    if poor:
        worst = min(poor, key=lambda flow: flow.over(load.name))
        way = worst.way(load.name)
        assert way is not None, "a load that has not enough has a way"
        piece, volts = max(way.drops, key=lambda drop: drop[1])
        percent = 100 * worst.over(load.name) / way.source_v
        yield Notice(
            part=load.name,
            sentence=f"{load.label} gets only {percent:.0f} % of the volts at {way.source} "
            f"{when(poor)}; {piece.part} takes {volts_said(volts)}. "
            f"Look at the size of {piece.part}.",
        )


def _ohms_or_watts(heater: Part, flows: list[Flow]) -> Iterator[Notice]:
    """A heater that would warm nothing with all the volts of its source: 120 Ω, meant as 120 W."""
    fed = [way.source_v for flow in flows if flow.runs(heater) and (way := flow.way(heater.name))]
    if not fed:
        return
    ohm = wire_ohm(heater)
    watts = max(fed) ** 2 / ohm
    if watts >= HEATS_W:
        return
    if heater.has("ohms"):
        told = show(ohm, "Ω")
        asks = "Ohms or watts? Watts are typed as its power."
    else:
        told = show(heater.size("power"), "W")
        asks = "Watts or ohms? Ohms are typed as its resistance."
    yield Notice(
        part=heater.name,
        sentence=f"{heater.label} of {told} uses only {watts:.2g} W at "
        f"{show(max(fed), 'V')}, too little to warm anything. {asks}",
    )


def _contrary(circuit: Circuit, flows: list[Flow]) -> Iterator[Notice]:
    by_state = {flow.state: flow for flow in flows}
    for one in circuit.complaints:
        load, flow = circuit.part(one.load), by_state[one.state]
        if one.looks is Look.ON and flow.runs(load):
            yield Notice(
                part=load.name,
                sentence=f"The complaint '{one.words}' has {load.label} on {when([flow])}, "
                "where it is on in the healthy circuit too. Look at its state.",
            )
