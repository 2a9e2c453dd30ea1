"""Circuits of a few parts, made for one question each, and the sheets that ship."""

from pathlib import Path

import witnessmark
from witnessmark.networks import BATTERY_MINUS, Circuit, Kind, Point, State, make_part
from witnessmark.sheets.circuit import read_circuit

SHEETS = sorted((Path(witnessmark.__file__).parent / "examples/circuits").glob("*.toml"))
NEARLY_NOTHING_OHM = 1e-6  # of a source that a book draws without resistance


def sheet(name):
    """The circuit of a sheet that ships, by the name of its file."""
    (path,) = [path for path in SHEETS if path.stem == name]
    return read_circuit(path.read_text(encoding="utf-8"), path.name)


def circuit(*parts, states=None, **more):
    """A circuit of parts; its points are what their ends are called, '0' the reference."""
    ends = [end for part in parts for _, end in part.ends if end != BATTERY_MINUS]
    points = [Point(letter=end, words=f"point {end}") for end in dict.fromkeys(ends)]
    return Circuit(
        name="made",
        source="made for a test",
        points=(Point(letter=BATTERY_MINUS, words="battery −"), *points),
        parts=parts,
        states=states or (state("on"),),
        **more,
    )


def state(name, *closed, after="", **more):
    return State(name=name, words=name, closed=frozenset(closed), after=after, **more)


def battery(emf_v, ohm=NEARLY_NOTHING_OHM, plus="A", minus=BATTERY_MINUS, name="BAT"):
    ends = {"plus": plus, "minus": minus}
    return make_part(name, Kind.BATTERY, ends, {"emf": emf_v, "inside": ohm})


def two_ends(kind, name, first, second, **sizes):
    """A part between two points, with its sizes."""
    choices = {key: sizes.pop(key) for key in list(sizes) if isinstance(sizes[key], str)}
    return make_part(name, kind, {"from": first, "to": second}, sizes, choices=choices)


def resistor(name, first, second, ohm):
    return two_ends(Kind.RESISTOR, name, first, second, ohms=ohm)


def wire(name, first, second, ohm):
    return two_ends(Kind.WIRE, name, first, second, ohms=ohm)


def switch(name, first, second, ohm=0.01):
    return two_ends(Kind.SWITCH, name, first, second, ohms=ohm)


def fuse(name, first, second, rating_a, ohm=0.005):
    return two_ends(Kind.FUSE, name, first, second, ohms=ohm, rating=rating_a)


def lamp(name, first, second, watts, volts=12.0):
    return two_ends(Kind.LAMP, name, first, second, power=watts, volts=volts)


def relay(name, first, second, coil, closes_at_rest=False, rest="", across="none"):
    """A mini relay of 12 V, 85 Ω; `coil` names its two ends."""
    return make_part(
        name,
        Kind.RELAY,
        {"from": first, "to": second, "rest": rest, "coil_from": coil[0], "coil_to": coil[1]},
        {"ohms": 0.01, "coil_ohms": 85.0, "pulls_in": 8.0, "drops_out": 1.5},
        choices={"rests": "closed" if closes_at_rest else "open", "across": across},
    )
