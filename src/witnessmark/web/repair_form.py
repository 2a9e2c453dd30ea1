"""What the form 'Size the repair' sends, as the question that the wiring room answers."""

from collections.abc import Mapping
from typing import Any

from witnessmark.errors import BenchError
from witnessmark.quantities import parse
from witnessmark.shop.models import Shop
from witnessmark.web.typed import whole
from witnessmark.wiring.ampacity import ENGINE_C, TABLE_C, Place
from witnessmark.wiring.drop import LIMIT_SETS, OWN, DropLimits, drop_limits, own_limits
from witnessmark.wiring.fuses import FuseKind
from witnessmark.wiring.insulation import INSULATIONS, insulation
from witnessmark.wiring.joints import joint_rule
from witnessmark.wiring.repair import RepairAsked
from witnessmark.wiring.sizes import System, WireSize, parse_size
from witnessmark.wiring.sizing import Run

FIELDS = (
    "load",
    "current",
    "length",
    "limits",
    "own_drop",
    "insulation",
    "place",
    "air",
    "wires",
    "system",
    "was",
    "thinnest",
    "kind",
    "fuse",
    "starting",
    "seconds",
    "stalled",
    "joint_drop",
    "joint_kind",
)
PLACES = {
    "body": Place(words="in the body", temperature_c=TABLE_C),
    "engine": Place(words="in the engine space", temperature_c=ENGINE_C),
}
KINDS = {kind.name.lower(): kind for kind in FuseKind}
SYSTEMS = {"mm2": System.METRIC, "awg": System.AWG, "sae": System.SAE}


def typed_of(sent: Mapping[str, str], shop: Shop) -> dict[str, str]:
    """Return every field of the form as sent, or as it stands at first."""
    first = {
        "limits": OWN if shop.own_drop else "accessory",
        "own_drop": shop.own_drop,
        "insulation": "unknown",
        "place": "body",
        "wires": "1",
        "system": "awg" if shop.units == "inch" else "mm2",
        "kind": "standard",
    }
    return {name: sent.get(name, first.get(name, "")).strip() for name in FIELDS}


def choices() -> dict[str, Any]:
    """Return what the form's lists offer."""
    return {
        "limit_sets": LIMIT_SETS,
        "insulations": INSULATIONS,
        "kinds": [(key, kind.value) for key, kind in KINDS.items()],
        "systems": [(key, system.value) for key, system in SYSTEMS.items()],
    }


def asked_of(typed: Mapping[str, str], shop: Shop, load_a: float | None) -> RepairAsked:
    """Return the question; the load's own current where none was typed."""
    current_a = load_a if load_a is not None and not typed["current"] else _size(typed, "current")
    run = Run(
        current_a=current_a,
        length_m=parse(typed["length"], "ft" if shop.units == "inch" else "m").to("m"),
        limits=_limits(typed),
        cover=insulation(typed["insulation"]),
        place=_place(typed),
        system=_one_of(SYSTEMS, typed["system"], "sizes"),
        replaces=_wire(typed["was"]),
    )
    return RepairAsked(
        run=run,
        kind=_one_of(KINDS, typed["kind"], "fuse"),
        fuse_a=_size(typed, "fuse") if typed["fuse"] else None,
        starting_a=_size(typed, "starting") if typed["starting"] else 0.0,
        starting_s=_size(typed, "seconds", "s") if typed["seconds"] else 0.0,
        stalled_a=_size(typed, "stalled") if typed["stalled"] else None,
        thinnest=_wire(typed["thinnest"]),
        joint=joint_rule(shop.joint_rule),
    )


def _size(typed: Mapping[str, str], name: str, unit: str = "A") -> float:
    return parse(typed[name], unit).to(unit)


def _wire(text: str) -> WireSize | None:
    return parse_size(text) if text else None


def _limits(typed: Mapping[str, str]) -> DropLimits:
    if typed["limits"] == OWN:
        return own_limits(_size(typed, "own_drop", "V"))
    return drop_limits(typed["limits"])


def _place(typed: Mapping[str, str]) -> Place:
    known = _one_of(PLACES, typed["place"], "place")
    wires = whole(typed["wires"][:6], "wires")
    if not typed["air"]:
        return Place(words=known.words, temperature_c=known.temperature_c, wires=wires)
    return Place(words=known.words, temperature_c=_size(typed, "air", "°C"), wires=wires)


def _one_of(choices: Mapping[str, Any], key: str, what: str) -> Any:
    if key in choices:
        return choices[key]
    raise BenchError(
        f"The form names no known {what}.",
        f"It is one of: {', '.join(choices)}.",
        "Choose it from the list.",
    )
