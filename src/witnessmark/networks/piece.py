"""Two-terminal pieces as values: their laws, and the coils that move contacts."""

from dataclasses import dataclass
from enum import Enum
from typing import Final


class Law(Enum):
    """How current follows voltage."""

    SOURCE = "source"  # I = (V - E) / R
    RESISTOR = "resistor"  # I = V / R
    SWITCH = "switch"  # a resistor where the state closes it
    CONTACT = "contact"  # a resistor where its coil closes it
    FUSE = "fuse"  # a resistor until it blows
    SHORT = "short"  # nothing, until a fault makes it a resistor
    LAMP = "lamp"  # I = k V (V² + V0²)^((a-1)/2)
    LED = "LED"  # a resistor above its drop, with a soft knee
    DIODE = "diode"  # I = Is (exp(V / n) - 1)
    MOTOR = "motor"  # an armature against the torque of what it turns
    REGULATOR = "regulator"  # (E + V) / R, never back and never above a limit


CURVED: Final = (Law.LAMP, Law.LED, Law.DIODE, Law.MOTOR, Law.REGULATOR)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One two-terminal piece of a part; current is positive from first to second.

    Attributes
    ----------
    name
        "F12", or "K3.coil" and "K3.contact" for the pieces of one part.
    part
        Name of the part it belongs to.
    law
        How current follows voltage.
    first, second
        Keys of its points.
    ohm
        Resistance where it conducts; of a lamp when it burns as rated; of a motor held still. [Ω]
    emf_v
        Of a source; regulated volts of a regulator. [V]
    curve
        Constants of a curved law, see `curves`. [as named there]
    rating_a
        Of a fuse. [A]
    band
        Of a fuse, which time-current band; of an output or a link, the current at which it cuts
        out or melts follows by another rule: "limit", "link".
    area_mm2
        Of a link. [mm²]
    on_at
        Of a switch, the positions of its part in which it conducts.
    rests
        Of a contact: whether it conducts while its coil is at rest.
    """

    name: str
    part: str
    law: Law
    first: str
    second: str
    ohm: float = 0.0
    emf_v: float = 0.0
    curve: tuple[float, ...] = ()
    rating_a: float = 0.0
    band: str = ""
    area_mm2: float = 0.0
    on_at: frozenset[str] = frozenset()
    rests: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Coil:
    """What moves the contacts of one part: its windings, and where it pulls in and drops out.

    Attributes
    ----------
    part
        Name of the relay or solenoid.
    windings
        Names of its coil pieces; their ampere-turns add up with their signs.
    ohm
        All windings side by side: ampere-turns times this are volts. [Ω]
    pull_in_v, drop_out_v
        Volts at which it pulls in and drops out, with every winding fed alike. [V]
    contacts
        Names of its contact pieces.
    """

    part: str
    windings: tuple[str, ...]
    ohm: float
    pull_in_v: float
    drop_out_v: float
    contacts: tuple[str, ...]
