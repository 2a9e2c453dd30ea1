"""A sheet with the complaints added that a fault brings beside those its author wrote.

A customer sees both rear lamps dim though the sheet has a complaint for one of them only. What its
words say of that load, or of both, is not told again.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from itertools import count
from typing import Final

from witnessmark.diagnosis.practice import MOST_TOLD, noticed
from witnessmark.networks import Circuit, Fault, Kind, Part
from witnessmark.networks.circuit import Complaint, Look
from witnessmark.sheets.toml_lines import head_comments
from witnessmark.sheets.toml_write import write_toml

# What a load does that a customer sees or hears; what only a meter shows is told by nobody.
_SAID: Final[Mapping[Kind, Mapping[Look, str]]] = {
    Kind.LAMP: {Look.DEAD: "dark", Look.WEAK: "dim", Look.ON: "on"},
    Kind.LED: {Look.DEAD: "dark", Look.WEAK: "dim", Look.ON: "on"},
    Kind.MOTOR: {Look.DEAD: "not running", Look.WEAK: "slow", Look.ON: "running"},
    Kind.HEATER: {Look.DEAD: "cold", Look.WEAK: "hardly warm", Look.ON: "warm"},
}


# Words that tell one of several parts of a name from the others.
_SIDES: Final = frozenset({"left", "right", "front", "rear", "inner", "outer", "upper", "lower"})


def with_told_too(text: str, circuit: Circuit, fault: Fault) -> str:
    """Return a sheet's text with what a fault does to other loads in the states complained of.

    Parameters
    ----------
    text
        The sheet, as TOML.
    circuit
        The same as a circuit.
    fault
        The fault.

    Returns
    -------
    str
        The same text with complaints added at its end, "Also dim: left brake lamp", until a
        customer tells `MOST_TOLD` in all. The text itself where there is none to add.
    """
    told = [one for one in circuit.complaints if one.key in noticed(circuit, (fault,))]
    room = MOST_TOLD - len(told)
    could = tuple(_could_be_told(circuit, told)) if room > 0 else ()
    brought = noticed(circuit, (fault,), more=could)
    added = [
        {
            "key": one.key,
            "words": one.words,
            "load": one.load,
            "state": one.state,
            "looks": one.looks.value,
        }
        for one in could
        if one.key in brought
    ][:room]
    return _with_complaints(text, added) if added else text


def _could_be_told(circuit: Circuit, told: Sequence[Complaint]) -> Iterator[Complaint]:
    """Yield what could be said of each load in the states complained of, and the sheet does not."""
    said = {(one.load, one.state, one.looks) for one in circuit.complaints}
    known = {(one.load, one.looks) for one in told}
    several = {
        (one.state, one.looks, *noun)
        for one in told
        if _is_of_several(one.words, noun := _noun(circuit.part(one.load)))
    }
    taken = {one.key for one in circuit.complaints}
    keys = (key for number in count(1) if (key := f"too-{number}") not in taken)
    for state in dict.fromkeys(one.state for one in told):
        for part in circuit.parts:
            for looks, does in _SAID.get(part.kind, {}).items():
                if (part.name, looks) in known or (state, looks, *_noun(part)) in several:
                    continue  # "Both headlamps are dim" says it of the right one
                if (part.name, state, looks) not in said:
                    yield Complaint(
                        key=next(keys),
                        words=f"Also {does}: {part.words or part.label}",
                        load=part.name,
                        state=state,
                        looks=looks,
                    )


def _noun(part: Part) -> tuple[str, str]:
    """Return what a part is, and of what: "lamp", "the trailer".

    Examples
    --------
    >>> from witnessmark.networks import Kind, make_part
    >>> sizes = {"power": 21.0, "volts": 12.0}
    >>> ends = {"from": "A", "to": "B"}
    >>> _noun(make_part("LL", Kind.LAMP, ends, sizes, words="brake lamp, left"))
    ('lamp', '')
    """
    head, _, whole = (part.words or part.label).casefold().partition(" of ")
    words = [word for word in re.findall(r"\w+", head) if word not in _SIDES]
    return words[-1] if words else "", whole


def _is_of_several(words: str, noun: tuple[str, str]) -> bool:
    """Return whether a complaint speaks of all parts that are called so.

    Parameters
    ----------
    words
        Of the complaint.
    noun
        What its load is, one of several, and of what.

    Examples
    --------
    >>> _is_of_several("Both headlamps are dim", ("headlamp", ""))
    True
    >>> _is_of_several("Neither lamp lights", ("lamp", ""))
    True
    >>> _is_of_several("The left low beam stays dark", ("beam", ""))
    False
    """
    name = re.escape(noun[0])
    several = rf"\b{name}s\b|\b(no|neither|both|all)\b[^,:;]*\b{name}\b"
    return bool(name) and re.search(several, words.casefold()) is not None


def _with_complaints(text: str, added: list[dict[str, str]]) -> str:
    longer = f"{text.rstrip()}\n\n{write_toml({'complaints': added})}"
    try:
        tomllib.loads(longer)
    except tomllib.TOMLDecodeError:  # its author wrote the complaints as one list in brackets
        data = tomllib.loads(text)
        longer_data = data | {"complaints": [*data["complaints"], *added]}
        return write_toml(longer_data, head_comments(text))
    return longer
