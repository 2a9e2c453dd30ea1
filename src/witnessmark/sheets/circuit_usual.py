"""Usual sizes: what is taken where a paper diagram says nothing, until somebody measures."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from witnessmark.errors import BenchError
from witnessmark.networks import FORMS, Kind
from witnessmark.networks.forms import Size
from witnessmark.quantities import parse
from witnessmark.sheets.circuit_draft import Typed, kind_of_part, tables_of

# Common practice, no published source, but for the pull-in of relays: 8 V and 1.5 V are typical of
# 12 V mini relays. They decide nothing on a page: each is named, and can be typed over.
_JOINTS: Final[Mapping[Kind, Mapping[str, float]]] = {
    Kind.CONNECTOR: {"ohms": 0.005},
    Kind.SPLICE: {"ohms": 0.001},
    Kind.GROUND: {"ohms": 0.003},
    Kind.SWITCH: {"ohms": 0.02},
    Kind.SELECTOR: {"ohms": 0.02},
    Kind.RELAY: {"ohms": 0.01},
    Kind.SOLENOID: {"ohms": 0.0004},
    Kind.OUTPUT: {"ohms": 0.02},
}
_VOLTS: Final[Mapping[Kind, Mapping[str, float]]] = {  # in a 12 V vehicle
    Kind.BATTERY: {"emf": 12.6},
    Kind.RELAY: {"pulls_in": 8.0, "drops_out": 1.5},
    Kind.SOLENOID: {"pulls_in": 7.0, "drops_out": 3.0},
    Kind.LAMP: {"volts": 12.0},
    Kind.HEATER: {"volts": 12.0},
    Kind.RESISTOR: {"volts": 12.0},
    Kind.ALTERNATOR: {"volts": 14.2},
}
_COILS: Final[Mapping[Kind, Mapping[str, float]]] = {  # for the same watts at 12 V
    Kind.BATTERY: {"inside": 0.02},
    Kind.RELAY: {"coil_ohms": 85.0},
    Kind.SOLENOID: {"pull_ohms": 0.4, "hold_ohms": 1.1},
}
_FUSE_DROP_V: Final = 0.075  # over a blade fuse that carries its rating
_NOMINAL: Final = ((9.0, 0.5), (18.0, 1.0), (36.0, 2.0), (60.0, 4.0))  # below so many volts: times


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """One size that was taken because nobody typed it.

    Attributes
    ----------
    number
        Number of the part, from 0.
    part
        Its name.
    key, words
        What the sheet and a person call the size.
    text
        The size as it would be typed, "85 ohm".
    """

    number: int
    part: str
    key: str
    words: str
    text: str


def with_usual(data: Typed) -> tuple[dict[str, Any], tuple[Taken, ...]]:
    """Return what was typed with the usual sizes in it, and which they are.

    Parameters
    ----------
    data
        A sheet as it was typed.

    Returns
    -------
    tuple of dict and tuple of Taken
        The sheet with them, and each of them.

    Examples
    --------
    >>> parts = [{"name": "F12", "kind": "fuse", "rating": "20 A"}]
    >>> filled, taken = with_usual({"parts": parts})
    >>> filled["parts"][0]["ohms"], taken[0].words
    ('0.00375 ohm', 'resistance')
    """
    times = _times(data)
    parts = list(data["parts"]) if isinstance(data.get("parts"), list) else []
    taken = []
    for number, part in tables_of(data, "parts"):
        more = usual_of(part, times)
        parts[number] = part | {size.key: text for size, text in more}
        name = part.get("name")
        taken += [
            Taken(
                number=number,
                part=name if isinstance(name, str) else "",
                key=size.key,
                words=size.words,
                text=text,
            )
            for size, text in more
        ]
    return ({**data, "parts": parts} if parts else dict(data)), tuple(taken)


def usual_of(part: Typed, times: float | None = 1.0) -> list[tuple[Size, str]]:
    """Return the sizes that a part lacks and has a usual value for, as they would be typed.

    Parameters
    ----------
    part
        One of the entries under [[parts]].
    times
        Nominal volts of the vehicle over 12; None where no usual sizes are known. [1]
    """
    kind = kind_of_part(part)
    if kind is None:
        return []
    found = []
    for size in way_used(part, kind):
        if size.key in part or size.usual is not None:
            continue
        text = _text(kind, size, part, times)
        if text:
            found.append((size, text))
    return found


def way_used(part: Typed, kind: Kind) -> tuple[Size, ...]:
    """Return the sizes of the way that a part is told in; of its form's first where none is typed.

    Parameters
    ----------
    part
        One of the entries under [[parts]].
    kind
        Its kind.
    """
    return FORMS[kind].way_told(part) or FORMS[kind].ways[0]


def follows_another(part: Typed, key: str) -> bool:
    """Return whether a size is taken by itself as soon as another one is typed.

    Parameters
    ----------
    part
        One of the entries under [[parts]].
    key
        What the sheet calls the size.

    Examples
    --------
    >>> follows_another({"kind": "fuse"}, "ohms"), follows_another({"kind": "fuse"}, "rating")
    (True, False)
    """
    return kind_of_part(part) is Kind.FUSE and key == "ohms"


def nominal_times(data: Typed) -> float | None:
    """Return the nominal volts of a sheet over 12: 2 for a truck of 24 V. [1]

    Parameters
    ----------
    data
        A sheet as it was typed; without a battery it is taken as one of 12 V.
    """
    return _times(data)


def _times(data: Typed) -> float | None:
    for _, part in tables_of(data, "parts"):
        if kind_of_part(part) is Kind.BATTERY and "emf" in part:
            try:
                volts = parse(str(part["emf"]), "V").to("V")
            except BenchError:
                continue
            return next((times for below, times in _NOMINAL if volts < below), None)
    return 1.0


def _text(kind: Kind, size: Size, part: Typed, times: float | None) -> str:
    if kind is Kind.FUSE and size.key == "ohms":
        return _fuse_ohm(part)
    if size.key in _JOINTS.get(kind, {}):
        return f"{_JOINTS[kind][size.key]:g} ohm"
    if times is None:
        return ""
    if size.key in _VOLTS.get(kind, {}):
        return f"{_VOLTS[kind][size.key] * times:g} V"
    if size.key in _COILS.get(kind, {}):
        return f"{_COILS[kind][size.key] * times * times:g} ohm"
    return ""


def _fuse_ohm(part: Typed) -> str:
    try:
        rating_a = parse(str(part.get("rating", "")), "A").to("A")
    except BenchError:
        return ""
    if not rating_a >= 0.1:
        return ""
    digits = f"{_FUSE_DROP_V / rating_a:.3g}"
    return f"{float(digits):.6f}".rstrip("0") + " ohm"
