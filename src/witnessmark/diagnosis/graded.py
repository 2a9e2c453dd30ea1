"""Fault modes with the shop's rates, and severities close together where readings bend or jump."""

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import METERS, Flags, Floats, meter_uncertainty
from witnessmark.diagnosis.kinds import CLAMP, VOLTS
from witnessmark.errors import BenchError
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.fault_modes import FaultMode, fault_modes
from witnessmark.networks.faults import Fault
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import Solution, assembled, solve

PIECES: Final = 8  # into which an interval is cut where a contact moves or a fuse blows
HALVINGS: Final = 3  # of an interval within which readings bend
BENT_IN_U: Final = 1.0  # off the straight line between two severities, over a meter's uncertainty

Rates = tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded:
    """A fault mode with its severities, and how its weight lies between them.

    Attributes
    ----------
    mode
        The fault mode.
    shares
        For each interval between two severities, its share of the weight; none where the mode has
        no size.
    """

    mode: FaultMode
    shares: tuple[float, ...]

    def at(self, share: float) -> int:
        """Return the number of the severity below which a share of the weight lies."""
        if not self.shares:
            return 0
        passed = np.concatenate([[0.0], np.cumsum(self.shares)])
        return int(np.abs(passed - share).argmin())


def own_rates(circuit: Circuit) -> dict[str, float]:
    """Return the program's own weights for the parts of a circuit, for a shop to edit.

    Parameters
    ----------
    circuit
        The circuit.
    """
    kinds = {part.name: str(part.kind) for part in circuit.parts if part.rate is None}
    return {
        f"{kinds[name]}/{mode.mode}": mode.weight
        for mode in fault_modes(circuit)
        if (name := part_of(mode.part)) in kinds
    }


def weighted_modes(circuit: Circuit, rates: Rates) -> tuple[FaultMode, ...]:
    """Return the fault modes with the shop's weights.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode.

    Raises
    ------
    BenchError
        If a rate is below zero, or nothing could fail.
    """
    given = dict(rates)
    for name, weight in given.items():
        if not 0 <= weight < 1e6 or name.count("/") != 1:
            raise BenchError(
                f'The rate of "{name}" is {weight:g}.',
                'A rate is a weight of 0 or more for a kind and a mode: "connector/high".',
                "Write it so, or leave it out.",
            )
    kinds = {part.name: str(part.kind) for part in circuit.parts if part.rate is None}
    modes = tuple(
        replace(mode, weight=given.get(f"{kinds.get(part_of(mode.part))}/{mode.mode}", mode.weight))
        for mode in fault_modes(circuit)
    )
    kept = tuple(mode for mode in modes if mode.weight > 0)
    if not kept:
        raise BenchError(
            f"By these rates nothing in {circuit.name} can fail.",
            "At least one part needs a rate above 0.",
            "Mend the rates.",
        )
    return kept


def part_of(name: str) -> str:
    """Return the part that a part or one of its pieces belongs to.

    Parameters
    ----------
    name
        "K3" or "K3.coil".
    """
    return name.partition(".")[0]


def graded_modes(circuit: Circuit, rates: Rates = ()) -> tuple[tuple[Graded, ...], Solution]:
    """Return the fault modes with severities that leave no contact in doubt, and all solved.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode, as sorted items.

    Returns
    -------
    tuple
        The modes; the solution of their `single_faults`.

    Notes
    -----
    What lies between two severities is taken as a mixture of both. Where a contact moves between
    them, readings jump, so there the interval is cut into pieces. Where readings bend, as the
    current in a wire that touches a live one does, it is halved until they are nearly straight.
    """
    modes = weighted_modes(circuit, rates)
    faults = [fault for mode in modes for fault in mode.faults]
    found = solve(circuit, [(), *((fault,) for fault in faults)])
    moves = dict(zip(pairwise(faults), _moving(found)[1:].tolist(), strict=True))
    moving = {pair for mode in modes for pair in pairwise(mode.faults) if moves[pair]}
    shown = _shown(circuit, faults, found, 1)
    unsure = [pair for mode in modes for pair in _unsure(mode, shown) if not moves[pair]]
    halved, middles = _halved(circuit, unsure, shown)
    graded = tuple(_cut(mode, moving, halved) for mode in modes)
    scenarios = single_faults(graded)
    known = {faults for each in (found, *middles) for faults in each.scenarios}
    missing = [faults for faults in scenarios if faults not in known]
    rest = [solve(circuit, missing)] if missing else []
    return graded, assembled([found, *middles, *rest], scenarios)


Interval = tuple[Fault, Fault]
Shown = dict[Fault, tuple[Floats, Floats]]  # volts at every point, amps in every piece [V] [A]


