"""A circuit sheet as it was typed, right or not: its entries, their order, and its comments."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from witnessmark.networks import FORMS, Kind
from witnessmark.sheets.point_words import point_words
from witnessmark.sheets.toml_lines import comments_of
from witnessmark.sheets.toml_text import read_toml
from witnessmark.sheets.toml_write import write_toml

TOP: Final = ("circuit", "points", "access", "parts", "states", "complaints")
HEAD: Final = (
    "name",
    "group",
    "about",
    "source",
    "note",
    "unreachable",
    "temperature",
    "body",
    "restraint",
)
PART: Final = ("name", "kind", "words")
STATE: Final = ("name", "words", "closed", "positions", "sizes", "minutes", "held", "after")
COMPLAINT: Final = ("key", "words", "load", "state", "looks")
_ANY_END: Final = tuple(
    dict.fromkeys(terminal.key for form in FORMS.values() for terminal in form.terminals)
)
Typed = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A sheet as it was typed.

    Attributes
    ----------
    data
        Its entries, with the author's own texts: "2.5 mm2", "20 A".
    comments
        Its comments, which say nothing to the reader and are kept all the same.
    """

    data: Typed
    comments: tuple[str, ...] = ()


def read_draft(text: str, name: str) -> Draft:
    """Return what stands in a text, whether or not it is a circuit.

    Parameters
    ----------
    text
        A TOML text; an empty one is a sheet of which nothing was typed yet.
    name
        What messages call it.

    Raises
    ------
    SheetError
        If it is no TOML at all, with the line where reading stopped.
    """
    text = text.removeprefix("\ufeff")
    if not text.strip():
        return Draft(data={})
    return Draft(data=read_toml(text, name).data, comments=comments_of(text))


def write_draft(draft: Draft) -> str:
    """Return a draft as a text, its keys in the order of the examples.

    Parameters
    ----------
    draft
        What was typed.

    Examples
    --------
    >>> print(write_draft(Draft(data={"parts": [{"kind": "fuse", "name": "F12"}]})))
    [[parts]]
    name = "F12"
    kind = "fuse"
    <BLANKLINE>
    """
    data = _in_order(draft.data, TOP)
    if isinstance(data.get("circuit"), dict):
        data["circuit"] = _in_order(data["circuit"], HEAD)
    for name in ("parts", "states", "complaints"):
        if isinstance(data.get(name), list):
            data[name] = [
                _in_order(one, _keys(name, one)) if isinstance(one, dict) else one
                for one in data[name]
            ]
    return write_toml(data, draft.comments)


def kind_of_part(part: Typed) -> Kind | None:
    """Return the kind that an entry names; None where it names none that is known.

    Parameters
    ----------
    part
        One of the entries under [[parts]].
    """
    text = part.get("kind")
    return Kind(text) if isinstance(text, str) and text in set(Kind) else None


def tables_of(data: Typed, name: str) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield the number and entries of each table of a list; whatever else stands there is passed.

    Parameters
    ----------
    data
        What was typed.
    name
        "parts", "states" or "complaints".
    """
    found = data.get(name)
    for number, one in enumerate(found if isinstance(found, list) else ()):
        if isinstance(one, dict):
            yield number, one


def table_of(data: Typed, name: str) -> dict[str, Any]:
    """Return a table, empty where it is not there or is none.

    Parameters
    ----------
    data
        What was typed.
    name
        "circuit", "points" or "access".
    """
    found = data.get(name)
    return found if isinstance(found, dict) else {}


def ends_of_part(part: Typed) -> dict[str, str]:
    """Return the terminals of an entry and the points typed for them, each in its one spelling.

    Parameters
    ----------
    part
        One of the entries under [[parts]], of a known kind or not.
    """
    kind = kind_of_part(part)
    keys = [one.key for one in FORMS[kind].terminals] if kind else list(_ANY_END)
    typed = {key: part[key] for key in keys if key in part}
    if kind is Kind.SELECTOR or kind is None:
        typed |= table_of(part, "terminals")
    return {
        key: point_words(one) for key, one in typed.items() if isinstance(one, str) and one.strip()
    }


def _keys(name: str, one: Typed) -> Sequence[str]:
    if name == "states":
        return STATE
    if name == "complaints":
        return COMPLAINT
    kind = kind_of_part(one)
    if kind is None:
        return (*PART, *_ANY_END)
    form = FORMS[kind]
    sizes = [size.key for way in (*form.ways, form.options) for size in way]
    ends = [terminal.key for terminal in form.terminals] or ["terminals", "positions"]
    return (*PART, *ends, *sizes, *(choice.key for choice in form.choices), "rate")


def _in_order(table: Typed, keys: Sequence[str]) -> dict[str, Any]:
    known = {key: table[key] for key in keys if key in table}
    return known | {key: value for key, value in table.items() if key not in known}
