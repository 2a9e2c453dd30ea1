"""One fault of one part, as a person writes it."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.kinds import Kind
from witnessmark.networks.part import Part
from witnessmark.quantities import parse

OPEN: Final = "open"
HIGH: Final = "high"
SHORT: Final = "short"
SHORT_TO_GROUND: Final = "short-to-ground"
SHORT_TO_SUPPLY: Final = "short-to-supply"
BLOWN: Final = "blown"
STUCK_OPEN: Final = "stuck-open"
STUCK_CLOSED: Final = "stuck-closed"
COIL_OPEN: Final = "coil-open"
PULL_OPEN: Final = "pull-open"
HOLD_OPEN: Final = "hold-open"
ACROSS_SHORT: Final = "across-short"
WEAK: Final = "weak"
JAMMED: Final = "jammed"
NO_OUTPUT: Final = "no-output"
OVERCHARGES: Final = "overcharges"

MODES: Final[Mapping[Kind, tuple[str, ...]]] = {
    Kind.BATTERY: (WEAK, OPEN),
    Kind.WIRE: (OPEN, HIGH, SHORT_TO_GROUND, SHORT_TO_SUPPLY),
    Kind.CONNECTOR: (OPEN, HIGH),
    Kind.SPLICE: (OPEN, HIGH),
    Kind.GROUND: (OPEN, HIGH),
    Kind.FUSE: (BLOWN, HIGH),
    Kind.LINK: (BLOWN, HIGH),
    Kind.SWITCH: (STUCK_OPEN, STUCK_CLOSED, HIGH),
    Kind.SELECTOR: (),
    Kind.RELAY: (COIL_OPEN, STUCK_OPEN, STUCK_CLOSED, HIGH, ACROSS_SHORT),
    Kind.SOLENOID: (PULL_OPEN, HOLD_OPEN, STUCK_OPEN, STUCK_CLOSED, HIGH),
    Kind.LAMP: (OPEN, SHORT),
    Kind.LED: (OPEN,),
    Kind.DIODE: (OPEN, SHORT),
    Kind.RESISTOR: (OPEN, HIGH),
    Kind.HEATER: (OPEN, HIGH),
    Kind.SENDER: (OPEN, HIGH, SHORT),
    Kind.MOTOR: (OPEN, HIGH, JAMMED),
    Kind.ALTERNATOR: (NO_OUTPUT, OVERCHARGES),
    Kind.MODULE: (OPEN,),
    Kind.SUPPLY: (NO_OUTPUT,),
    Kind.PULL_UP: (OPEN,),
    Kind.OUTPUT: (STUCK_OPEN, STUCK_CLOSED, HIGH),
}
CONTACT_MODES: Final = (STUCK_OPEN, HIGH)  # of one contact of a selector
REST_MODES: Final = (HIGH,)  # of a relay's contact at rest
# Unit of a mode that has a size, and the size where none is written.
_SIZED: Final[Mapping[str, tuple[str, float | None]]] = {
    HIGH: ("Ω", None),
    WEAK: ("%", None),
    SHORT: ("Ω", 0.02),
    SHORT_TO_GROUND: ("Ω", 0.02),
    SHORT_TO_SUPPLY: ("Ω", 0.02),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault: a part, what is wrong with it, and how badly.

    Attributes
    ----------
    part
        Name of the part.
    mode
        One of the modes of its kind.
    value
        Of 'high', the ohms added; of 'weak', the charge left; of a short, its ohms. [Ω], [%]
    piece
        The contact of a selector or relay that has it, "B-L"; empty for the part itself.
    """

    part: str
    mode: str
    value: float | None = None
    piece: str = ""

    @property
    def key(self) -> str:
        """The fault without its size: "G7:high", "S3.B-L:stuck-open"."""
        return f"{self.part}.{self.piece}:{self.mode}" if self.piece else f"{self.part}:{self.mode}"

    def __str__(self) -> str:
        return self.key + ("" if self.value is None else f"={_digits(self.value)}")


def _digits(value: float) -> str:
    """Six significant digits without an exponent, as people write a size."""
    return f"{Decimal(f'{value:.6g}'):f}"


