"""What of a half-done sheet can be drawn: the parts whose ends are known, whatever else lacks."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from witnessmark.networks import FORMS, Circuit, Kind, Part, Point, State
from witnessmark.networks.forms import WIRE_SIZE
from witnessmark.sheets.circuit_draft import Typed, kind_of_part, table_of, tables_of
from witnessmark.sheets.circuit_parts import read_part, renamed_ends
from witnessmark.sheets.circuit_points import ALL_LETTERS, PointBook
from witnessmark.sheets.circuit_usual import way_used
from witnessmark.sheets.entry import Entry
from witnessmark.sheets.toml_text import TomlText

MOST_DRAWN: Final = 400
_NO_BATTERY: Final = "battery −"


def half_circuit(data: Typed) -> Circuit | None:
    """Return the parts that have their ends as a circuit, for a drawing and for nothing else.

    Parameters
    ----------
    data
        A sheet as it was typed.

    Returns
    -------
    Circuit or None
        Sizes that lack or cannot be read are left out, so nothing may be worked out from it;
        of two parts of one name the first; without a battery the reference is a point at which
        nothing ends. None while no part has its ends.
    """
    sheet = TomlText(name="", data=dict(data), lines={})
    top = Entry(sheet, (), {key: data.get(key, {}) for key in ("points", "access")})
    book = PointBook(top, Entry(sheet, ("circuit",), _reachable(data)))
    parts: dict[str, Part] = {}
    for number, typed in tables_of(data, "parts"):
        if len(parts) == MOST_DRAWN:
            break
        part = _drawable(sheet, number, typed, book)
        if part is not None:
            parts.setdefault(part.name, part)
    if not parts:
        return None
    ends = {words: [name] for name, part in parts.items() for _, words in part.ends}
    batteries = [part for part in parts.values() if part.kind is Kind.BATTERY]
    reference = batteries[0].second if batteries else _NO_BATTERY
    book.ends = {reference: [], **ends}
    points = _told_apart(book.points(reference), reference)
    keys = {point.words: point.key for point in points}
    return Circuit(
        name=str(table_of(data, "circuit").get("name", "")),
        source="",
        points=points,
        parts=tuple(replace(part, **renamed_ends(part, keys)) for part in parts.values()),
        states=(State(name="at rest", words="everything at rest"),),
    )


def _told_apart(points: Sequence[Point], reference: str) -> tuple[Point, ...]:
    """The reference first, and a letter of its own for each point whose letter is taken."""
    first = replace(next(point for point in points if point.words == reference), letter="0")
    free = (letter for letter in ALL_LETTERS if letter not in {point.key for point in points})
    kept = {first.key: first}
    for point in points:
        if point.words != reference:
            taken = point.key in kept or point.letter == first.letter
            one = replace(point, letter=next(free, "")) if taken else point
            kept[one.key] = one
    return tuple(kept.values())


def _reachable(data: Typed) -> dict[str, Any]:
    return {"unreachable": table_of(data, "circuit").get("unreachable", [])}


def _drawable(sheet: TomlText, number: int, typed: Typed, book: PointBook) -> Part | None:
    kind = kind_of_part(typed)
    if kind is None:
        return None
    name = typed.get("name")
    known = {
        **_ends(typed, kind),
        "kind": str(kind),
        "name": name if isinstance(name, str) and name.strip() else f"row {number + 1}",
    }
    stand_ins = _stand_ins(typed, kind)
    whole = Entry(sheet, ("parts", number), {**stand_ins, **typed, **known})
    part, shown = read_part(whole, book, 20.0), set(typed)
    if part is None or not whole.is_good:
        plain = Entry(sheet, ("parts", number), {**stand_ins, **known})
        part, shown = read_part(plain, book, 20.0), set()
    # What stands in for a size is not drawn beside the part.
    return part and replace(part, sizes=tuple(one for one in part.sizes if one[0] in shown))


def _ends(typed: Typed, kind: Kind) -> Mapping[str, Any]:
    keys = [one.key for one in FORMS[kind].terminals] or ["terminals", "positions"]
    return {key: typed[key] for key in keys if key in typed}


def _stand_ins(typed: Typed, kind: Kind) -> dict[str, Any]:
    """Sizes that any part of the kind can have, so that only its ends and its name matter."""
    found: dict[str, Any] = {}
    for size in way_used(typed, kind):
        if size.unit == WIRE_SIZE:
            found[size.key] = "1 mm2"
        elif size.usual is None:
            found[size.key] = max(size.least, min(size.most, 1.0))
    if "drops_out" in found:
        found["drops_out"] = 0.5
    if "armature" in found:
        found["volts"] = 10.0
    for choice in FORMS[kind].choices:
        if typed.get(choice.key) in choice.values:
            found[choice.key] = typed[choice.key]
    return found
