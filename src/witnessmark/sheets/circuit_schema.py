"""The JSON Schema of a circuit sheet, made from the table of kinds that the reader uses.

For an editor that marks a mistake while it is typed. The reader says more: it knows which points
and switches there are.
"""

from typing import Any, Final

from witnessmark.networks import FORMS, Kind, Look
from witnessmark.networks.forms import WIRE_SIZE, Form, Size
from witnessmark.networks.kinds import COLDEST_C, HOTTEST_C, LEAST_OHM, MOST_OHM
from witnessmark.sheets.circuit import MOST_PARTS
from witnessmark.sheets.circuit_parts import MOST_RATE
from witnessmark.sheets.circuit_points import MOST_MINUTES

Schema = dict[str, Any]
_WORDS: Final[Schema] = {"type": "string", "pattern": r"\S"}
_FREE: Final[Schema] = {"type": "string"}
_NAME: Final[Schema] = {"type": "string", "pattern": r"^[^.:=]*[^.:=\s][^.:=]*$"}
_TERMINAL: Final = r"^[^.:=-]+$"
_PAIR: Final[Schema] = {"type": "string", "pattern": r"^[^-]+-[^-]+$"}
_NUMBER: Final = r"[0-9]+([.,][0-9]+)?( [0-9]+/[0-9]+)?(/[0-9]+)?|[½¼¾⅛⅜⅝⅞]"
_LETTER: Final = r"^(0|[A-HJ-NP-Z]{1,2})$"


def circuit_schema() -> Schema:
    """Return the schema of a circuit sheet, as JSON Schema 2020-12.

    Examples
    --------
    >>> circuit_schema()["properties"]["parts"]["maxItems"]
    400
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Circuit sheet",
        "description": "Parts, points, states and complaints of one circuit of a vehicle.",
        **_table(
            {
                "circuit": _head(),
                "points": _of_names(_WORDS, _LETTER),
                "access": _of_names(_size(0.0, MOST_MINUTES)),
                "parts": {
                    "type": "array",
                    "minItems": 2,
                    "maxItems": MOST_PARTS,
                    "items": _part(),
                    "contains": {"properties": {"kind": {"const": "battery"}}},
                },
                "states": {"type": "array", "minItems": 1, "items": _state()},
                "complaints": {"type": "array", "items": _complaint()},
            },
            ["circuit", "parts", "states"],
        ),
    }


def _table(entries: Schema, needed: list[str]) -> Schema:
    return {
        "type": "object",
        "properties": entries,
        "required": needed,
        "additionalProperties": False,
    }


def _of_names(value: Schema, pattern: str | None = None) -> Schema:
    table: Schema = {"type": "object", "additionalProperties": value}
    return table | ({"propertyNames": {"pattern": pattern}} if pattern else {})


def _head() -> Schema:
    return _table(
        {
            "name": _WORDS,
            "group": _FREE,
            "about": _FREE,
            "source": _WORDS,
            "note": _FREE,
            "unreachable": {"type": "array", "items": _FREE},
            "temperature": _size(COLDEST_C, HOTTEST_C),
            "body": _FREE,
            "restraint": {"type": "boolean"},
        },
        ["name", "source"],
    )


def _part() -> Schema:
    kinds = [str(kind) for kind in Kind]
    return {
        "type": "object",
        "properties": {"kind": {"enum": kinds}},
        "required": ["name", "kind"],
        "allOf": [
            {
                "if": {"properties": {"kind": {"const": str(kind)}}, "required": ["kind"]},
                "then": _kind(kind, form),
            }
            for kind, form in FORMS.items()
        ],
    }


def _kind(kind: Kind, form: Form) -> Schema:
    entries: Schema = {"name": _NAME, "kind": {"const": str(kind)}, "words": _FREE}
    entries["rate"] = _size(0.0, MOST_RATE)
    needed = []
    if kind is Kind.SELECTOR:
        several = {"minProperties": 2}
        entries["terminals"] = _of_names(_WORDS, _TERMINAL) | several
        entries["positions"] = _of_names({"type": "array", "items": _PAIR}) | several
        needed = ["terminals", "positions"]
    for terminal in form.terminals:
        entries[terminal.key] = _WORDS
        if not terminal.is_optional:
            needed.append(terminal.key)
    for size in (one for way in (*form.ways, form.options) for one in way):
        entries[size.key] = _wire_size() if size.unit == WIRE_SIZE else _size(size.least, size.most)
    for choice in form.choices:
        entries[choice.key] = {"enum": list(choice.values)}
    return _table(entries, needed) | {"anyOf": [_way(way, form) for way in form.ways]}


def _way(way: tuple[Size, ...], form: Form) -> Schema:
    """One way is given whole, and nothing of another."""
    keys = {size.key for size in way}
    others = {size.key for other in form.ways for size in other} - keys
    needed = [size.key for size in way if size.usual is None]
    return {"required": needed, "properties": dict.fromkeys(sorted(others), False)}


def _size(least: float, most: float) -> Schema:
    """A number in the unit meant, or a text with its unit; below zero only for temperatures."""
    sign = "[+-]?" if least < 0 else r"\+?"
    return {
        "anyOf": [
            {"type": "number", "minimum": least, "maximum": most},
            {"type": "string", "pattern": rf"^\s*{sign} ?({_NUMBER})\s*[^0-9\s]*.*$"},
        ]
    }


def _wire_size() -> Schema:
    """A text with its unit: a number alone does not say whose size it is."""
    return {
        "type": "string",
        "pattern": r"^\s*(([Aa][Ww][Gg]|[Ss][Aa][Ee])\s*[0-9]|[0-9].*[^0-9\s./,])",
    }


def _state() -> Schema:
    return _table(
        {
            "name": _WORDS,
            "words": _FREE,
            "closed": {"type": "array", "items": _FREE},
            "positions": _of_names(_WORDS),
            "sizes": _of_names(_size(LEAST_OHM, MOST_OHM)),
            "minutes": _size(0.0, MOST_MINUTES),
            "held": _size(0.1, 36_000.0),
            "after": _FREE,
        },
        ["name"],
    )


def _complaint() -> Schema:
    return _table(
        {
            "key": _WORDS,
            "words": _WORDS,
            "load": _WORDS,
            "state": _WORDS,
            "looks": {"enum": [str(look) for look in Look]},
        },
        ["key", "words", "load", "state", "looks"],
    )
