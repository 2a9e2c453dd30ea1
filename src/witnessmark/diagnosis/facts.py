"""What a crew meets on a circuit: points and parts with access, and what would do harm."""

from collections.abc import Mapping
from functools import lru_cache
from typing import Final

from witnessmark.diagnosis.dictionary import PartPlace, Place
from witnessmark.networks import Circuit, Kind, Part, Piece, pieces_of
from witnessmark.networks.circuit import BATTERY_MINUS, HIGH_V, HIGH_VOLTAGE, RESTRAINT
from witnessmark.networks.faults import BLOWN, COIL_OPEN, HIGH, OPEN, SHORT, STUCK_OPEN, Fault
from witnessmark.networks.pieces import wire_ohm

DEFAULT_MINUTES: Final = 2.0  # to a part none of whose terminals has a letter
COLD_LAMP: Final = 12.0  # hot over cold resistance; pages say 10 and 15 (seen)
JOINTS: Final = frozenset({Kind.CONNECTOR, Kind.SPLICE, Kind.GROUND})
WIRES: Final = frozenset({Kind.WIRE})
SWITCHES: Final = frozenset({Kind.SWITCH, Kind.RELAY, Kind.SELECTOR, Kind.SOLENOID})
WATCHED: Final = frozenset({Kind.LAMP, Kind.LED, Kind.MOTOR})  # seen or heard at once
SWAPPED: Final = frozenset({Kind.FUSE, Kind.RELAY, Kind.LAMP})
BRIDGED: Final = JOINTS | WIRES | frozenset({Kind.SWITCH, Kind.RELAY})
PROTECTORS: Final = frozenset({Kind.FUSE, Kind.LINK})
SOURCES: Final = frozenset({Kind.BATTERY, Kind.ALTERNATOR, Kind.SUPPLY, Kind.PULL_UP})
MODULES: Final = frozenset({Kind.MODULE, Kind.SUPPLY, Kind.PULL_UP, Kind.OUTPUT, Kind.SENDER})
MEASURED: Final = WIRES | PROTECTORS | frozenset({Kind.SWITCH, Kind.RELAY, Kind.LAMP, Kind.SENDER})
MEASURED_LOADS: Final = frozenset({Kind.RESISTOR, Kind.HEATER})


def hazard_words(circuit: Circuit, qualified: str = "") -> str:
    """Return why nobody in the class may test this circuit; empty where they may.

    Parameters
    ----------
    circuit
        The circuit.
    qualified
        Who is qualified to take over, by name; empty where the shop has named nobody.
    """
    who = qualified or "the person whom the school has named as qualified"
    if circuit.hazard == RESTRAINT:
        return (
            f"Stop: {circuit.name} is a restraint circuit, and a test current can fire it. "
            f"Touch nothing. {who[0].upper()}{who[1:]} takes over, by the vehicle maker's "
            "service information."
        )
    if circuit.hazard == HIGH_VOLTAGE:
        volts = f"{circuit.supply_v:g} V" if circuit.supply_v > HIGH_V else HIGH_VOLTAGE
        return (
            f"Stop: {circuit.name} carries {volts}, and more than {HIGH_V:g} V DC can kill. "
            f"Touch nothing. {who[0].upper()}{who[1:]} takes over, by the vehicle maker's "
            "service information."
        )
    return ""


def part_at_fault(circuit: Circuit, suspect: str) -> Part | None:
    """Return the part that a suspect names; of two at once the first; None for 'something else'.

    Parameters
    ----------
    circuit
        The circuit.
    suspect
        Key of a suspect: "G7:high", "S3.B-L:stuck-open", "G7:high + F12:high".
    """
    return next(iter(parts_at_fault(circuit, suspect)), None)


def parts_at_fault(circuit: Circuit, suspect: str) -> tuple[Part, ...]:
    """Return the parts that a suspect names; none for 'something else'.

    Parameters
    ----------
    circuit
        The circuit.
    suspect
        Key of a suspect, as for `part_at_fault`.
    """
    parts = {part.name: part for part in circuit.parts}
    pieces = [fault.rpartition(":")[0] for fault in suspect.split(" + ")]
    found = [parts.get(piece) or parts.get(piece.rpartition(".")[0]) for piece in pieces]
    return tuple(part for part in found if part is not None)


def places(circuit: Circuit) -> tuple[Place, ...]:
    """Return the points that a probe can reach.

    Parameters
    ----------
    circuit
        The circuit.
    """
    fragile = _fragile_points(circuit)
    return tuple(
        Place(
            letter=point.letter,
            words=point.said,
            minutes=point.access_min,
            no_lamp=fragile.get(point.key, ""),
        )
        for point in circuit.lettered
    )


@lru_cache(maxsize=16)
def part_places(circuit: Circuit) -> tuple[PartPlace, ...]:
    """Return the parts as a crew meets them.

    Parameters
    ----------
    circuit
        The circuit.
    """
    letters = {point.key: point.letter for point in circuit.points[1:] if point.letter}
    minutes = {point.key: point.access_min for point in circuit.points}
    complained = {complaint.load for complaint in circuit.complaints}
    found = []
    for part in circuit.parts:
        ends = ends_of(circuit, part.name)
        kind = part.kind
        reached = [minutes[end] for end in ends if end in letters]
        found.append(
            PartPlace(
                name=part.name,
                words=part.words,
                kind=str(kind),
                letters=tuple(letters[end] for end in ends if end in letters),
                minutes=min(reached, default=DEFAULT_MINUTES),
                ohm=own_ohm(part),
                may_clamp=kind in WIRES,
                may_wiggle=kind in JOINTS | WIRES | SWITCHES,
                may_swap=kind in SWAPPED,
                may_watch=kind in WATCHED or part.name in complained,
                no_jumper=_no_jumper(part, ends, letters),
            )
        )
    return tuple(found)


