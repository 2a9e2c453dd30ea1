"""How the parts of a circuit fail, how often, how badly, and what heals them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.networks.circuit import Circuit
from witnessmark.networks.faults import (
    ACROSS_SHORT,
    BLOWN,
    COIL_OPEN,
    HIGH,
    HOLD_OPEN,
    JAMMED,
    NO_OUTPUT,
    OPEN,
    OVERCHARGES,
    PULL_OPEN,
    SHORT,
    SHORT_TO_GROUND,
    SHORT_TO_SUPPLY,
    STUCK_CLOSED,
    STUCK_OPEN,
    WEAK,
    Fault,
    contacts_of,
    modes_of,
)
from witnessmark.networks.kinds import Kind
from witnessmark.networks.part import Part
from witnessmark.networks.pieces import TO_GROUND, TO_SUPPLY, pieces_of, shorts_of
from witnessmark.networks.solver import Solution, solve

# How often a part of each kind is at fault, against one another: common practice, no published
# source. A sheet may give its own as `rate`.
RATE: Final[Mapping[Kind, float]] = {
    Kind.BATTERY: 1.0,
    Kind.WIRE: 0.5,
    Kind.CONNECTOR: 1.5,
    Kind.SPLICE: 1.0,
    Kind.GROUND: 3.0,
    Kind.FUSE: 0.8,
    Kind.LINK: 0.4,
    Kind.SWITCH: 0.8,
    Kind.SELECTOR: 0.5,
    Kind.RELAY: 1.2,
    Kind.SOLENOID: 1.5,
    Kind.LAMP: 2.0,
    Kind.LED: 0.4,
    Kind.DIODE: 0.5,
    Kind.RESISTOR: 0.8,
    Kind.HEATER: 0.8,
    Kind.SENDER: 1.0,
    Kind.MOTOR: 1.9,
    Kind.ALTERNATOR: 1.5,
    Kind.MODULE: 0.3,
    Kind.SUPPLY: 0.3,
    Kind.PULL_UP: 0.2,
    Kind.OUTPUT: 0.5,
}
# How the rate of a part divides among its modes: common practice, no published source. A part
# that cannot fail in one of these ways fails less often; each contact of a selector has them all.
SHARE: Final[Mapping[Kind, Mapping[str, float]]] = {
    Kind.BATTERY: {WEAK: 0.9, OPEN: 0.1},
    Kind.WIRE: {OPEN: 0.48, HIGH: 0.32, SHORT_TO_GROUND: 0.15, SHORT_TO_SUPPLY: 0.05},
    Kind.CONNECTOR: {OPEN: 0.35, HIGH: 0.65},
    Kind.SPLICE: {OPEN: 0.3, HIGH: 0.7},
    Kind.GROUND: {OPEN: 0.25, HIGH: 0.75},
    Kind.FUSE: {BLOWN: 0.85, HIGH: 0.15},
    Kind.LINK: {BLOWN: 0.85, HIGH: 0.15},
    Kind.SWITCH: {STUCK_OPEN: 0.5, STUCK_CLOSED: 0.15, HIGH: 0.35},
    Kind.SELECTOR: {STUCK_OPEN: 0.6, HIGH: 0.4},
    Kind.RELAY: {
        COIL_OPEN: 0.28,
        STUCK_OPEN: 0.25,
        STUCK_CLOSED: 0.15,
        HIGH: 0.3,
        ACROSS_SHORT: 0.02,
    },
    Kind.SOLENOID: {
        PULL_OPEN: 0.2,
        HOLD_OPEN: 0.2,
        STUCK_OPEN: 0.15,
        STUCK_CLOSED: 0.1,
        HIGH: 0.35,
    },
    Kind.LAMP: {OPEN: 0.97, SHORT: 0.03},
    Kind.LED: {OPEN: 1.0},
    Kind.DIODE: {OPEN: 0.5, SHORT: 0.5},
    Kind.RESISTOR: {OPEN: 0.7, HIGH: 0.3},
    Kind.HEATER: {OPEN: 0.8, HIGH: 0.2},
    Kind.SENDER: {OPEN: 0.5, HIGH: 0.4, SHORT: 0.1},
    Kind.MOTOR: {OPEN: 0.35, HIGH: 0.45, JAMMED: 0.2},
    Kind.ALTERNATOR: {NO_OUTPUT: 0.85, OVERCHARGES: 0.15},
    Kind.MODULE: {OPEN: 1.0},
    Kind.SUPPLY: {NO_OUTPUT: 1.0},
    Kind.PULL_UP: {OPEN: 1.0},
    Kind.OUTPUT: {STUCK_OPEN: 0.7, STUCK_CLOSED: 0.15, HIGH: 0.15},
}
# Ohms added by a bad joint, in shares of what the whole circuit has seen from that part (supply
# over the healthy current through it): below a tenth no one complains, above four fifths it is
# as good as open to the eye. Even on a log scale.
JOINT_SHARES: Final = (0.1, 0.16, 0.25, 0.4, 0.6, 0.8)
WORN_SHARES: Final = (0.15, 0.3, 0.5, 0.75, 1.0)  # of a load's own resistance
SENDER_SHARES: Final = (0.3, 1.0, 3.0)  # of a sender's own
CHARGES_LEFT: Final = (60.0, 40.0, 20.0, 5.0)  # of a weak battery [%]
NO_CURRENT_OHM: Final = (1.0, 10.0, 100.0)  # for a part that carries nothing in any state [Ω]
RUBBED_OHM: Final = (0.02, 1.0)  # of a wire that touches bare metal, and one that hardly does [Ω]
SHORT_OHM: Final = (0.02,)
SHORT_SHOWS_V: Final = 1.0  # between the ends of a short: below it nobody would notice
_LOADS_OWN: Final = frozenset({Kind.MOTOR, Kind.RESISTOR, Kind.HEATER})
_MAIN: Final = {Kind.RELAY: "contact", Kind.SOLENOID: "contact"}
_WORDS: Final = {
    OPEN: "open",
    HIGH: "high resistance",
    SHORT: "shorted",
    SHORT_TO_GROUND: "shorted to ground",
    SHORT_TO_SUPPLY: "shorted to a live wire",
    BLOWN: "blown",
    STUCK_OPEN: "stays open",
    STUCK_CLOSED: "stays closed",
    COIL_OPEN: "coil open",
    PULL_OPEN: "pull-in winding open",
    HOLD_OPEN: "hold-in winding open",
    ACROSS_SHORT: "diode over the coil shorted",
    WEAK: "weak",
    JAMMED: "jammed",
    NO_OUTPUT: "gives nothing",
    OVERCHARGES: "overcharges",
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
    piece
        The contact that has it, "B-L"; empty for the part itself.
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
    piece: str = ""

    @property
    def key(self) -> str:
        """The mode as a fault is written, without its size: "G7:high"."""
        return self.faults[0].key

    @property
    def faults(self) -> tuple[Fault, ...]:
        """One fault for each severity."""
        return tuple(
            Fault(part=self.part, mode=self.mode, value=value, piece=self.piece)
            for value in self.severities
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualRate:
    """How often one kind of part fails in one way, against all others.

    Attributes
    ----------
    kind
        Kind of the part.
    mode
        The mode, as a fault is written.
    words
        The mode as a person says it.
    weight
        How likely before any test, against all others of a circuit.
    """

    kind: Kind
    mode: str
    words: str
    weight: float

    @property
    def key(self) -> str:
        """How a shop's own rate names it: "connector/high"."""
        return f"{self.kind}/{self.mode}"


