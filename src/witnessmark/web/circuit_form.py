"""What the table of a circuit sheet sent, as a sheet: every cell is kept, right or not."""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.http import QueryDict

from witnessmark.networks import FORMS, Kind
from witnessmark.sheets.circuit_draft import Draft, ends_of_part, kind_of_part, tables_of
from witnessmark.sheets.circuit_ground import with_grounds
from witnessmark.sheets.one_line import read_items, read_lists
from witnessmark.web.circuit_words import (
    ENDS,
    HEAD_CELLS,
    SIZES,
    end_columns,
    kind_typed,
    size_columns,
)

NUMBER: Final = re.compile(r"[0-9]{1,6}(\.[0-9]{1,6})?")
Cells = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """A form as it came.

    Attributes
    ----------
    draft
        The sheet.
    rows
        Of parts, states and complaints: the id that the page gave each row of the sheet.
    """

    draft: Draft
    rows: Mapping[str, tuple[str, ...]]


def read_form(sent: QueryDict) -> Sent:
    """Return what a form sent. Empty rows, and rows to take out, are left out."""
    cells = _by_row(sent)
    parts = dict(_rows(sent, "part", cells, _part))
    points = [one for _, one in _rows(sent, "point", cells, _point)]
    renamed = {one["was"]: one["words"] for one in points if one["was"] and one["words"]}
    _rename(parts.values(), renamed)
    kinds = {part["name"]: kind_of_part(part) for part in parts.values() if "name" in part}
    states = dict(_rows(sent, "state", cells, lambda one: _state(one, kinds)))
    complaints = dict(_rows(sent, "complaint", cells, _complaint))
    _name_complaints(complaints.values())
    data: dict[str, Any] = {"circuit": _head(cells.get("head", {}), renamed)}
    data |= _points(points, data["circuit"])
    for name, found in (("parts", parts), ("states", states), ("complaints", complaints)):
        if found:
            data[name] = list(found.values())
    return Sent(
        draft=Draft(data=with_grounds(data), comments=tuple(_comments(cells.get("head", {})))),
        rows={
            "parts": tuple(parts),
            "states": tuple(states),
            "complaints": tuple(complaints),
        },
    )


def number_or_text(text: str) -> str | int | float:
    """Return a plain number as one, so that a sheet has it without quotes.

    >>> number_or_text("0.5"), number_or_text("2"), number_or_text("0.50"), number_or_text("2 min")
    (0.5, 2, '0.50', '2 min')
    """
    if not NUMBER.fullmatch(text):
        return text
    value = float(text) if "." in text else int(text)
    return value if str(value) == text else text


def _by_row(sent: QueryDict) -> dict[str, dict[str, str]]:
    """Every cell by its row: the name of a field is the row's id, a dot, and its key."""
    cells: dict[str, dict[str, str]] = {}
    for field in sent:
        row, dot, key = field.partition(".")
        if dot:
            text = unicodedata.normalize("NFC", str(sent.get(field, ""))).replace("\r\n", "\n")
            cells.setdefault(row, {})[key] = text.strip()
    return cells


def _rows(sent: QueryDict, name: str, cells: Mapping[str, Cells], read: Any) -> Iterator[Any]:
    for row in dict.fromkeys(sent.getlist(name)):
        found = cells.get(row, {})
        if found.get("out"):
            continue
        value = read(found)
        if value:
            yield row, value


def _part(cells: Cells) -> dict[str, Any]:
    kind_text = kind_typed(cells.get("kind", ""))
    kind = Kind(kind_text) if kind_text in set(Kind) else None
    part: dict[str, Any] = {}
    for key, text in (("name", cells.get("name", "")), ("kind", kind_text)):
        if text:
            part[key] = text
    columns = {"e": (end_columns(kind), ENDS), "s": (size_columns(kind), SIZES)}
    for letter, (keys, others) in columns.items():
        for number, other in enumerate(others):
            text = cells.get(f"{letter}{number + 1}", "")
            if text:
                part[keys[number] if number < len(keys) else other] = text
    for key, text in cells.items():
        if key.startswith("k.") and text:
            part.setdefault(key[2:], _special(key[2:], text))
    return part


