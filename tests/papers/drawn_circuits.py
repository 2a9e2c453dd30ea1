"""Circuits to draw: the ones that ship, and some made for the drawing, all invented."""

from functools import cache
from importlib import resources
from xml.etree import ElementTree

from witnessmark.networks import Circuit, Kind, Part, Point, State
from witnessmark.sheets.circuit import read_circuit

SHEETS = sorted(
    (
        sheet
        for sheet in resources.files("witnessmark.examples").joinpath("circuits").iterdir()
        if sheet.name.endswith(".toml")
    ),
    key=lambda sheet: sheet.name,
)


def part(name, kind, *ends, words="", positions=(), sizes=(), choices=()):
    """A part as the drawing needs it: what it is called, and where its terminals lie."""
    return Part(
        name=name,
        kind=kind,
        ends=tuple(ends),
        sizes=tuple(sizes),
        choices=tuple(choices),
        positions=tuple(positions),
        words=words,
    )


def two(name, kind, first, second, words="", **more):
    return part(name, Kind(kind), ("from", first), ("to", second), words=words, **more)


def battery(plus="A", minus="0", name="BAT"):
    return part(name, Kind.BATTERY, ("plus", plus), ("minus", minus))


def relay(name, first, second, coil, rest="", words="", across="none"):
    ends = [("from", first), ("to", second)]
    ends += [("rest", rest)] if rest else []
    ends += [("coil_from", coil[0]), ("coil_to", coil[1])]
    choices = (("rests", "open"), ("across", across))
    return part(name, Kind.RELAY, *ends, words=words, choices=choices)


def circuit(name, *parts):
    """A circuit whose points are what the ends are called; one or two capitals are letters."""
    ends = dict.fromkeys(end for one in parts for _, end in one.ends if end != "0")
    points = [
        Point(letter=end if len(end) <= 2 and end.isupper() else "", words=f"at {end}")
        for end in ends
    ]
    points = [
        point if point.letter else Point(letter="", words=end)
        for point, end in zip(points, ends, strict=True)
    ]
    return Circuit(
        name=name,
        source="made for a test",
        points=(Point(letter="0", words="battery −"), *points),
        parts=tuple(parts),
        states=(State(name="on", words="on"),),
    )


def chain(first, second, *kinds):
    """Parts in series between two points: name, kind and words of each."""
    inner = [f"inside {first} to {second}, {at}" for at in range(1, len(kinds))]
    ends = [first, *inner, second]
    return [
        two(name, kind, one, other, words)
        for (name, kind, words), one, other in zip(kinds, ends, ends[1:], strict=False)
    ]


