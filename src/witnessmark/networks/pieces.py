"""Parts taken apart into two-terminal pieces, as the solver sees them."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from math import log
from typing import Final

from witnessmark.networks.battery import inner_resistance
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.copper import wire_resistance
from witnessmark.networks.kinds import CLOSED, ON, STILL, TURNING, Kind
from witnessmark.networks.part import Part, battery_volts
from witnessmark.networks.piece import Coil, Law, Piece

TO_GROUND, TO_SUPPLY = "ground", "supply"
LINK, LIMIT = "link", "limit"
LAMP_EXPONENT: Final = 0.55  # I ~ V^0.55 of a tungsten lamp; seen on a page citing an EE handbook
LED_KNEE_V: Final = 0.1  # an LED's knee; from memory
REGULATOR_KNEE: Final = 0.01  # how softly a regulator leaves its limit, of the limit
# Torque of what a motor turns, in shares of the running current: from the first turn on, with
# speed, with its square. The program's own: a wiper is nearly steady, a fan nearly a square.
TURNS_SHARE: Final = {"steady": (0.9, 0.1, 0.0), "fan": (0.1, 0.0, 0.9)}


@lru_cache(maxsize=64)
def pieces_of(circuit: Circuit) -> tuple[Piece, ...]:
    """Return every piece of a circuit, in the order of its parts.

    Parameters
    ----------
    circuit
        The circuit.

    Returns
    -------
    tuple of Piece
        A relay gives its coil, then its contacts, then what lies over the coil; a selector one
        piece for each pair of terminals that some position joins; most parts give one piece.
    """
    return tuple(piece for part in circuit.parts for piece in _pieces(part))


def shorts_of(circuit: Circuit) -> tuple[Piece, ...]:
    """Return where each wire would be shorted if it rubbed through: at the end it leads to.

    Parameters
    ----------
    circuit
        The circuit.

    Returns
    -------
    tuple of Piece
        Two for each wire, to the body and to the plus post of the first battery; none that would
        begin and end at one point. They conduct only as a fault.
    """
    plus = next((part.first for part in circuit.parts if part.kind is Kind.BATTERY), "")
    found = []
    for part in circuit.parts:
        if part.kind is not Kind.WIRE:
            continue
        for role, goal in ((TO_GROUND, circuit.body), (TO_SUPPLY, plus)):
            start = part.second if part.second != goal else part.first
            if goal and start != goal:
                found.append(
                    Piece(
                        name=f"{part.name}.{role}",
                        part=part.name,
                        law=Law.SHORT,
                        first=start,
                        second=goal,
                        ohm=1.0,
                    )
                )
    return tuple(found)


def coils_of(circuit: Circuit) -> tuple[Coil, ...]:
    """Return what moves the contacts of each relay and solenoid, in the order of the parts.

    Parameters
    ----------
    circuit
        The circuit.

    Returns
    -------
    tuple of Coil
        One for each relay and solenoid.
    """
    found = []
    for part in circuit.parts:
        if part.kind is Kind.RELAY:
            windings: tuple[str, ...] = (f"{part.name}.coil",)
            ohm = part.size("coil_ohms")
            contacts = [f"{part.name}.contact"]
            contacts += [f"{part.name}.rest"] if part.end("rest") else []
        elif part.kind is Kind.SOLENOID:
            windings = (f"{part.name}.pull", f"{part.name}.hold")
            ohm = 1.0 / (1.0 / part.size("pull_ohms") + 1.0 / part.size("hold_ohms"))
            contacts = [f"{part.name}.contact"]
        else:
            continue
        found.append(
            Coil(
                part=part.name,
                windings=windings,
                ohm=ohm,
                pull_in_v=part.size("pulls_in"),
                drop_out_v=part.size("drops_out"),
                contacts=tuple(contacts),
            )
        )
    return tuple(found)


def _piece(
    part: Part, law: Law, role: str = "", ends: tuple[str, str] | None = None, ohm: float = 0.0
) -> Piece:
    first, second = ends or (part.first, part.second)
    name = f"{part.name}.{role}" if role else part.name
    return Piece(name=name, part=part.name, law=law, first=first, second=second, ohm=ohm)


def _plain(part: Part) -> tuple[Piece, ...]:
    return (_piece(part, Law.RESISTOR, ohm=wire_ohm(part)),)


def _battery(part: Part) -> tuple[Piece, ...]:
    if part.has("inside"):
        ohm = part.size("inside")
    else:
        ohm = inner_resistance(part.size("cca"), part.size("charge"), part.size("temperature"))
    return (replace(_piece(part, Law.SOURCE, ohm=ohm), emf_v=battery_volts(part)),)


def wire_ohm(part: Part) -> float:
    """Return the resistance of a wire, a link or a load of plain resistance. [Ω]

    Parameters
    ----------
    part
        The wire, link or load: told by its ohms, its size and length, or its power at some volts.
    """
    if part.has("ohms"):
        return part.size("ohms")
    if part.has("power"):
        return part.size("volts") ** 2 / part.size("power")
    temperature_c = part.size("temperature") if part.has("temperature") else 20.0
    return wire_resistance(part.size("length"), part.size("size"), temperature_c)


def _fuse(part: Part) -> tuple[Piece, ...]:
    plain = _piece(part, Law.FUSE, ohm=part.size("ohms"))
    return (replace(plain, rating_a=part.size("rating"), band=part.choice("band")),)


def _link(part: Part) -> tuple[Piece, ...]:
    plain = _piece(part, Law.FUSE, ohm=wire_ohm(part))
    return (replace(plain, band=LINK, area_mm2=part.size("size")),)


def _switch(part: Part) -> tuple[Piece, ...]:
    plain = _piece(part, Law.SWITCH, ohm=part.size("ohms"))
    return (replace(plain, on_at=frozenset({CLOSED})),)


def _output(part: Part) -> tuple[Piece, ...]:
    plain = _piece(part, Law.SWITCH, ohm=part.size("ohms"))
    return (replace(plain, rating_a=part.size("limit"), band=LIMIT, on_at=frozenset({ON})),)


def _selector(part: Part) -> tuple[Piece, ...]:
    ends = dict(part.ends)
    found = []
    for pair in dict.fromkeys(pair for _, joined in part.positions for pair in joined):
        one, _, other = pair.partition("-")
        where = frozenset(name for name, joined in part.positions if pair in joined)
        plain = _piece(part, Law.SWITCH, pair, (ends[one], ends[other]), part.size("ohms"))
        found.append(replace(plain, on_at=where))
    return tuple(found)


def _relay(part: Part) -> tuple[Piece, ...]:
    coil = part.end("coil_from"), part.end("coil_to")
    ohm = part.size("ohms")
    contact = _piece(part, Law.CONTACT, "contact", ohm=ohm)
    found = [
        _piece(part, Law.RESISTOR, "coil", coil, part.size("coil_ohms")),
        replace(contact, rests=part.choice("rests") == CLOSED),
    ]
    if part.end("rest"):
        ends = part.first, part.end("rest")
        found.append(replace(_piece(part, Law.CONTACT, "rest", ends, ohm), rests=True))
    if part.choice("across") == "resistor":
        found.append(_piece(part, Law.RESISTOR, "resistor", coil, part.size("across_ohms")))
    elif part.choice("across") == "diode":  # its bar at the first end of the coil: the plus side
        diode = _piece(part, Law.DIODE, "diode", (coil[1], coil[0]))
        found.append(replace(diode, curve=_diode_curve(0.7, 1.0, 0.1)))
    return tuple(found)


def _solenoid(part: Part) -> tuple[Piece, ...]:
    control, body = part.end("control"), part.end("body")
    pull, hold = (control, part.second), (control, body)
    return (
        _piece(part, Law.RESISTOR, "pull", pull, part.size("pull_ohms")),
        _piece(part, Law.RESISTOR, "hold", hold, part.size("hold_ohms")),
        _piece(part, Law.CONTACT, "contact", ohm=part.size("ohms")),
    )


def _lamp(part: Part) -> tuple[Piece, ...]:
    rated_v = part.size("volts")
    rated_a = part.size("power") / rated_v
    plain = _piece(part, Law.LAMP, ohm=rated_v / rated_a)
    return (replace(plain, curve=(rated_a / rated_v**LAMP_EXPONENT,)),)


def _led(part: Part) -> tuple[Piece, ...]:
    plain = _piece(part, Law.LED, ohm=part.size("ohms"))
    return (replace(plain, curve=(part.size("drop"), LED_KNEE_V)),)


def _diode_curve(drop_v: float, at_a: float, per_decade_v: float) -> tuple[float, float]:
    """Saturation current [A] and n times the thermal voltage [V] of a diode."""
    slope_v = per_decade_v / log(10.0)
    return at_a / (10.0 ** (drop_v / per_decade_v) - 1.0), slope_v


def _diode(part: Part) -> tuple[Piece, ...]:
    curve = _diode_curve(part.size("drop"), part.size("at"), part.size("per_decade"))
    return (replace(_piece(part, Law.DIODE), curve=curve),)


def _motor(part: Part) -> tuple[Piece, ...]:
    if part.has("ohms"):
        return _plain(part)
    armature, runs_v, runs_a = part.size("armature"), part.size("volts"), part.size("amps")
    still, linear, square = (share * runs_a for share in TURNS_SHARE[part.choice("load")])
    curve = (runs_v - runs_a * armature, still, linear, square)
    return (replace(_piece(part, Law.MOTOR, ohm=armature), curve=curve),)


def _regulator(part: Part, role: str = "") -> Piece:
    limit_a = part.size("limit")
    return replace(
        _piece(part, Law.REGULATOR, role, ohm=part.size("inside")),
        emf_v=part.size("volts"),
        curve=(limit_a, REGULATOR_KNEE * limit_a),
        on_at=frozenset({ON, TURNING}),
    )


def _alternator(part: Part) -> tuple[Piece, ...]:
    output = _regulator(part, "output")
    if not part.end("lamp"):
        return (output,)
    ohm, lamp = part.size("lamp_ohms"), part.end("lamp")
    driver = _piece(part, Law.SWITCH, "lamp", (lamp, part.first), ohm)
    field = _piece(part, Law.SWITCH, "field", (part.second, lamp), ohm)
    return (
        output,
        replace(driver, on_at=frozenset({STILL})),
        replace(field, on_at=frozenset({TURNING})),
    )


def _supply(part: Part) -> tuple[Piece, ...]:
    return (_regulator(part),)


def _module(part: Part) -> tuple[Piece, ...]:
    ohm = part.size("ohms") if part.has("ohms") else part.size("volts") / part.size("draws")
    return (_piece(part, Law.RESISTOR, ohm=ohm),)


def _pull_up(part: Part) -> tuple[Piece, ...]:
    # From the module's ground to its pin: the plus of the source is its second terminal.
    return (replace(_piece(part, Law.SOURCE, ohm=part.size("ohms")), emf_v=-part.size("volts")),)


_MADE: Final[Mapping[Kind, Callable[[Part], tuple[Piece, ...]]]] = {
    Kind.BATTERY: _battery,
    Kind.FUSE: _fuse,
    Kind.LINK: _link,
    Kind.SWITCH: _switch,
    Kind.SELECTOR: _selector,
    Kind.RELAY: _relay,
    Kind.SOLENOID: _solenoid,
    Kind.LAMP: _lamp,
    Kind.LED: _led,
    Kind.DIODE: _diode,
    Kind.MOTOR: _motor,
    Kind.ALTERNATOR: _alternator,
    Kind.MODULE: _module,
    Kind.SUPPLY: _supply,
    Kind.PULL_UP: _pull_up,
    Kind.OUTPUT: _output,
}


def _pieces(part: Part) -> tuple[Piece, ...]:
    return _MADE.get(part.kind, _plain)(part)
