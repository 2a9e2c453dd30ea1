"""What stands on the page of a circuit that is being entered, and in what htmx fetches for it."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from witnessmark.diagnosis.healthy import Healthy, check_healthy
from witnessmark.networks import BATTERY_MINUS, LOADS, STEERED
from witnessmark.sheets.circuit_draft import Draft, kind_of_part, tables_of
from witnessmark.sheets.circuit_ground import ground_point
from witnessmark.sheets.circuit_look import Looked, Note, look_through
from witnessmark.sheets.circuit_points import ALL_LETTERS
from witnessmark.sheets.circuit_points_kept import (
    ends_by_point,
    letters_kept,
    with_letters,
    without_left_points,
)
from witnessmark.web import circuit_rows as rows
from witnessmark.web import circuit_state_rows as state_rows
from witnessmark.web.circuit_drawing import drawing_beside
from witnessmark.web.circuit_form import names_of
from witnessmark.web.circuit_todo import MOST_SHOWN, is_of_a_row, things_to_do
from witnessmark.web.circuit_words import ALSO, LEAST_BEGUN

KINDS_OF_ROWS = (("parts", "r"), ("states", "s"), ("complaints", "c"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A sheet looked through, with the healthy check where it can be used."""

    draft: Draft
    looked: Looked
    healthy: Healthy | None


def see(draft: Draft) -> Seen:
    """Return a sheet with its letters, every mistake, and the healthy check."""
    data = with_letters(without_left_points(draft.data))
    lettered = Draft(data=data, comments=draft.comments)
    looked = look_through(lettered)
    healthy = None if looked.circuit is None else check_healthy(looked.circuit)
    return Seen(draft=lettered, looked=looked, healthy=healthy)


def page_facts(seen: Seen) -> dict[str, Any]:
    """Return what the table shows: rows with their notes, the lists to choose from, the side."""
    draft = seen.draft
    ids = {
        name: tuple(f"{letter}{at}" for at, _ in tables_of(draft.data, name))
        for name, letter in KINDS_OF_ROWS
    }
    return {
        "head": rows.head_cells(draft),
        "parts": rows.part_rows(draft),
        "states": state_rows.state_rows(draft, blanks=1),
        "complaints": state_rows.complaint_rows(draft),
        "templates": rows.kind_templates(draft),
        "blank": rows.part_row("ROW", {}, 1.0),
        "blank_state": state_rows.blank_state(),
        "blank_complaint": state_rows.blank_complaint(),
        "also": sorted((word, str(kind)) for word, kind in ALSO.items()),
        "least_begun": LEAST_BEGUN,
        "looks": state_rows.LOOKS,
        **side_facts(seen, ids),
    }


def side_facts(seen: Seen, ids: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    """Return what stands beside the table, and the notes of each row by the page's own ids."""
    looked, draft = seen.looked, seen.draft
    notes = rows.notes_by_row(looked.notes, ids)
    to_do = things_to_do(looked.notes, ids, draft)
    at_rows = [one for one in to_do if is_of_a_row(one)]
    row_notes = {
        row: _said(notes.get(row, [])) for name, _ in KINDS_OF_ROWS for row in ids.get(name, ())
    }
    if seen.healthy is not None:
        row_of = ids.get("parts", ())
        part_ids = {
            part.get("name"): row_of[at]
            for at, part in tables_of(draft.data, "parts")
            if at < len(row_of)
        }
        for notice in seen.healthy.notices:
            if notice.part in part_ids:
                row_notes[part_ids[notice.part]].append((notice.sentence, "look"))
    return {
        "row_notes": row_notes,
        "of_sheet": [one for one in to_do if not is_of_a_row(one)],
        "of_rows": at_rows,
        "first": next((one.field for one in to_do if one.field), ""),
        "is_folded": len(at_rows) > MOST_SHOWN,
        "to_mend": sum(not note.is_open for note in looked.notes),
        "to_finish": sum(note.is_open for note in looked.notes),
        "is_whole": looked.circuit is not None,
        "healthy": seen.healthy,
        "taken": looked.taken,
        "drawing": _drawn(looked),
        "lettered": _points(draft, ends_by_point(draft.data)),
        "points": rows.point_rows(draft),
        **choices(draft),
    }


def _points(draft: Draft, ends: Collection[str]) -> list[tuple[str, str]]:
    """Letter and words of every point so far, those of a letter first; either may be empty."""
    letters = {words: letter for letter, words in letters_kept(draft.data).items()}
    letters = {one: one for one in ends if one in ALL_LETTERS} | letters
    order = {letter: at for at, letter in enumerate((BATTERY_MINUS, *ALL_LETTERS, ""))}
    points = [(letters.get(words, ""), words) for words in ends]
    points.sort(key=lambda one: order.get(one[0], len(order)))
    return [(letter, "" if words == letter else words) for letter, words in points]


def choices(draft: Draft) -> dict[str, Any]:
    """Return the lists to choose from: points, what a state sets, loads, states."""
    letters = {words: letter for letter, words in letters_kept(draft.data).items()}
    parts = [
        (part["name"], kind_of_part(part))
        for _, part in tables_of(draft.data, "parts")
        if isinstance(part.get("name"), str)
    ]
    return {
        "point_words": [(words, letters.get(words, "")) for words in ends_by_point(draft.data)],
        "steered": [name for name, kind in parts if kind in STEERED],
        "loads": [name for name, kind in parts if kind in LOADS],
        "state_names": names_of(draft, "states"),
        "grounded": ground_point(draft.data),
    }


def _said(notes: Sequence[Note]) -> list[tuple[str, str]]:
    return [(note.sentence, "open" if note.is_open else "mend") for note in notes]


def _drawn(looked: Looked) -> SafeString:
    """Return the drawing; whatever a person typed in it, the drawing has escaped."""
    return SafeString("") if looked.drawn is None else drawing_beside(looked.drawn)
