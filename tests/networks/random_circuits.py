"""Circuits that nobody would build: parts of every sort thrown between a few points."""

from random import Random

from networks.made_circuits import (
    battery,
    circuit,
    fuse,
    lamp,
    relay,
    resistor,
    state,
    switch,
    two_ends,
    wire,
)
from witnessmark.networks import BATTERY_MINUS, Kind, make_part

SORTS = (
    *("resistor", "resistor", "lamp", "relay", "relay", "relay", "diode", "led"),
    *("motor", "switch", "selector", "wire", "fuse", "supply"),
)


def random_circuit(seed):
    """A circuit of up to 14 parts with one to five relays, in two states, the same for a seed."""
    dice = Random(seed)
    points = list("ABCDEFGH")[: dice.randint(4, 8)]
    every = [BATTERY_MINUS, *points]
    parts = [battery(12.6, ohm=dice.choice([0.02, 0.2]))]
    parts.append(fuse("F0", "A", dice.choice(points[1:]), dice.choice([5, 15, 30])))
    for number in range(1, dice.randint(6, 13)):
        parts.append(_part(dice, dice.choice(SORTS), number, every))
    switches = [part.name for part in parts if part.kind is Kind.SWITCH]
    where = {part.name: dice.choice(["one", "two"]) for part in parts if part.kind is Kind.SELECTOR}
    after = dice.choice(["first", ""])
    second = state("second", *switches, after=after, positions=tuple(where.items()))
    return circuit(*parts, states=(state("first"), second))


def _part(dice, sort, number, every):
    first, second = dice.sample(every, 2)
    name = f"{sort[0].upper()}{number}"
    match sort:
        case "resistor":
            return resistor(name, first, second, 10 ** dice.uniform(-2, 3))
        case "lamp":
            return lamp(name, first, second, dice.choice([1.2, 5, 21, 55]))
        case "relay":
            rest = dice.choice([point for point in every if point != first])
            return relay(
                name,
                first,
                second,
                dice.sample(every, 2),
                closes_at_rest=dice.random() < 0.2,
                rest=rest if dice.random() < 0.4 else "",
                across=dice.choice(["none", "diode", "resistor"]),
            )
        case "diode":
            return two_ends(Kind.DIODE, name, first, second)
        case "led":
            return two_ends(Kind.LED, name, first, second, ohms=500.0)
        case "motor":
            return two_ends(Kind.MOTOR, name, first, second, armature=0.3, amps=8.0, volts=12.0)
        case "switch":
            return switch(name, first, second)
        case "selector":
            return make_part(
                name,
                Kind.SELECTOR,
                {"B": first, "L": second, "R": dice.choice(every)},
                {"ohms": 0.01},
                positions={"one": ["B-L"], "two": ["B-R", "L-R"]},
            )
        case "wire":
            return wire(name, first, second, 10 ** dice.uniform(-3, -1))
        case "fuse":
            return fuse(name, first, second, dice.choice([3, 10]))
        case "supply":
            return two_ends(Kind.SUPPLY, name, first, second, volts=5.0, limit=0.5)
    raise AssertionError(sort)
