"""TOML that a person wrote: its data, and the line each entry stands on."""

import re
import tomllib
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from witnessmark.errors import Mistake, SheetError
from witnessmark.sheets.toml_lines import Path, lines_of

_AT_LINE = re.compile(r" \(at line (\d+), column \d+\)$")
_LONG_NUMBER = re.compile(r"[0-9][0-9_]{4000,}")
_UNSEEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")  # but for tab and new line
_AT_END = " (at end of document)"


@dataclass(slots=True)
class TomlText:
    """A sheet being read: data, lines, and the mistakes found so far.

    A mistake does not stop the reading, so that a person sees all of them at once.
    """

    name: str
    data: dict[str, Any]
    lines: dict[Path, int]
    mistakes: list[Mistake] = field(default_factory=list)

    def line(self, *path: str | int) -> int:
        """Return the line of an entry, or of the nearest entry around it; 0 for the whole text."""
        for end in range(len(path), 0, -1):
            if path[:end] in self.lines:
                return self.lines[path[:end]]
        return 0

    def mistake(self, path: Path, found: str, needed: str, do: str) -> None:
        """Note what is to mend at an entry; an absent entry points at the one around it."""
        self.mistakes.append(
            Mistake(line=self.line(*path), found=found, needed=needed, do=do, path=path)
        )

    def unknown_keys(self, path: Path, table: dict[str, Any], known: tuple[str, ...]) -> None:
        """Note every key of a table that nothing reads, with the nearest known one."""
        for key in table:
            if key not in known:
                near = get_close_matches(key, known, n=1)
                self.mistake(
                    (*path, key),
                    f"Nothing here is called '{key}'.",
                    f"Known here: {', '.join(known)}.",
                    f"Did you mean '{near[0]}'?" if near else "Take the line out, or rename it.",
                )

    def finish(self) -> None:
        """Raise every mistake at once, in the order of their lines."""
        if self.mistakes:
            raise SheetError(self.name, sorted(self.mistakes, key=lambda mistake: mistake.line))


def read_toml(text: str, name: str) -> TomlText:
    """Return the data of a TOML text with the line of each entry.

    Parameters
    ----------
    text
        The whole text.
    name
        What messages call it: the file's name.

    Returns
    -------
    TomlText
        Data and lines; mistakes are gathered on it.

    Raises
    ------
    SheetError
        If the text is not TOML, with the line where reading stopped.

    References
    ----------
    TOML v1.0.0, read by Python's own tomllib.

    Examples
    --------
    >>> read_toml('[circuit]\\nname = "fan"', "fan.toml").line("circuit", "name")
    2
    """
    text = text.removeprefix("\ufeff")  # some editors put this sign before a text
    if not text.strip():
        nothing = Mistake(
            line=0,
            found="The text is empty.",
            needed="A sheet is a TOML text.",
            do="Start from one of the examples in the Library.",
        )
        raise SheetError(name, [nothing])
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SheetError(name, [_syntax_mistake(str(error), text)]) from error
    except ValueError as error:  # Python reads no whole number of more than 4300 digits
        raise SheetError(name, [_long_number(text)]) from error
    except RecursionError as error:
        deep = Mistake(
            line=0,
            found="The text has brackets within brackets, hundreds deep.",
            needed="A sheet needs three levels at most.",
            do="Start from one of the examples in the Library.",
        )
        raise SheetError(name, [deep]) from error
    sheet = TomlText(name=name, data=data, lines=lines_of(text))
    _note_unseen(sheet, data, ())
    return sheet


def _note_unseen(sheet: TomlText, found: Any, path: Path) -> None:
    """Note signs that steer a machine and show nothing: no name has a use for them."""
    if isinstance(found, dict):
        for key, value in found.items():
            _note_unseen(sheet, key, (*path, key))
            _note_unseen(sheet, value, (*path, key))
    elif isinstance(found, list):
        for number, value in enumerate(found):
            _note_unseen(sheet, value, (*path, number))
    elif isinstance(found, str) and (unseen := _UNSEEN.search(found)):
        sheet.mistake(
            path,
            f"'{_UNSEEN.sub('�', found)[:40]}' holds a sign that nobody sees, "
            f"number {ord(unseen[0])}.",
            "Words are letters, figures and signs that print.",
            "Delete the words and type them again.",
        )


def _long_number(text: str) -> Mistake:
    at = _LONG_NUMBER.search(text)
    return Mistake(
        line=text.count("\n", 0, at.start()) + 1 if at else 0,
        found="A number here has thousands of digits.",
        needed="No instrument shows more than a dozen.",
        do="Write the number again.",
    )


def _syntax_mistake(words: str, text: str) -> Mistake:
    at = _AT_LINE.search(words)
    line = int(at.group(1)) if at else len(text.splitlines())
    plain = _AT_LINE.sub("", words).removesuffix(_AT_END)
    return Mistake(
        line=line,
        found=f"This line cannot be read as TOML: {plain[:1].lower()}{plain[1:]}.",
        needed='TOML writes a line as key = "text" or key = 12, and a heading in brackets.',
        do="Check the quotes and brackets on this line and the line above it.",
    )
