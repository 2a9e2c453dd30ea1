"""Parts taken apart for drawing. Only kinds, names, words, terminals and what is printed are read.

A sheet that is not finished can be drawn: a terminal without a point becomes an open end.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Final

from witnessmark.networks import FORMS, LOADS, Circuit, Kind, Part
from witnessmark.networks.kinds import CLOSED
from witnessmark.papers.circuit.branches import OPEN, PLAIN_OHM, Branch, Symbol
from witnessmark.quantities import show

# What a branch resists for finding which end is up; the order of size matters, no more. [Ω]
_OHM: Final = {
    Symbol.LAMP: 3.0,
    Symbol.LED: 60.0,
    Symbol.DIODE: 0.7,
    Symbol.RESISTOR: 5.0,
    Symbol.HEATER: 2.0,
    Symbol.SENDER: 100.0,
    Symbol.MOTOR: 1.0,
    Symbol.MODULE: 10.0,
    Symbol.COIL: 80.0,
    Symbol.WINDING: 1.5,
    Symbol.PULL_UP: 1000.0,
    Symbol.ALTERNATOR: 20.0,
    Symbol.SUPPLY: 50.0,
}
_STARTER_CONTACT_OHM: Final = 50.0  # nearly open, or the pull-in winding turns upside down
_USES: Final = frozenset({Symbol.COIL, Symbol.WINDING, Symbol.SENDER, Symbol.ALTERNATOR})


@lru_cache(maxsize=16)
def branches_of(circuit: Circuit) -> tuple[Branch, ...]:
    """Return every branch of a circuit, in the order of its parts, each with a key of its own.

    Parameters
    ----------
    circuit
        The circuit; its parts may lack terminals and names, or share them.
    """
    found: list[Branch] = []
    seen: set[str] = set()
    for number, part in enumerate(circuit.parts):
        twin = f"\x01{number}" if part.name in seen else ""
        seen.add(part.name)
        found.extend(_own(branch, twin) if twin else branch for branch in branches_of_part(part))
    return tuple(found)


def _own(branch: Branch, twin: str) -> Branch:
    """Return a branch whose part is called as another one, with keys that are its own."""
    first, second = (
        f"{key}{twin}" if key.startswith(OPEN) else key for key in (branch.first, branch.second)
    )
    return replace(branch, key=f"{branch.key}{twin}", first=first, second=second)


def _end(part: Part, terminal: str) -> str:
    return part.end(terminal) or f"{OPEN}{part.name}.{terminal}"


def _one(part: Part, symbol: Symbol, first: str = "from", second: str = "to") -> Branch:
    return Branch(
        key=part.name,
        part=part.name,
        symbol=symbol,
        first=_end(part, first),
        second=_end(part, second),
        note=_note(part),
        ohm=_OHM.get(symbol, PLAIN_OHM),
        is_load=part.kind in LOADS or symbol in _USES,
        rests=_rests(part),
    )


def _rests(part: Part) -> bool:
    if part.kind is Kind.OUTPUT or part.kind is Kind.SWITCH:
        return part.stands[0] not in ("open", "off")
    return True


def _piece(part: Part, role: str, symbol: Symbol, ends: tuple[str, str], note: str) -> Branch:
    return Branch(
        key=f"{part.name}.{role}",
        part=part.name,
        symbol=symbol,
        first=ends[0],
        second=ends[1],
        note=note,
        ohm=_OHM.get(symbol, PLAIN_OHM),
        is_load=symbol in _USES,
        is_lead=role in ("contact", "output"),
        rests=role not in ("contact", "field"),
    )


_SYMBOLS: Final = {
    Kind.LINK: Symbol.LINK,
    Kind.LED: Symbol.LED,
    Kind.SELECTOR: Symbol.SWITCH,
}


def branches_of_part(part: Part) -> Iterator[Branch]:
    """Yield the branches of one part.

    Parameters
    ----------
    part
        The part.
    """
    if part.kind is Kind.RELAY:
        yield from _relay(part)
    elif part.kind is Kind.SOLENOID:
        yield from _solenoid(part)
    elif part.kind is Kind.SELECTOR:
        yield from _selector(part)
    elif part.kind is Kind.ALTERNATOR:
        yield from _alternator(part)
    elif part.kind is Kind.BATTERY:
        yield _one(part, Symbol.BATTERY, "plus", "minus")
    elif part.kind in (Kind.SUPPLY, Kind.PULL_UP):  # its plus is its pin, the second terminal
        yield _one(part, Symbol(str(part.kind)), "to", "from")
    else:
        yield _one(part, _SYMBOLS.get(part.kind) or Symbol(str(part.kind)))


def _relay(part: Part) -> Iterator[Branch]:
    coil = _end(part, "coil_from"), _end(part, "coil_to")
    words = part.words if part.words not in ("", "contact") else "coil"
    yield _piece(part, "coil", Symbol.COIL, coil, words)
    contact = _piece(
        part, "contact", Symbol.CONTACT, (_end(part, "from"), _end(part, "to")), "contact"
    )
    yield replace(contact, rests=part.choice("rests") == CLOSED)
    if part.end("rest"):
        ends = _end(part, "from"), _end(part, "rest")
        yield _piece(part, "rest", Symbol.CONTACT, ends, "contact at rest")
    if part.choice("across") == "resistor":
        yield _piece(part, "resistor", Symbol.RESISTOR, coil, "over the coil")
    elif part.choice("across") == "diode":
        yield _piece(part, "diode", Symbol.DIODE, (coil[1], coil[0]), "over the coil")


def _solenoid(part: Part) -> Iterator[Branch]:
    control, body = _end(part, "control"), _end(part, "body")
    contact = _piece(
        part,
        "contact",
        Symbol.CONTACT,
        (_end(part, "from"), _end(part, "to")),
        part.words or "solenoid",
    )
    yield replace(contact, ohm=_STARTER_CONTACT_OHM)
    yield _piece(part, "pull", Symbol.WINDING, (control, _end(part, "to")), "pull-in winding")
    yield _piece(part, "hold", Symbol.WINDING, (control, body), "hold-in winding")


def _selector(part: Part) -> Iterator[Branch]:
    pairs = dict.fromkeys(pair for _, joined in part.positions for pair in joined)
    rest = part.positions[0][1] if part.positions else ()
    for number, pair in enumerate(pairs):
        one, _, other = pair.partition("-")
        where = [name for name, joined in part.positions if pair in joined]
        note = f"{part.words}: {', '.join(where)}" if part.words and not number else ""
        piece = _piece(
            part,
            pair,
            Symbol.SWITCH,
            (_end(part, one), _end(part, other)),
            note or ", ".join(where),
        )
        yield replace(piece, rests=pair in rest, is_lead=number == 0)


def _alternator(part: Part) -> Iterator[Branch]:
    ends = _end(part, "to"), _end(part, "from")
    yield _piece(part, "output", Symbol.ALTERNATOR, ends, part.words or "alternator")
    if part.end("lamp"):
        lamp = part.end("lamp")
        yield _piece(part, "lamp", Symbol.OUTPUT, (lamp, ends[1]), "regulator")


def _note(part: Part) -> str:
    """Return what a part is, in the author's words or by its size."""
    sized = ""
    for kind, key, unit in _SAID:
        if part.kind is kind and part.has(key):
            sized = show(part.size(key), unit)
    if part.kind is Kind.FUSE and sized and part.words and sized not in part.words:
        return f"{part.words}, {sized}"
    return part.words or sized or _PLAIN_WORDS.get(part.kind, "")


_SAID: Final = (
    (Kind.FUSE, "rating", "A"),
    (Kind.LAMP, "power", "W"),
    (Kind.RESISTOR, "ohms", "Ω"),
    (Kind.RESISTOR, "power", "W"),
    (Kind.HEATER, "ohms", "Ω"),
    (Kind.HEATER, "power", "W"),
    (Kind.SUPPLY, "volts", "V"),
    (Kind.PULL_UP, "volts", "V"),
)
_PLAIN_WORDS: Final[Mapping[Kind, str]] = {
    **{kind: kind.value for kind in FORMS if kind not in (Kind.WIRE, Kind.SWITCH, Kind.FUSE)},
    Kind.GROUND: "ground joint",
}
