"""A half-done circuit sheet looked through: what can be used, and every mistake by its entry."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Final

from witnessmark.errors import Mistake, SheetError
from witnessmark.networks import Circuit, Kind
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import (
    Draft,
    Typed,
    kind_of_part,
    read_draft,
    tables_of,
    write_draft,
)
from witnessmark.sheets.circuit_half import half_circuit
from witnessmark.sheets.circuit_lacking import lacking
from witnessmark.sheets.circuit_loads import told_in, watts_in_ohms, ways_of_a_motor
from witnessmark.sheets.circuit_points_kept import ends_by_point, open_ends, with_letters
from witnessmark.sheets.circuit_units import with_units
from witnessmark.sheets.circuit_usual import Taken, follows_another, nominal_times, with_usual
from witnessmark.sheets.circuit_usual_said import own_comments, usual_said
from witnessmark.sheets.toml_lines import Path

_LACKS: Final[Mapping[tuple[str, str], str]] = {
    ("circuit", "name"): "The circuit has no name. Say which circuit of which vehicle it is.",
    ("circuit", "source"): "There is no source. Say where the diagram stands: book and page.",
    ("parts", "name"): "A part has no name. Give it the one that stands in the diagram.",
    ("parts", "kind"): "{name} has no kind. Choose what it is.",
    ("states", "name"): "A state has no name. Give it a short one, like run.",
    ("complaints", "key"): "A complaint has no name. Give it a short one, like slow.",
    ("complaints", "words"): "A complaint has no words. Write what the owner says.",
    ("complaints", "load"): "A complaint names no load. Choose which one is meant.",
    ("complaints", "state"): "A complaint names no state. Choose when it shows.",
    ("complaints", "looks"): "A complaint does not say how the load looks. Choose it.",
}
_PLATE: Final = ("ohms", "volts", "amps", "power", "watts")
_UNKNOWN: Final = "Nothing here is called "
_TWICE: Final = " already."  # "'F1' stands on line 21 already.": in a table there are no lines
_OPEN_END: Final = "Nothing but "
_NOWHERE: Final[Mapping[str, tuple[str, str]]] = {  # and where it would be typed
    "There are no parts.": ("parts", "There are no parts yet. Begin with the battery."),
    "There are no states.": (
        "states",
        "There are no states yet. A state says which switches are closed.",
    ),
    "There is no battery.": (
        "parts",
        "There is no battery yet. Something must feed the circuit.",
    ),
    "There is no load.": (
        "parts",
        "There is no load yet. A lamp, motor or heater uses the current.",
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One mistake, at its entry.

    Attributes
    ----------
    path
        Where it is: ("parts", 3, "length"); empty for the sheet as a whole.
    sentence
        What was found, what is needed, what to do.
    is_open
        Whether it is only something not typed yet, or an end with nothing on it yet.
    """

    path: Path
    sentence: str
    is_open: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """A sheet looked through.

    Attributes
    ----------
    text
        The sheet as a text, with the usual sizes in it, and the unit of every size.
    circuit
        The circuit, if it can be used as it stands.
    drawn
        What of it can be drawn; None while no part has its ends.
    notes
        Every mistake, in the order of the sheet.
    taken
        Sizes that nobody typed.
    """

    text: str
    circuit: Circuit | None
    drawn: Circuit | None
    notes: tuple[Note, ...]
    taken: tuple[Taken, ...]


def look_through(draft: Draft) -> Looked:
    """Return what of a sheet can be used, and every mistake by its entry.

    Parameters
    ----------
    draft
        What was typed.

    Examples
    --------
    >>> looked = look_through(Draft(data={"parts": [{"name": "W1", "kind": "wire"}]}))
    >>> [note.sentence for note in looked.notes if note.path[:1] == ("parts",)][0]
    'W1 still needs: from, to, size, length.'
    """
    filled, taken = with_usual(with_letters({"circuit": {}, **draft.data}))
    said = own_comments(draft.comments) + ((usual_said(taken),) if taken else ())
    text = write_draft(Draft(data=with_units(filled), comments=said))
    typed = read_draft(text, "the sheet").data  # in the order in which it is written
    try:
        circuit = read_circuit(text, "the sheet")
    except SheetError as error:
        notes = _notes(typed, error.mistakes)
        return Looked(
            text=text, circuit=None, drawn=half_circuit(typed), notes=tuple(notes), taken=taken
        )
    return Looked(text=text, circuit=circuit, drawn=circuit, notes=(), taken=taken)


