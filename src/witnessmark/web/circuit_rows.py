"""Parts and points of a circuit sheet as rows of its table: cells with labels and hints."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Final

from witnessmark.networks import FORMS, Kind
from witnessmark.networks.forms import Choice, Size, Terminal
from witnessmark.sheets.circuit_draft import (
    PART,
    Draft,
    Typed,
    kind_of_part,
    table_of,
    tables_of,
)
from witnessmark.sheets.circuit_ground import FROM, TO, ground_point
from witnessmark.sheets.circuit_points import ALL_LETTERS
from witnessmark.sheets.circuit_units import with_unit, written_unit
from witnessmark.sheets.circuit_usual import nominal_times, way_used
from witnessmark.sheets.circuit_usual_said import own_comments
from witnessmark.sheets.one_line import write_items, write_lists
from witnessmark.web.circuit_words import (
    ENDS,
    HEAD_CELLS,
    SIZES,
    end_columns,
    hint_of,
    size_columns,
)

BLANKS: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One field: its name in the form, its label, what stands in it.

    `own` says that the label is another than the column's, so that it must be seen; `is_needed`
    that the kind cannot do without it, though it has no column; `unit` in what a bare number is
    read, empty where a unit must be typed.
    """

    name: str
    label: str
    value: str = ""
    hint: str = ""
    list: str = ""
    choices: tuple[str, ...] = ()
    own: bool = False
    wide: bool = False
    is_needed: bool = False
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """One part: its columns, what else is needed or typed, and what unfolds below."""

    id: str
    name: Cell
    kind: Cell
    columns: tuple[Cell, ...]
    seen: tuple[Cell, ...] = ()
    more: tuple[Cell, ...] = ()
    notes: tuple[str, ...] = field(default=())


def text_of(value: object) -> str:
    """Return a value as it stands in a cell: a bare number without an exponent.

    >>> text_of(1e-06), text_of("2.5 mm2"), text_of(3)
    ('0.000001', '2.5 mm2', '3')
    """
    if isinstance(value, float):
        return format(Decimal(repr(value)), "f")
    return str(value)


def part_rows(draft: Draft, blanks: int = BLANKS) -> list[PartRow]:
    """Return a row for each part, and empty ones to go on with."""
    times, data = nominal_times(draft.data), draft.data
    rows = [part_row(f"r{at}", part, times, data) for at, part in tables_of(data, "parts")]
    return [*rows, *(part_row(f"r{len(rows) + one}", {}, times) for one in range(blanks))]


def part_row(id: str, part: Typed, times: float | None, sheet: Typed | None = None) -> PartRow:
    """Return the row of one part; its `sheet` says where a ground leads by itself."""
    kind = kind_of_part(part)
    more = tuple(_more(id, part, kind, times))
    kind_text = text_of(part.get("kind", ""))
    return PartRow(
        id=id,
        name=Cell(name=f"{id}.name", label="part", value=text_of(part.get("name", ""))),
        kind=Cell(name=f"{id}.kind", label="kind", value=kind_text, list="kinds"),
        columns=(*_ends(id, part, kind, sheet or {}), *_sizes(id, part, kind, times)),
        seen=tuple(cell for cell in more if cell.is_needed or cell.value),
        more=tuple(cell for cell in more if not (cell.is_needed or cell.value)),
    )


def kind_templates(draft: Draft) -> list[PartRow]:
    """Return an empty row of each kind, for the page to unfold when a kind is typed."""
    return [part_row("ROW", {"kind": str(kind)}, 1.0, draft.data) for kind in Kind]


def _ends(id: str, part: Typed, kind: Kind | None, sheet: Typed) -> Iterator[Cell]:
    keys = end_columns(kind)
    grounded = ground_point(sheet, text_of(part.get(FROM, ""))) if kind is Kind.GROUND else ""
    words = {one.key: one.words for one in FORMS[kind].terminals} if kind else {}
    for number, column in enumerate(ENDS):
        if number >= len(keys):
            yield Cell(name=f"{id}.e{number + 1}", label="")
            continue
        key = keys[number]
        label = words.get(key, column)
        yield Cell(
            name=f"{id}.e{number + 1}",
            label=label,
            value=text_of(part.get(key, "")),
            hint=grounded if key == TO else "",
            list="points",
            own=label != column,
        )


def _sizes(id: str, part: Typed, kind: Kind | None, times: float | None) -> Iterator[Cell]:
    keys = size_columns(kind)
    sizes = {size.key: size for size in FORMS[kind].ways[0]} if kind else {}
    used = way_used(part, kind) if kind else ()  # a part that is told otherwise takes none of them
    for number, column in enumerate(SIZES):
        if number >= len(keys):
            yield Cell(name=f"{id}.s{number + 1}", label="")
            continue
        key = keys[number]
        label = sizes[key].words if kind else column
        unit = written_unit(sizes[key].unit) if kind else ""
        yield Cell(
            name=f"{id}.s{number + 1}",
            label=label,
            value=text_of(with_unit(part.get(key, ""), unit)),
            hint=hint_of(sizes[key], part, times) if kind and sizes[key] in used else "",
            own=label != column,
            unit=unit,
        )


