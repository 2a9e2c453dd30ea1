"""Assembly sheets: an engine, brake or axle with what is measured where, as a person writes it."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from witnessmark.errors import BenchError
from witnessmark.fitting.assembly import Assembly, Characteristic, OilHoles, Order
from witnessmark.fitting.bushes import Bearing
from witnessmark.fitting.oil_holes import SHOP_SHARE, Feed, Hole
from witnessmark.metrology import Instrument, Limit
from witnessmark.quantities import kind_of, parse, unit_named
from witnessmark.sheets.toml_text import TomlText, read_toml

Path = tuple[str | int, ...]

_KNOWN: Mapping[str, tuple[str, ...]] = {
    "sheet": ("assembly", "instruments", "characteristics", "bearings", "oil_holes", "order"),
    "assembly": ("name", "source", "position_word", "positions", "ends", "cautions", "hand"),
    "instruments": (
        "id",
        "name",
        "unit",
        "resolution",
        "repeat",
        "zero",
        "calibration",
        "set_in",
    ),
    "characteristics": ("key", "title", "short", "unit", "plus", "minus", "limit"),
    "limit": ("lower", "upper", "unit", "source", "text"),
    "bearings": ("position", "housing", "bush_outside", "bush_bore", "journal", "feeds"),
    "feeds": ("name", "drilling", "hole", "slot", "clock", "hole_clock", "off_centre"),
    "oil_holes": ("turn", "open_share", "source"),
    "order": ("bush", "press"),
}
_KEY = re.compile(r"[a-z][a-z0-9-]*")
_CLOCK = re.compile(r"(1[0-2]|[1-9]):([0-5][0-9])")


def read_assembly(text: str, name: str) -> Assembly:
    """Return the assembly that a sheet describes.

    Parameters
    ----------
    text
        The sheet, TOML.
    name
        Name of the sheet, for the sentences.

    Returns
    -------
    Assembly
        The assembly, checked.

    Raises
    ------
    SheetError
        With every mistake and its line.
    """
    sheet = _Sheet(read_toml(text, name))
    assembly = sheet.assembly()
    sheet.toml.finish()
    assert assembly is not None, "a sheet without mistakes and without an assembly"
    return assembly


class _Sheet:
    """A sheet being read. A method returns None where it noted a mistake."""

    def __init__(self, toml: TomlText) -> None:
        self.toml = toml

    def assembly(self) -> Assembly | None:
        self.toml.unknown_keys((), self.toml.data, _KNOWN["sheet"])
        head = self.table((), "assembly")
        instruments = [self.instrument(*entry) for entry in self.tables("instruments")]
        characteristics = [self.characteristic(*entry) for entry in self.tables("characteristics")]
        bearings = [self.bearing(*entry) for entry in self.tables("bearings")]
        keys = [found.key for found in characteristics if found is not None]
        oil_holes = self.oil_holes(keys) if "oil_holes" in self.toml.data else None
        order = self.order(keys) if "order" in self.toml.data else None
        if not characteristics:
            self.toml.mistake(
                (),
                "Nothing is measured on this assembly.",
                "It needs at least one table headed [[characteristics]].",
                "Add what is read, with its unit, and the limit it must keep.",
            )
        if not instruments:
            self.toml.mistake(
                (),
                "This assembly has no instruments.",
                "Without one, no reading can be judged.",
                "Add a table headed [[instruments]] for each.",
            )
        self.unique("instruments", "id")
        self.unique("characteristics", "key")
        self.unique("bearings", "position")
        self.sources_of_derived(characteristics)
        self.links_of_instruments(instruments)
        path: Path = ("assembly",)
        title = self.words(path, head, "name")
        source = self.words(path, head, "source")
        ends = self.names(path, head, "ends", ["Front", "Rear"])
        if ends and len(ends) != 2:
            self.toml.mistake(
                (*path, "ends"),
                f"There are {len(ends)} ends.",
                "An assembly has a first end and a last end.",
                'Write ends = ["Front", "Rear"].',
            )
        described = [found.position for found in bearings if found is not None]
        positions = self.names(path, head, "positions", described)
        if not positions and not self.toml.mistakes:
            self.toml.mistake(
                path,
                "No positions are named.",
                "Readings must say where on the assembly they were taken.",
                'Write positions = ["1", "2"], or describe the bearings.',
            )
        if described and sorted(positions) != sorted(described):
            self.toml.mistake(
                (*path, "positions"),
                f"The positions are {', '.join(positions)}, the bearings {', '.join(described)}.",
                "Both must be the same.",
                "Leave positions out, or add the missing bearing.",
            )
        hand_mm = self.size(path, head, "hand", "mm", 0.0)
        word = self.words(path, head, "position_word", "Position")
        cautions = self.names(path, head, "cautions", [])
        if self.toml.mistakes or hand_mm is None:
            return None
        return Assembly(
            name=title,
            source=source,
            position_word=word,
            positions=tuple(positions),
            ends=(ends[0], ends[1]),
            characteristics=tuple(found for found in characteristics if found),
            instruments=tuple(found for found in instruments if found),
            bearings=tuple(found for found in bearings if found),
            oil_holes=oil_holes,
            order=order,
            cautions=tuple(cautions),
            hand_u_mm=hand_mm,
        )

    def instrument(self, path: Path, entry: dict[str, Any]) -> Instrument | None:
        self.toml.unknown_keys(path, entry, _KNOWN["instruments"])
        key = self.key(path, entry, "id")
        name = self.words(path, entry, "name")
        unit = self.unit(path, entry, "mm")
        resolution = self.size(path, entry, "resolution", unit)
        repeat = self.size(path, entry, "repeat", unit)
        zero = self.size(path, entry, "zero", unit, 0.0)
        calibration = self.size(path, entry, "calibration", unit, 0.0)
        if resolution is None or repeat is None or zero is None or calibration is None:
            return None
        try:
            return Instrument(
                id=key,
                name=name,
                unit=unit,
                resolution=resolution,
                repeat_u=repeat,
                zero_u=zero,
                calibration_u=calibration,
                set_in=self.words(path, entry, "set_in", "") or None,
            )
        except BenchError as error:
            self.refused(path, error)
            return None

    def characteristic(self, path: Path, entry: dict[str, Any]) -> Characteristic | None:
        self.toml.unknown_keys(path, entry, _KNOWN["characteristics"])
        key = self.key(path, entry, "key")
        title = self.words(path, entry, "title")
        unit = self.unit(path, entry, "mm")
        plus, minus = (self.words(path, entry, part, "") or None for part in ("plus", "minus"))
        if (plus is None) != (minus is None):
            self.toml.mistake(
                path,
                f"“{key}” has one of plus and minus.",
                "A derived size is one characteristic minus another.",
                "Name both, or neither if it is read with an instrument.",
            )
        return Characteristic(
            key=key,
            title=title,
            short=self.words(path, entry, "short", title.lower()),
            unit=unit,
            plus=plus,
            minus=minus,
            limit=self.limit((*path, "limit"), entry["limit"], unit) if "limit" in entry else None,
        )

    def limit(self, path: Path, entry: Any, unit: str) -> Limit | None:
        if not isinstance(entry, dict):
            self.toml.mistake(
                path,
                f"The limit is “{entry}”.",
                "It needs its ends, its unit and its source.",
                'Write limit = { lower = 60, upper = 110, unit = "µm", source = "..." }.',
            )
            return None
        self.toml.unknown_keys(path, entry, _KNOWN["limit"])
        ends = {end: self.number(path, entry, end) for end in ("lower", "upper") if end in entry}
        own = self.unit(path, entry, unit)
        if kind_of(own) != kind_of(unit):
            self.toml.mistake(
                (*path, "unit"),
                f"The limit is in {own}, the characteristic in {unit}.",
                "Both must measure the same kind of thing.",
                "Check the unit that the source prints.",
            )
            return None
        source = self.words(path, entry, "source")
        if None in ends.values() or not source:
            return None
        try:
            return Limit(unit=own, source=source, text=self.words(path, entry, "text", ""), **ends)
        except BenchError as error:
            self.refused(path, error)
            return None

    def bearing(self, path: Path, entry: dict[str, Any]) -> Bearing | None:
        self.toml.unknown_keys(path, entry, _KNOWN["bearings"])
        position = self.words(path, entry, "position")
        sizes = {
            part: self.size(path, entry, part, "mm")
            for part in ("housing", "bush_outside", "bush_bore", "journal")
        }
        feeds = [self.feed(*feed) for feed in self.tables("feeds", path, entry)]
        if None in sizes.values() or None in feeds:
            return None
        try:
            return Bearing(
                position=position,
                feeds=tuple(feed for feed in feeds if feed),
                **{f"{part}_mm": size for part, size in sizes.items() if size is not None},
            )
        except BenchError as error:
            self.refused(path, error)
            return None

    def feed(self, path: Path, entry: dict[str, Any]) -> Feed | None:
        self.toml.unknown_keys(path, entry, _KNOWN["feeds"])
        drilling = self.size(path, entry, "drilling", "mm")
        hole = self.size(path, entry, "hole", "mm")
        slot = self.size(path, entry, "slot", "mm", 0.0)
        clock = self.clock(path, entry, "clock")
        hole_clock = self.clock(path, entry, "hole_clock") if "hole_clock" in entry else None
        off_centre = self.size(path, entry, "off_centre", "mm", 0.0)
        name = self.words(path, entry, "name")
        if drilling is None or hole is None or slot is None or clock is None or off_centre is None:
            return None
        try:
            return Feed(
                name=name,
                drilling=Hole(diameter_mm=drilling),
                bush=Hole(diameter_mm=hole, length_mm=slot or None),
                clock_deg=clock,
                bush_clock_deg=hole_clock,
                off_centre_mm=off_centre,
            )
        except BenchError as error:
            self.refused(path, error)
            return None

    def oil_holes(self, keys: list[str]) -> OilHoles | None:
        entry = self.table((), "oil_holes")
        path: Path = ("oil_holes",)
        turn = self.known(path, entry, "turn", keys)
        source = self.words(path, entry, "source")
        percent = self.size(path, entry, "open_share", "%", 100 * SHOP_SHARE)
        if percent is None:
            return None
        try:
            return OilHoles(turn=turn, share=percent / 100, source=source)
        except BenchError as error:
            self.refused((*path, "open_share"), error)
            return None

    def order(self, keys: list[str]) -> Order | None:
        entry = self.table((), "order")
        bush = self.known(("order",), entry, "bush", keys)
        press = self.limit(("order", "press"), entry.get("press", "not there"), "mm")
        return Order(bush=bush, press=press) if press else None

    def sources_of_derived(self, found: list[Characteristic | None]) -> None:
        """Note a derived characteristic whose parts are not read in a unit that fits."""
        read = {one.key: one for one in found if one and not one.is_derived}
        for number, one in enumerate(found):
            for part in ("plus", "minus"):
                key = getattr(one, part) if one else None
                if one is None or key is None:
                    continue
                path = ("characteristics", number, part)
                if key not in read:
                    self.toml.mistake(
                        path,
                        f"“{key}” is not read with an instrument here.",
                        f"Read here: {', '.join(read) or 'nothing'}.",
                        "Write the key of one of them.",
                    )
                elif kind_of(read[key].unit) != kind_of(one.unit):
                    self.toml.mistake(
                        path,
                        f"“{key}” is read in {read[key].unit}, “{one.key}” is in {one.unit}.",
                        "Both must measure the same kind of thing.",
                        "Check the units.",
                    )

    def links_of_instruments(self, found: list[Instrument | None]) -> None:
        """Note an instrument that is set in one the sheet does not have, or in a ring of them."""
        by_id = {one.id: one for one in found if one}
        for number, one in enumerate(found):
            if one is not None:
                try:
                    one.shared(by_id)
                except BenchError as error:
                    self.refused(("instruments", number, "set_in"), error)

    def unique(self, heading: str, key: str) -> None:
        seen: dict[str, int] = {}
        for path, entry in self.tables(heading, note=False):
            value = entry.get(key)
            if not isinstance(value, str):
                continue
            if value in seen:
                self.toml.mistake(
                    (*path, key),
                    f"“{value}” stands at line {seen[value]} already.",
                    f"Each of the {heading} needs a {key} of its own.",
                    "Rename one of the two.",
                )
            else:
                seen[value] = self.toml.line(*path, key)

    def table(self, path: Path, key: str) -> dict[str, Any]:
        entry = self.toml.data.get(key)
        if not isinstance(entry, dict):
            self.toml.mistake(
                path if entry is None else (*path, key),
                f"The sheet has no table [{key}].",
                f"It holds {', '.join(_KNOWN[key])}.",
                f"Add a line [{key}] and these below it.",
            )
            return {}
        self.toml.unknown_keys((*path, key), entry, _KNOWN[key])
        return entry

    def tables(
        self,
        heading: str,
        path: Path = (),
        around: dict[str, Any] | None = None,
        note: bool = True,
    ) -> Iterator[tuple[Path, dict[str, Any]]]:
        """Yield the tables of one heading with their paths."""
        entries = (self.toml.data if around is None else around).get(heading, [])
        if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
            if note:
                self.toml.mistake(
                    (*path, heading),
                    f"“{heading}” is not a list of tables.",
                    f"Each one stands under its own heading [[{heading}]].",
                    "Use two brackets on each side.",
                )
            return
        for number, entry in enumerate(entries):
            yield (*path, heading, number), entry

    def words(self, path: Path, entry: dict[str, Any], key: str, default: str | None = None) -> str:
        value = entry.get(key, default)
        if isinstance(value, str) and (value.strip() or default is not None):
            return value.strip()
        self.missing(path, entry, key, "words in quotes", f'Write {key} = "...".')
        return ""

    def names(self, path: Path, entry: dict[str, Any], key: str, default: list[str]) -> list[str]:
        value = entry.get(key, default)
        if isinstance(value, list) and all(isinstance(one, str) and one for one in value):
            return value
        self.missing(path, entry, key, "a list of words", f'Write {key} = ["...", "..."].')
        return []

    def number(self, path: Path, entry: dict[str, Any], key: str) -> float | None:
        value = entry.get(key)
        if isinstance(value, int | float) and not isinstance(value, bool):
            return float(value)
        self.missing(path, entry, key, "a number without quotes", f"Write {key} = 60.")
        return None

    def size(
        self,
        path: Path,
        entry: dict[str, Any],
        key: str,
        unit: str,
        default: float | None = None,
    ) -> float | None:
        """Return a size such as "2 µm" in the unit asked for."""
        value = entry.get(key, default)
        if value is None or not isinstance(value, str | int | float) or isinstance(value, bool):
            self.missing(path, entry, key, f"a size such as “2 {unit}”", f'Write {key} = "..."')
            return None
        if not isinstance(value, str):
            return float(value)
        try:
            return parse(value, unit).to(unit)
        except BenchError as error:
            self.refused((*path, key), error)
            return None

    def unit(self, path: Path, entry: dict[str, Any], default: str) -> str:
        value = self.words(path, entry, "unit", default)
        try:
            return unit_named(value)
        except BenchError as error:
            self.refused((*path, "unit"), error)
            return default

    def key(self, path: Path, entry: dict[str, Any], name: str) -> str:
        value = self.words(path, entry, name)
        if value and not _KEY.fullmatch(value):
            self.toml.mistake(
                (*path, name),
                f"The {name} is “{value}”.",
                "It is written in small letters, figures and dashes.",
                "Write it like bush-bore.",
            )
        return value

    def known(self, path: Path, entry: dict[str, Any], name: str, keys: list[str]) -> str:
        value = self.words(path, entry, name)
        if value and value not in keys:
            self.toml.mistake(
                (*path, name),
                f"“{value}” is not among the characteristics.",
                f"There are {', '.join(keys) or 'none'}.",
                "Write the key of one of them.",
            )
        return value

    def clock(self, path: Path, entry: dict[str, Any], key: str) -> float | None:
        value = entry.get(key)
        found = _CLOCK.fullmatch(value) if isinstance(value, str) else None
        if found:
            return (int(found[1]) % 12) * 30 + int(found[2]) / 2
        needed = "a clock time in quotes, seen from the first end"
        self.missing(path, entry, key, needed, f'Write {key} = "5:00".')
        return None

    def missing(self, path: Path, entry: dict[str, Any], key: str, needed: str, do: str) -> None:
        found = f"“{key}” is {entry[key]!r}." if key in entry else f"“{key}” is missing."
        at = (*path, key) if key in entry else path
        self.toml.mistake(at, found, f"It must be {needed}.", do)

    def refused(self, path: Path, error: BenchError) -> None:
        self.toml.mistake(path, error.found, error.needed, error.do)
