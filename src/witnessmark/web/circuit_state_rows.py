"""States and complaints of a circuit sheet as the rows of their tables."""

from typing import Any, Final

from witnessmark.networks import Look
from witnessmark.sheets.circuit_draft import COMPLAINT, Draft, Typed, tables_of
from witnessmark.sheets.one_line import write_items
from witnessmark.web.circuit_fits import SET
from witnessmark.web.circuit_rows import text_of

LOOKS: Final = tuple(str(look) for look in Look)


def state_rows(draft: Draft, blanks: int = 1) -> list[dict[str, Any]]:
    """Return a row for each state, and an empty one."""
    rows = [_state_row(str(at), state) for at, state in tables_of(draft.data, "states")]
    return [*rows, *(_state_row(str(len(rows) + one), {}) for one in range(blanks))]


def _state_row(id: str, state: Typed) -> dict[str, Any]:
    items: list[tuple[str, str | None]] = [(name, None) for name in state.get("closed", [])]
    for table in SET:
        items += [(name, text_of(value)) for name, value in state.get(table, {}).items()]
    keys = ("name", "words", "minutes", "held", "after")
    row: dict[str, Any] = {"id": f"s{id}", "set": write_items(items)}
    row |= {key: text_of(state.get(key, "")) for key in keys}
    return row | {"is_told": any(row[key] for key in keys[2:])}


def complaint_rows(draft: Draft, blanks: int = 1) -> list[dict[str, str]]:
    """Return a row for each complaint, and an empty one."""
    found = [complaint for _, complaint in tables_of(draft.data, "complaints")]
    return [
        {"id": f"c{at}"} | {key: text_of(one.get(key, "")) for key in COMPLAINT}
        for at, one in enumerate([*found, *({} for _ in range(blanks))])
    ]


def blank_state() -> dict[str, Any]:
    """Return the state that a new row is made from."""
    return _state_row("ROW", {})


def blank_complaint() -> dict[str, str]:
    """Return the complaint that a new row is made from."""
    return {"id": "cROW"} | dict.fromkeys(COMPLAINT, "")
