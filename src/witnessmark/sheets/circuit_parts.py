"""Parts of a circuit sheet: read by the form of their kind."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from witnessmark.errors import BenchError
from witnessmark.networks import FORMS, TEST_LAMP, Form, Kind, Part, make_part
from witnessmark.networks.forms import WIRE_SIZE, Size
from witnessmark.networks.wire_sizes import wire_area
from witnessmark.sheets.circuit_points import PointBook
from witnessmark.sheets.circuit_usual import way_used
from witnessmark.sheets.entry import Entry, shown, written

MOST_RATE: Final = 1000.0
_SIGNS: Final = ".:="
_TERMINAL_SIGNS: Final = ".:=-"


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
    kind = _kind(entry, name)
    if kind is None:
        return None
    form = FORMS[kind]
    words = entry.words("words", "")
    rate = entry.size("rate", "", most=MOST_RATE) if "rate" in entry.data else None
    ends = _ends(entry, points, form, kind)
    positions = _positions(entry, ends) if kind is Kind.SELECTOR else None
    sizes, choices = _sizes(entry, form, kind)
    if kind is Kind.WIRE and "ohms" not in entry.data and "temperature" not in entry.data:
        sizes["temperature"] = temperature_c
    for choice in form.choices:
        choices[choice.key] = entry.one_of(choice.key, choice.values, choice.values[0])
    if sizes.get("drops_out", 0.0) >= sizes.get("pulls_in", float("inf")):
        entry.note(
            "drops_out",
            f"{entry.name} drops out at {sizes['drops_out']:g} V and pulls in at "
            f"{sizes['pulls_in']:g} V.",
            "It drops out at fewer volts than it pulls in.",
            "Check which is which.",
        )
    entry.no_others()
    if not entry.is_good:
        return None
    try:
        return make_part(
            name,
            kind,
            ends,
            sizes,
            choices=choices,
            positions=positions,
            words=words,
            rate=rate,
        )
    except BenchError as error:
        entry.sheet.mistake(entry.path, error.found, error.needed, error.do)
        return None


def _kind(entry: Entry, name: str) -> Kind | None:
    kinds = [kind.value for kind in Kind]
    text = entry.words("kind")
    if text in kinds:
        return Kind(text)
    if text:
        entry.note(
            "kind",
            f"{name or entry.name} is of the kind '{text}'.",
            f"Known kinds: {', '.join(kinds)}.",
            "Write one of these.",
        )
    return None


def _ends(entry: Entry, points: PointBook, form: Form, kind: Kind) -> dict[str, str]:
    if kind is not Kind.SELECTOR:
        return {
            terminal.key: points.end(entry, terminal.key)
            for terminal in form.terminals
            if not (terminal.is_optional and terminal.key not in entry.data)
        }
    table = entry.table("terminals")
    for terminal in table.data:
        if not terminal or any(sign in terminal for sign in _TERMINAL_SIGNS):
            table.note(
                terminal,
                f"{entry.name} has a terminal '{terminal}'.",
                "A terminal's name has no dot, colon, equals sign or dash.",
                "Write what is stamped beside it, like B or 30.",
            )
    return {terminal: points.end(table, terminal) for terminal in table.data}


def _positions(entry: Entry, ends: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    table = entry.table("positions")
    return {position: table.many(position) for position in table.data}


def _sizes(entry: Entry, form: Form, kind: Kind) -> tuple[dict[str, float], dict[str, str]]:
    """Read the sizes of the way that the entry uses, and the options; and how a size was typed."""
    way = way_used(entry.data, kind)
    _not_two_ways(entry, form, way)
    sizes: dict[str, float] = {}
    choices: dict[str, str] = {}
    for size in way:
        if size.unit == WIRE_SIZE:
            sizes[size.key], choices["standard"] = _wire_size(entry, size)
        else:
            sizes[size.key] = _size(entry, size)
    for size in form.options:
        if size.key in entry.data:
            sizes[size.key] = _size(entry, size)
        entry.asked.append(size.key)
    return sizes, choices


def _size(entry: Entry, size: Size) -> float:
    return entry.size(size.key, size.unit, size.usual, least=size.least, most=size.most)


def _wire_size(entry: Entry, size: Size) -> tuple[float, str]:
    text = _size_text(entry, size.key)
    if not text:
        return float("nan"), ""
    try:
        area_mm2, standard = wire_area(text)
    except BenchError as error:
        entry.note(size.key, error.found, error.needed, error.do)
        return float("nan"), ""
    if not size.least <= area_mm2 <= size.most:
        entry.note(
            size.key,
            f"'{size.key}' of {entry.name} is {shown(text)}.",
            f"A wire has from {size.least:g} to {size.most:g} mm².",
            "Read the size printed on the insulation and enter that.",
        )
    return area_mm2, standard


def _size_text(entry: Entry, key: str) -> str:
    """What stands for a wire's size; a number without quotes is asked back as one in quotes is."""
    found = entry.data.get(key)
    if isinstance(found, int | float) and not isinstance(found, bool):
        entry.asked.append(key)
        return written(found)
    return entry.words(key)


def _not_two_ways(entry: Entry, form: Form, way: Sequence[Size]) -> None:
    keys = {size.key for size in way}
    used = next((size.key for size in way if size.key in entry.data), "")
    others = [size.key for other in form.ways for size in other if size.key not in keys]
    if keys == {"ohms"}:  # what only sizes and lengths need
        others += [size.key for size in form.options if size.key == "temperature"]
    for other in others:
        if other in entry.data:
            entry.take(other, (str, int, float), "left out")
            entry.note(
                other,
                f"{entry.name} has both '{used}' and '{other}'.",
                "One value follows from the other.",
                f"Take '{other}' or '{used}' out.",
            )


def renamed_ends(part: Part, keys: Mapping[str, str]) -> dict[str, Any]:
    """Return the ends of a part by the keys of points instead of the author's words.

    Parameters
    ----------
    part
        The part as read.
    keys
        Words of each point and its key.
    """
    return {"ends": tuple((terminal, keys[words]) for terminal, words in part.ends)}
