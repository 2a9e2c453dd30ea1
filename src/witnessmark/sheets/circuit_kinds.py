"""What each kind of part needs, in words: for the page, the command and the handbook."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from witnessmark.networks import FORMS, Kind
from witnessmark.networks.forms import WIRE_SIZE, Choice, Form, Size, Terminal
from witnessmark.quantities import listed
from witnessmark.sheets.circuit_usual import usual_of

_WIRE_UNITS: Final = "mm², AWG or SAE"
_FUSE_OHM: Final = "0.0075 ohm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One entry of a kind.

    Attributes
    ----------
    key
        What the sheet calls it.
    words
        What a person calls it.
    takes
        What is typed: a point, a size with its unit, one of some words.
    without
        What holds where it is left out; empty where it must be said.
    """

    key: str
    words: str
    takes: str
    without: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KindNeeds:
    """What a kind of part needs.

    Attributes
    ----------
    kind, words
        The kind, and what it is in a sentence's words.
    ends
        Its terminals.
    ways
        Sets of sizes, of which one is given.
    more
        Sizes and choices that may be given besides.
    """

    kind: str
    words: str
    ends: tuple[Need, ...]
    ways: tuple[tuple[Need, ...], ...]
    more: tuple[Need, ...]


def kinds_needed() -> tuple[KindNeeds, ...]:
    """Return what every kind needs, in the order of the table that the reader uses.

    Examples
    --------
    >>> wire = next(one for one in kinds_needed() if one.kind == "wire")
    >>> [need.key for need in wire.ways[0]], wire.more[0].without
    (['size', 'length'], '20 °C')
    """
    return tuple(_needs(kind, form) for kind, form in FORMS.items())


def kinds_markdown() -> str:
    """Return the kinds as the handbook prints them: a heading and a table for each."""
    parts = []
    for one in kinds_needed():
        lines = [f"### {one.kind}", "", f"{one.words[:1].upper()}{one.words[1:]}.", ""]
        lines += ["| entry | what it is | what is typed | without it |", "|---|---|---|---|"]
        lines += [f"| {' | '.join(row)} |" for row in _rows(one)]
        if len(one.ways) > 1:
            lines += ["", _told(one, "`")]
        parts.append("\n".join(lines))
    return "\n\n".join(parts) + "\n"


def kinds_lines() -> list[str]:
    """Return the kinds as the command prints them."""
    lines = []
    for one in kinds_needed():
        lines += [f"{one.kind}: {one.words}"]
        rows = list(_rows(one, code=""))
        widths = [max(len(row[at]) for row in rows) for at in range(3)]
        for row in rows:
            cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=False)]
            last = f"{row[3]}" if row[3] else ""
            lines.append(f"    {'  '.join(cells)}  {last}".rstrip())
        if len(one.ways) > 1:
            lines.append(f"    {_told(one)}")
        lines.append("")
    return lines


def _rows(one: KindNeeds, code: str = "`") -> Iterator[tuple[str, str, str, str]]:
    for need in one.ends:
        yield f"{code}{need.key}{code}", need.words, need.takes, need.without
    seen: set[str] = set()
    for way in one.ways:
        for need in way:
            if need.key not in seen:
                seen.add(need.key)
                yield f"{code}{need.key}{code}", need.words, need.takes, need.without
    for need in one.more:
        yield f"{code}{need.key}{code}", need.words, need.takes, need.without


def _told(one: KindNeeds, code: str = "") -> str:
    ways = (listed([f"{code}{need.key}{code}" for need in way], "and") for way in one.ways)
    return f"Told by {' or by '.join(ways)}."


def _needs(kind: Kind, form: Form) -> KindNeeds:
    usual = _usual(kind, form)
    more = [_size(size, usual) for size in form.options]
    more += [_choice(choice) for choice in form.choices]
    return KindNeeds(
        kind=str(kind),
        words=form.words,
        ends=tuple(map(_end, form.terminals)) or _SELECTOR,
        ways=tuple(tuple(_size(size, usual) for size in way) for way in form.ways),
        more=tuple(more),
    )


def _usual(kind: Kind, form: Form) -> dict[str, str]:
    """Return the usual values of a kind, by key, whichever way it is told in."""
    typed = {"kind": str(kind), "rating": "10 A"}
    usual = {size.key: text for size, text in usual_of(typed)}
    for way in form.ways:
        for own in way:
            others = {size.key: "" for size in way if size is not own}
            usual |= {size.key: text for size, text in usual_of(typed | others) if size is own}
    return usual


def _end(terminal: Terminal) -> Need:
    without = "not connected" if terminal.is_optional else ""
    return Need(key=terminal.key, words=terminal.words, takes="a point", without=without)


_SELECTOR: Final = (
    Need(key="terminals", words="its terminals", takes="each terminal's name and its point"),
    Need(
        key="positions",
        words="its positions, the first at rest",
        takes="each position and the pairs of terminals it joins",
    ),
)


def _size(size: Size, usual: Mapping[str, str]) -> Need:
    takes = f"{_plain(size.least)} to {_plain(size.most)} {size.unit}"
    without = "" if size.usual is None else f"{size.usual:g} {size.unit}"
    if size.key in usual:
        example = " for 10 A" if size.key == "ohms" and usual[size.key] == _FUSE_OHM else ""
        without = f"in the browser {usual[size.key]}{example}"
    return Need(
        key=size.key,
        words=size.words,
        takes=_WIRE_UNITS if size.unit == WIRE_SIZE else takes,
        without=without,
    )


def _plain(value: float) -> str:
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _choice(choice: Choice) -> Need:
    words = [f'"{value}"' for value in choice.values]
    return Need(key=choice.key, words=choice.words, takes=listed(words), without=words[0])