def usual_rates() -> tuple[UsualRate, ...]:
    """Return the program's own rates, kind by kind, for a shop to edit."""
    return tuple(
        UsualRate(kind=kind, mode=mode, words=_words(kind, mode), weight=RATE[kind] * share)
        for kind, shares in SHARE.items()
        for mode, share in shares.items()
    )


def _words(kind: Kind, mode: str) -> str:
    return "worn" if kind is Kind.MOTOR and mode == HIGH else _WORDS[mode]


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
        through it, so that the same rule serves a lamp's ground and a starter's. A wire counts
        as shorted only where that would show: to what its end is not on already.
    """
    healthy = solve(circuit)
    greatest_a = np.max(np.abs(healthy.currents[0]), axis=0, initial=0.0)
    apart = _short_volts(circuit, healthy)
    carries = dict(zip(healthy.pieces, greatest_a.tolist(), strict=True))
    ohms = {piece.name: piece.ohm for piece in pieces_of(circuit)}
    found = []
    for part in circuit.parts:
        rate = RATE[part.kind] if part.rate is None else part.rate
        if rate == 0:
            continue
        ways = [("", mode) for mode in modes_of(part) if _would_show(part, mode, apart)]
        ways += [(piece, mode) for piece in contacts_of(part) for mode in modes_of(part, piece)]
        for piece, mode in ways:
            words = _words(part.kind, mode)
            if piece:
                words = f"contact {piece} ({_closed_at(part, piece)}) {words}"
            role = piece or _MAIN.get(part.kind, "")
            main = f"{part.name}.{role}" if role else part.name
            found.append(
                FaultMode(
                    part=part.name,
                    mode=mode,
                    piece=piece,
                    words=f"contact {piece} ({_closed_at(part, piece)}) {words}"
                    if piece
                    else words,
                    severities=_severities(part, mode, circuit.supply_v, ohms, carries, main),
                    weight=rate * SHARE[part.kind][mode],
                    repair=f"{_MEND.get(part.kind, 'replace')} {part.name}",
                )
            )
    return tuple(found)


def _closed_at(part: Part, pair: str) -> str:
    """Return the positions in which a selector's contact is closed, as its drawing names them."""
    return ", ".join(position for position, pairs in part.positions if pair in pairs)


def _short_volts(circuit: Circuit, healthy: Solution) -> dict[str, float]:
    """Most volts, in any state, between the ends that a short would join."""
    return {
        piece.name: float(
            np.abs(
                healthy.volts[0, :, healthy.point_place[piece.first]]
                - healthy.volts[0, :, healthy.point_place[piece.second]]
            ).max()
        )
        for piece in shorts_of(circuit)
    }


def _would_show(part: Part, mode: str, apart: Mapping[str, float]) -> bool:
    role = {SHORT_TO_GROUND: TO_GROUND, SHORT_TO_SUPPLY: TO_SUPPLY}.get(mode)
    return role is None or apart.get(f"{part.name}.{role}", 0.0) > SHORT_SHOWS_V


def _severities(
    part: Part,
    mode: str,
    supply_v: float,
    ohms: Mapping[str, float],
    carries: Mapping[str, float],
    main: str,
) -> tuple[float | None, ...]:
    if mode == WEAK:
        return CHARGES_LEFT
    if mode in (SHORT_TO_GROUND, SHORT_TO_SUPPLY):
        return RUBBED_OHM
    if mode == SHORT:
        return SHORT_OHM
    if mode != HIGH:
        return (None,)
    if part.kind is Kind.SENDER:
        return tuple(ohms[main] * share for share in SENDER_SHARES)
    if part.kind in _LOADS_OWN:
        return tuple(ohms[main] * share for share in WORN_SHARES)
    current_a = carries[main]
    if not current_a > 1e-6:
        return NO_CURRENT_OHM
    return tuple(supply_v / current_a * share for share in JOINT_SHARES)
