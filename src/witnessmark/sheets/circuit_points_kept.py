"""Points of a half-done sheet: who ends where, letters given once, and ends that are open."""

from collections.abc import Iterator
from typing import Any

from witnessmark.networks import BATTERY_MINUS, Kind
from witnessmark.sheets.circuit_draft import (
    Typed,
    ends_of_part,
    kind_of_part,
    table_of,
    tables_of,
)
from witnessmark.sheets.circuit_points import ALL_LETTERS
from witnessmark.sheets.point_words import point_words

Ends = dict[str, list[tuple[int, str]]]  # words -> number of a part and its terminal


def ends_by_point(data: Typed) -> Ends:
    """Return which parts end at each point, by the point's words.

    Parameters
    ----------
    data
        A sheet as it was typed. An end typed as a letter means the point of that letter.
    """
    words_of = letters_kept(data)
    ends: Ends = {}
    for number, part in tables_of(data, "parts"):
        for terminal, typed in ends_of_part(part).items():
            ends.setdefault(words_of.get(typed, typed), []).append((number, terminal))
    return ends


def letters_kept(data: Typed) -> dict[str, str]:
    """Return each letter that the sheet keeps, and the words of its point.

    Parameters
    ----------
    data
        A sheet as it was typed.
    """
    kept = table_of(data, "points").items()
    return {letter: point_words(words) for letter, words in kept if isinstance(words, str)}


def reference_of(data: Typed) -> str:
    """Return the words of the battery's negative post; empty while there is no battery.

    Parameters
    ----------
    data
        A sheet as it was typed.
    """
    words_of = letters_kept(data)
    for _, part in tables_of(data, "parts"):
        if kind_of_part(part) is Kind.BATTERY:
            typed = ends_of_part(part).get("minus", "")
            return words_of.get(typed, typed)
    return ""


def with_letters(data: Typed) -> dict[str, Any]:
    """Return the sheet with a letter for every point that joins two ends; those given stay.

    Parameters
    ----------
    data
        A sheet as it was typed.

    Examples
    --------
    >>> parts = [{"kind": "wire", "from": "stud", "to": "lamp"}, {"kind": "lamp", "from": "lamp"}]
    >>> with_letters({"parts": parts})["points"]
    {'A': 'lamp'}
    """
    ends = ends_by_point(data)
    kept = letters_kept(data)
    head = table_of(data, "circuit").get("unreachable")
    unreachable = {one for one in head if isinstance(one, str)} if isinstance(head, list) else set()
    reference = reference_of(data)
    named = set(kept.values()) | unreachable | {reference, BATTERY_MINUS}
    free = (one for one in ALL_LETTERS if one not in kept and one not in ends)
    new = {}
    if reference and reference != BATTERY_MINUS and BATTERY_MINUS not in kept:
        new[BATTERY_MINUS] = reference  # so that whoever types 0 means it
    for words, at in ends.items():
        if len(at) > 1 and words not in named and words not in ALL_LETTERS:
            letter = next(free, None)
            if letter is not None:
                new[letter] = words
    return {**data, "points": {**table_of(data, "points"), **new}} if new else dict(data)


def without_left_points(data: Typed) -> dict[str, Any]:
    """Return the sheet without the letters of points at which nothing ends any more.

    A wrong spelling that has been mended leaves such a point behind. One whose minutes were typed
    stays, and is told.

    Parameters
    ----------
    data
        A sheet as it was typed.

    Examples
    --------
    >>> without_left_points({"points": {"A": "aftr F1", "B": "stud"}, "access": {"B": 2}})["points"]
    {'B': 'stud'}
    """
    ends = ends_by_point(data)
    minutes = table_of(data, "access")
    kept = {
        letter: words
        for letter, words in table_of(data, "points").items()
        if letter in minutes
        or not isinstance(words, str)
        or point_words(words) in ends
        or words in minutes
    }
    if not isinstance(data.get("points"), dict):
        return dict(data)
    return {**data, "points": kept}


def open_ends(data: Typed) -> Iterator[tuple[int, str, str]]:
    """Yield number of the part, terminal and words of each point where nothing else ends.

    Parameters
    ----------
    data
        A sheet as it was typed.
    """
    for words, at in ends_by_point(data).items():
        if len(at) == 1:
            ((number, terminal),) = at
            yield number, terminal, words
