"""One table of a sheet: asks for its entries, and notes every mistake with its place."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from witnessmark.errors import BenchError
from witnessmark.quantities import parse
from witnessmark.sheets.toml_lines import Path
from witnessmark.sheets.toml_text import TomlText

Made = TypeVar("Made")


class Entry:
    """A table being read. What it returns after a mistake serves only to read on.

    Attributes
    ----------
    sheet
        The text it stands in; mistakes are gathered there.
    path
        Where it stands, ("parts", 3).
    data
        Its keys and values.
    asked
        The keys that someone has asked for; the others are unknown.
    is_good
        Whether it has had no mistake yet.
    """

    def __init__(self, sheet: TomlText, path: Path, data: Mapping[str, Any]) -> None:
        self.sheet, self.path, self.data = sheet, path, data
        self.asked: list[str] = []
        self.is_good = True

    @property
    def name(self) -> str:
        """What the sheet calls it, for sentences."""
        for key in ("name", "title", "key"):
            if isinstance(self.data.get(key), str) and self.data[key]:
                return f"'{self.data[key]}'"
        words = []
        for step, then in zip(self.path, (*self.path[1:], ""), strict=True):
            if isinstance(step, int):
                words.append(str(step + 1))
            else:  # parts, 3: the fourth part
                words.append(step.removesuffix("s") if isinstance(then, int) else step)
        return " ".join(words) or "the sheet"

    def note(self, key: str, found: str, needed: str, do: str) -> None:
        """Note what is to mend at one of its keys."""
        self.is_good = False
        self.sheet.mistake((*self.path, key), found, needed, do)

    def take(self, key: str, kind: type | tuple[type, ...], words: str, default: Any = ...) -> Any:
        """Return an entry of this kind, its default, or None with a mistake noted."""
        self.asked.append(key)
        if key not in self.data:
            if default is ...:
                self.note(
                    key,
                    f"{self.name} has no '{key}'.",
                    f"It needs {words}.",
                    f"Add a line: {key} = ...",
                )
                return None
            return default
        value = self.data[key]
        if (
            not isinstance(value, kind)
            or (isinstance(value, bool) and kind is not bool)
            or (type(value) is not date and kind is date)
        ):
            self.note(
                key,
                f"'{key}' of {self.name} is {shown(value)}.",
                f"It must be {words}.",
                f"Write {key} as {words}.",
            )
            return None if default is ... else default
        return value

    def words(self, key: str, default: Any = ...) -> str:
        """Return words; empty after a mistake."""
        found = self.take(key, str, 'words in quotes, like "Bay 1"', default)
        if default is ... and found is not None and not found.strip():
            self.note(
                key,
                f"'{key}' of {self.name} is empty.",
                "It needs words.",
                "Write them between the quotes.",
            )
        return str(found or "").strip()

    def number(self, key: str, default: Any = ...) -> int:
        """Return a whole number."""
        found = self.take(key, int, "a whole number", default)
        return 0 if found is None else int(found)

    def yes(self, key: str) -> bool:
        """Return true or false, false where it is not said."""
        return bool(self.take(key, bool, "true or false", False))

    def day(self, key: str, default: Any = ...) -> date | None:
        """Return a day."""
        found = self.take(key, date, "a day without quotes, like 2026-11-24", default)
        return found if isinstance(found, date) else None

    def many(self, key: str) -> tuple[str, ...]:
        """Return a list of words, empty where it is not said."""
        found = self.take(key, list, 'a list of words, like ["stands", "press"]', [])
        if not all(isinstance(one, str) for one in found):
            self.note(
                key,
                f"'{key}' of {self.name} is {shown(found)}.",
                'It must be a list of words, like ["stands", "press"].',
                "Put each of them in quotes.",
            )
            return ()
        return tuple(found)

    def one_of(self, key: str, choices: Sequence[str], default: Any = ...) -> str:
        """Return one of the choices."""
        found = self.words(key, default)
        if found in choices:
            return found
        if found:
            self.note(
                key,
                f"'{key}' of {self.name} is '{found}'.",
                f"It must be one of: {', '.join(choices) or 'nothing yet'}.",
                "Write one of these words.",
            )
        return choices[0] if default is ... and choices else str(default)

    def size(
        self,
        key: str,
        unit: str,
        default: float | None = None,
        *,
        least: float = 0.0,
        most: float = 1e6,
    ) -> float:
        """Return a size in a unit, which a bare number has too; NaN after a mistake."""
        words = f'a size, like "2 {unit}"' if unit else "a number, like 2"
        found = self.take(key, (str, int, float), words, ... if default is None else default)
        if found is None:
            return float("nan")
        try:
            value = parse(written(found), unit).to(unit)
        except BenchError as error:
            self.note(key, error.found, error.needed, error.do)
            return float("nan")
        if not least <= value <= most:
            self.note(
                key,
                f"'{key}' of {self.name} is {found}.",
                f"It must be from {_plain(least)} to {_plain(most)} {unit}".rstrip() + ".",
                "Enter what it measures, or what the maker's sheet says.",
            )
            return float("nan")
        return value

    def table(self, key: str) -> "Entry":
        """Return a table of this one, empty where it is not there."""
        found = self.take(key, dict, f"a table that begins with [{key}]", {})
        return Entry(self.sheet, (*self.path, key), found)

    def tables(self, key: str) -> list["Entry"]:
        """Return the tables of one heading."""
        found = self.take(key, list, f"tables that begin with [[{key}]]", [])
        tables = []
        for at, one in enumerate(found):
            if isinstance(one, dict):
                tables.append(Entry(self.sheet, (*self.path, key, at), one))
            else:
                self.note(
                    key,
                    f"'{key}' holds {shown(one)}.",
                    f"It must be tables that begin with [[{key}]].",
                    f"Write each of them under a line [[{key}]].",
                )
        return tables

    def make(self, value: Callable[..., Made], **entries: Any) -> Made | None:
        """Build the value; what it refuses becomes a mistake of this table."""
        self.no_others()
        if not self.is_good:
            return None
        try:
            return value(**entries)
        except BenchError as error:
            self.sheet.mistake(self.path, error.found, error.needed, error.do)
            return None

    def no_others(self) -> None:
        """Note every key that nobody asked for, with the nearest one that is known."""
        self.sheet.unknown_keys(self.path, dict(self.data), tuple(dict.fromkeys(self.asked)))


def no_twins(entries: Sequence[Entry], key: str) -> None:
    """Note each entry whose key has the value of one above it.

    Parameters
    ----------
    entries
        The tables of one list, in their order.
    key
        The key that names each of them.
    """
    first: dict[str, Entry] = {}
    for entry in entries:
        value = entry.data.get(key)
        if not isinstance(value, str):
            continue
        before = first.setdefault(value.strip(), entry)
        if before is not entry:
            entry.note(
                key,
                f"'{value}' stands on line {entry.sheet.line(*before.path, key)} already.",
                f"Each of the {entry.path[0]} has a {key} of its own.",
                "Rename one of them.",
            )


def shown(value: object) -> str:
    """Return a value as a sentence gives it back, cut where it is long.

    Parameters
    ----------
    value
        Whatever stands in the sheet.

    Examples
    --------
    >>> shown("two"), shown(2)
    ("'two'", '2')
    """
    text = f"'{value}'" if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def written(value: str | int | float) -> str:
    """Return a size as a person would write it: a bare number without an exponent.

    Parameters
    ----------
    value
        A size as it stands in the sheet.

    Examples
    --------
    >>> written(1e-05), written("2,5 m")
    ('0.00001', '2,5 m')
    """
    return value if isinstance(value, str) else format(Decimal(repr(value)), "f")


def _plain(value: float) -> str:
    return f"{value:g}" if value < 1e6 else f"{value:.0f}"
