"""Several entries typed on one line: "S2, S5 = low; TEMP = 180 ohm", and back.

A comma or a semicolon parts them; a comma between two figures is a decimal comma. What holds such
signs stands in quotes.
"""

import json
import re
from collections.abc import Iterable, Sequence
from typing import Final

_QUOTED: Final = r'"(?:\\.|[^"\\])*"'
_COMMA: Final = r"(?<![0-9]),|,(?![0-9])"
_APART: Final = re.compile(rf"({_QUOTED})|({_COMMA}|[;\n])")
_EQUALS: Final = re.compile(rf"({_QUOTED})|(=)")
_SLASH: Final = re.compile(rf"({_QUOTED})|(/)")
_SIGNS: Final = re.compile(r'[,;=/"\\\n\r]|^\s|\s$|^$')
Item = tuple[str, str | None]


def read_items(text: str) -> list[Item]:
    """Return each name of a line and what it is set to; None where nothing is.

    Parameters
    ----------
    text
        The line.

    Examples
    --------
    >>> read_items('S2, S5 = low; TEMP = 1,5 kohm, "Lamp, left"')
    [('S2', None), ('S5', 'low'), ('TEMP', '1,5 kohm'), ('Lamp, left', None)]
    """
    items: list[Item] = []
    for piece in _parted(_APART, text):
        name, *values = _parted(_EQUALS, piece, most=1)
        if name.strip() or values:
            items.append((_plain(name), _plain(values[0]) if values else None))
    return items


def write_items(items: Iterable[Item]) -> str:
    """Return names and what they are set to as one line.

    Parameters
    ----------
    items
        Names, and what each is set to; None for nothing.

    Examples
    --------
    >>> write_items([("S2", None), ("S5", "low"), ("Lamp, left", None)])
    'S2, S5 = low, "Lamp, left"'
    """
    return ", ".join(
        _quoted(name) if value is None else f"{_quoted(name)} = {_quoted(value)}".rstrip()
        for name, value in items
    )


def read_lists(text: str) -> dict[str, list[str]]:
    """Return each name of a line and the words that follow it, parted by strokes.

    Parameters
    ----------
    text
        The line.

    Examples
    --------
    >>> read_lists("off, low = B-L, high = B-H / B-L")
    {'off': [], 'low': ['B-L'], 'high': ['B-H', 'B-L']}
    """
    found = {}
    for piece in _parted(_APART, text):
        name, *values = _parted(_EQUALS, piece, most=1)
        if name.strip() or values:
            words = _parted(_SLASH, values[0]) if values else []
            found[_plain(name)] = [_plain(word) for word in words if word.strip()]
    return found


def write_lists(lists: Iterable[tuple[str, Sequence[str]]]) -> str:
    """Return names and their words as one line.

    Parameters
    ----------
    lists
        Names, and the words of each.

    Examples
    --------
    >>> write_lists([("off", []), ("high", ["B-H", "B-L"])])
    'off, high = B-H / B-L'
    """
    return ", ".join(
        f"{_quoted(name)} = {' / '.join(map(_quoted, words))}" if words else _quoted(name)
        for name, words in lists
    )


def _parted(signs: re.Pattern[str], text: str, most: int = 0) -> list[str]:
    """Split at signs that stand outside quotes, at most so many times."""
    pieces: list[str] = []
    start = 0
    for found in signs.finditer(text):
        if found.group(2) is not None and not (most and len(pieces) == most):
            pieces.append(text[start : found.start()])
            start = found.end()
    return [*pieces, text[start:]]


def _plain(text: str) -> str:
    plain = text.strip()
    if re.fullmatch(_QUOTED, plain):
        try:
            return str(json.loads(plain, strict=False))
        except ValueError:
            return plain
    return plain


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False) if _SIGNS.search(text) else text
