"""What the form 'Size the repair' sends, as the questions that the wiring room answers."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from witnessmark.errors import BenchError
from witnessmark.quantities import parse
from witnessmark.shop.models import Shop
from witnessmark.web.typed import whole
from witnessmark.wiring.ampacity import ENGINE_C, TABLE_C, Place
from witnessmark.wiring.choosing import Load
from witnessmark.wiring.drop import OWN, DropLimits, drop_limits, own_limits
from witnessmark.wiring.fuse_plan import FuseAsked
from witnessmark.wiring.fuses import FuseKind
from witnessmark.wiring.held import Held
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.joint_heat import JointKind
from witnessmark.wiring.joints import joint_rule
from witnessmark.wiring.repair import RepairAsked
from witnessmark.wiring.sizes import System, WireSize, parse_size
from witnessmark.wiring.sizing import Run

FIELDS = (
    *("of", "part", "work", "load"),
    *("current", "length", "limits", "own_drop", "insulation", "place", "air", "wires", "system"),
    *("was", "thinnest", "kind", "fuse", "together", "starting", "seconds", "stalled"),
    *("joint_drop", "joint_kind"),
)
PLACES = {
    "body": Place(words="in the body", temperature_c=TABLE_C),
    "engine": Place(words="in the engine space", temperature_c=ENGINE_C),
}
KINDS = {kind.name.lower(): kind for kind in FuseKind}
JOINT_KINDS = {"wires": JointKind.WIRES, "stud": JointKind.STUD}
SYSTEMS = {"mm2": System.METRIC, "awg": System.AWG, "sae": System.SAE}


_Read = TypeVar("_Read")


class AtField(BenchError):  # noqa: N818 - reads as a sentence
    """What is wrong with one field of the form: said there."""

    def __init__(self, error: BenchError, field: str) -> None:
        super().__init__(error.found, error.needed, error.do)
        self.field = field


def first_typed(shop: Shop) -> dict[str, str]:
    """Return the form as it stands before anybody types, and before a sheet fills it."""
    return dict.fromkeys(FIELDS, "") | {
        "limits": OWN if shop.own_drop else "accessory",
        "own_drop": shop.own_drop,
        "insulation": "unknown",
        "place": "body",
        "wires": "1",
        "system": "awg" if shop.units == "inch" else "mm2",
        "kind": "standard",
    }


def typed_of(sent: Mapping[str, str], shop: Shop) -> dict[str, str]:
    """Return every field of the form as sent, or as it stands at first."""
    return {name: sent.get(name, first).strip() for name, first in first_typed(shop).items()}


def wire_asked(
    typed: Mapping[str, str],
    shop: Shop,
    supply_v: float,
    held: Sequence[Held],
    counted: Sequence[str],
    on_sheet: WireSize | None,
) -> RepairAsked:
    """Return the question for a wire and its fuse; a field that cannot be is named."""
    run = Run(
        current_a=_size(typed, "current"),
        length_m=length_m(typed, shop),
        limits=limits_of(typed),
        cover=insulation(typed["insulation"]),
        place=place_of(typed),
        supply_v=supply_v,
        system=_one_of(SYSTEMS, typed["system"], "sizes"),
        replaces=wire_of(typed, "was"),
        held=tuple(held),
    )
    return RepairAsked(
        run=run,
        kind=_one_of(KINDS, typed["kind"], "fuse"),
        fuse_a=_perhaps(typed, "fuse"),
        starting_a=_perhaps(typed, "starting") or 0.0,
        starting_s=_perhaps(typed, "seconds", "s") or 0.0,
        stalled_a=_perhaps(typed, "stalled"),
        together_a=_perhaps(typed, "together"),
        counted=tuple(counted),
        thinnest=wire_of(typed, "thinnest"),
        joint=joint_rule(shop.joint_rule),
        on_sheet=on_sheet,
    )


def fuse_asked(typed: Mapping[str, str], counted: Sequence[str]) -> FuseAsked:
    """Return the question for a fuse that is renewed by itself."""
    return FuseAsked(
        load=Load(
            current_a=_size(typed, "together"),
            starting_a=_perhaps(typed, "starting") or 0.0,
            starting_s=_perhaps(typed, "seconds", "s") or 0.0,
        ),
        kind=_one_of(KINDS, typed["kind"], "fuse"),
        fuse_a=_perhaps(typed, "fuse"),
        thinnest=wire_of(typed, "thinnest"),
        cover=insulation(typed["insulation"]),
        place=place_of(typed),
        stalled_a=_perhaps(typed, "stalled"),
        counted=tuple(counted),
    )


def length_m(typed: Mapping[str, str], shop: Shop) -> float:
    """Return the length of wire that was typed. [m]"""
    unit = "ft" if shop.units == "inch" else "m"
    return _at("length", lambda: parse(typed["length"], unit).to("m"))


def joint_drop_v(typed: Mapping[str, str]) -> float:
    """Return the volts that were read across the bad joint. [V]"""
    return _size(typed, "joint_drop", "V")


def typed_a(typed: Mapping[str, str]) -> float:
    """Return the current that was typed. [A]"""
    return _size(typed, "current")


def wire_of(typed: Mapping[str, str], name: str) -> WireSize | None:
    """Return the size of wire in a field; None where nothing stands in it."""
    return _at(name, lambda: parse_size(typed[name])) if typed[name] else None


def limits_of(typed: Mapping[str, str]) -> DropLimits:
    """Return the chosen set of limits of the drop."""
    if typed["limits"] == OWN:
        return own_limits(_size(typed, "own_drop", "V"))
    return drop_limits(typed["limits"])


def place_of(typed: Mapping[str, str]) -> Place:
    """Return where the wire lies."""
    known = _one_of(PLACES, typed["place"], "place")
    wires = _at("wires", lambda: whole(typed["wires"][:6], "wires"))
    air_c = _perhaps(typed, "air", "°C")
    # "Air there, if hotter": what is cooler does not cool the place that was chosen.
    hottest_c = max(known.temperature_c, known.temperature_c if air_c is None else air_c)
    return Place(words=known.words, temperature_c=hottest_c, wires=wires)


def _size(typed: Mapping[str, str], name: str, unit: str = "A") -> float:
    return _at(name, lambda: parse(typed[name], unit).to(unit))


def _perhaps(typed: Mapping[str, str], name: str, unit: str = "A") -> float | None:
    return _size(typed, name, unit) if typed[name] else None


def _at(name: str, read: Callable[[], _Read]) -> _Read:
    try:
        return read()
    except BenchError as error:
        raise AtField(error, name) from error


def _one_of(choices: Mapping[str, Any], key: str, what: str) -> Any:
    if key in choices:
        return choices[key]
    raise BenchError(
        f"The form names no known {what}.",
        f"It is one of: {', '.join(choices)}.",
        "Choose it from the list.",
    )
