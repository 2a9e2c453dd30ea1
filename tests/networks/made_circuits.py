"""Circuits of a few parts, made for one question each, and the sheets that ship."""

from pathlib import Path

import witnessmark
from witnessmark.networks import BATTERY_MINUS, Circuit, Kind, Part, Point, State
from witnessmark.sheets.circuit import read_circuit

SHEETS = sorted((Path(witnessmark.__file__).parent / "examples/circuits").glob("*.toml"))
NEARLY_NOTHING_OHM = 1e-6  # of a source that a book draws without resistance


def sheet(name):
    """The circuit of a sheet that ships, by the name of its file."""
    (path,) = [path for path in SHEETS if path.stem == name]
    return read_circuit(path.read_text(encoding="utf-8"), path.name)


def circuit(*parts, states=None):
    """A circuit of parts; its points are what their ends are called, '0' the reference."""
    ends = [
        end
        for part in parts
        for end in (part.first, part.second, part.coil_first, part.coil_second)
        if end and end != BATTERY_MINUS
    ]
    points = [Point(letter=end, words=f"point {end}") for end in dict.fromkeys(ends)]
    return Circuit(
        name="made",
        source="made for a test",
        points=(Point(letter=BATTERY_MINUS, words="battery −"), *points),
        parts=parts,
        states=states or (state("on"),),
    )


def state(name, *closed, after=""):
    return State(name=name, words=name, closed=frozenset(closed), after=after)


def battery(emf_v, ohm=NEARLY_NOTHING_OHM, plus="A", minus=BATTERY_MINUS, name="BAT"):
    return Part(name=name, kind=Kind.BATTERY, first=plus, second=minus, emf_v=emf_v, ohm=ohm)


def resistor(name, first, second, ohm):
    return Part(name=name, kind=Kind.RESISTOR, first=first, second=second, ohm=ohm)


def switch(name, first, second, ohm=0.01):
    return Part(name=name, kind=Kind.SWITCH, first=first, second=second, ohm=ohm)


def fuse(name, first, second, rating_a, ohm=0.005):
    return Part(name=name, kind=Kind.FUSE, first=first, second=second, ohm=ohm, rating_a=rating_a)


def lamp(name, first, second, watts, volts=12.0):
    return Part(name=name, kind=Kind.LAMP, first=first, second=second, lamp_w=watts, lamp_v=volts)


def relay(name, first, second, coil, closes_at_rest=False):
    """A mini relay of 12 V, 85 Ω; `coil` names its two ends."""
    return Part(
        name=name,
        kind=Kind.RELAY,
        first=first,
        second=second,
        ohm=0.01,
        coil_first=coil[0],
        coil_second=coil[1],
        coil_ohm=85.0,
        pull_in_v=8.0,
        drop_out_v=1.5,
        closes_at_rest=closes_at_rest,
    )