def own_ohm(part: Part, fault: Fault | None = None) -> float:
    """Return the resistance of a part by itself, with or without a fault of its own.

    Parameters
    ----------
    part
        The part.
    fault
        A fault of this part.

    Returns
    -------
    float
        Infinite where it is open; NaN where an ohmmeter tells nothing. [Ω]

    Notes
    -----
    Of a relay it is the coil; of a lamp the cold filament, about a twelfth of the hot one. A
    motor at rest has another resistance than one that turns, so it is left out; so are joints,
    which cannot be taken off to be measured.
    """
    if part.kind not in MEASURED | MEASURED_LOADS:
        return float("nan")
    coil = part.kind is Kind.RELAY
    if coil:
        ohm = part.size("coil_ohms")
    elif part.kind is Kind.LAMP:
        ohm = part.size("volts") ** 2 / part.size("power") / COLD_LAMP
    else:
        ohm = wire_ohm(part)
    if fault is None:
        return ohm
    if fault.mode == SHORT and fault.value is not None:
        return fault.value
    if fault.mode == COIL_OPEN or (fault.mode in (OPEN, BLOWN, STUCK_OPEN) and not coil):
        return float("inf")
    if fault.mode == HIGH and fault.value is not None and not coil:
        return ohm + fault.value
    return ohm


def spans(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    """Return the pairs of letters between which something lies that can be measured under load.

    Parameters
    ----------
    circuit
        The circuit.

    Notes
    -----
    Two letters make a pair if one can walk from one to the other through points without a letter;
    the battery's negative post is no partner here, since plain volts are to it.
    """
    around: dict[str, set[str]] = {}
    for piece in pieces_of(circuit):
        around.setdefault(piece.first, set()).add(piece.second)
        around.setdefault(piece.second, set()).add(piece.first)
    letters = {point.key for point in circuit.lettered}
    found: dict[tuple[str, str], None] = {}
    for letter in (point.letter for point in circuit.lettered):
        seen, waiting = {letter}, [letter]
        while waiting:
            for other in around.get(waiting.pop(), set()):
                if other in letters and other not in seen:
                    pair = (letter, other) if letter < other else (other, letter)
                    found.setdefault(pair)
                elif other not in seen and other != BATTERY_MINUS:
                    waiting.append(other)
                seen.add(other)
    return tuple(sorted(found))


def ends_of(circuit: Circuit, part: str) -> tuple[str, ...]:
    """Return the keys of a part's points, those of its contact first.

    Parameters
    ----------
    circuit
        The circuit.
    part
        Name of the part.
    """
    return _all_ends(circuit)[part]


@lru_cache(maxsize=8)
def _all_ends(circuit: Circuit) -> Mapping[str, tuple[str, ...]]:
    """Keys of the points of each part, contact first, coil after."""
    ends: dict[str, dict[str, None]] = {}
    pieces: list[Piece] = sorted(pieces_of(circuit), key=lambda piece: piece.name.endswith(".coil"))
    for piece in pieces:
        ends.setdefault(piece.part, {}).update({piece.first: None, piece.second: None})
    return {part: tuple(points) for part, points in ends.items()}


def _no_jumper(part: Part, ends: tuple[str, ...], letters: Mapping[str, str]) -> str:
    kind = part.kind
    if kind in PROTECTORS:
        return (
            f"A jumper round {part.label} takes the protection away. Fit a good one of the same "
            "rating instead."
        )
    if kind in SOURCES:
        return f"A jumper round {part.label} is a short circuit. Measure its volts instead."
    if kind not in BRIDGED:
        return (
            f"A jumper round {part.label} would put the whole supply across the wires: it is a "
            "load. Measure volts across it instead."
        )
    out_of_reach = [end for end in ends[:2] if end not in letters and end != BATTERY_MINUS]
    if out_of_reach:
        return f"A probe reaches only one end of {part.label}. Bridge it between its two ends only."
    return ""


def _fragile_points(circuit: Circuit) -> dict[str, str]:
    """Return the points on a module's own line, with the reason why no bulb may touch them."""
    at: dict[str, list[Piece]] = {}
    for piece in pieces_of(circuit):
        at.setdefault(piece.first, []).append(piece)
        at.setdefault(piece.second, []).append(piece)
    kinds = {part.name: part.kind for part in circuit.parts}
    posts = {
        end
        for part in circuit.parts
        if part.kind is Kind.BATTERY
        for end in ends_of(circuit, part.name)
    }
    fragile: dict[str, str] = {}
    for part in circuit.parts:
        if part.kind not in MODULES:
            continue
        why = (
            f"A test lamp draws a quarter of an ampere through {part.label}, which can hurt a "
            "control module. Use a meter there."
        )
        waiting = [end for end in ends_of(circuit, part.name) if end not in posts]
        while waiting:
            point = waiting.pop()
            fragile.setdefault(point, why)
            for piece in at[point]:
                other = piece.second if piece.first == point else piece.first
                plain = kinds[piece.part] in WIRES | JOINTS
                if plain and other not in posts and other not in fragile and len(at[other]) <= 2:
                    waiting.append(other)
    return fragile
