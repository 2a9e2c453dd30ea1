"""What the faults of many scenarios change in a circuit's arrays."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from witnessmark.networks.battery import resistance_rise, rest_voltage
from witnessmark.networks.compiled import Compiled, Flags, Floats, Numbers
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
)
from witnessmark.networks.kinds import Kind

LOST_REGULATION = 1.15  # of its volts: an alternator that overcharges, 14.2 V become 16.3 V
_SHORTED_OHM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Faulted:
    """What the faults of B scenarios change. Arrays are B x P.

    Attributes
    ----------
    more_ohm
        Added to the healthy resistance; of a short its whole resistance. [Ω]
    ohm_times
        Factor of the resistance that the state sets, before anything is added; 0 of a short. [1]
    emf_times
        Factor of the healthy EMF. [1]
    is_open
        Whether the piece never conducts.
    stays_open, stays_closed
        A switch or contact that never closes, or never opens.
    is_plain
        A curved piece that has become a plain resistance: a jammed motor, a shorted lamp.
    """

    more_ohm: Floats
    ohm_times: Floats
    emf_times: Floats
    is_open: Flags
    stays_open: Flags
    stays_closed: Flags
    is_plain: Flags

    def sizes(self, ohm: Floats, emf_v: Floats) -> tuple[Floats, Floats]:
        """Return resistance and EMF of every piece by those without a fault, B x P. [Ω], [V]"""
        return ohm * self.ohm_times + self.more_ohm, emf_v * self.emf_times

    def rows(self, chosen: Flags | Numbers | slice) -> "Faulted":
        """Return the same for some of the scenarios."""
        return Faulted(
            more_ohm=self.more_ohm[chosen],
            ohm_times=self.ohm_times[chosen],
            emf_times=self.emf_times[chosen],
            is_open=self.is_open[chosen],
            stays_open=self.stays_open[chosen],
            stays_closed=self.stays_closed[chosen],
            is_plain=self.is_plain[chosen],
        )


def faulted(
    book: Compiled, scenarios: Sequence[Sequence[Fault]], lamps: Sequence[int | None] = ()
) -> Faulted:
    """Return what the faults of each scenario change.

    Parameters
    ----------
    book
        The circuit as arrays.
    scenarios
        The faults of each scenario; none for a healthy circuit.
    lamps
        For each scenario, the number of the test lamp that is held somewhere, if any.

    Returns
    -------
    Faulted
        Arrays of one row per scenario.
    """
    shape = (len(scenarios), len(book.pieces))
    result = Faulted(
        more_ohm=np.zeros(shape),
        ohm_times=np.ones(shape),
        emf_times=np.ones(shape),
        is_open=np.zeros(shape, dtype=np.bool_),
        stays_open=np.zeros(shape, dtype=np.bool_),
        stays_closed=np.zeros(shape, dtype=np.bool_),
        is_plain=np.zeros(shape, dtype=np.bool_),
    )
    kinds = {part.name: part.kind for part in book.circuit.parts}
    for row, faults in enumerate(scenarios):
        for fault in faults:
            role = fault.piece or _ROLE.get((kinds[fault.part], fault.mode), "")
            role = role or _ROLE.get((kinds[fault.part], ""), "")
            name = f"{fault.part}.{role}" if role else fault.part
            _apply(book, result, row, book.place[name], fault)
    for row, lamp in enumerate(lamps):
        if lamp is not None:
            result.stays_closed[row, book.held[lamp]] = True
    return result


# The piece that a mode changes, by kind and mode; an empty mode for all the others of the kind.
_ROLE = {
    (Kind.RELAY, ""): "contact",
    (Kind.RELAY, COIL_OPEN): "coil",
    (Kind.RELAY, ACROSS_SHORT): "diode",
    (Kind.SOLENOID, ""): "contact",
    (Kind.SOLENOID, PULL_OPEN): "pull",
    (Kind.SOLENOID, HOLD_OPEN): "hold",
    (Kind.ALTERNATOR, ""): "output",
    (Kind.WIRE, SHORT_TO_GROUND): "ground",
    (Kind.WIRE, SHORT_TO_SUPPLY): "supply",
}


def _apply(book: Compiled, result: Faulted, row: int, piece: int, fault: Fault) -> None:
    match fault.mode:
        case mode if mode in (OPEN, BLOWN, COIL_OPEN, PULL_OPEN, HOLD_OPEN, NO_OUTPUT):
            result.is_open[row, piece] = True
            lamp = book.place.get(f"{fault.part}.lamp")
            if mode == NO_OUTPUT and lamp is not None:  # it warns, as at standstill
                result.stays_closed[row, lamp] = True
                result.stays_open[row, book.place[f"{fault.part}.field"]] = True
        case mode if mode in (STUCK_OPEN, STUCK_CLOSED):
            stays = result.stays_open if mode == STUCK_OPEN else result.stays_closed
            stays[row, piece] = True
            rest = book.place.get(f"{fault.part}.rest")
            if rest is not None and not fault.piece:  # the same armature works both contacts
                other = result.stays_closed if mode == STUCK_OPEN else result.stays_open
                other[row, rest] = True
        case mode if mode == HIGH:
            assert fault.value is not None, "a high resistance without its ohms"
            result.more_ohm[row, piece] += fault.value
        case mode if mode in (SHORT_TO_GROUND, SHORT_TO_SUPPLY):
            assert fault.value is not None, "a short without its ohms"
            result.stays_closed[row, piece] = True
            result.ohm_times[row, piece] = 0.0
            result.more_ohm[row, piece] += fault.value
        case mode if mode in (SHORT, ACROSS_SHORT):
            result.is_plain[row, piece] = True
            result.ohm_times[row, piece] = 0.0
            result.more_ohm[row, piece] += _SHORTED_OHM if fault.value is None else fault.value
        case mode if mode == JAMMED:
            result.is_plain[row, piece] = True
        case mode if mode == OVERCHARGES:
            result.emf_times[row, piece] *= LOST_REGULATION
        case mode if mode == WEAK:
            assert fault.value is not None, "a weak battery without its charge"
            result.emf_times[row, piece] *= rest_voltage(fault.value) / rest_voltage(100)
            result.ohm_times[row, piece] *= resistance_rise(fault.value)
        case mode:
            raise AssertionError(f"no such fault mode: {mode}")
