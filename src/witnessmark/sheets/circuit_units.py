"""Bare numbers of a circuit sheet with the units that they have, for whoever reads its text."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Final

from witnessmark.errors import BenchError
from witnessmark.networks import FORMS
from witnessmark.networks.forms import WIRE_SIZE
from witnessmark.quantities import parse
from witnessmark.sheets.circuit_draft import Typed, kind_of_part, table_of, tables_of

_WRITTEN: Final[Mapping[str, str]] = {WIRE_SIZE: "mm2", "Ω": "ohm"}  # as a keyboard has them
_OF_OTHERS: Final = ("V", "A")  # what is read as both has no unit of its own


def with_units(data: Typed) -> dict[str, Any]:
    """Return a sheet in which each size that is a bare number has the unit that it is read in.

    Parameters
    ----------
    data
        A sheet as it was typed; what cannot be read, or has a unit, stays as it is.

    Examples
    --------
    >>> wire = {"name": "W1", "kind": "wire", "size": "6", "length": 2.5}
    >>> with_units({"parts": [wire]})["parts"][0]
    {'name': 'W1', 'kind': 'wire', 'size': '6 mm2', 'length': '2.5 m'}
    """
    told = dict(data)
    for name, changed in (("parts", _part), ("states", _state)):
        rows = dict(tables_of(data, name))
        if rows:
            told[name] = [
                changed(rows[at]) if at in rows else one for at, one in enumerate(data[name])
            ]
    head = table_of(data, "circuit")
    if "temperature" in head:
        told["circuit"] = _told(head, {"temperature": "°C"})
    return told


def _part(part: Typed) -> Typed:
    kind = kind_of_part(part)
    sizes = (
        size for way in ((*FORMS[kind].ways, FORMS[kind].options) if kind else ()) for size in way
    )
    return _told(part, {size.key: size.unit for size in sizes})


def _state(state: Typed) -> Typed:
    sizes = table_of(state, "sizes")
    told = _told(state, {"held": "s"})
    return {**told, "sizes": _told(sizes, dict.fromkeys(sizes, "Ω"))} if sizes else told


def _told(table: Typed, units: Mapping[str, str]) -> dict[str, Any]:
    return {
        key: f"{_plain(one)} {_WRITTEN.get(units[key], units[key])}"
        if key in units and _is_bare(one)
        else one
        for key, one in table.items()
    }


def _is_bare(one: object) -> bool:
    if isinstance(one, bool) or not isinstance(one, str | int | float):
        return False
    try:
        for unit in _OF_OTHERS:
            parse(_plain(one), unit)
    except BenchError:
        return False
    return True


def _plain(one: str | int | float) -> str:
    """A number as a person would write it, without an exponent."""
    return one.strip() if isinstance(one, str) else format(Decimal(repr(one)), "f")
