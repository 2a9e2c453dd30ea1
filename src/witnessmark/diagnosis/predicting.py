"""What each scenario would show: solved once for all tests, lamps by Thevenin."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Floats, Indices
from witnessmark.diagnosis.dictionary import PartPlace, Predictions
from witnessmark.diagnosis.facts import PROTECTORS, ends_of, own_ohm
from witnessmark.diagnosis.lamp_works import Held
from witnessmark.diagnosis.observations import GROUND
from witnessmark.diagnosis.thevenin import lamp_volts
from witnessmark.networks import LOADS, Circuit, Fault, Kind, Solution, make_part, pieces_of, solve

JUMPER_OHM: Final = 0.02  # Ω: a fused lead with its clips
JUMPER: Final = "jumper lead"

Scenarios = Sequence[tuple[Fault, ...]]


def predict(
    circuit: Circuit,
    solved: Solution,
    parts: Sequence[PartPlace],
    careful: bool = True,
    refused: Collection[Held] = (),
) -> Predictions:
    """Return what each scenario would show.

    Parameters
    ----------
    circuit
        The circuit.
    solved
        The scenarios as they were solved.
    parts
        The parts, in their order.
    careful
        Whether test lamps that may move a relay are solved again.
    refused
        Where no bulb is held, and in which state: left as first seen.
    """
    letters = [point.letter for point in circuit.lettered]
    places = [solved.point_place[letter] for letter in letters]
    references = [GROUND, *(letter for letter in [supply_letter(circuit)] if letter)]
    amps, watts = _through_parts(circuit, solved, parts)
    return Predictions(
        volts=solved.volts[:, :, places],
        unsteady=solved.chatter,
        power=powers(circuit, solved),
        lamp=lamp_volts(circuit, solved, letters, references, careful, refused),
        amps=amps,
        watts=watts,
        ohms=_ohms(circuit, solved, parts),
    )


def supply_letter(circuit: Circuit) -> str:
    """Return the letter of the battery's plus post; empty where it has none.

    Parameters
    ----------
    circuit
        The circuit.
    """
    battery = next(part.name for part in circuit.parts if part.kind is Kind.BATTERY)
    plus = ends_of(circuit, battery)[0]
    return plus if any(plus == point.letter for point in circuit.lettered) else ""


def loads_of(circuit: Circuit) -> tuple[str, ...]:
    """Return the names of the loads.

    Parameters
    ----------
    circuit
        The circuit.
    """
    named = {complaint.load for complaint in circuit.complaints}
    return tuple(part.name for part in circuit.parts if part.kind in LOADS or part.name in named)


def powers(
    circuit: Circuit, solved: Solution, chosen: tuple[Indices, Indices] | None = None
) -> Floats:
    """Return scenario by state by load: volts across it times the current through it. [W]

    Parameters
    ----------
    circuit
        The circuit.
    solved
        A solution of it, or of it with something added.
    chosen
        Scenario and state of the operating points wanted; these by load, then.
    """
    watts = _piece_watts(circuit, solved, chosen)
    found = [watts[..., _pieces(circuit, solved, name)].sum(axis=-1) for name in loads_of(circuit)]
    return np.stack(found, axis=-1) if found else np.zeros((*watts.shape[:-1], 0))


def jumped(circuit: Circuit, scenarios: Scenarios, part: PartPlace, state: str) -> Floats:
    """Return scenario by load: power of each load with a part bridged. [W]

    Parameters
    ----------
    circuit
        The circuit.
    scenarios
        The faults of each scenario.
    part
        The part that is bridged.
    state
        Operating state.
    """
    assert not part.no_jumper, "a jumper that hurts"
    first, second = ends_of(circuit, part.name)[:2]
    lead = make_part(JUMPER, Kind.WIRE, {"from": first, "to": second}, {"ohms": JUMPER_OHM})
    bridged = replace(circuit, parts=(*circuit.parts, lead))
    return powers(circuit, solve(bridged, scenarios, [state]))[:, 0]


def _piece_watts(
    circuit: Circuit, solved: Solution, chosen: tuple[Indices, Indices] | None = None
) -> Floats:
    """Return scenario by state by piece: volts across it times its current. [W]"""
    every = (slice(None), slice(None))
    volts, currents = solved.volts[chosen or every], solved.currents[chosen or every]
    pieces = {piece.name: piece for piece in pieces_of(circuit)}
    ends = [(pieces[name].first, pieces[name].second) for name in solved.pieces if name in pieces]
    at = [solved.point_place[first] for first, _ in ends]
    to = [solved.point_place[second] for _, second in ends]
    across = volts[..., at] - volts[..., to]
    return np.abs(across * currents[..., : len(ends)])


def _pieces(circuit: Circuit, solved: Solution, part: str) -> list[int]:
    """Return the numbers of a part's pieces, its contact first; a short is none of them."""
    own = [piece.name for piece in pieces_of(circuit) if piece.part == part]
    own.sort(key=lambda name: not name.endswith(".contact"))
    return [solved.piece_place[name] for name in own]


def _through_parts(
    circuit: Circuit, solved: Solution, parts: Sequence[PartPlace]
) -> tuple[Floats, Floats]:
    """Return scenario by state by part: current of its main piece, and heat in it."""
    by_piece = _piece_watts(circuit, solved)
    own = [_pieces(circuit, solved, part.name) for part in parts]
    amps = np.abs(solved.currents[:, :, [pieces[0] for pieces in own]])
    watts = np.stack([by_piece[..., pieces].sum(axis=-1) for pieces in own], axis=-1)
    return amps, watts


def _ohms(circuit: Circuit, solved: Solution, parts: Sequence[PartPlace]) -> Floats:
    """Return scenario by part: ohms by itself; a fuse that another fault has blown is open."""
    ohms = np.tile(np.array([part.ohm for part in parts]), (len(solved.scenarios), 1))
    numbers = {part.name: number for number, part in enumerate(parts)}
    for row, faults in enumerate(solved.scenarios):
        for fault in faults:
            name = fault.part.partition(".")[0]
            ohms[row, numbers[name]] = own_ohm(circuit.part(name), fault)
    for part in parts:
        if part.kind in PROTECTORS:
            own = [number for name, number in solved.piece_place.items()
                   if name.partition(".")[0] == part.name]  # fmt: skip
            gone = solved.blown[:, :, own].any(axis=(1, 2))
            ohms[gone, numbers[part.name]] = np.inf
    return ohms
