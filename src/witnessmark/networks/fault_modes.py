"""How the parts of a circuit fail, how often, how badly, and what puts them right."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.networks.circuit import Circuit
from witnessmark.networks.fault_rates import RATE, SHARE, mode_words
from witnessmark.networks.faults import (
    HIGH,
    SHORT,
    SHORT_TO_GROUND,
    SHORT_TO_SUPPLY,
    WEAK,
    Fault,
    contacts_of,
    modes_of,
)
from witnessmark.networks.kinds import Kind
from witnessmark.networks.part import Part
from witnessmark.networks.pieces import TO_GROUND, TO_SUPPLY, pieces_of, shorts_of
from witnessmark.networks.solver import Solution, solve

# Ohms added by a bad joint, in shares of what the whole circuit has seen from that part (supply
# over the healthy current through it): below a tenth no one complains, above four fifths it is
# as good as open to the eye. Even on a log scale. The least follow from the greatest current of
# any state. Where the part carries less in another, as a ground that a fan and a lamp share, they
# go on by doubling to four fifths for that one, but not beyond four times the last.
JOINT_SHARES: Final = (0.1, 0.16, 0.25, 0.4, 0.6, 0.8)
MOST_MORE: Final = 4.0
# A state counts from a share of the greatest current on, or from an ampere: less is a stray one, or
# a coil's beside its contact's.
LEAST_USED: Final = 1 / 32
USED_A: Final = 1.0
WORN_SHARES: Final = (0.15, 0.3, 0.5, 0.75, 1.0)  # of a load's own resistance
SENDER_SHARES: Final = (0.3, 1.0, 3.0)  # of a sender's own
CHARGES_LEFT: Final = (60.0, 40.0, 20.0, 5.0)  # of a weak battery [%]
NO_CURRENT_OHM: Final = (1.0, 10.0, 100.0)  # for a part that carries nothing in any state [Ω]
RUBBED_OHM: Final = (0.02, 1.0)  # of a wire that touches bare metal, and one that hardly does [Ω]
SHORT_OHM: Final = (0.02,)
SHORT_SHOWS_V: Final = 1.0  # between the ends of a short: below it nobody would notice
_LOADS_OWN: Final = frozenset({Kind.MOTOR, Kind.RESISTOR, Kind.HEATER})
_MAIN: Final = {Kind.RELAY: "contact", Kind.SOLENOID: "contact"}
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
        What puts it right: "clean ground joint G7". Modes of one repair need no telling apart.
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


def fault_modes(circuit: Circuit) -> tuple[FaultMode, ...]:
    """Return every single fault the circuit can have.

    Parameters
    ----------
    circuit
        The circuit.

    Returns
    -------
    tuple of FaultMode
        In the order of the parts. The severities of a bad joint follow from the healthy currents
        through it, so that the same rule serves a lamp's ground and a starter's. A wire counts
        as shorted only where that would show: to what its end is not on already.
    """
    healthy = solve(circuit)
    apart = _short_volts(circuit, healthy)
    carries = _currents(healthy)
    ohms = {piece.name: piece.ohm for piece in pieces_of(circuit)}
    found = []
    for part in circuit.parts:
        rate = RATE[part.kind] if part.rate is None else part.rate
        if rate == 0:
            continue
        ways = [("", mode) for mode in modes_of(part) if _would_show(part, mode, apart)]
        ways += [(piece, mode) for piece in contacts_of(part) for mode in modes_of(part, piece)]
        for piece, mode in ways:
            words = mode_words(part.kind, mode)
            if piece:
                words = f"{_contact_words(part, piece)} {words}"
            role = piece or _MAIN.get(part.kind, "")
            main = f"{part.name}.{role}" if role else part.name
            found.append(
                FaultMode(
                    part=part.name,
                    mode=mode,
                    piece=piece,
                    words=words,
                    severities=_severities(part, mode, circuit.supply_v, ohms, carries, main),
                    weight=rate * SHARE[part.kind][mode],
                    repair=f"{_MEND.get(part.kind, 'replace')} {part.name}",
                )
            )
    return tuple(found)


def _contact_words(part: Part, piece: str) -> str:
    """Return a contact as its drawing names it: by the positions in which it is closed."""
    closed_at = [position for position, pairs in part.positions if piece in pairs]
    return f"contact {piece} ({', '.join(closed_at)})" if closed_at else f"contact at {piece}"


def _currents(healthy: Solution) -> dict[str, tuple[float, float]]:
    """Least and greatest current of each piece in the states that use it."""
    found = {}
    for name, in_states in zip(healthy.pieces, np.abs(healthy.currents[0]).T, strict=True):
        greatest_a = float(in_states.max(initial=0.0))
        used = in_states[in_states >= min(greatest_a * LEAST_USED, USED_A)]
        found[name] = (float(used.min(initial=greatest_a)), greatest_a)
    return found


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
    carries: Mapping[str, tuple[float, float]],
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
    return _joint_ohms(supply_v, *carries[main])


def _joint_ohms(supply_v: float, least_a: float, greatest_a: float) -> tuple[float, ...]:
    """Return what a bad joint adds, from hardly seen at most current to nearly open at least."""
    if not greatest_a > 1e-6:
        return NO_CURRENT_OHM
    ohms = [supply_v / greatest_a * share for share in JOINT_SHARES]
    more = min(greatest_a / least_a, MOST_MORE)
    doublings = round(math.log2(more))
    last = ohms[-1]
    ohms += [last * more ** (step / doublings) for step in range(1, doublings + 1)]
    return tuple(ohms)
