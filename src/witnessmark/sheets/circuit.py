"""Circuit sheets: parts, points, states and complaints as a person writes them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from witnessmark.networks import LOADS, Circuit, Complaint, Kind, Look, Part, State
from witnessmark.sheets.circuit_parts import COLDEST_C, HOTTEST_C, read_part
from witnessmark.sheets.circuit_points import MOST_MINUTES, PointBook
from witnessmark.sheets.entry import Entry, no_twins
from witnessmark.sheets.toml_text import read_toml

MOST_PARTS: Final = 400


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
    sheet = read_toml(text, name)
    top = Entry(sheet, (), sheet.data)
    head = top.table("circuit")
    title, source, note = head.words("name"), head.words("source"), head.words("note", "")
    warm_c = head.size("temperature", "°C", 20.0, least=COLDEST_C, most=HOTTEST_C)
    book = PointBook(top, head)
    entries = top.tables("parts")[: MOST_PARTS + 1]
    found = [read_part(entry, book, warm_c) for entry in entries]
    no_twins(entries, "name")
    parts = [part for part in found if part is not None]
    is_whole = len(parts) == len(entries)
    states = _states(top, parts, is_whole)
    complaints = _complaints(top, parts, states, is_whole)
    head.no_others()
    top.no_others()
    _enough(top, entries, parts, is_whole)
    if is_whole and any(part.kind is Kind.BATTERY for part in parts):
        reference = next(part.second for part in parts if part.kind is Kind.BATTERY)
        _loose_ends(entries, parts, book)
        points = book.points(reference)
    sheet.finish()
    keys = {point.words: point.key for point in points}
    return Circuit(
        name=title,
        source=source,
        note=note,
        points=points,
        parts=tuple(_on_keys(part, keys) for part in parts),
        states=tuple(states),
        complaints=tuple(complaints),
    )


def _enough(top: Entry, entries: Sequence[Entry], parts: Sequence[Part], is_whole: bool) -> None:
    """A circuit has parts, not too many, among them a battery and a load."""
    if not entries:
        top.sheet.mistake(
            (), "There are no parts.", "A circuit has a battery and a load.", "Add [[parts]]."
        )
    elif len(entries) > MOST_PARTS:
        top.note(
            "parts",
            f"There are more than {MOST_PARTS} parts.",
            f"A sheet holds {MOST_PARTS} at most.",
            "Cut it into circuits that share only the battery.",
        )
    elif is_whole and not any(part.kind is Kind.BATTERY for part in parts):
        top.note(
            "parts",
            "There is no battery.",
            "Something must feed the circuit.",
            'Add a part of kind = "battery".',
        )
    elif is_whole and not any(part.kind in LOADS for part in parts):
        top.note(
            "parts",
            "There is no load.",
            "A lamp, motor or resistor uses the current.",
            "Add the part that the circuit is there for.",
        )


def _states(top: Entry, parts: Sequence[Part], is_whole: bool) -> list[State]:
    entries = top.tables("states")
    no_twins(entries, "name")
    if not entries:
        top.sheet.mistake(
            (),
            "There are no states.",
            "A state says which switches are closed.",
            "Add [[states]] with a name, words and the closed switches.",
        )
    switches = sorted(part.name for part in parts if part.kind is Kind.SWITCH)
    states: list[State] = []
    above: list[str] = []
    for entry in entries:
        name = entry.words("name")
        closed = entry.many("closed")
        for switch in closed:
            if is_whole and switch not in switches:
                entry.note(
                    "closed",
                    f"State {entry.name} closes '{switch}', which is no switch.",
                    f"The switches are: {', '.join(switches) or 'none'}.",
                    "Check the name.",
                )
        after = entry.words("after", "")
        if after and after not in above:
            entry.note(
                "after",
                f"State {entry.name} comes after '{after}'.",
                "It must follow a state that stands above it.",
                "Check the name or the order.",
            )
        above.append(name)
        state = entry.make(
            State,
            name=name,
            words=entry.words("words", name),
            closed=frozenset(closed),
            setup_min=entry.size("minutes", "min", 1.0, most=MOST_MINUTES),
            after=after,
        )
        if state:
            states.append(state)
    return states


def _complaints(
    top: Entry, parts: Sequence[Part], states: Sequence[State], is_whole: bool
) -> list[Complaint]:
    loads = [part.name for part in parts if part.kind in LOADS]
    names = [state.name for state in states]
    entries = top.tables("complaints")
    no_twins(entries, "key")
    complaints = []
    for entry in entries:
        load = entry.one_of("load", loads) if is_whole else entry.words("load")
        complaint = entry.make(
            Complaint,
            key=entry.words("key"),
            words=entry.words("words"),
            load=load,
            state=entry.one_of("state", names),
            looks=Look(entry.one_of("looks", [look.value for look in Look])),
        )
        if complaint:
            complaints.append(complaint)
    return complaints


_END_KEYS: Final = {
    "from": "first",
    "to": "second",
    "plus": "first",
    "minus": "second",
    "coil_from": "coil_first",
    "coil_to": "coil_second",
}


def _loose_ends(entries: Sequence[Entry], parts: Sequence[Part], book: PointBook) -> None:
    """A point with one end only is a wire that someone forgot."""
    for entry, part in zip(entries, parts, strict=True):
        for key, end in _END_KEYS.items():
            words = getattr(part, end)
            if key in entry.data and len(book.ends[words]) == 1:
                entry.note(
                    key,
                    f"Nothing but {part.name} ends at '{words}'.",
                    "A point joins two parts or more.",
                    "Check the spelling of the point, or add the part that is missing.",
                )


def _on_keys(part: Part, keys: dict[str, str]) -> Part:
    """The part with its ends named by the keys of points instead of the author's words."""
    return replace(
        part,
        first=keys[part.first],
        second=keys[part.second],
        coil_first=keys.get(part.coil_first, ""),
        coil_second=keys.get(part.coil_second, ""),
    )