def _more(id: str, part: Typed, kind: Kind | None, times: float | None) -> Iterator[Cell]:
    shown = {*PART[:2], *end_columns(kind), *size_columns(kind)}
    if kind is not None:
        form = FORMS[kind]
        for terminal in sorted(form.terminals[2:], key=lambda one: one.is_optional):
            shown.add(terminal.key)
            yield _terminal(id, terminal, part)
        if kind is Kind.SELECTOR:
            shown |= {"terminals", "positions"}
            yield from _selector(id, part)
        for size in (one for way in (*form.ways, form.options) for one in way):
            if size.key not in shown:
                shown.add(size.key)
                yield _size(id, size, part, times)
        for choice in form.choices:
            shown.add(choice.key)
            yield _choice(id, choice, part)
    for key, label in (("words", "said after the name"), ("rate", "how often it fails")):
        shown.add(key)
        hint = "1" if key == "rate" else ""
        yield Cell(name=f"{id}.k.{key}", label=label, value=text_of(part.get(key, "")), hint=hint)
    for key in part.keys() - shown:
        yield Cell(name=f"{id}.k.{key}", label=f"{key}, left over", value=_any_text(part[key]))


def _terminal(id: str, one: Terminal, part: Typed) -> Cell:
    label = f"{one.words} (if used)" if one.is_optional else one.words
    value, is_needed = text_of(part.get(one.key, "")), not one.is_optional
    name = f"{id}.k.{one.key}"
    return Cell(name=name, label=label, value=value, list="points", is_needed=is_needed)


def _size(id: str, size: Size, part: Typed, times: float | None) -> Cell:
    unit, hint = written_unit(size.unit), hint_of(size, part, times)
    value = text_of(with_unit(part.get(size.key, ""), unit))
    return Cell(name=f"{id}.k.{size.key}", label=size.words, value=value, hint=hint, unit=unit)


def _choice(id: str, choice: Choice, part: Typed) -> Cell:
    value = text_of(part.get(choice.key, ""))
    known = choice.values if value in ("", *choice.values) else (*choice.values, value)
    return Cell(
        name=f"{id}.k.{choice.key}",
        label=f"{choice.words}: which",
        value=value,
        hint=f"{choice.values[0]}, as usual",
        choices=known,
    )


def _selector(id: str, part: Typed) -> Iterator[Cell]:
    terminals = _any_text(table_of(part, "terminals"))
    positions = _any_text(table_of(part, "positions"))
    yield Cell(
        name=f"{id}.k.terminals",
        label="terminals and their points",
        value=terminals,
        hint="B = A, L = low feed, H = high feed",
        wide=True,
        is_needed=True,
    )
    yield Cell(
        name=f"{id}.k.positions",
        label="positions and what they join",
        value=positions,
        hint="off, low = B-L, high = B-H / B-L",
        wide=True,
        is_needed=True,
    )


def _any_text(value: object) -> str:
    if isinstance(value, Mapping):
        if all(isinstance(one, list) for one in value.values()):
            return write_lists(value.items())
        return write_items((key, text_of(one)) for key, one in value.items())
    return text_of(value)


def point_rows(draft: Draft) -> list[dict[str, Any]]:
    """Return a row for each point that has a letter, then for those where no probe reaches."""
    data = draft.data
    letters, access = table_of(data, "points"), table_of(data, "access")
    hidden = table_of(data, "circuit").get("unreachable", [])
    order = {letter: at for at, letter in enumerate(("0", *ALL_LETTERS))}
    rows: list[tuple[str, str]] = [
        (letter, text_of(letters[letter]))
        for letter in sorted(letters, key=lambda one: (order.get(one, len(order)), one))
    ]
    rows += [("", words) for words in hidden if words not in letters.values()]
    known = {letter for letter, _ in rows} | {words for _, words in rows}
    rows += [("", key) for key in access if key not in known]
    return [
        {
            "id": f"p{at}",
            "letter": letter,
            "words": words,
            "minutes": text_of(access.get(letter, access.get(words, ""))),
            "hidden": words in hidden,
        }
        for at, (letter, words) in enumerate(rows)
    ]


def head_cells(draft: Draft) -> dict[str, Any]:
    """Return what stands at the head of a sheet."""
    head = table_of(draft.data, "circuit")
    return {key: text_of(head.get(key, "")) for key in HEAD_CELLS} | {
        "restraint": head.get("restraint") is True,
        "comments": "\n".join(own_comments(draft.comments)),
    }


def notes_by_row(notes: Iterable[Any], rows: Mapping[str, Sequence[str]]) -> dict[str, list[Any]]:
    """Return the notes of each row by its id; those of none of them under an empty one."""
    found: dict[str, list[Any]] = {}
    for note in notes:
        path = note.path
        ids = rows.get(str(path[0]), ()) if path else ()
        number = path[1] if len(path) > 1 and isinstance(path[1], int) else len(ids)
        found.setdefault(ids[number] if number < len(ids) else "", []).append(note)
    return found
