"""Bare numbers of a circuit sheet with the units that they have, for whoever reads its text."""

from collections.abc import Mapping
from typing import Any, Final

from witnessmark.errors import BenchError
from witnessmark.networks import FORMS
from witnessmark.networks.forms import WIRE_SIZE
from witnessmark.quantities import parse
from witnessmark.sheets.circuit_draft import Typed, kind_of_part, table_of, tables_of
from witnessmark.sheets.entry import written

_WRITTEN: Final[Mapping[str, str]] = {"Ω": "ohm"}  # as a keyboard has it
_OF_OTHERS: Final = ("V", "A")  # what is read as both has no unit of its own


def with_units(data: Typed) -> dict[str, Any]:
    """Return a sheet in which each size that is a bare number has the unit that it is read in.

    Parameters
    ----------
    data
        A sheet as it was typed; what cannot be read, or has a unit, stays as it is, and so does
        the size of a wire, which is asked whose size it is.

    Examples
    --------
    >>> wire = {"name": "W1", "kind": "wire", "size": "6", "length": 2.5}
    >>> with_units({"parts": [wire]})["parts"][0]
    {'name': 'W1', 'kind': 'wire', 'size': '6', 'length': '2.5 m'}
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


def written_unit(unit: str) -> str:
    """Return a unit as a keyboard has it; '' for a wire's size, which has one of three.

    Parameters
    ----------
    unit
        The unit of a size of a form, or "s" or "°C". [as named]

    Examples
    --------
    >>> written_unit("Ω"), written_unit("m"), written_unit("wire size")
    ('ohm', 'm', '')
    """
    return "" if unit == WIRE_SIZE else _WRITTEN.get(unit, unit)


def with_unit(one: Any, unit: str) -> Any:
    """Return a size with its unit where it is a bare number; else as it stands.

    Parameters
    ----------
    one
        A size as it stands in the sheet.
    unit
        The unit that it is read in; '' where a number alone says too little. [as named]

    Examples
    --------
    >>> with_unit("2,5", "m"), with_unit(3, "ohm"), with_unit("8 ft", "m"), with_unit("14", "")
    ('2,5 m', '3 ohm', '8 ft', '14')
    """
    return f"{written(one).strip()} {unit}" if unit and _is_bare(one) else one


def _told(table: Typed, units: Mapping[str, str]) -> dict[str, Any]:
    return {
        key: with_unit(one, written_unit(units[key])) if key in units else one
        for key, one in table.items()
    }


def _is_bare(one: object) -> bool:
    if isinstance(one, bool) or not isinstance(one, str | int | float):
        return False
    try:
        for unit in _OF_OTHERS:
            parse(written(one), unit)
    except BenchError:
        return False
    return True
