"""What the table of a circuit sheet looks up."""

from collections.abc import Mapping, Sequence

from django import template

register = template.Library()


@register.filter
def of_row(notes: Mapping[str, Sequence[object]] | str, row: str) -> Sequence[object]:
    """Return the notes of a row; none where there are none, or the row is a blank one."""
    return notes.get(row, ()) if isinstance(notes, Mapping) else ()
