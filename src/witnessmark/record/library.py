"""Sheets that people wrote, read by the room that knows them."""

from typing import Any

from witnessmark.errors import BenchError, SheetError


def read_sheet(kind: str, text: str, name: str) -> Any:
    """Return the value of a sheet; all its mistakes are raised with their lines.

    The readers are loaded when they are needed: a page that shows no sheet opens faster.
    """
    match kind:
        case "circuit":
            from witnessmark.sheets.circuit import read_circuit

            return read_circuit(text, name)
        case "assembly":
            from witnessmark.sheets.assembly import read_assembly

            return read_assembly(text, name)
        case "procedure":
            from witnessmark.sheets.procedure import read_procedure

            return read_procedure(text, name)
        case "week":
            from witnessmark.sheets.week import read_week

            return read_week(text, name)
    raise BenchError(
        f"The Library holds no sheet of kind '{kind}'.",
        "It holds circuit sheets, assembly sheets, procedures and weeks.",
        "Choose one of these.",
    )


def title_of(kind: str, text: str, name: str) -> str:
    """Return the title that a sheet gives itself."""
    sheet = read_sheet(kind, text, name)
    named = (getattr(sheet, word, None) for word in ("title", "name"))
    return next((word for word in named if isinstance(word, str) and word), name)


def circuit_title(text: str) -> str:
    """Return the title that a half-done circuit sheet gives itself; empty where it gives none."""
    from witnessmark.sheets.circuit_draft import read_draft, table_of

    try:
        name = table_of(read_draft(text, "the text").data, "circuit").get("name", "")
    except SheetError:
        return ""
    return name if isinstance(name, str) else ""
