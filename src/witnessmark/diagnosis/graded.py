"""Fault modes with the shop's rates, and with severities close together where a contact moves."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.errors import BenchError
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.fault_modes import FaultMode, fault_modes
from witnessmark.networks.faults import Fault
from witnessmark.networks.solver import solve

PIECES: Final = 8  # into which an interval is cut where a contact moves or a fuse blows

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


@lru_cache(maxsize=8)
def graded_modes(circuit: Circuit, rates: Rates = ()) -> tuple[Graded, ...]:
    """Return the fault modes with severities that leave no contact in doubt.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode, as sorted items.

    Notes
    -----
    Between two severities with the same contacts closed, voltages lie between those of the two.
    Where a contact moves between them they jump, so there the interval is cut into pieces.
    """
    modes = weighted_modes(circuit, rates)
    sized = [mode for mode in modes if len(mode.severities) > 1]
    found = solve(circuit, [(fault,) for mode in sized for fault in mode.faults])
    moving = (
        (found.contacts[1:] != found.contacts[:-1]).any(axis=(1, 2))
        | (found.blown[1:] != found.blown[:-1]).any(axis=(1, 2))
        | (found.chatter[1:] != found.chatter[:-1]).any(axis=1)
    )
    graded = {}
    first = 0
    for mode in sized:
        count = len(mode.severities)
        graded[id(mode)] = _cut(mode, moving[first : first + count - 1].tolist())
        first += count
    return tuple(graded.get(id(mode), Graded(mode=mode, shares=())) for mode in modes)


def _cut(mode: FaultMode, moving: Sequence[bool]) -> Graded:
    values = [float(value or 0.0) for value in mode.severities]
    severities: list[float | None] = [values[0]]
    shares: list[float] = []
    for low, high, moves in zip(values[:-1], values[1:], moving, strict=True):
        pieces = PIECES if moves and min(low, high) > 0 else 1
        ratio = high / low if pieces > 1 else 1.0
        severities += [low * ratio ** (piece / pieces) for piece in range(1, pieces)]
        severities.append(high)
        shares += [1.0 / (len(values) - 1) / pieces] * pieces
    return Graded(mode=replace(mode, severities=tuple(severities)), shares=tuple(shares))


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
