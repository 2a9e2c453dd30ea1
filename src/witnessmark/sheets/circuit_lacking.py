"""What each part of a half-done circuit sheet has not been told yet, all of it in one sentence."""

from collections.abc import Iterator

from witnessmark.networks import FORMS, Kind
from witnessmark.sheets.circuit_draft import Typed, kind_of_part, tables_of
from witnessmark.sheets.circuit_loads import ways_of_a_motor
from witnessmark.sheets.circuit_usual import follows_another, way_used


def lacking(typed: Typed) -> Iterator[tuple[int, str]]:
    """Yield the number of each part that lacks something, and the sentence that says what.

    Parameters
    ----------
    typed
        A sheet as it was typed.

    Examples
    --------
    >>> list(lacking({"parts": [{"name": "Fan", "kind": "wire", "from": "A", "size": "1 mm2"}]}))
    [(0, 'Fan still needs: to, length.')]
    """
    for number, part in tables_of(typed, "parts"):
        kind, name = kind_of_part(part), part.get("name", "")
        if kind is None or not isinstance(name, str):
            continue
        needs, under_more = map(", ".join, _left(part, kind))
        said = [f"{name.strip() or f'Part {number + 1}'} still needs"]
        said += [f": {needs}"] if needs else []
        said += [f"{';' if needs else ','} under More: {under_more}"] if under_more else []
        said += [f". {ways_of_a_motor(part)}" if kind is Kind.MOTOR and under_more else "."]
        if needs or under_more:
            yield number, "".join(said)


def _left(part: Typed, kind: Kind) -> tuple[list[str], list[str]]:
    """What lacks, and what of it the page has folded away: sizes of another way than the first."""
    form = FORMS[kind]
    needs: list[str] = [] if part.get("name", "").strip() else ["a name"]
    needs += [
        _plain(terminal.words)
        for terminal in form.terminals
        if not terminal.is_optional and terminal.key not in part
    ]
    if kind is Kind.SELECTOR:
        needs += [key for key in ("terminals", "positions") if not part.get(key)]
    under_more: list[str] = []
    in_sight = {size.key for size in form.ways[0]}
    for size in way_used(part, kind):
        if size.usual is None and size.key not in part and not follows_another(part, size.key):
            (needs if size.key in in_sight else under_more).append(_plain(size.words))
    return needs, under_more


def _plain(words: str) -> str:
    """The words without the commas that would part them in a list."""
    return words.replace(",", "")
