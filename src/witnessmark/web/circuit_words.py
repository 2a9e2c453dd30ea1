"""Words of the table in which a circuit is entered: trade names of kinds, columns, hints."""

from collections.abc import Mapping
from typing import Final

from witnessmark.networks import FORMS, Kind
from witnessmark.networks.forms import WIRE_SIZE, Size
from witnessmark.sheets.circuit_draft import HEAD, Typed, kind_of_part
from witnessmark.sheets.circuit_usual import usual_of

ALSO: Final[Mapping[str, Kind]] = {  # what people in the trade type for a kind
    "blade fuse": Kind.FUSE,
    "bulb": Kind.LAMP,
    "button": Kind.SWITCH,
    "cable": Kind.WIRE,
    "chassis ground": Kind.GROUND,
    "earth": Kind.GROUND,
    "generator": Kind.ALTERNATOR,
    "ground joint": Kind.GROUND,
    "horn": Kind.RESISTOR,
    "input": Kind.PULL_UP,
    "joint": Kind.CONNECTOR,
    "pin": Kind.CONNECTOR,
    "plug": Kind.CONNECTOR,
    "sensor": Kind.SENDER,
    "starter solenoid": Kind.SOLENOID,
    "terminal": Kind.CONNECTOR,
}
_SPELLED: Final = {str(kind).casefold(): kind for kind in Kind} | dict(ALSO)
LEAST_BEGUN: Final = 3  # letters of a kind; the page tells its script
ENDS: Final = ("from", "to")
HEAD_CELLS: Final = tuple(key for key in HEAD if key not in ("unreachable", "restraint"))
SIZES: Final = ("size", "length")
HINTS: Final = {WIRE_SIZE: "2.5 mm2", "m": "3 m", "A": "10 A", "V": "12 V", "Ω": "ohm", "W": "21 W"}
_HEATER: Final = "120 W"


def kind_typed(text: str) -> str:
    """Return the kind that a person means, as the sheet calls it; what is unknown stays as typed.

    The beginning of a kind or trade word is taken where it can mean one kind only.

    >>> kind_typed("Plug"), kind_typed(" FUSE "), kind_typed("fuze")
    ('connector', 'fuse', 'fuze')
    >>> kind_typed("Conn"), kind_typed("gro"), kind_typed("sw"), kind_typed("fus")
    ('connector', 'ground', 'sw', 'fus')
    """
    plain = " ".join(text.split())
    begun = plain.casefold()
    if begun in _SPELLED:
        return str(_SPELLED[begun])
    if len(begun) < LEAST_BEGUN:
        return plain
    kinds = {str(kind) for words, kind in _SPELLED.items() if words.startswith(begun)}
    return kinds.pop() if len(kinds) == 1 else plain


def end_columns(kind: Kind | None) -> tuple[str, ...]:
    """Return the two terminals that stand in the columns from and to; none of a selector."""
    return ENDS if kind is None else tuple(one.key for one in FORMS[kind].terminals[:2])


def size_columns(kind: Kind | None) -> tuple[str, ...]:
    """Return the sizes that stand in the columns size and length."""
    return SIZES if kind is None else tuple(size.key for size in FORMS[kind].ways[0][:2])


def hint_of(size: Size, part: Typed, times: float | None) -> str:
    """Return what stands grey in an empty cell: the usual size, or how one is typed."""
    usual = {one.key: text for one, text in usual_of(part, times)}
    if size.key in usual:
        return usual[size.key]
    if size.usual is not None:
        return f"{size.usual:g} {size.unit}"
    if size.unit == "W" and kind_of_part(part) is Kind.HEATER:
        return _HEATER
    return HINTS.get(size.unit, size.unit)
