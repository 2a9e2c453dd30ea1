"""One circuit with every kind of part, and the parts that take more than two ends."""

from networks.made_circuits import circuit, fuse, lamp, relay, resistor, state, switch
from networks.made_circuits import two_ends as part
from witnessmark.networks import (
    Kind,
    make_part,
)

BODY = "0"


def selector(name, ends, positions, ohm=0.01):
    return make_part(name, Kind.SELECTOR, ends, {"ohms": ohm}, positions=positions)


def solenoid(name="Y1", **more):
    sizes = {"ohms": 0.001, "pull_ohms": 0.35, "hold_ohms": 1.2, "pulls_in": 7.5, "drops_out": 2.5}
    ends = {"from": "A", "to": "M", "control": "S", "body": BODY}
    return make_part(name, Kind.SOLENOID, ends, sizes | more)


def alternator(lamp=""):
    ends = {"from": BODY, "to": "A", "lamp": lamp}
    return make_part("G1", Kind.ALTERNATOR, ends, {"volts": 14.2, "limit": 70.0})


def every_kind():
    """One circuit with every kind of part in it, and a state for every position."""
    return circuit(
        make_part("BAT", Kind.BATTERY, {"plus": "A", "minus": "0"}, {"charge": 90.0, "cca": 500.0}),
        alternator(lamp="L"),
        lamp("CHG", "B", "L", 2),
        part(Kind.LINK, "FL1", "A", "B", size=1.3, length=0.15),
        part(Kind.WIRE, "W1", "B", "C", size=2.5, length=2.0),
        fuse("F1", "C", "D", 15),
        selector(
            "S3", {"B": "D", "L": "E", "H": "F"}, {"off": (), "low": ("B-L",), "high": ("B-H",)}
        ),
        resistor("R1", "E", "F", 0.8),
        part(Kind.MOTOR, "M2", "F", "P", armature=0.5, volts=13.0, amps=8.0, load="fan"),
        part(Kind.GROUND, "G7", "P", BODY, ohms=0.003),
        switch("S1", "D", "T"),
        relay("K3", "C", "U", coil=("T", "V"), rest="X", across="diode"),
        part(Kind.OUTPUT, "OUT1", "V", BODY, ohms=0.2, limit=1.0),
        part(Kind.HEATER, "H1", "U", BODY, ohms=1.1),
        part(Kind.LED, "E1", "X", BODY, drop=2.0, ohms=470.0),
        part(Kind.DIODE, "D1", "T", "Y"),
        resistor("R2", "Y", BODY, 60.0),
        part(Kind.CONNECTOR, "C4", "D", "Z", ohms=0.005),
        part(Kind.SPLICE, "SP1", "Z", "AA", ohms=0.002),
        part(Kind.MODULE, "ECU", "AA", BODY, draws=0.4, volts=12.0),
        part(Kind.SUPPLY, "REG", BODY, "BB", volts=5.0, limit=0.2),
        part(Kind.PULL_UP, "PU1", BODY, "CC", volts=5.0, ohms=2200.0),
        resistor("R3", "BB", BODY, 100.0),
        part(Kind.SENDER, "SND", "CC", BODY, ohms=300.0),
        part(Kind.MOTOR, "M5", "AA", BODY, armature=1.0, volts=12.0, amps=3.0, load="steady"),
        states=(
            state("rest"),
            state("low", positions=(("S3", "low"),)),
            state("high", "S1", positions=(("S3", "high"), ("OUT1", "on"))),
            state("drive", "S1", positions=(("S3", "high"), ("OUT1", "on"), ("G1", "turning"))),
            state("empty", sizes=(("SND", 33.0),)),
        ),
    )
