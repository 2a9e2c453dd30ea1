"""Values -> TOML as a person would write it: one key a line, one table after another.

Written here and not by a library, so that each key has a line of its own, which messages name, and
a sheet looks after the browser as it looks when it is typed.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time
from typing import Any, Final

_BARE: Final = re.compile(r"[A-Za-z0-9_-]+")
_FORBIDDEN: Final = re.compile("[\x7f\ud800-\udfff]")  # not allowed as they are in TOML

UNSEEN: Final = re.compile("[\x00-\x1f\x7f\ud800-\udfff]")  # no comment may hold these


def write_toml(data: Mapping[str, Any], comments: Sequence[str] = ()) -> str:
    """Return a TOML text that reads back to the same data.

    Parameters
    ----------
    data
        What tomllib gives: texts, numbers, days, lists and tables.
    comments
        Lines that stand before everything else.

    Returns
    -------
    str
        The text. Keys keep their order; in each table those without tables of their own stand
        first, as TOML wants it.

    Notes
    -----
    Half of a surrogate pair, which no text in UTF-8 can hold, is written as the sign for what
    cannot be read.

    References
    ----------
    TOML v1.0.0.

    Examples
    --------
    >>> print(write_toml({"circuit": {"name": "fan"}, "parts": [{"name": "F12"}]}, ["page 7"]))
    # page 7
    <BLANKLINE>
    [circuit]
    name = "fan"
    <BLANKLINE>
    [[parts]]
    name = "F12"
    <BLANKLINE>
    """
    lines = [_comment(line) for line in comments]
    lines += _table((), data)
    return "\n".join(lines).strip("\n") + "\n"


def _comment(line: str) -> str:
    return f"# {UNSEEN.sub(' ', line).strip()}".rstrip()


def _table(path: tuple[str, ...], table: Mapping[str, Any]) -> Iterator[str]:
    later = []
    for key, value in table.items():
        if not path and (isinstance(value, Mapping) or _is_tables(value)):
            later.append((key, value))
        else:
            yield f"{_key(key)} = {_value(value)}"
    for key, value in later:
        here = (*path, key)
        name = ".".join(map(_key, here))
        if isinstance(value, Mapping):
            yield from ("", f"[{name}]", *_table(here, value))
        else:
            for one in value:
                yield from ("", f"[[{name}]]", *_table(here, one))


def _is_tables(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _value(value: Any) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return _text(value)
        case int():
            return str(value)
        case float():
            return repr(value)  # inf and nan are written so in TOML too
        case datetime() | date() | time():
            return value.isoformat()
        case Mapping():
            inside = ", ".join(f"{_key(key)} = {_value(one)}" for key, one in value.items())
            return f"{{ {inside} }}" if inside else "{}"
        case list() | tuple():
            return f"[{', '.join(map(_value, value))}]"
    raise TypeError(f"{type(value).__name__} has no place in a sheet: {value!r}")


def _text(text: str) -> str:
    """A basic string: JSON escapes the same signs in the same way, but for two."""
    quoted = json.dumps(text, ensure_ascii=False)
    return _FORBIDDEN.sub(lambda sign: "\\u007f" if sign[0] == "\x7f" else "\ufffd", quoted)
