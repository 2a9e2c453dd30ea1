"""How the parts of a circuit fail, how often, how badly, and what heals them."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.networks.circuit import Circuit, Kind, Part
from witnessmark.networks.faults import (
    BLOWN,
    COIL_OPEN,
    HIGH,
    MODES,
    OPEN,
    STUCK_CLOSED,
    STUCK_OPEN,
    WEAK,
    Fault,
)
from witnessmark.networks.solver import solve

# How often a part of each kind is at fault, against one another: common practice, no published
# source. A sheet may give its own as `rate`.
RATE: Final = {
    Kind.BATTERY: 1.0,
    Kind.WIRE: 0.4,
    Kind.CONNECTOR: 1.5,
    Kind.SPLICE: 1.0,
    Kind.GROUND: 3.0,
    Kind.FUSE: 0.8,
    Kind.SWITCH: 0.8,
    Kind.RELAY: 1.2,
    Kind.LAMP: 2.0,
    Kind.RESISTOR: 0.8,
    Kind.MOTOR: 1.5,
}
# How the rate of a part divides among its modes: common practice, no published source.
_SHARE: Final = {
    Kind.BATTERY: {WEAK: 0.9, OPEN: 0.1},
    Kind.WIRE: {OPEN: 0.6, HIGH: 0.4},
    Kind.CONNECTOR: {OPEN: 0.35, HIGH: 0.65},
    Kind.SPLICE: {OPEN: 0.3, HIGH: 0.7},
    Kind.GROUND: {OPEN: 0.25, HIGH: 0.75},
    Kind.FUSE: {BLOWN: 0.85, HIGH: 0.15},
    Kind.SWITCH: {STUCK_OPEN: 0.5, STUCK_CLOSED: 0.15, HIGH: 0.35},
    Kind.RELAY: {COIL_OPEN: 0.3, STUCK_OPEN: 0.25, STUCK_CLOSED: 0.15, HIGH: 0.3},
    Kind.LAMP: {OPEN: 1.0},
    Kind.RESISTOR: {OPEN: 0.7, HIGH: 0.3},
    Kind.MOTOR: {OPEN: 0.4, HIGH: 0.6},
}
# Ohms added by a bad joint, in shares of what the whole circuit has seen from that part (supply
# over the healthy current through it): below a tenth no one complains, above four fifths it is
# as good as open to the eye. Even on a log scale.
JOINT_SHARES: Final = (0.1, 0.16, 0.25, 0.4, 0.6, 0.8)
WORN_SHARES: Final = (0.15, 0.3, 0.5, 0.75, 1.0)  # of a load's own resistance
CHARGES_LEFT: Final = (60.0, 40.0, 20.0, 5.0)  # of a weak battery [%]
NO_CURRENT_OHM: Final = (1.0, 10.0, 100.0)  # for a part that carries nothing in any state [Ω]
_WORDS: Final = {
    OPEN: "open",
    HIGH: "high resistance",
    BLOWN: "blown",
    STUCK_OPEN: "stays open",
    STUCK_CLOSED: "stays closed",
    COIL_OPEN: "coil open",
    WEAK: "weak",
}
_MEND: Final = {
    Kind.WIRE: "mend wire",
    Kind.CONNECTOR: "mend connector",
    Kind.SPLICE: "mend splice",
    Kind.GROUND: "clean ground joint",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultMode:
    """One way in which one part fails.

    Attributes
    ----------
    part
        Name of the part.
    mode
        The mode, as a fault is written.
    words
        The mode as a person says it: "high resistance", "worn".
    severities
        Values to try; (None,) where the mode has no size. [Ω] or [%]
    weight
        How likely before any test, against all others of the circuit.
    repair
        What heals it: "clean ground joint G7". Modes of one repair need no telling apart.
    """

    part: str
    mode: str
    words: str
    severities: tuple[float | None, ...]
    weight: float
    repair: str

    @property
    def faults(self) -> tuple[Fault, ...]:
        """One fault for each severity."""
        return tuple(
            Fault(part=self.part, mode=self.mode, value=value) for value in self.severities
        )


def fault_modes(circuit: Circuit) -> tuple[FaultMode, ...]:
    """Return every single fault the circuit can have.

    Parameters
    ----------
    circuit
        The circuit.

    Returns
    -------
    tuple of FaultMode
        In the order of the parts. The severities of a bad joint follow from the healthy current
        through it, so that the same rule serves a lamp's ground and a starter's.
    """
    healthy = solve(circuit)
    greatest_a = np.max(np.abs(healthy.currents[0]), axis=0, initial=0.0)
    carries = dict(zip(healthy.pieces, greatest_a.tolist(), strict=True))
    return tuple(
        FaultMode(
            part=part.name,
            mode=mode,
            words="worn" if part.kind is Kind.MOTOR and mode == HIGH else _WORDS[mode],
            severities=_severities(part, mode, circuit.supply_v, carries),
            weight=(RATE[part.kind] if part.rate is None else part.rate) * _SHARE[part.kind][mode],
            repair=f"{_MEND.get(part.kind, 'replace')} {part.name}",
        )
        for part in circuit.parts
        for mode in MODES[part.kind]
        if part.rate != 0
    )


def _severities(
    part: Part, mode: str, supply_v: float, carries: dict[str, float]
) -> tuple[float | None, ...]:
    if mode == WEAK:
        return CHARGES_LEFT
    if mode != HIGH:
        return (None,)
    if part.kind in (Kind.MOTOR, Kind.RESISTOR):
        return tuple(part.ohm * share for share in WORN_SHARES)
    current_a = carries[f"{part.name}.contact" if part.kind is Kind.RELAY else part.name]
    if not current_a > 1e-6:
        return NO_CURRENT_OHM
    return tuple(supply_v / current_a * share for share in JOINT_SHARES)
