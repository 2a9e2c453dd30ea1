"""Procedures: reusable lists of steps as a person writes them, read into values."""

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from witnessmark.errors import BenchError
from witnessmark.quantities import unit_named
from witnessmark.sheets.toml_lines import Path
from witnessmark.sheets.toml_text import TomlText, read_toml
from witnessmark.work.limit_text import limit_from_text
from witnessmark.work.steps import (
    Advice,
    Closing,
    Hold,
    How,
    Measurement,
    OffItem,
    OnItem,
    Phase,
    PhotoNeed,
    Procedure,
    Step,
    StepKind,
)

Made = TypeVar("Made")

_KNOWN: Mapping[str, tuple[str, ...]] = {
    "sheet": ("procedure", "steps", "advice"),
    "procedure": ("key", "title", "source", "about"),
    "advice": ("key", "text"),
    "steps": (
        "key",
        "title",
        "minutes",
        "kind",
        "hold",
        "hold_minutes",
        "needs",
        "covers",
        "instructions",
        "operations",
        "cautions",
        "people",
        "skills",
        "permits",
        "tools",
        "practice",
        "wait_after_minutes",
        "off",
        "on",
        "measure",
        "photos",
    ),
    "off": ("key", "what", "how", "quantity", "unit", "one_use"),
    "on": ("key", "kind", "quantity"),
    "measure": ("key", "what", "unit", "limit", "source", "when", "instrument", "at"),
    "photos": ("key", "what"),
}
_KEY = re.compile(r"[a-z0-9][a-z0-9-]*")
_PEOPLE = re.compile(r"([1-9]\d?)(?: to ([1-9]\d?))?")
_KEY_WORDS = 'a short name of small letters, like "take-off"'


def read_procedure(text: str, name: str) -> Procedure:
    """Return the procedure that a TOML text holds.

    What is wrong with the work itself (a part that never goes back, a limit without a source)
    is not a mistake of the sheet: the check of steps finds it.

    Parameters
    ----------
    text
        The whole text.
    name
        What messages call it: the file's name.

    Returns
    -------
    Procedure
        Its steps in the order in which they are written.

    Raises
    ------
    SheetError
        With every mistake and its line.
    """
    sheet = read_toml(text, name)
    procedure = _Reader(sheet).procedure()
    sheet.finish()
    assert procedure is not None, "a procedure without a mistake was not made"
    return procedure