def modes_of(part: Part, piece: str = "") -> tuple[str, ...]:
    """Return the modes in which a part, or one of its contacts, can fail.

    Parameters
    ----------
    part
        The part.
    piece
        The contact; empty for the part itself.

    Returns
    -------
    tuple of str
        The modes; a diode over a coil fails only where there is one, and a motor is jammed only
        where its sheet says what it takes held still.
    """
    if piece:
        return CONTACT_MODES if part.kind is Kind.SELECTOR else REST_MODES
    without = set()
    if part.kind is Kind.RELAY and part.choice("across") != "diode":  # a resistor does not short
        without.add(ACROSS_SHORT)
    if part.kind is Kind.MOTOR and not part.has("armature"):
        without.add(JAMMED)
    return tuple(mode for mode in MODES[part.kind] if mode not in without)


def contacts_of(part: Part) -> tuple[str, ...]:
    """Return the contacts of a part that fail by themselves: "B-L" of a selector, "rest".

    Parameters
    ----------
    part
        The part.
    """
    if part.kind is Kind.SELECTOR:
        return tuple(dict.fromkeys(pair for _, pairs in part.positions for pair in pairs))
    return ("rest",) if part.end("rest") else ()


def parse_fault(text: str, circuit: Circuit) -> Fault:
    """Return the fault that a person wrote as PART:MODE or PART:MODE=VALUE.

    Parameters
    ----------
    text
        For example "G7:high=0.8", "F12:blown", "BAT:weak=50 %" or "S3.B-L:stuck-open".
    circuit
        The circuit it is a fault of.

    Returns
    -------
    Fault
        The fault.

    Raises
    ------
    BenchError
        If the part or the mode is not there, or a value is missing or not above zero.
    """
    name, colon, rest = text.rpartition(":")
    if not colon:
        raise BenchError(
            f"'{text}' is not a fault.",
            "A fault is a part, a colon and what is wrong: G7:high=0.8.",
            f"Write one of the parts of {circuit.name} before the colon.",
        )
    name, _, piece = name.strip().partition(".")
    part = circuit.part(name)
    contacts = contacts_of(part)
    if piece and piece not in contacts:
        raise BenchError(
            f"{part.name} has no contact '{piece}'.",
            f"Its contacts are: {', '.join(contacts) or 'none that fail by themselves'}.",
            f"Write {part.name}.{contacts[0]}." if contacts else f"Write {part.name} alone.",
        )
    mode, equals, amount = rest.partition("=")
    mode = mode.strip()
    modes = modes_of(part, piece)
    if mode not in modes:
        raise _no_such_mode(part, piece, mode, modes)
    if mode not in _SIZED:
        if equals:
            raise BenchError(
                f"'{mode}' of {part.name} takes no value.",
                f"Only {', '.join(_SIZED)} have a size.",
                f"Write {part.name}:{mode}.",
            )
        return Fault(part=part.name, mode=mode, piece=piece)
    unit, usual = _SIZED[mode]
    if not equals and usual is not None:
        return Fault(part=part.name, mode=mode, value=usual, piece=piece)
    if not equals:
        raise BenchError(
            f"'{text}' does not say how much.",
            f"'{mode}' needs a value in {unit}.",
            f"Write for example {part.name}:{mode}={'50' if mode == WEAK else '0.8'}.",
        )
    value = parse(amount.strip(), unit).to(unit)
    if not 0 < value <= (100 if mode == WEAK else 1e8):
        raise BenchError(
            f"'{text}' has the value {value:g} {unit}.",
            "It must be more than 0, a charge at most 100 % and a resistance at most 100 MΩ.",
            "Write another value.",
        )
    return Fault(part=part.name, mode=mode, value=value, piece=piece)


def _no_such_mode(part: Part, piece: str, mode: str, modes: tuple[str, ...]) -> BenchError:
    contacts = contacts_of(part)
    if not modes and contacts:
        return BenchError(
            f"{part.name} cannot be '{mode}' as a whole.",
            f"Its contacts fail one by one: {', '.join(contacts)}.",
            f"Write for example {part.name}.{contacts[0]}:{STUCK_OPEN}.",
        )
    named = f"{part.name}.{piece}" if piece else part.name
    kind = "contact" if piece else str(part.kind)
    article = "An" if kind[0] in "aeiouAEIOUL" and kind != "lamp" else "A"
    return BenchError(
        f"{named} cannot be '{mode}'.",
        f"{article} {kind} can be: {', '.join(modes)}.",
        "Write one of these after the colon.",
    )
