"""Parts of a circuit sheet: what each kind is told in, and the values that follow."""

from collections.abc import Callable, Mapping
from typing import Any, Final

from witnessmark.errors import BenchError
from witnessmark.networks import TEST_LAMP, Kind, Part, awg_area_mm2, wire_resistance
from witnessmark.networks.battery import inner_resistance, rest_voltage
from witnessmark.quantities import parse
from witnessmark.sheets.circuit_points import PointBook
from witnessmark.sheets.entry import Entry

# What a vehicle can hold, and what the solver's digits can: a smaller or greater value is a
# slip of the pen.
LEAST_OHM: Final = 1e-6
MOST_OHM: Final = 1e8
MOST_V: Final = 1000.0
MOST_A: Final = 5000.0
MOST_W: Final = 10_000.0
MOST_M: Final = 200.0
_SIGNS: Final = ".:="
COLDEST_C: Final = -60.0
HOTTEST_C: Final = 200.0
Values = dict[str, Any]


def read_part(entry: Entry, points: PointBook, temperature_c: float) -> Part | None:
    """Return the part of one table, its ends named by the author's words; None after a mistake.

    Parameters
    ----------
    entry
        The table.
    points
        The points of the sheet; the ends of the part are entered there.
    temperature_c
        Temperature of a wire that gives none. [°C]

    Returns
    -------
    Part or None
        The part.
    """
    name = entry.words("name")
    if name == TEST_LAMP or any(sign in name for sign in _SIGNS):
        entry.note(
            "name",
            f"A part is called '{name}'.",
            "A name has no dot, colon or equals sign, as K3.coil and G7:open mean something else.",
            "Give it the name that stands in the wiring diagram, without them.",
        )
    kinds = [kind.value for kind in Kind]
    kind_text = entry.words("kind")
    if kind_text not in kinds:
        if kind_text:
            entry.note(
                "kind",
                f"{name or entry.name} is of the kind '{kind_text}'.",
                f"Known kinds: {', '.join(kinds)}.",
                "Write one of these.",
            )
        return None
    kind = Kind(kind_text)
    read = _READ.get(kind, _plain)
    rate = entry.size("rate", "", most=1000.0) if "rate" in entry.data else None
    return entry.make(
        Part,
        name=name,
        kind=kind,
        words=entry.words("words", ""),
        rate=rate,
        **(_wire(entry, points, temperature_c) if kind is Kind.WIRE else read(entry, points)),
    )


def _ohms(entry: Entry, key: str = "ohms") -> float:
    return entry.size(key, "Ω", least=LEAST_OHM, most=MOST_OHM)


def _volts(entry: Entry, key: str) -> float:
    return entry.size(key, "V", least=0.01, most=MOST_V)


def _ends(entry: Entry, points: PointBook) -> Values:
    return {"first": points.end(entry, "from"), "second": points.end(entry, "to")}


def _plain(entry: Entry, points: PointBook) -> Values:
    return {**_ends(entry, points), "ohm": _ohms(entry)}


def _fuse(entry: Entry, points: PointBook) -> Values:
    rating_a = entry.size("rating", "A", least=0.1, most=MOST_A)
    return {**_plain(entry, points), "rating_a": rating_a}


def _lamp(entry: Entry, points: PointBook) -> Values:
    return {
        **_ends(entry, points),
        "lamp_w": entry.size("power", "W", least=0.01, most=MOST_W),
        "lamp_v": _volts(entry, "volts"),
    }


def _relay(entry: Entry, points: PointBook) -> Values:
    pulls_v, drops_v = _volts(entry, "pulls_in"), _volts(entry, "drops_out")
    if drops_v >= pulls_v:
        entry.note(
            "drops_out",
            f"{entry.name} drops out at {drops_v:g} V and pulls in at {pulls_v:g} V.",
            "A relay drops out at fewer volts than it pulls in.",
            "Check which is which.",
        )
    return {
        **_plain(entry, points),
        "coil_first": points.end(entry, "coil_from"),
        "coil_second": points.end(entry, "coil_to"),
        "coil_ohm": _ohms(entry, "coil_ohms"),
        "pull_in_v": pulls_v,
        "drop_out_v": drops_v,
        "closes_at_rest": entry.one_of("rests", ("open", "closed"), "open") == "closed",
    }


def _battery(entry: Entry, points: PointBook) -> Values:
    ends = {"first": points.end(entry, "plus"), "second": points.end(entry, "minus")}
    if "charge" not in entry.data:
        return {**ends, "emf_v": _volts(entry, "emf"), "ohm": _ohms(entry, "inside")}
    charge = entry.size("charge", "%", most=100.0)
    cranking_a = entry.size("cca", "A", least=1.0, most=MOST_A)
    _not_both(entry, "charge", ("emf", "inside"))
    values = {"charge": charge, "emf_v": rest_voltage(charge)}
    return {**ends, **values, "ohm": inner_resistance(cranking_a, charge)}


def _wire(entry: Entry, points: PointBook, temperature_c: float) -> Values:
    if "ohms" in entry.data:
        _not_both(entry, "ohms", ("size", "length", "temperature"))
        return _plain(entry, points)
    length_m = entry.size("length", "m", least=0.01, most=MOST_M)
    own_c = entry.size("temperature", "°C", temperature_c, least=COLDEST_C, most=HOTTEST_C)
    size = entry.words("size")
    ends = _ends(entry, points)
    if not (size and entry.is_good):
        return ends
    try:
        typed = parse(size, "mm²")
        area = awg_area_mm2(round(typed.value)) if typed.unit == "AWG" else typed.to("mm²")
        return {**ends, "ohm": wire_resistance(length_m, area, own_c)}
    except BenchError as error:
        entry.note("size", error.found, error.needed, error.do)
        return ends


def _not_both(entry: Entry, key: str, others: tuple[str, ...]) -> None:
    for other in others:
        if other in entry.data:
            entry.take(other, (str, int, float), "left out")
            entry.note(
                other,
                f"{entry.name} has both '{key}' and '{other}'.",
                "One value follows from the other.",
                f"Take '{other}' or '{key}' out.",
            )


_READ: Final[Mapping[Kind, Callable[[Entry, PointBook], Values]]] = {
    Kind.BATTERY: _battery,
    Kind.FUSE: _fuse,
    Kind.LAMP: _lamp,
    Kind.RELAY: _relay,
}
