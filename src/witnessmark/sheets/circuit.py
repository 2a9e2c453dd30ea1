"""Circuit sheets: parts, points, states and complaints as a person writes them."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from witnessmark.networks import LOADS, Circuit, Complaint, Kind, Look, Part, State
from witnessmark.networks.circuit import BATTERY_MINUS
from witnessmark.networks.kinds import COLDEST_C, HOTTEST_C, LEAST_OHM, MOST_OHM
from witnessmark.sheets.circuit_parts import read_part, renamed_ends
from witnessmark.sheets.circuit_points import MOST_MINUTES, PointBook
from witnessmark.sheets.entry import Entry, no_twins
from witnessmark.sheets.point_words import point_words
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
    group, about = head.words("group", ""), head.words("about", "")
    book = PointBook(top, head)
    entries = top.tables("parts")[: MOST_PARTS + 1]
    found = [read_part(entry, book, warm_c) for entry in entries]
    no_twins(entries, "name")
    parts = [part for part in found if part is not None]
    is_whole = len(parts) == len(entries)
    states = _states(top, parts, is_whole)
    complaints = _complaints(top, parts, states, is_whole)
    body, is_restraint = point_words(head.words("body", "")), head.yes("restraint")
    head.no_others()
    top.no_others()
    _enough(top, entries, parts, is_whole)
    if is_whole and any(part.kind is Kind.BATTERY for part in parts):
        reference = next(part.second for part in parts if part.kind is Kind.BATTERY)
        _loose_ends(entries, parts, book)
        points = book.points(reference)
        body = book.words.get(body, body)
        if body and body not in book.ends:
            head.note(
                "body",
                f"The body is '{body}', where no part ends.",
                "It is the point that the vehicle's metal lies on.",
                "Check the spelling, or take the line out.",
            )
    sheet.finish()
    keys = {point.words: point.key for point in points}
    return Circuit(
        name=title,
        source=source,
        note=note,
        points=points,
        parts=tuple(replace(part, **renamed_ends(part, keys)) for part in parts),
        states=tuple(states),
        complaints=tuple(complaints),
        body=keys[body] if body else BATTERY_MINUS,
        is_restraint=is_restraint,
        group=group,
        about=about,
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
    by_name = {part.name: part for part in parts}
    states: list[State] = []
    above: list[str] = []
    for entry in entries:
        name = entry.words("name")
        closed = entry.many("closed")
        if is_whole:
            _only_switches(entry, closed, by_name)
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
            positions=_stands(entry, by_name if is_whole else None),
            sizes=_senders(entry, by_name if is_whole else None),
            setup_min=entry.size("minutes", "min", 1.0, most=MOST_MINUTES),
            held_s=entry.size("held", "s", 60.0, least=0.1, most=36_000.0),
            after=after,
        )
        if state:
            states.append(state)
    return states


def _only_switches(entry: Entry, closed: Sequence[str], parts: Mapping[str, Part]) -> None:
    switches = sorted(name for name, part in parts.items() if part.kind is Kind.SWITCH)
    for switch in closed:
        if switch in switches:
            continue
        more = "Say where it stands in 'positions'." if parts.get(switch) else "Check the name."
        entry.note(
            "closed",
            f"State {entry.name} closes '{switch}', which is no switch of two terminals.",
            f"Those switches are: {', '.join(switches) or 'none'}.",
            more,
        )


def _stands(entry: Entry, parts: Mapping[str, Part] | None) -> tuple[tuple[str, str], ...]:
    """Where each steered part stands in a state."""
    table = entry.table("positions")
    found = []
    for name in table.data:
        stand = table.words(name)
        part = parts.get(name) if parts is not None else None
        stands = part.stands if part else ()
        if parts is not None and not stands:
            steered = sorted(one.name for one in parts.values() if one.stands)
            table.note(
                name,
                f"State {entry.name} sets '{name}'.",
                f"Only these stand in a position: {', '.join(steered) or 'none'}.",
                "Check the name.",
            )
        elif stands and stand not in stands:
            table.note(
                name,
                f"State {entry.name} sets {name} to '{stand}'.",
                f"{name} can stand at: {', '.join(stands)}.",
                "Write one of these.",
            )
        found.append((name, stand))
    return tuple(found)


def _senders(entry: Entry, parts: Mapping[str, Part] | None) -> tuple[tuple[str, float], ...]:
    """Resistance of each sender in a state."""
    table = entry.table("sizes")
    found = []
    for name in table.data:
        if parts is not None and (name not in parts or parts[name].kind is not Kind.SENDER):
            senders = sorted(one.name for one in parts.values() if one.kind is Kind.SENDER)
            table.note(
                name,
                f"State {entry.name} gives '{name}' a resistance.",
                f"Only a sender changes: {', '.join(senders) or 'there is none'}.",
                "Check the name, or make it a sender.",
            )
        found.append((name, table.size(name, "Ω", least=LEAST_OHM, most=MOST_OHM)))
    return tuple(found)


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


def _loose_ends(entries: Sequence[Entry], parts: Sequence[Part], book: PointBook) -> None:
    """A point with one end only is a wire that someone forgot."""
    for entry, part in zip(entries, parts, strict=True):
        for key, words in part.ends:
            if len(book.ends[words]) == 1:
                entry.note(
                    "terminals" if part.kind is Kind.SELECTOR else key,
                    f"Nothing but {part.name} ends at '{words}'.",
                    "A point joins two parts or more.",
                    "Check the spelling of the point, or add the part that is missing.",
                )
