"""The comment that names the usual sizes of a sheet, written and read back.

A text must hold every size, or no reader could use it. The comment says which of them nobody typed,
so that they are not taken for typed ones when the sheet is gone on with.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from witnessmark.networks import FORMS
from witnessmark.sheets.circuit_draft import Draft, Typed, kind_of_part, tables_of
from witnessmark.sheets.circuit_usual import Taken, with_usual
from witnessmark.sheets.toml_write import UNSEEN

USUAL_TAKEN: Final = "Usual sizes, not from the diagram:"
_TEXT: Final = re.compile(r" (?P<text>[0-9][^ ,]* [^ ,]+)(?:, |$)")
Place = tuple[int, str]


def usual_said(taken: Sequence[Taken]) -> str:
    """Return the comment that names the usual sizes of a sheet.

    Parameters
    ----------
    taken
        The sizes that nobody typed; one at the least.

    Examples
    --------
    >>> one = Taken(number=0, part="F12", key="ohms", words="resistance", text="0.00375 ohm")
    >>> usual_said([one])
    'Usual sizes, not from the diagram: F12 resistance 0.00375 ohm.'
    """
    sizes = (f"{_called(one.part, one.words)} {one.text}" for one in taken)
    return f"{USUAL_TAKEN} {', '.join(sizes)}."


def own_comments(comments: Sequence[str]) -> tuple[str, ...]:
    """Return the comments that an author wrote, without the one that names the usual sizes.

    Parameters
    ----------
    comments
        The comments of a sheet.
    """
    return tuple(line for line in comments if not line.startswith(USUAL_TAKEN))


def without_usual(draft: Draft) -> Draft:
    """Return a sheet as it was typed: the usual sizes that its comment names are out again.

    A size stays where its text is another than the comment says, where the part has another name,
    and where it would not come back by itself just as it stands.

    Parameters
    ----------
    draft
        A sheet, whole or half done.

    Examples
    --------
    >>> comment = "Usual sizes, not from the diagram: F12 resistance 0.00375 ohm."
    >>> fuse = {"name": "F12", "kind": "fuse", "rating": "20 A", "ohms": "0.00375 ohm"}
    >>> without_usual(Draft(data={"parts": [fuse]}, comments=(comment,)))
    Draft(data={'parts': [{'name': 'F12', 'kind': 'fuse', 'rating': '20 A'}]}, comments=())
    """
    comments = own_comments(draft.comments)
    if len(comments) == len(draft.comments):
        return draft
    out = {place for line in draft.comments for place in _named(draft.data, line)}
    while True:
        data = _without(draft.data, out)
        filled, _ = with_usual(data)
        again, typed = (dict(tables_of(one, "parts")) for one in (filled, draft.data))
        # Volts of a battery say which sizes are usual beside it: what would change stays typed.
        stay = {(at, key) for at, key in out if again[at].get(key) != typed[at][key]}
        if not stay:
            return replace(draft, data=data, comments=comments)
        out -= stay


def _called(part: str, words: str) -> str:
    return UNSEEN.sub(" ", f"{part} {words}")


def _named(data: Typed, line: str) -> Iterator[Place]:
    """The sizes that a comment names and that stand in the sheet with the same text."""
    if not line.startswith(USUAL_TAKEN):
        return
    places = _places(data)
    rest = line.removeprefix(USUAL_TAKEN).removeprefix(" ").removesuffix(".")
    while rest:
        # A name may hold commas and blanks: it goes on until name and size are in the sheet.
        ends = _TEXT.finditer(rest)
        end = next((one for one in ends if places.get(rest[: one.start()])), None)
        if end is None:  # the part has another name now, or is out
            rest = rest.partition(", ")[2]
            continue
        place, text = places[rest[: end.start()]].pop(0)
        if text == end["text"]:
            yield place
        rest = rest[end.end() :]


def _places(data: Typed) -> dict[str, list[tuple[Place, Any]]]:
    """Every size that a part may be told in, as the comment calls it, with what is typed there."""
    places: dict[str, list[tuple[Place, Any]]] = {}
    for number, part in tables_of(data, "parts"):
        kind, name = kind_of_part(part), part.get("name")
        for size in (one for way in (FORMS[kind].ways if kind else ()) for one in way):
            called = _called(name if isinstance(name, str) else "", size.words)
            places.setdefault(called, []).append(((number, size.key), part.get(size.key)))
    return places


def _without(data: Typed, out: set[Place]) -> Typed:
    if not out:
        return data
    left = {
        number: {key: one for key, one in part.items() if (number, key) not in out}
        for number, part in tables_of(data, "parts")
    }
    return {**data, "parts": [left.get(at, one) for at, one in enumerate(data["parts"])]}
