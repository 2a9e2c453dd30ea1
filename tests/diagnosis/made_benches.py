"""Made circuits of a few branches, by number: fused feeds, switches, relays, lamps, motors."""

import numpy as np

from witnessmark.networks import (
    Circuit,
    Complaint,
    Kind,
    Look,
    Part,
    Point,
    State,
    make_part,
)

LETTERS = [first + second for first in ("", "A", "B") for second in "ABCDEFGHJKLMNPQRSTUVWXYZ"]


class _Sheet:
    """Points and parts as they are added."""

    def __init__(self, random) -> None:
        self.random = random
        self.points = [Point(letter="0", words="battery −")]
        self.parts: list[Part] = []
        self.letters = iter(LETTERS)

    def point(self, words, lettered=True):
        letter = next(self.letters) if lettered else ""
        minutes = float(self.random.choice([1, 2, 2, 3, 4]))
        self.points.append(Point(letter=letter, words=words, access_min=minutes))
        return letter or words

    def add(self, name, kind, first, second, **more):
        if kind is not Kind.LAMP:
            ohm = float(np.round(self.random.uniform(0.002, 0.02), 4))
            more.setdefault("inside" if kind is Kind.BATTERY else "ohms", ohm)
        ends = ("plus", "minus") if kind is Kind.BATTERY else ("from", "to")
        where = dict(zip(ends, (first, second), strict=True))
        where |= {key: more.pop(key) for key in ("coil_from", "coil_to") if key in more}
        self.parts.append(make_part(name, kind, where, more))


def made(number, branches=2):
    """A circuit of some branches; the same number gives the same circuit."""
    random = np.random.default_rng(number)
    sheet = _Sheet(random)
    plus, box = sheet.point("battery +"), sheet.point("fuse box")
    sheet.add("BAT", Kind.BATTERY, plus, "0", emf=12.6, inside=0.015)
    sheet.add("W0", Kind.WIRE, plus, box)
    shared = sheet.point("shared ground")
    sheet.add("G0", Kind.GROUND, shared, "0")
    complaints, switches = [], []
    for branch in range(branches):
        load = _branch(sheet, branch, box, shared)
        switches.append(f"S{branch}")
        for look in (Look.DEAD, Look.WEAK):
            complaints.append(
                Complaint(
                    key=f"{look.value}{branch}",
                    words=f"{load} is {look.value}",
                    load=load,
                    state="on",
                    looks=look,
                )
            )
    return Circuit(
        name=f"made {number}",
        source="made for a test",
        points=tuple(sheet.points),
        parts=tuple(sheet.parts),
        states=(
            State(name="off", words="all switched off", closed=frozenset(), setup_min=0.0),
            State(name="on", words="all switched on", closed=frozenset(switches)),
        ),
        complaints=tuple(complaints),
    )


def _branch(sheet, number, box, shared):
    random = sheet.random
    fused, switched = sheet.point(f"after fuse F{number}"), sheet.point(f"after switch S{number}")
    sheet.add(f"F{number}", Kind.FUSE, box, fused, rating=20.0)
    sheet.add(f"S{number}", Kind.SWITCH, fused, switched)
    fed = switched
    if random.random() < 0.5:
        fed = sheet.point(f"relay K{number}, 87")
        sheet.add(
            f"K{number}", Kind.RELAY, fused, fed, coil_from=switched, coil_to="0",
            coil_ohms=85.0, pulls_in=8.0, drops_out=1.5,
        )  # fmt: skip
    loom = sheet.point(f"loom {number}", lettered=random.random() < 0.5)
    plug, minus = sheet.point(f"load {number} +"), sheet.point(f"load {number} −")
    sheet.add(f"W{number + 1}", Kind.WIRE, fed, loom)
    sheet.add(f"C{number}", Kind.CONNECTOR, loom, plug)
    if random.random() < 0.5:
        name = f"M{number}"
        sheet.add(name, Kind.MOTOR, plug, minus, ohms=float(random.uniform(1.2, 2.5)))
    else:
        name = f"L{number}"
        sheet.add(name, Kind.LAMP, plug, minus, power=55.0, volts=12.0)
    if random.random() < 0.5:
        sheet.add(f"X{number}", Kind.WIRE, minus, shared)
    else:
        sheet.add(f"G{number + 1}", Kind.GROUND, minus, "0")
    return name