class _Reader:
    """The sheet being read; every mistake is noted where it stands."""

    def __init__(self, sheet: TomlText) -> None:
        self.sheet = sheet

    def procedure(self) -> Procedure | None:
        data = self.sheet.data
        self.sheet.unknown_keys((), data, _KNOWN["sheet"])
        path: Path = ("procedure",)
        head = data.get("procedure")
        if not isinstance(head, dict):
            self.sheet.mistake(
                path,
                "The sheet has no heading [procedure].",
                "It says what the procedure is called and where it comes from.",
                "Write [procedure] with key, title and source above the steps.",
            )
            head = {}
        self.sheet.unknown_keys(path, head, _KNOWN["procedure"])
        missing = not head
        key = "" if missing else self.key(path, head)
        title = "" if missing else self.words(path, head, "title")
        source = "" if missing else self.words(path, head, "source")
        about = self.words(path, head, "about", "")
        steps = [self.step(*entry) for entry in self.tables((), data, "steps")]
        advice = [self.advice(*entry) for entry in self.tables((), data, "advice")]
        if not steps:
            self.sheet.mistake(
                (),
                "The procedure has no steps.",
                "It needs at least one.",
                "Write [[steps]] with key, title and minutes.",
            )
        self._twice("steps", steps)
        if self.sheet.mistakes:
            return None
        return Procedure(
            key=key,
            title=title,
            source=source,
            about=about,
            steps=tuple(one for one in steps if one is not None),
            advice=tuple(one for one in advice if one is not None),
        )

    def _twice(self, table: str, made: list[Step | None]) -> None:
        first: dict[str, int] = {}
        for number, one in enumerate(made):
            if one is None:
                continue
            if one.key in first:
                self.sheet.mistake(
                    (table, number, "key"),
                    f"The key “{one.key}” stands on line "
                    f"{self.sheet.line(table, first[one.key], 'key')} already.",
                    "Each step needs a key of its own.",
                    "Rename one of them.",
                )
            first.setdefault(one.key, number)

    def step(self, path: Path, data: dict[str, Any]) -> Step | None:
        self.sheet.unknown_keys(path, data, _KNOWN["steps"])
        people = self.people(path, data)
        return self.make(
            path,
            Step,
            key=self.key(path, data),
            title=self.words(path, data, "title"),
            minutes=self.number(path, data, "minutes"),
            kind=self.one_of(path, data, "kind", StepKind, StepKind.WORK),
            hold=self.one_of(path, data, "hold", Hold, Hold.NONE),
            hold_min=self.number(path, data, "hold_minutes", 5),
            needs=self.many(path, data, "needs"),
            covers=self.many(path, data, "covers"),
            instructions=self.many(path, data, "instructions"),
            operations=self.many(path, data, "operations"),
            cautions=self.many(path, data, "cautions"),
            measurements=self.all_of(path, data, "measure", self.measurement),
            photos=self.all_of(path, data, "photos", self.photo),
            off=self.all_of(path, data, "off", self.off),
            on=self.all_of(path, data, "on", self.on),
            people_min=people[0],
            people_max=people[1],
            skills=self.many(path, data, "skills"),
            permits=self.many(path, data, "permits"),
            tools=self.many(path, data, "tools"),
            practice=self.many(path, data, "practice"),
            wait_after_min=self.number(path, data, "wait_after_minutes", 0),
        )

    def advice(self, path: Path, data: dict[str, Any]) -> Advice | None:
        self.sheet.unknown_keys(path, data, _KNOWN["advice"])
        return self.make(
            path, Advice, key=self.key(path, data), text=self.words(path, data, "text")
        )

    def off(self, path: Path, data: dict[str, Any]) -> OffItem | None:
        self.sheet.unknown_keys(path, data, _KNOWN["off"])
        return self.make(
            path,
            OffItem,
            key=self.key(path, data),
            what=self.words(path, data, "what"),
            how=self.one_of(path, data, "how", How, How.TAKEN_OFF),
            quantity=self.quantity(path, data, "1"),
            unit=self.unit(path, data, ""),
            one_use=self.yes(path, data, "one_use"),
        )

    def on(self, path: Path, data: dict[str, Any]) -> OnItem | None:
        self.sheet.unknown_keys(path, data, _KNOWN["on"])
        return self.make(
            path,
            OnItem,
            key=self.key(path, data),
            kind=self.one_of(path, data, "kind", Closing, Closing.BACK_ON),
            quantity=self.quantity(path, data, ""),
        )

    def photo(self, path: Path, data: dict[str, Any]) -> PhotoNeed | None:
        self.sheet.unknown_keys(path, data, _KNOWN["photos"])
        return self.make(
            path, PhotoNeed, key=self.key(path, data), what=self.words(path, data, "what")
        )

    def measurement(self, path: Path, data: dict[str, Any]) -> Measurement | None:
        self.sheet.unknown_keys(path, data, _KNOWN["measure"])
        unit = self.unit(path, data, None)
        limit = self.words(path, data, "limit", "")
        if unit is None:
            limit = ""
        elif limit:
            try:
                limit_from_text(limit, unit, "the sheet")
            except BenchError as error:
                self.note((*path, "limit"), error)
                limit = ""
        return self.make(
            path,
            Measurement,
            key=self.key(path, data),
            what=self.words(path, data, "what"),
            unit=unit or "",
            limit_text=" ".join(limit.split()),
            source=self.words(path, data, "source", ""),
            phase=self.one_of(path, data, "when", Phase, Phase.AS_LEFT),
            instrument=self.words(path, data, "instrument", ""),
            positions=self.many(path, data, "at"),
        )

    # one entry each

    def note(self, path: Path, error: BenchError) -> None:
        self.sheet.mistake(path, error.found, error.needed, error.do)

    def make(self, path: Path, value: Callable[..., Made], **entries: Any) -> Made | None:
        """Build a value unless one of its entries has a mistake; it may find more itself."""
        if any(
            self.sheet.line(*path) <= one.line <= self._last_line(path)
            for one in self.sheet.mistakes
        ):
            return None
        try:
            return value(**entries)
        except BenchError as error:
            self.note(path, error)
            return None

    def _last_line(self, path: Path) -> int:
        return max(
            (line for key, line in self.sheet.lines.items() if key[: len(path)] == path),
            default=0,
        )

    def tables(
        self, path: Path, data: dict[str, Any], key: str
    ) -> list[tuple[Path, dict[str, Any]]]:
        found = data.get(key, [])
        if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
            self.sheet.mistake(
                (*path, key),
                f"'{key}' is {_shown(found)}.",
                "It must be a list of entries.",
                f"Write each under a heading of its own: [[{key}]].",
            )
            return []
        return [((*path, key, number), one) for number, one in enumerate(found)]

    def all_of(
        self,
        path: Path,
        data: dict[str, Any],
        key: str,
        read: Callable[[Path, dict[str, Any]], Made | None],
    ) -> tuple[Made, ...]:
        made = [read(*entry) for entry in self.tables(path, data, key)]
        return tuple(one for one in made if one is not None)

    def take(
        self,
        path: Path,
        data: dict[str, Any],
        key: str,
        kind: type | tuple[type, ...],
        words: str,
        default: Any = ...,
    ) -> Any:
        """Return an entry of this kind or its default; None with a mistake noted."""
        if key not in data:
            if default is not ...:
                return default
            self.sheet.mistake(
                path,
                f"{_called(path, data)} has no '{key}'.",
                f"It needs {words}.",
                f"Add a line: {key} = ...",
            )
            return None
        value = data[key]
        if not isinstance(value, kind) or (isinstance(value, bool) and kind is not bool):
            self.sheet.mistake(
                (*path, key),
                f"'{key}' of {_called(path, data)} is {_shown(value)}.",
                f"It must be {words}.",
                f"Write {key} as {words}.",
            )
            return None if default is ... else default
        return value

    def words(self, path: Path, data: dict[str, Any], key: str, default: Any = ...) -> str:
        found = self.take(path, data, key, str, 'words in quotes, like "Fan bolt"', default)
        if found == "" and default is ...:
            self.sheet.mistake(
                (*path, key),
                f"'{key}' of {_called(path, data)} is empty.",
                "It needs words.",
                "Write them between the quotes.",
            )
        return str(found or "")

    def key(self, path: Path, data: dict[str, Any]) -> str:
        found = self.take(path, data, "key", str, _KEY_WORDS)
        if found is not None and not _KEY.fullmatch(found):
            self.sheet.mistake(
                (*path, "key"),
                f"The key is {_shown(found)}.",
                "A key has small letters, figures and hyphens.",
                f"Write {_KEY_WORDS}.",
            )
        return str(found or "")

    def number(self, path: Path, data: dict[str, Any], key: str, default: Any = ...) -> int:
        found = self.take(path, data, key, int, "a whole number of minutes", default)
        return 0 if found is None else int(found)

    def yes(self, path: Path, data: dict[str, Any], key: str) -> bool:
        return bool(self.take(path, data, key, bool, "true or false", False))

    def many(self, path: Path, data: dict[str, Any], key: str) -> tuple[str, ...]:
        found = self.take(path, data, key, list, 'a list of words, like ["fit", "prove"]', [])
        if not all(isinstance(one, str) for one in found):
            self.sheet.mistake(
                (*path, key),
                f"'{key}' of {_called(path, data)} is {_shown(found)}.",
                'It must be a list of words, like ["fit", "prove"].',
                "Put each of them in quotes.",
            )
            return ()
        return tuple(found)

    def one_of(self, path: Path, data: dict[str, Any], key: str, words: Any, default: Any) -> Any:
        choices = [str(one) for one in words]
        found = self.take(path, data, key, str, f"one of: {', '.join(choices)}", str(default))
        if found in choices:
            return words(found)
        self.sheet.mistake(
            (*path, key),
            f"'{key}' of {_called(path, data)} is {_shown(found)}.",
            f"It must be one of: {', '.join(choices)}.",
            "Write one of these words.",
        )
        return default

    def quantity(self, path: Path, data: dict[str, Any], default: str) -> str:
        found = self.take(
            path, data, "quantity", (str, int), 'a number, like 2 or "9.4 L"', default
        )
        return str(found)

    def unit(self, path: Path, data: dict[str, Any], default: str | None) -> str | None:
        words = 'a unit in quotes, like "mm"'
        found = self.take(path, data, "unit", str, words, ... if default is None else default)
        if not found:
            return None if found is None else ""
        try:
            return unit_named(found)
        except BenchError as error:
            self.note((*path, "unit"), error)
            return None

    def people(self, path: Path, data: dict[str, Any]) -> tuple[int, int]:
        words = 'how many learners, like 2 or "1 to 2"'
        found = self.take(path, data, "people", (int, str), words, "1 to 2")
        read = _PEOPLE.fullmatch(" ".join(str(found).split()))
        if read is None or (read[2] and int(read[2]) < int(read[1])):
            self.sheet.mistake(
                (*path, "people"),
                f"'people' of {_called(path, data)} is {_shown(found)}.",
                f"It must be {words}.",
                "Write the least and the most who can work on it.",
            )
            return 1, 2
        return int(read[1]), int(read[2] or read[1])


def _called(path: Path, data: dict[str, Any]) -> str:
    for key in ("title", "what", "key"):
        if isinstance(data.get(key), str) and data[key]:
            return f"“{data[key]}”"
    if isinstance(path[-1], int):
        return f"entry {path[-1] + 1} of '{path[-2]}'"
    return f"[{path[-1]}]"


def _shown(value: Any) -> str:
    text = f"“{value}”" if isinstance(value, str) else str(value)
    return text if len(text) < 60 else f"{text[:57]}..."
