"""Whether the table can show everything that stands in a circuit sheet; else it stays a text."""

from typing import Final

from witnessmark.sheets.circuit_draft import COMPLAINT, HEAD, STATE, TOP, Typed, table_of, tables_of

MOST_ROWS: Final = 400
SET: Final = ("positions", "sizes")


def fits_table(data: Typed) -> bool:
    """Return whether the table can show everything that stands in a sheet."""
    parts = data.get("parts", [])
    return (
        set(data) <= set(TOP)
        and all(isinstance(data.get(name, {}), dict) for name in ("circuit", "points", "access"))
        and all(
            isinstance(data.get(name, []), list)
            and all(isinstance(one, dict) for one in data.get(name, []))
            for name in ("parts", "states", "complaints")
        )
        and len(parts) <= MOST_ROWS
        and _is_plain(data)
    )


def _is_plain(data: Typed) -> bool:
    head = table_of(data, "circuit")
    hidden = head.get("unreachable", [])
    flat = {key: value for key, value in head.items() if key not in ("unreachable", "restraint")}
    return (
        set(head) <= set(HEAD)
        and _all_text(hidden)
        and isinstance(head.get("restraint", False), bool)
        and _is_flat(flat)
        and _is_flat(table_of(data, "points"))
        and _is_flat(table_of(data, "access"))
        and all(_is_part(part) for _, part in tables_of(data, "parts"))
        and all(_is_state(state) for _, state in tables_of(data, "states"))
        and all(
            set(one) <= set(COMPLAINT) and _is_flat(one) for _, one in tables_of(data, "complaints")
        )
    )


def _is_flat(table: object) -> bool:
    return isinstance(table, dict) and all(
        isinstance(value, str | int | float) and not isinstance(value, bool)
        for value in table.values()
    )


def _all_text(found: object) -> bool:
    return isinstance(found, list) and all(isinstance(one, str) for one in found)


def _is_part(part: Typed) -> bool:
    terminals, positions = part.get("terminals", {}), part.get("positions", {})
    lists = isinstance(positions, dict) and all(map(_all_text, positions.values()))
    flat = {key: value for key, value in part.items() if key not in ("terminals", "positions")}
    return lists and _is_flat(terminals) and _is_flat(flat)


def _is_state(state: Typed) -> bool:
    flat = {key: value for key, value in state.items() if key not in ("closed", *SET)}
    return (
        set(state) <= set(STATE)
        and _all_text(state.get("closed", []))
        and all(_is_flat(state.get(key, {})) for key in SET)
        and _is_flat(flat)
    )