def _moving(found: Solution) -> Flags:
    """Return for each scenario but the last whether a contact moves before the next."""
    return np.asarray(
        (found.contacts[1:] != found.contacts[:-1]).any(axis=(1, 2))
        | (found.blown[1:] != found.blown[:-1]).any(axis=(1, 2))
        | (found.chatter[1:] != found.chatter[:-1]).any(axis=1)
    )


def _shown(circuit: Circuit, faults: Sequence[Fault], found: Solution, start: int = 0) -> Shown:
    """Return what each fault shows; what a short itself carries is left out."""
    own = found.currents[start:, :, : len(pieces_of(circuit))]
    rows = len(faults)
    both = zip(found.volts[start:].reshape(rows, -1), own.reshape(rows, -1), strict=True)
    return dict(zip(faults, both, strict=True))


def _size(fault: Fault) -> float:
    return float(fault.value or 0.0)


def _unsure(mode: FaultMode, shown: Shown) -> list[Interval]:
    """Return the intervals that no neighbours show to be straight: of two, both are straight."""
    faults = mode.faults
    bends = [
        _bends(*(shown[fault] for fault in three))
        for three in zip(faults, faults[1:], faults[2:], strict=False)
    ]
    return [
        pair
        for at, pair in enumerate(pairwise(faults))
        if not bends or any(bends[max(at - 1, 0) : at + 1])
    ]


def _halved(
    circuit: Circuit, intervals: Sequence[Interval], shown: Shown
) -> tuple[dict[Interval, Fault], list[Solution]]:
    """Return the middle of each interval, and of its halves, in which readings bend; and solved."""
    middles: dict[Interval, Fault] = {}
    solved: list[Solution] = []
    left = [(low, high) for low, high in intervals if _size(low) > 0 and _size(high) > 0]
    for _ in range(HALVINGS):
        if not left:
            break
        between = [
            replace(low, value=float(np.sqrt(_size(low) * _size(high)))) for low, high in left
        ]
        solved.append(solve(circuit, [(fault,) for fault in between]))
        shown |= _shown(circuit, between, solved[-1])
        bent = [
            at
            for at, (interval, middle) in enumerate(zip(left, between, strict=True))
            if _bends(*(shown[fault] for fault in (interval[0], middle, interval[1])))
        ]
        middles |= {left[at]: between[at] for at in bent}
        left = [half for at in bent for half in _halves(left[at], between[at])]
    return middles, solved


def _halves(interval: Interval, middle: Fault) -> tuple[Interval, Interval]:
    return (interval[0], middle), (middle, interval[1])


def _bends(*shown: tuple[Floats, Floats]) -> bool:
    """Return whether what the middle of three shows lies off the line between the others."""
    sizes = []
    for three, kind in zip(zip(*shown, strict=True), (VOLTS, CLAMP), strict=True):
        sizes.append(np.stack(three) / meter_uncertainty(three[1], 0.01, METERS[kind]))
    low, middle, high = np.concatenate(sizes, axis=1)
    chord = high - low
    length = float(chord @ chord)
    share = float(np.clip((middle - low) @ chord / length, 0.0, 1.0)) if length > 0 else 0.0
    return float(np.abs(middle - low - share * chord).max(initial=0.0)) > BENT_IN_U


def _cut(mode: FaultMode, moving: Container[Interval], halved: dict[Interval, Fault]) -> Graded:
    severities: list[float | None] = [mode.severities[0]]
    shares: list[float] = []
    for interval in pairwise(mode.faults):
        low, high = _size(interval[0]), _size(interval[1])
        if interval in moving and min(low, high) > 0:
            ratio = high / low
            within = [low * ratio ** (piece / PIECES) for piece in range(1, PIECES)]
            widths = [1.0 / PIECES] * PIECES
        else:
            within, widths = _within(interval, halved)
        severities += [*within, high]
        shares += [width / (len(mode.severities) - 1) for width in widths]
    return Graded(mode=replace(mode, severities=tuple(severities)), shares=tuple(shares))


def _within(interval: Interval, halved: dict[Interval, Fault]) -> tuple[list[float], list[float]]:
    """Return the severities inside an interval, and the share of each piece."""
    middle = halved.get(interval)
    if middle is None:
        return [], [1.0]
    (left, narrow), (right, wide) = (_within(half, halved) for half in _halves(interval, middle))
    widths = [width / 2.0 for width in (*narrow, *wide)]
    return [*left, _size(middle), *right], widths


def single_faults(graded: Sequence[Graded]) -> list[tuple[Fault, ...]]:
    """Return the scenarios of a dictionary: the healthy circuit, then every severity in turn.

    Parameters
    ----------
    graded
        The fault modes.
    """
    scenarios: list[tuple[Fault, ...]] = [()]
    scenarios += [(fault,) for grade in graded for fault in grade.mode.faults]
    return scenarios