def body():
    """51 parts: lamps, blower, wiper, gauges, an ignition relay."""
    return circuit(
        "body",
        battery(),
        *chain("A", "B", ("T30", "connector", ""), ("CAB", "wire", "battery cable")),
        two("F_IGN", "fuse", "B", "F", "15 A"),
        two("IGN", "switch", "F", "G", "ignition switch"),
        two("W_I", "wire", "G", "H"),
        relay("IRLY", "B", "K", ("H", "J"), words="ignition relay"),
        two("G_IR", "ground", "J", "0"),
        two("X_IB", "connector", "K", "L", "body plug"),
        two("F_GAU", "fuse", "L", "M", "7.5 A"),
        two("L_OIL", "lamp", "M", "N", "oil tell-tale"),
        two("S_OIL", "switch", "N", "P", "oil pressure switch"),
        two("R_STAB", "resistor", "M", "Q", "12 Ω"),
        two("GA_T", "resistor", "Q", "R", "temperature gauge"),
        two("S_T", "sender", "R", "P", "temperature sender"),
        two("GA_F", "resistor", "Q", "S", "fuel gauge"),
        two("S_F", "sender", "S", "T", "fuel sender"),
        two("G_F", "ground", "T", "0", "tank ground"),
        two("STRAP", "ground", "P", "0", "engine strap"),
        two("R_GC", "resistor", "Q", "U", "110 Ω"),
        two("F_WIP", "fuse", "L", "V", "15 A"),
        two("WSW", "switch", "V", "W", "wiper switch"),
        two("X_WIP", "connector", "W", "X"),
        two("M_WIP", "motor", "X", "Y", "wiper"),
        two("G_WIP", "wire", "Y", "U"),
        two("F_BLW", "fuse", "L", "Z", "30 A"),
        part(
            "BSW",
            Kind.SELECTOR,
            ("B", "Z"),
            ("H", "AA"),
            ("L", "AD"),
            positions=(("off", ()), ("low", ("B-L",)), ("high", ("B-H",))),
            words="blower switch",
        ),
        two("R_BLW", "resistor", "AD", "AA", "1.2 Ω"),
        two("W_BLW", "wire", "AA", "AB"),
        two("M_BLW", "motor", "AB", "U", "blower"),
        two("D_SUP", "diode", "AC", "AB", "across the blower"),
        two("G_SUP", "wire", "AC", "U"),
        two("G_A", "ground", "U", "0", "dash ground"),
        two("F_LT", "fuse", "B", "AH", "15 A"),
        two("LSW", "switch", "AH", "AJ", "light switch"),
        two("W_LT", "wire", "AJ", "AE"),
        two("SL_R", "lamp", "AE", "U", "5 W"),
        two("R_DIM", "resistor", "AE", "AF", "dimmer"),
        two("L_DASH", "lamp", "AF", "U", "dash lamps"),
        two("W_TL", "wire", "AE", "AK", "to the tail"),
        two("TL_L", "lamp", "AK", "AG", "tail left"),
        two("TL_R", "lamp", "AK", "AG", "tail right"),
        two("SL_L", "lamp", "AE", "AG", "5 W"),
        two("F_BRK", "fuse", "B", "AM", "15 A"),
        two("BRK", "switch", "AM", "AN", "brake switch"),
        two("W_BRK", "wire", "AN", "AL"),
        two("BL_L", "lamp", "AL", "AG", "21 W"),
        two("BL_R", "lamp", "AL", "AG", "21 W"),
        two("LP_N", "lamp", "AN", "AP", "number plate"),
        two("G_N", "ground", "AP", "0", "rear panel"),
        two("G_B", "ground", "AG", "0", "tail ground"),
    )


def cranking():
    """A solenoid with two windings behind a relay, as on a tractor."""
    return circuit(
        "cranking",
        battery(),
        two("CAB", "wire", "A", "B", "starter cable"),
        part(
            "SOL",
            Kind.SOLENOID,
            ("from", "B"),
            ("to", "E"),
            ("control", "F"),
            ("body", "D"),
            words="starter solenoid",
        ),
        two("MOT", "motor", "E", "D", "starter"),
        two("G_ENG", "ground", "D", "0", "engine ground"),
        two("W_FL", "fusible link", "B", "G", "feed"),
        two("F2", "fuse", "G", "J", "50 A"),
        relay("RLY", "J", "L", ("S", "T"), words="starter relay", across="diode"),
        two("W_87", "wire", "L", "F"),
        two("F1", "fuse", "G", "M", "30 A"),
        two("IGN", "switch", "M", "P", "key at start"),
        two("NSW", "switch", "P", "S", "neutral switch"),
        two("G_RLY", "ground", "T", "0"),
    )


def charging():
    """An alternator with its tell-tale, and a module that feeds a sensor."""
    return circuit(
        "charging",
        battery(),
        part("ALT", Kind.ALTERNATOR, ("from", "E"), ("to", "B"), ("lamp", "D")),
        two("W_B", "wire", "B", "A", "output cable"),
        two("F1", "fuse", "A", "C", "10 A"),
        two("L1", "lamp", "C", "D", "charge tell-tale"),
        two("G1", "ground", "E", "0", "engine strap"),
        two("ECU", "module", "C", "0", "control unit"),
        two("V5", "supply", "0", "H", "sensor feed"),
        two("SEN", "sender", "H", "J", "level sender"),
        two("W_S", "wire", "J", "0"),
        two("PU", "pull-up", "0", "K", "input"),
        two("S9", "switch", "K", "0", "door switch"),
        two("OUT", "output", "A", "L", "lamp output"),
        two("LED1", "LED", "L", "0", "reading lamp"),
        two("H1", "heater", "A", "0", "seat heater"),
        two("SP1", "splice", "A", "M"),
        two("L2", "lamp", "M", "0", "side lamp"),
    )


