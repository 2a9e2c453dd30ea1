"""One fault of one part, as a person writes it."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.circuit import Circuit, Kind
from witnessmark.quantities import parse

OPEN: Final = "open"
HIGH: Final = "high"
BLOWN: Final = "blown"
STUCK_OPEN: Final = "stuck-open"
STUCK_CLOSED: Final = "stuck-closed"
COIL_OPEN: Final = "coil-open"
WEAK: Final = "weak"

MODES: Final[Mapping[Kind, tuple[str, ...]]] = {
    Kind.BATTERY: (WEAK, OPEN),
    Kind.WIRE: (OPEN, HIGH),
    Kind.CONNECTOR: (OPEN, HIGH),
    Kind.SPLICE: (OPEN, HIGH),
    Kind.GROUND: (OPEN, HIGH),
    Kind.FUSE: (BLOWN, HIGH),
    Kind.SWITCH: (STUCK_OPEN, STUCK_CLOSED, HIGH),
    Kind.RELAY: (COIL_OPEN, STUCK_OPEN, STUCK_CLOSED, HIGH),
    Kind.LAMP: (OPEN,),
    Kind.RESISTOR: (OPEN, HIGH),
    Kind.MOTOR: (OPEN, HIGH),
}
_UNIT: Final = {HIGH: "Ω", WEAK: "%"}


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
        Of 'high', the ohms added; of 'weak', the charge left. [Ω], [%]
    """

    part: str
    mode: str
    value: float | None = None

    def __str__(self) -> str:
        return f"{self.part}:{self.mode}" + (
            "" if self.value is None else f"={_digits(self.value)}"
        )


def _digits(value: float) -> str:
    """Six significant digits without an exponent, as people write a size."""
    return f"{Decimal(f'{value:.6g}'):f}"


def parse_fault(text: str, circuit: Circuit) -> Fault:
    """Return the fault that a person wrote as PART:MODE or PART:MODE=VALUE.

    Parameters
    ----------
    text
        For example "G7:high=0.8", "F12:blown" or "BAT:weak=50 %".
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
    part = circuit.part(name.strip())
    mode, equals, amount = rest.partition("=")
    mode = mode.strip()
    modes = MODES[part.kind]
    if mode not in modes:
        raise BenchError(
            f"{part.name} cannot be '{mode}'.",
            f"A {part.kind} can be: {', '.join(modes)}.",
            "Write one of these after the colon.",
        )
    if mode not in _UNIT:
        if equals:
            raise BenchError(
                f"'{mode}' of {part.name} takes no value.",
                "Only 'high' and 'weak' have a size.",
                f"Write {part.name}:{mode}.",
            )
        return Fault(part=part.name, mode=mode)
    unit = _UNIT[mode]
    if not equals:
        raise BenchError(
            f"'{text}' does not say how much.",
            f"'{mode}' needs a value in {unit}.",
            f"Write for example {part.name}:{mode}={'50' if mode == WEAK else '0.8'}.",
        )
    value = parse(amount.strip(), unit).to(unit)
    if not value > 0 or (mode == WEAK and not value <= 100):
        raise BenchError(
            f"'{text}' has the value {value:g} {unit}.",
            "It must be more than 0, and a charge at most 100 %.",
            "Write another value.",
        )
    return Fault(part=part.name, mode=mode, value=value)
