"""What is left of a circuit that is being entered, each with the way to its field on the page."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any, Final

from witnessmark.networks import Kind
from witnessmark.sheets.circuit_draft import HEAD, PART, Draft, kind_of_part, tables_of
from witnessmark.sheets.circuit_look import Note
from witnessmark.sheets.toml_lines import Path
from witnessmark.web import circuit_rows as rows
from witnessmark.web.circuit_words import end_columns, size_columns

MOST_SHOWN: Final = 6  # more of them are folded away
LISTS: Final[Mapping[str, str]] = {"parts": "part", "states": "state", "complaints": "complaint"}
_SET: Final = ("closed", "positions", "sizes")
_PAGE: Final = ("circuit", *LISTS, "points", "access")


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDo:
    """One thing that is left.

    Attributes
    ----------
    words
        What it is: the first sentence of what stands at its row, with the row's name.
    sort
        "mend" or "open".
    row
        The id of the element that it stands at; empty where it is of the sheet as a whole.
    field
        The field to begin with: "r3.e1"; "part", "state" or "complaint" for a new row; or none.
    """

    words: str
    sort: str
    row: str
    field: str


def things_to_do(
    notes: Sequence[Note], ids: Mapping[str, Sequence[str]], draft: Draft
) -> list[ToDo]:
    """Return what is left, in the order of the page; `ids` are those that it gave its rows."""
    found = []
    for note in sorted(notes, key=_order):
        row = _row(note.path, ids)
        found.append(
            ToDo(
                words=_words(note, draft) if row else note.sentence,
                sort="open" if note.is_open else "mend",
                row=f"row-{row}" if row else _place(note.path),
                field=_field(note.path, row, draft),
            )
        )
    return found


def is_of_a_row(one: ToDo) -> bool:
    """Return whether it stands at a row of parts, states or complaints too."""
    return one.row.startswith("row-")


def _order(note: Note) -> tuple[int, float]:
    what = note.path[0] if note.path else ""
    place = _PAGE.index(what) if what in _PAGE else len(_PAGE)
    if what not in LISTS:
        return place, 0
    number = note.path[1] if len(note.path) > 1 else inf  # of a list as a whole: after its rows
    return place, number if isinstance(number, int) else inf


def _row(path: Path, ids: Mapping[str, Sequence[str]]) -> str:
    known = ids.get(str(path[0]), ()) if path else ()
    number = path[1] if len(path) > 1 and isinstance(path[1], int) else len(known)
    return known[number] if number < len(known) else ""


def _place(path: Path) -> str:
    """Where a link about the whole sheet leads."""
    what = str(path[0]) if path else ""
    places = {"circuit": "head", "access": "points", "points": "points"} | {
        one: one for one in LISTS
    }
    return f"at-{places[what]}" if what in places else ""


def _field(path: Path, row: str, draft: Draft) -> str:
    what, key = str(path[0]) if path else "", str(path[2]) if len(path) > 2 else ""
    match what:
        case "parts" if row:
            return f"{row}.{_part_key(dict(tables_of(draft.data, what)), path)}"
        case "states" if row:
            return f"{row}.{'set' if key in _SET else key or 'name'}"
        case "complaints" if row:
            return f"{row}.{key or 'words'}"
        case "circuit" if len(path) > 1 and path[1] in HEAD and path[1] != "unreachable":
            return f"head.{path[1]}"
        case "points" | "access" if len(path) > 1:
            return next(_point_fields(path, draft), "")
    return LISTS.get(what, "")


def _part_key(parts: Mapping[int, Mapping[str, Any]], path: Path) -> str:
    if len(path) < 3:
        return "name"
    kind, key = kind_of_part(parts.get(int(path[1]), {})), str(path[2])
    for letter, keys in (("e", end_columns(kind)), ("s", size_columns(kind))):
        if key in keys:
            return f"{letter}{keys.index(key) + 1}"
    if kind is Kind.SELECTOR and key not in (*PART, "positions", "rate"):
        key = "terminals"  # an end is named by its terminal
    return key if key in ("name", "kind") else f"k.{key}"


def _point_fields(path: Path, draft: Draft) -> Iterator[str]:
    cell = "minutes" if path[0] == "access" else "words"
    for one in rows.point_rows(draft):
        if path[1] in (one["letter"], one["words"]):
            yield f"{one['id']}.{cell}"


def _words(note: Note, draft: Draft) -> str:
    """The first sentence, with the name of the row before it where it does not say it."""
    what, number = str(note.path[0]), int(note.path[1])
    one = dict(tables_of(draft.data, what)).get(number, {})
    name = one.get("key" if what == "complaints" else "name")
    is_named = isinstance(name, str) and name.strip()
    called = name if is_named else f"{LISTS[what].capitalize()} {number + 1}"
    first, stop, _ = note.sentence.partition(". ")
    first += "." if stop else ""
    return first if called in first else f"{called}: {first}"