def _special(key: str, text: str) -> Any:
    match key:
        case "terminals":
            return {name: value or "" for name, value in read_items(text)}
        case "positions":
            return read_lists(text)
        case "rate":
            return number_or_text(text)
    return text


def _point(cells: Cells) -> dict[str, str]:
    keys = ("letter", "was", "words", "minutes", "hidden")
    return {key: cells.get(key, "") for key in keys} if any(cells.values()) else {}


def _points(points: list[dict[str, str]], head: dict[str, Any]) -> dict[str, Any]:
    letters: dict[str, Any] = {}
    access: dict[str, Any] = {}
    unreachable = []
    for one in points:
        words, letter = one["words"], one["letter"]
        if not words:
            continue
        if one["hidden"]:
            unreachable.append(words)
        elif letter:
            letters[letter] = words
        if one["minutes"]:
            key = letter if letter and not one["hidden"] else words
            access[key] = number_or_text(one["minutes"])
    if unreachable:
        head["unreachable"] = unreachable
    tables = {"points": letters, "access": access}
    return {name: table for name, table in tables.items() if table}


def _rename(parts: Any, renamed: Mapping[str, str]) -> None:
    """A point that was given other words keeps its ends: those typed by the old words follow."""
    for part in parts:
        for terminal, words in ends_of_part(part).items():
            if words in renamed:
                table = part if terminal in part else part["terminals"]
                table[terminal] = renamed[words]


def _state(cells: Cells, kinds: Mapping[str, Kind | None]) -> dict[str, Any]:
    state: dict[str, Any] = {}
    for key in ("name", "words", "after"):
        if cells.get(key):
            state[key] = cells[key]
    for key in ("minutes", "held"):
        if cells.get(key):
            state[key] = number_or_text(cells[key])
    if not state and not cells.get("set"):
        return {}
    state["closed"] = []
    for name, value in read_items(cells.get("set", "")):
        _set(state, name, value, kinds.get(name))
    return state


def _set(state: dict[str, Any], name: str, value: str | None, kind: Kind | None) -> None:
    stands = FORMS[kind].stands if kind else ()
    if kind is Kind.SWITCH and value in ("closed", "on"):
        value = None
    if value is None and kind is not Kind.SWITCH and stands:
        value = next(stand for stand in stands if stand in ("on", "turning"))
    if value is None:
        state["closed"].append(name)
    else:
        table = "sizes" if kind is Kind.SENDER else "positions"
        state.setdefault(table, {})[name] = value


def _complaint(cells: Cells) -> dict[str, Any]:
    keys = ("key", "words", "load", "state", "looks")
    found = {key: cells[key] for key in keys if cells.get(key)}
    return {} if set(found) == {"looks"} else found


def _name_complaints(complaints: Any) -> None:
    """A complaint without a short name gets its first words."""
    taken = {one.get("key") for one in complaints}
    for one in complaints:
        if "key" not in one and one.get("words"):
            plain = "-".join(re.findall(r"\w+", one["words"].casefold())[:4]) or "complaint"
            key, number = plain, 2
            while key in taken:
                key, number = f"{plain}-{number}", number + 1
            one["key"] = key
            taken.add(key)


def _head(cells: Cells, renamed: Mapping[str, str]) -> dict[str, Any]:
    head: dict[str, Any] = {key: cells[key] for key in HEAD_CELLS if cells.get(key)}
    if head.get("body") in renamed:
        head["body"] = renamed[head["body"]]
    if cells.get("restraint"):
        head["restraint"] = True
    return head


def _comments(cells: Cells) -> list[str]:
    return [line for line in cells.get("comments", "").splitlines() if line.strip()]


def names_of(draft: Draft, name: str) -> list[str]:
    """Return the names of parts or states, for the lists to choose from."""
    return [
        one["name"]
        for _, one in tables_of(draft.data, name)
        if isinstance(one.get("name"), str) and one["name"].strip()
    ]
