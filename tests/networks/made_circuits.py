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


def large_sheet(branches=7):
    """The text of a sheet of 7 parts a branch and two more: fuse, switch, relay, wire, plug, load,
    ground; every second load a lamp."""
    lines = [
        "[circuit]",
        f'name = "Made, {branches} branches"',
        'source = "made for a test"',
        "[points]",
        'A = "battery +"',
        'B = "fuse box"',
    ]
    parts = [
        ("BAT", "battery", 'plus = "A"\nminus = "battery −"\nemf = "12.6 V"\ninside = "0.015 ohm"'),
        ("W0", "wire", 'from = "A"\nto = "B"\nohms = "0.004 ohm"'),
    ]
    letters = iter(
        first + second for first in ("", "A", "B") for second in "CDEFGHJKLMNPQRSTUVWXYZ"
    )
    for at in range(branches):
        fused, fed, lit, plug, minus = (next(letters) for _ in range(5))
        loom = f"loom of load {at}"
        words = ("after fuse", "switched feed", "relay output", "plus of load", "minus of load")
        points = zip((fused, fed, lit, plug, minus), words, strict=True)
        lines += [f'{letter} = "{what} {at}"' for letter, what in points]
        load = (
            ("lamp", 'power = "55 W"\nvolts = "12 V"')
            if at % 2
            else ("motor", f'ohms = "{1.5 + 0.2 * at:.1f} ohm"')
        )
        parts += [
            (f"F{at}", "fuse", f'from = "B"\nto = "{fused}"\nohms = "0.004 ohm"\nrating = "20 A"'),
            (f"S{at}", "switch", f'from = "{fused}"\nto = "{fed}"\nohms = "0.01 ohm"'),
            (
                f"K{at}",
                "relay",
                f'from = "{fused}"\nto = "{lit}"\nohms = "0.01 ohm"\ncoil_from = "{fed}"\n'
                'coil_to = "battery −"\ncoil_ohms = "85 ohm"\n'
                'pulls_in = "8 V"\ndrops_out = "1.5 V"',
            ),
            (f"W{at + 1}", "wire", f'from = "{lit}"\nto = "{loom}"\nohms = "0.02 ohm"'),
            (f"C{at}", "connector", f'from = "{loom}"\nto = "{plug}"\nohms = "0.005 ohm"'),
            (f"M{at}", load[0], f'from = "{plug}"\nto = "{minus}"\n{load[1]}'),
            (f"G{at}", "ground", f'from = "{minus}"\nto = "battery −"\nohms = "0.003 ohm"'),
        ]
    for name, kind, rest in parts:
        lines += ["[[parts]]", f'name = "{name}"', f'kind = "{kind}"', rest]
    switches = ", ".join(f'"S{at}"' for at in range(branches))
    for name, closed, minutes in (("off", "", 0), ("on", switches, 1)):
        lines += ["[[states]]", f'name = "{name}"', f'words = "all {name}"']
        lines += [f"closed = [{closed}]", f"minutes = {minutes}"]
    for at in range(branches):
        for look in ("dead", "weak"):
            lines += ["[[complaints]]", f'key = "{look}{at}"', f'words = "Load {at} is {look}"']
            lines += [f'load = "M{at}"', 'state = "on"', f'looks = "{look}"']
    return "\n".join(lines) + "\n"
