"""Circuit sheets: parts, points, states and complaints as a person writes them."""

from collections.abc import Callable
from dataclasses import replace
from string import ascii_uppercase
from typing import Any, Final

from witnessmark.errors import BenchError
from witnessmark.networks import (
    BATTERY_MINUS,
    LOADS,
    Circuit,
    Complaint,
    Kind,
    Look,
    Part,
    Point,
    State,
    awg_area_mm2,
    wire_resistance,
)
from witnessmark.networks.battery import inner_resistance, rest_voltage
from witnessmark.quantities import parse
from witnessmark.sheets.toml_lines import Path
from witnessmark.sheets.toml_text import TomlText, read_toml

LETTERS: Final = tuple(sign for sign in ascii_uppercase if sign not in "IO")
MOST_PARTS: Final = 400
OPEN_SWITCH_OHM: Final = "0.01 ohm"
_TOP = ("circuit", "points", "access", "parts", "states", "complaints")
_CIRCUIT = ("name", "source", "note", "temperature", "unreachable")
_COMMON = ("name", "kind", "words", "rate")
_ENDS = ("from", "to")
_KEYS: Final[dict[Kind, tuple[str, ...]]] = {
    Kind.BATTERY: ("plus", "minus", "emf", "inside", "charge", "cca"),
    Kind.WIRE: (*_ENDS, "ohms", "size", "length", "temperature"),
    Kind.CONNECTOR: (*_ENDS, "ohms"),
    Kind.SPLICE: (*_ENDS, "ohms"),
    Kind.GROUND: (*_ENDS, "ohms"),
    Kind.FUSE: (*_ENDS, "ohms", "rating"),
    Kind.SWITCH: (*_ENDS, "ohms"),
    Kind.RELAY: (
        *_ENDS,
        "ohms",
        "coil_from",
        "coil_to",
        "coil_ohms",
        "pulls_in",
        "drops_out",
        "rests",
    ),
    Kind.LAMP: (*_ENDS, "power", "volts"),
    Kind.RESISTOR: (*_ENDS, "ohms"),
    Kind.MOTOR: (*_ENDS, "ohms"),
}


def read_circuit(text: str, name: str) -> Circuit:
    """Return the circuit of a sheet.

    Parameters
    ----------
    text
        TOML: [circuit], [points], [access], [[parts]], [[states]], [[complaints]].
    name
        What messages call the text: the file's name.

    Returns
    -------
    Circuit
        The circuit. Points without a letter in [points] get the next free one; I and O are left
        out, and after Z come AA, AB and so on.

    Raises
    ------
    SheetError
        With every mistake and its line.
    """
    reader = _Reader(read_toml(text, name))
    circuit = reader.circuit()
    reader.sheet.finish()
    assert circuit is not None, "a circuit is missing without a mistake"
    return circuit


