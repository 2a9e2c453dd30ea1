"""Parts taken apart into two-terminal pieces, as the solver sees them."""

from dataclasses import dataclass
from enum import Enum

from witnessmark.networks.circuit import Circuit, Kind, Part

LAMP_EXPONENT = 0.55  # I ~ V^0.55 of a tungsten lamp; seen on a page citing an EE handbook
LAMP_KNEE_V = 0.05  # below it a lamp is a plain resistance, so that its slope stays finite [V]


class Law(Enum):
    """How current follows voltage."""

    SOURCE = "source"  # I = (V - E) / R
    RESISTOR = "resistor"  # I = V / R
    LAMP = "lamp"  # I = k V (V² + V0²)^((a-1)/2)
    SWITCH = "switch"  # a resistor where the state closes it
    CONTACT = "contact"  # a resistor where its coil closes it
    FUSE = "fuse"  # a resistor until it blows


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
        Resistance where it conducts; not used of a lamp. [Ω]
    emf_v
        Of a source. [V]
    lamp_k
        k of the lamp law. [A/V^a]
    blow_a
        Current above which a fuse blows. [A]
    """

    name: str
    part: str
    law: Law
    first: str
    second: str
    ohm: float
    emf_v: float = 0.0
    lamp_k: float = 0.0
    blow_a: float = 0.0


FUSE_BLOWS_AT = 2.0  # times its rating: within 5 s by the time-current band of ISO 8820-3,
#                      as quoted on a relay data sheet; held for long enough, so it has blown
_PLAIN = {
    Kind.WIRE: Law.RESISTOR,
    Kind.CONNECTOR: Law.RESISTOR,
    Kind.SPLICE: Law.RESISTOR,
    Kind.GROUND: Law.RESISTOR,
    Kind.RESISTOR: Law.RESISTOR,
    Kind.MOTOR: Law.RESISTOR,
    Kind.SWITCH: Law.SWITCH,
    Kind.FUSE: Law.FUSE,
    Kind.BATTERY: Law.SOURCE,
}


def pieces_of(circuit: Circuit) -> tuple[Piece, ...]:
    """Return every piece of a circuit, in the order of its parts.

    Parameters
    ----------
    circuit
        The circuit.

    Returns
    -------
    tuple of Piece
        A relay gives its coil, then its contact; every other part gives one piece.
    """
    return tuple(piece for part in circuit.parts for piece in _pieces(part))


def _pieces(part: Part) -> tuple[Piece, ...]:
    if part.kind is Kind.RELAY:
        coil = Piece(
            name=f"{part.name}.coil",
            part=part.name,
            law=Law.RESISTOR,
            first=part.coil_first,
            second=part.coil_second,
            ohm=part.coil_ohm,
        )
        contact = Piece(
            name=f"{part.name}.contact",
            part=part.name,
            law=Law.CONTACT,
            first=part.first,
            second=part.second,
            ohm=part.ohm,
        )
        return coil, contact
    if part.kind is Kind.LAMP:
        rated_a = part.lamp_w / part.lamp_v
        return (
            Piece(
                name=part.name,
                part=part.name,
                law=Law.LAMP,
                first=part.first,
                second=part.second,
                ohm=0.0,
                lamp_k=rated_a / part.lamp_v**LAMP_EXPONENT,
            ),
        )
    return (
        Piece(
            name=part.name,
            part=part.name,
            law=_PLAIN[part.kind],
            first=part.first,
            second=part.second,
            ohm=part.ohm,
            emf_v=part.emf_v,
            blow_a=part.rating_a * FUSE_BLOWS_AT,
        ),
    )