def _notes(typed: Typed, mistakes: tuple[Mistake, ...]) -> Iterator[Note]:
    lacks: dict[Path, str] = {("parts", number): said for number, said in lacking(typed)}
    said: set[Path] = set()
    for mistake in mistakes:
        path = mistake.path
        if _is_absent(typed, mistake):
            if _follows(typed, path) and path[:2] not in lacks:
                continue  # it is taken once the other is right, of which a note is made
            if path[:2] in lacks:
                if path[:2] not in said:
                    said.add(path[:2])
                    yield Note(path=path, sentence=lacks[path[:2]], is_open=True)
                continue
            yield Note(path=path, sentence=_absent(typed, mistake), is_open=True)
        elif mistake.found.startswith(_UNKNOWN) and _kind(typed, path) is not None:
            yield Note(
                path=path,
                sentence=f"A {_kind(typed, path)} has no {path[-1]}. Empty that cell, or choose "
                f"another kind.{_motor(typed, path, lacks)}",
            )
        elif mistake.found.endswith(_TWICE):
            yield Note(path=path, sentence=f"Another row above has this name. {mistake.needed}")
        elif mistake.found.startswith(_OPEN_END):
            said_so = mistake.found.removesuffix(".")
            near = _near(typed, said_so.partition(" ends at '")[2].removesuffix("'"))
            yield Note(path=path, sentence=f"{said_so} yet.{near}", is_open=True)
        elif mistake.found in _NOWHERE:
            where, words = _NOWHERE[mistake.found]
            yield Note(path=(where,), sentence=words, is_open=True)
        else:
            said_so = f"{mistake.found} {mistake.needed} {mistake.do}"
            more = _motor(typed, path, lacks) or _ohms(typed, path) or _watts(typed, path)
            yield Note(path=path, sentence=f"{said_so}{more}")
    paths = {note[:2] for note in said}
    told = {mistake.path for mistake in mistakes}
    for number, terminal, words in open_ends(typed):
        path = ("parts", number, terminal)
        if path not in told and path[:2] not in paths:
            part = dict(tables_of(typed, "parts"))[number]
            yield Note(
                path=path,
                sentence=f"Nothing but {part.get('name') or 'this part'} ends at '{words}' yet."
                f"{_near(typed, words)}",
                is_open=True,
            )


def _near(typed: Typed, words: str) -> str:
    """Ask whether a point of almost the same name is meant; never the part's other end."""
    ends = ends_by_point(typed)
    own = {number for number, _ in ends.get(words, ())}
    others = [
        one
        for one, found in ends.items()
        if one != words and own.isdisjoint(number for number, _ in found)
    ]
    # Plus and minus are near each other in spelling alone.
    small = {one.lower(): one for one in others if {one[-1:], words[-1:]} != {"+", "−"}}
    near = get_close_matches(words.lower(), small, n=1, cutoff=0.85)
    return f" Did you mean '{small[near[0]]}'?" if near else ""


def _kind(typed: Typed, path: Path) -> Kind | None:
    if len(path) != 3 or path[0] != "parts":
        return None
    return kind_of_part(dict(tables_of(typed, "parts")).get(int(path[1]), {}))


def _motor(typed: Typed, path: Path, lacks: Mapping[Path, str]) -> str:
    """How a motor is told, where something of its plate was typed that it is not told in."""
    if _kind(typed, path) is not Kind.MOTOR or path[-1] not in _PLATE:
        return ""
    said = ways_of_a_motor(_part(typed, path))
    return "" if said in lacks.get(path[:2], "") else f" {said}"


def _ohms(typed: Typed, path: Path) -> str:
    """Where the resistance of a wire or heater goes, if it was typed as its size or power."""
    if (_kind(typed, path), path[-1]) not in ((Kind.WIRE, "size"), (Kind.HEATER, "power")):
        return ""
    is_ohm = told_in(_part(typed, path)[str(path[-1])], "Ω") is not None
    return " A resistance goes under More instead." if is_ohm else ""


def _watts(typed: Typed, path: Path) -> str:
    """Where the watts of a load go, if they were typed as its resistance."""
    if _kind(typed, path) not in (Kind.HEATER, Kind.RESISTOR) or path[-1] != "ohms":
        return ""
    return watts_in_ohms(_part(typed, path), nominal_times(typed))


def _follows(typed: Typed, path: Path) -> bool:
    return _kind(typed, path) is not None and follows_another(_part(typed, path), str(path[-1]))


def _part(typed: Typed, path: Path) -> Typed:
    return dict(tables_of(typed, "parts"))[int(path[1])]


def _is_absent(typed: Typed, mistake: Mistake) -> bool:
    """Whether a mistake is only that something has not been typed."""
    if not mistake.path:
        return False
    here: Any = typed
    for step in mistake.path[:-1]:
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return True
    return isinstance(here, Mapping) and mistake.path[-1] not in here


def _absent(typed: Typed, mistake: Mistake) -> str:
    path = mistake.path
    words = _LACKS.get((str(path[0]), str(path[-1])))
    if words is None:
        return f"{mistake.found} {mistake.needed}"
    name = "This part"
    if path[0] == "parts" and isinstance(path[1], int):
        found = dict(tables_of(typed, "parts")).get(path[1], {}).get("name")
        name = found if isinstance(found, str) and found.strip() else name
    return words.format(name=name)