class _Reader:
    def __init__(self, sheet: TomlText) -> None:
        self.sheet = sheet
        self.letters: dict[str, str] = {}  # words -> letter, as the sheet keeps them
        self.used: dict[str, None] = {}  # words of points, in the order they are met
        self.unreachable: frozenset[str] = frozenset()
        self.temperature_c = 20.0

    def circuit(self) -> Circuit | None:
        sheet = self.sheet
        sheet.unknown_keys((), sheet.data, _TOP)
        head = self._table(("circuit",))
        sheet.unknown_keys(("circuit",), head, _CIRCUIT)
        title = self._text(("circuit",), head, "name")
        source = self._text(("circuit",), head, "source")
        self.temperature_c = self._size(("circuit",), head, "temperature", "°C", default=20.0)
        self._points(head)
        parts = [part for part in map(self._part, range(len(self._rows("parts")))) if part]
        if not self._rows("parts"):
            sheet.mistake(
                (), "There are no parts.", "A circuit has a battery and a load.", "Add [[parts]]."
            )
        if len(self._rows("parts")) > MOST_PARTS:
            sheet.mistake(
                ("parts",),
                f"There are {len(self._rows('parts'))} parts.",
                f"A sheet holds {MOST_PARTS} at most.",
                "Cut it into circuits that share only the battery.",
            )
            return None
        self._names(parts)
        states = self._states(parts)
        complaints = self._complaints(parts, states)
        reference = self._reference(parts)
        self._loose_ends(parts, reference)
        points = self._lettered(reference)
        if sheet.mistakes or reference is None:
            return None
        keys = {point.words: point.key for point in points}
        return Circuit(
            name=title,
            source=source,
            note=str(head.get("note", "")),
            points=points,
            parts=tuple(_on_keys(part, keys) for part in parts),
            states=tuple(states),
            complaints=tuple(complaints),
        )

    # entries -----------------------------------------------------------------------------

    def _table(self, path: Path) -> dict[str, Any]:
        value: Any = self.sheet.data
        for step in path:
            value = value.get(step, {}) if isinstance(value, dict) else value[step]
        if isinstance(value, dict):
            return value
        self.sheet.mistake(
            path,
            f"'{path[-1]}' is not a table.",
            f"It is written as a heading, [{path[-1]}], with lines below it.",
            "Write it so.",
        )
        return {}

    def _rows(self, key: str) -> list[dict[str, Any]]:
        rows = self.sheet.data.get(key, [])
        if isinstance(rows, list) and all(isinstance(row, dict) for row in rows):
            return rows
        self.sheet.mistake(
            (key,),
            f"'{key}' is not a list of tables.",
            f"Each one stands under a heading of its own, [[{key}]].",
            "Write two brackets on each side.",
        )
        self.sheet.data[key] = []
        return []

    def _text(self, path: Path, table: dict[str, Any], key: str, default: str | None = None) -> str:
        value = table.get(key, default)
        if isinstance(value, str) and (value.strip() or default is not None):
            return value.strip()
        what = f"'{key}' is missing" if value is None else f"'{key}' is {value!r}"
        self.sheet.mistake(
            (*path, key),
            f"{_said(table, path)}: {what}.",
            "It must be a text in quotes.",
            f'Write {key} = "...".',
        )
        return ""

    def _size(
        self,
        path: Path,
        table: dict[str, Any],
        key: str,
        unit: str,
        default: float | None = None,
        positive: bool = False,
    ) -> float:
        """A size in a unit; a bare number is taken in that unit. NaN after a mistake."""
        value = table.get(key)
        if value is None and default is not None:
            return default
        if isinstance(value, int | float) and not isinstance(value, bool):
            value = repr(value)
        if not isinstance(value, str):
            self.sheet.mistake(
                (*path, key),
                f"{_said(table, path)}: '{key}' is {'missing' if value is None else repr(value)}.",
                f"It needs a size in {unit}.",
                f'Write {key} = "... {unit}".',
            )
            return float("nan")
        try:
            size = parse(value, unit).to(unit)
        except BenchError as error:
            self.sheet.mistake((*path, key), error.found, error.needed, error.do)
            return float("nan")
        if positive and not size > 0:
            self.sheet.mistake(
                (*path, key),
                f"{_said(table, path)}: '{key}' is {value}.",
                f"It must be more than 0 {unit}.",
                "Enter what it measures, or what the maker's sheet says.",
            )
            return float("nan")
        return size

    # points ------------------------------------------------------------------------------

    def _points(self, head: dict[str, Any]) -> None:
        table = self._table(("points",))
        for letter, words in table.items():
            good = letter == BATTERY_MINUS or (
                letter.isascii() and letter.isalpha() and letter.isupper() and len(letter) <= 2
            )
            if not good or not isinstance(words, str) or not words.strip():
                self.sheet.mistake(
                    ("points", letter),
                    f"The point '{letter}' cannot be used.",
                    "A point is a capital letter and the author's words for the place.",
                    'Write for example A = "battery +".',
                )
            elif words.strip() in self.letters:
                self.sheet.mistake(
                    ("points", letter),
                    f"'{words}' has two letters, {self.letters[words.strip()]} and {letter}.",
                    "A place has one letter.",
                    "Take one of the lines out.",
                )
            else:
                self.letters[words.strip()] = letter
        hidden = head.get("unreachable", [])
        if not isinstance(hidden, list) or not all(isinstance(words, str) for words in hidden):
            self.sheet.mistake(
                ("circuit", "unreachable"),
                "'unreachable' is not a list of points.",
                "It lists, in words, the points where no probe can reach.",
                'Write unreachable = ["inside the loom"].',
            )
            return
        self.unreachable = frozenset(words.strip() for words in hidden)

    def _end(self, path: Path, table: dict[str, Any], key: str) -> str:
        words = self._text(path, table, key)
        by_letter = {letter: words for words, letter in self.letters.items()}
        words = by_letter.get(words, words)
        if words:
            self.used.setdefault(words)
        return words

    def _lettered(self, reference: str | None) -> tuple[Point, ...]:
        access = self._table(("access",))
        minutes: dict[str, float] = {}
        by_letter = {letter: words for words, letter in self.letters.items()}
        known = {*self.used, *by_letter}
        for key in access:
            if key not in known:
                self.sheet.mistake(
                    ("access", key),
                    f"No part ends at '{key}'.",
                    "Access minutes are given for points of the circuit.",
                    "Check the spelling, or take the line out.",
                )
                continue
            minutes[by_letter.get(key, key)] = self._size(("access",), access, key, "min")
        for words in (*self.letters, *self.unreachable):
            if words not in self.used:
                path: Path = (
                    ("points", self.letters[words])
                    if words in self.letters
                    else ("circuit", "unreachable")
                )
                self.sheet.mistake(
                    path,
                    f"No part ends at '{words}'.",
                    "Every point of the sheet lies at the end of a part.",
                    "Check the spelling, or take the point out.",
                )
        taken = set(self.letters.values())
        free = (letter for letter in _letters() if letter not in taken)
        points = []
        for words in self.used:
            if words == reference:
                letter = BATTERY_MINUS
            elif words in self.letters:
                letter = self.letters[words]
            else:
                letter = "" if words in self.unreachable else next(free)
            points.append(Point(letter=letter, words=words, access_min=minutes.get(words, 1.0)))
        order = {letter: number for number, letter in enumerate((BATTERY_MINUS, *_letters(), ""))}
        return tuple(sorted(points, key=lambda point: order[point.letter]))

    # parts -------------------------------------------------------------------------------

    def _part(self, number: int) -> Part | None:
        path: Path = ("parts", number)
        table = self.sheet.data["parts"][number]
        before = len(self.sheet.mistakes)
        self._text(path, table, "name")
        kind_text = table.get("kind")
        kinds = [kind.value for kind in Kind]
        if kind_text not in kinds:
            self.sheet.mistake(
                (*path, "kind"),
                f"{_said(table, path)}: the kind is {kind_text!r}.",
                f"Known kinds: {', '.join(kinds)}.",
                "Write one of these.",
            )
            return None
        kind = Kind(kind_text)
        self.sheet.unknown_keys(path, table, (*_COMMON, *_KEYS[kind]))
        values = self._values(kind, path, table)
        if len(self.sheet.mistakes) > before:
            return None
        try:
            return Part(
                name=table["name"].strip(),
                kind=kind,
                words=self._text(path, table, "words", default=""),
                rate=self._size(path, table, "rate", "") if "rate" in table else None,
                **values,
            )
        except BenchError as error:
            self.sheet.mistake(path, error.found, error.needed, error.do)
            return None

    def _values(self, kind: Kind, path: Path, table: dict[str, Any]) -> dict[str, Any]:
        def size(key: str, unit: str, default: float | None = None) -> float:
            return self._size(path, table, key, unit, default=default, positive=True)

        if kind is Kind.BATTERY:
            return self._battery(path, table, size)
        ends = {"first": self._end(path, table, "from"), "second": self._end(path, table, "to")}
        if kind is Kind.LAMP:
            return {**ends, "lamp_w": size("power", "W"), "lamp_v": size("volts", "V")}
        if kind is Kind.WIRE and "ohms" not in table:
            return {**ends, "ohm": self._wire(path, table, size)}
        ohm = size("ohms", "Ω")
        if kind is Kind.FUSE:
            return {**ends, "ohm": ohm, "rating_a": size("rating", "A")}
        if kind is not Kind.RELAY:
            return {**ends, "ohm": ohm}
        rests = self._text(path, table, "rests", default="open")
        if rests not in ("open", "closed"):
            self.sheet.mistake(
                (*path, "rests"),
                f"{_said(table, path)}: 'rests' is {rests!r}.",
                "While the coil is at rest the contact is open or closed.",
                'Write rests = "open" or rests = "closed".',
            )
        pulls, drops = size("pulls_in", "V"), size("drops_out", "V")
        if not drops < pulls and pulls == pulls and drops == drops:
            self.sheet.mistake(
                (*path, "drops_out"),
                f"{_said(table, path)} drops out at {drops:g} V and pulls in at {pulls:g} V.",
                "A relay drops out at fewer volts than it pulls in.",
                "Check which is which.",
            )
        return {
            **ends,
            "ohm": ohm,
            "coil_first": self._end(path, table, "coil_from"),
            "coil_second": self._end(path, table, "coil_to"),
            "coil_ohm": size("coil_ohms", "Ω"),
            "pull_in_v": pulls,
            "drop_out_v": drops,
            "closes_at_rest": rests == "closed",
        }

    def _battery(
        self, path: Path, table: dict[str, Any], size: Callable[..., float]
    ) -> dict[str, Any]:
        ends = {"first": self._end(path, table, "plus"), "second": self._end(path, table, "minus")}
        if "charge" not in table:
            return {**ends, "emf_v": size("emf", "V"), "ohm": size("inside", "Ω")}
        charge = size("charge", "%")
        if charge > 100:
            self.sheet.mistake(
                (*path, "charge"),
                f"{_said(table, path)} is charged to {charge:g} %.",
                "A full battery is at 100 %.",
                "Enter the state of charge, 100 % or less.",
            )
        for key in ("emf", "inside"):
            if key in table:
                self.sheet.mistake(
                    (*path, key),
                    f"{_said(table, path)} has both 'charge' and '{key}'.",
                    "Volts come from the state of charge, or from the sheet, not from both.",
                    f"Take '{key}' or 'charge' out.",
                )
        cranking = size("cca", "A")
        return {
            **ends,
            "charge": charge,
            "emf_v": rest_voltage(charge),
            "ohm": inner_resistance(cranking, charge),
        }

    def _wire(self, path: Path, table: dict[str, Any], size: Callable[..., float]) -> float:
        length_m = size("length", "m")
        temperature_c = self._size(path, table, "temperature", "°C", default=self.temperature_c)
        text = self._text(path, table, "size")
        try:
            typed = parse(text, "mm²") if text else None
            if typed is None:
                return float("nan")
            area = awg_area_mm2(int(typed.value)) if typed.unit == "AWG" else typed.to("mm²")
            return wire_resistance(length_m, area, temperature_c) if length_m > 0 else length_m
        except BenchError as error:
            self.sheet.mistake((*path, "size"), error.found, error.needed, error.do)
            return float("nan")

    def _names(self, parts: list[Part]) -> None:
        seen: dict[str, int] = {}
        for number, row in enumerate(self._rows("parts")):
            name = row.get("name")
            if isinstance(name, str) and name in seen:
                self.sheet.mistake(
                    ("parts", number, "name"),
                    f"There are two parts called {name}; "
                    f"the other stands on line {self.sheet.line('parts', seen[name], 'name')}.",
                    "Each part has a name of its own.",
                    "Rename one of them.",
                )
            elif isinstance(name, str):
                seen[name] = number
        if self._rows("parts") and len(parts) == len(self._rows("parts")):
            if not any(part.kind is Kind.BATTERY for part in parts):
                self.sheet.mistake(
                    ("parts",),
                    "There is no battery.",
                    "Something must feed the circuit.",
                    'Add a part of kind = "battery".',
                )
            if not any(part.kind in LOADS for part in parts):
                self.sheet.mistake(
                    ("parts",),
                    "There is no load.",
                    "A lamp, motor or resistor uses the current.",
                    "Add the part that the circuit is there for.",
                )

    # states and complaints -----------------------------------------------------------------

    def _states(self, parts: list[Part]) -> list[State]:
        rows = self._rows("states")
        if not rows:
            self.sheet.mistake(
                (),
                "There are no states.",
                "A state says which switches are closed.",
                "Add [[states]] with a name, words and the closed switches.",
            )
        switches = {part.name for part in parts if part.kind is Kind.SWITCH}
        all_read = len(parts) == len(self._rows("parts"))
        states: list[State] = []
        for number, table in enumerate(rows):
            path: Path = ("states", number)
            self.sheet.unknown_keys(path, table, ("name", "words", "closed", "minutes", "after"))
            name = self._text(path, table, "name")
            closed = table.get("closed", [])
            if not isinstance(closed, list) or not all(isinstance(one, str) for one in closed):
                self.sheet.mistake(
                    (*path, "closed"),
                    f"State {name}: 'closed' is not a list of switches.",
                    "It names the switches that are closed.",
                    'Write closed = ["S2"].',
                )
                closed = []
            for switch in closed:
                if all_read and switch not in switches:
                    self.sheet.mistake(
                        (*path, "closed"),
                        f"State {name} closes '{switch}', which is no switch.",
                        f"The switches are: {', '.join(sorted(switches)) or 'none'}.",
                        "Check the name.",
                    )
            after = self._text(path, table, "after", default="")
            if after and after not in [state.name for state in states]:
                self.sheet.mistake(
                    (*path, "after"),
                    f"State {name} comes after '{after}'.",
                    "It must follow a state that stands above it.",
                    "Check the name or the order.",
                )
            if name in [state.name for state in states]:
                self.sheet.mistake(
                    (*path, "name"),
                    f"There are two states called {name}.",
                    "Each state has a name of its own.",
                    "Rename one of them.",
                )
            states.append(
                State(
                    name=name,
                    words=self._text(path, table, "words", default=name),
                    closed=frozenset(closed),
                    setup_min=self._size(path, table, "minutes", "min", default=1.0),
                    after=after,
                )
            )
        return states

    def _complaints(self, parts: list[Part], states: list[State]) -> list[Complaint]:
        loads = {part.name for part in parts if part.kind in LOADS}
        names = [state.name for state in states]
        looks = [look.value for look in Look]
        all_read = len(parts) == len(self._rows("parts"))
        complaints = []
        for number, table in enumerate(self._rows("complaints")):
            path: Path = ("complaints", number)
            self.sheet.unknown_keys(path, table, ("key", "words", "load", "state", "looks"))
            key, words = self._text(path, table, "key"), self._text(path, table, "words")
            load, state = self._text(path, table, "load"), self._text(path, table, "state")
            look = self._text(path, table, "looks")
            for at, value, known, what in (
                ("load", load, sorted(loads) if all_read else [load], "load"),
                ("state", state, names, "state"),
                ("looks", look, looks, "look"),
            ):
                if value and value not in known:
                    self.sheet.mistake(
                        (*path, at),
                        f"Complaint {key}: there is no {what} '{value}'.",
                        f"Known: {', '.join(known)}.",
                        "Write one of these.",
                    )
            if look in looks:
                complaints.append(
                    Complaint(key=key, words=words, load=load, state=state, looks=Look(look))
                )
        return complaints

    # the whole ---------------------------------------------------------------------------

    def _reference(self, parts: list[Part]) -> str | None:
        for part in parts:
            if part.kind is Kind.BATTERY:
                return part.second
        return None

    def _loose_ends(self, parts: list[Part], reference: str | None) -> None:
        """A point with one end only is a wire that someone forgot."""
        if len(parts) != len(self._rows("parts")) or reference is None:
            return
        ends: dict[str, list[str]] = {}
        for part in parts:
            for words in (part.first, part.second, part.coil_first, part.coil_second):
                if words:
                    ends.setdefault(words, []).append(part.name)
        for number, part in enumerate(parts):
            for key, words in (("from", part.first), ("to", part.second)):
                if len(ends[words]) == 1:
                    self.sheet.mistake(
                        ("parts", number, key),
                        f"Nothing but {part.name} ends at '{words}'.",
                        "A point joins two parts or more.",
                        "Check the spelling of the point, or add the part that is missing.",
                    )


def _said(table: dict[str, Any], path: Path) -> str:
    """What a sentence calls a table: its own name, or its heading and number."""
    name = table.get("name") or table.get("key")
    if isinstance(name, str) and name:
        return name
    numbers = [str(step + 1) for step in path if isinstance(step, int)]
    return " ".join([str(path[0]), *numbers])


def _letters() -> tuple[str, ...]:
    return (*LETTERS, *(first + second for first in LETTERS for second in LETTERS))


def _on_keys(part: Part, keys: dict[str, str]) -> Part:
    """The part with its ends named by the keys of points instead of the author's words."""
    return replace(
        part,
        first=keys[part.first],
        second=keys[part.second],
        coil_first=keys.get(part.coil_first, ""),
        coil_second=keys.get(part.coil_second, ""),
    )