def reversing():
    """Two changeover relays turn a motor either way: no ladder of single ways."""
    return circuit(
        "reversing",
        battery(),
        two("F1", "fuse", "A", "B", "25 A"),
        relay("K1", "D", "B", ("F", "0"), rest="C", words="out"),
        relay("K2", "E", "B", ("G", "0"), rest="C", words="in"),
        two("M1", "motor", "D", "E", "winch"),
        two("G1", "ground", "C", "0"),
        two("S1", "switch", "B", "F", "out"),
        two("S2", "switch", "B", "G", "in"),
    )


def crossed():
    """Two lamps and two switches, each with each, and each fed: no flat drawing has room for it."""
    feeds = [two(f"F{at}", "fuse", "A", end, "5 A") for at, end in enumerate("BCD", 1)]
    lamps = [two(f"L{one}{other}", "lamp", one, other, "lamp") for one in "BCD" for other in "EFG"]
    grounds = [two(f"G{at}", "ground", end, "0") for at, end in enumerate("EFG", 1)]
    return circuit("crossed", battery(), *feeds, *lamps, *grounds)


def begun():
    """A sheet half typed in: no battery, open ends, parts that nothing joins."""
    return circuit(
        "begun",
        part("F1", Kind.FUSE, ("from", "A"), words="20 A"),
        two("S1", "switch", "B", "C"),
        two("L1", "lamp", "C", "D"),
        part("K1", Kind.RELAY, ("from", "C"), ("coil_to", "D"), choices=(("rests", "open"),)),
        part("X1", Kind.CONNECTOR),
        two("W1", "wire", "E", "E"),
    )


LONG = {
    "BAT": "Starter battery",
    "F12": "Fuse of the blower",
    "W1": "Feed wire of the blower on the left",
    "W2": "Feed wire of the blower on the right",
    "C4": "Connector_between_loom_and_blower",
    "Fan": "Blowermotorwithoutanyspace",
    "S9": "Splice of every ground behind the dash, the left one of two, as its sheet has it",
    "G7": "Splice of every ground behind the dash, the right one of two, as its sheet has it",
}


def long_names():
    """The fan with parts and points called by many words, two of which differ late or midway."""
    (sheet,) = [one for one in SHEETS if one.name == "fan.toml"]
    text = sheet.read_text(encoding="utf-8")
    for short, long in LONG.items():
        text = text.replace(f'"{short}"', f'"{long}"')
    text = text.replace('"motor +"', '"plug of the left blower, its red wire"')
    text = text.replace('"motor −"', '"plug of the left blower, its brown wire"')
    text = text.replace('"relay 87"', '"relay 87, behind the glove box of the cab"')
    return read_circuit(text, "long_names")


MADE = {
    made.__name__: made
    for made in (body, cranking, charging, reversing, crossed, begun, long_names)
}


@cache
def drawn_circuit(name):
    """One of them by name: the file's, or one of those made here."""
    if name in MADE:
        return MADE[name]()
    (sheet,) = [one for one in SHEETS if one.name == name]
    return read_circuit(sheet.read_text(encoding="utf-8"), name)


NAMES = [*(sheet.name for sheet in SHEETS), *MADE]


def names_in(svg):
    """Every text of a drawing; a name in several lines as the whole."""
    elements = ElementTree.fromstring(svg).iter()
    return {text for one in elements for text in (one.text, one.get("data-of")) if text}
