"""In which ways each kind of part fails, and how often: the program's own, for a shop to edit."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

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
)
from witnessmark.networks.kinds import Kind

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
_WORDS: Final = {
    OPEN: "open",
    HIGH: "high resistance",
    SHORT: "shorted",
    SHORT_TO_GROUND: "shorted to ground",
    SHORT_TO_SUPPLY: "shorted to a live wire",
    BLOWN: "blown",
    STUCK_OPEN: "contacts do not close",
    STUCK_CLOSED: "contacts do not open",
    COIL_OPEN: "coil open",
    PULL_OPEN: "pull-in winding open",
    HOLD_OPEN: "hold-in winding open",
    ACROSS_SHORT: "diode across the coil shorted",
    WEAK: "low charge",
    JAMMED: "jammed",
    NO_OUTPUT: "no output",
    OVERCHARGES: "overcharges",
}
_WORDS_OF_KIND: Final = {
    (Kind.MOTOR, HIGH): "worn",
    (Kind.LAMP, OPEN): "burnt out",
    (Kind.SELECTOR, STUCK_OPEN): "does not close",  # said of one contact, by its name
    (Kind.OUTPUT, STUCK_OPEN): "does not switch on",
    (Kind.OUTPUT, STUCK_CLOSED): "does not switch off",
}


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
        UsualRate(kind=kind, mode=mode, words=mode_words(kind, mode), weight=RATE[kind] * share)
        for kind, shares in SHARE.items()
        for mode, share in shares.items()
    )


def mode_words(kind: Kind, mode: str) -> str:
    """Return a way to fail as a person says it.

    Parameters
    ----------
    kind
        Kind of the part.
    mode
        The mode, as a fault is written.
    """
    return _WORDS_OF_KIND.get((kind, mode), _WORDS[mode])
