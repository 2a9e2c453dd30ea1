"""What a circuit sheet says already of the repair: wire, fuse, loads, heat."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from witnessmark.networks import Circuit, Kind, Part, Solution
from witnessmark.quantities import listed
from witnessmark.wiring.carried import Carried, fuses_before, wires_behind, worst_carried
from witnessmark.wiring.fuses import RATINGS_A, FuseKind
from witnessmark.wiring.sizes import System, WireSize, sizes_of

_SAME_AREA: Final = 0.01  # relative: areas this near are one size
_AS_TABLES_C: Final = 20.0  # of a wire's copper where the sheet says nothing
JOINTS: Final = frozenset({Kind.CONNECTOR, Kind.SPLICE, Kind.GROUND})


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRun:
    """What the sheet knows of a repair; None where it does not say.

    Attributes
    ----------
    renewed
        Names of the wires that a new one takes the place of.
    length_m
        Of these wires together. [m]
    was
        The wire at fault, or the thinnest one at the joint at fault.
    carried
        What the wire that is renewed carries at the worst, or else the part at fault.
    fuse_a
        Rating of the fuse that feeds it. [A]
    no_fuse
        Why there is no rating: a fusible link feeds it, or nothing that opens; empty with a fuse.
    fuse_kind
        Size of blade that its holder takes.
    fed
        What that fuse carries at the worst.
    thinnest
        The thinnest other wire that this fuse alone protects.
    stalled_a
        What the load takes held still, if it is a motor. [A]
    copper_c
        Temperature of the copper, where the sheet says one. [°C]
    """

    renewed: tuple[str, ...] = ()
    length_m: float | None = None
    was: WireSize | None = None
    carried: Carried | None = None
    fuse_a: float | None = None
    no_fuse: str = ""
    fuse_kind: FuseKind | None = None
    fed: Carried | None = None
    thinnest: WireSize | None = None
    stalled_a: float | None = None
    copper_c: float | None = None


def sheet_run(
    circuit: Circuit,
    solution: Solution,
    pieces: Sequence[str],
    *,
    part: Part | None = None,
    load: Part | None = None,
) -> SheetRun:
    """Return what the sheet says of a repair.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved in all its states, healthy first.
    pieces
        Names of the pieces of the load's way, from supply to ground.
    part
        The part at fault; None where the whole run of the load is meant.
    load
        The load at the end of the way.

    Returns
    -------
    SheetRun
        A length only if every wire that is renewed is given by its length: a part of it would size
        a wire that is too thin.
    """
    wires = _renewed(circuit, pieces, part)
    known = [one.size("length") for one in wires if one.has("length")]
    feeds = part or load
    before = fuses_before(circuit, solution, feeds.name) if feeds else ()
    protectors = [circuit.part(name) for name in before]
    fuse = _fuse_of(protectors)
    names = tuple(one.name for one in wires)
    heat = [one.size("temperature") for one in wires if one.has("temperature")]
    return SheetRun(
        renewed=names,
        length_m=sum(known) if known and len(known) == len(wires) else None,
        was=_thinnest(wires) if part is not None else None,
        carried=None if part is None else worst_carried(circuit, solution, (*names, part.name)[0]),
        fuse_a=None if fuse is None else fuse.size("rating"),
        no_fuse=_no_fuse(protectors) if feeds and fuse is None else "",
        fuse_kind=None if fuse is None else _kind_of(fuse),
        fed=None if fuse is None else worst_carried(circuit, solution, fuse.name),
        thinnest=None if fuse is None else _behind(circuit, solution, fuse, names),
        stalled_a=None if load is None else _stalled_a(circuit, load),
        copper_c=max((one for one in heat if one != _AS_TABLES_C), default=None),
    )


def wire_size(wire: Part) -> WireSize | None:
    """Return the size of a wire as it was typed; None where the sheet has another or none.

    Parameters
    ----------
    wire
        The wire; a sheet keeps its area alone, and whose size it is.
    """
    if not wire.has("size"):
        return None
    area_mm2 = wire.size("size")
    known = sizes_of(System(wire.choice("standard") or System.METRIC))
    near = [one for one in known if abs(one.area_mm2 - area_mm2) <= _SAME_AREA * one.area_mm2]
    return min(near, key=lambda one: abs(one.area_mm2 - area_mm2), default=None)


def _renewed(circuit: Circuit, pieces: Sequence[str], part: Part | None) -> list[Part]:
    """The wire at fault; the thinnest at the joint at fault; without a part all of the way."""
    wires = [one for one in circuit.parts if one.kind is Kind.WIRE]
    if part is None:
        return [one for one in wires if one.name in pieces]
    if part.kind is Kind.WIRE:
        return [part]
    if part.kind not in JOINTS:
        return []
    ends = {point for _, point in part.ends}
    near = [one for one in wires if ends & {point for _, point in one.ends}]
    sized = [one for one in near if one.has("size")]
    return [min(sized, key=lambda one: one.size("size"))] if sized else near[:1]


def _thinnest(wires: Sequence[Part]) -> WireSize | None:
    sized = [one for one in wires if one.has("size")]
    if not sized:
        return None
    return wire_size(min(sized, key=lambda one: one.size("size")))


def _fuse_of(before: Sequence[Part]) -> Part | None:
    """The fuse that feeds a part; of several the largest, which protects it least."""
    fuses = [one for one in before if one.kind is Kind.FUSE]
    if len(fuses) < len(before):  # a fusible link protects it, and has no rating
        return None
    return max(fuses, key=lambda one: one.size("rating"), default=None)


def _no_fuse(before: Sequence[Part]) -> str:
    links = [one.label for one in before if one.kind is Kind.LINK]
    if links:
        feeds = "feeds it, a fusible link" if len(links) == 1 else "feed it, fusible links"
        stays = "link stays" if len(links) == 1 else "links stay"
        return (
            f"By the sheet {listed(links, 'and')} {feeds}. The maker's own {stays}; the fuse named "
            "here is only what would carry the current."
        )
    return (
        "By the sheet no fuse stands before it. The fuse named here is only what would carry the "
        "current: whether one belongs there, the maker says."
    )


def _kind_of(fuse: Part) -> FuseKind | None:
    """The kind of blade of a fuse, if its rating is made in that kind."""
    kind = FuseKind.LARGE if fuse.choice("band") == "large" else FuseKind.STANDARD
    return kind if fuse.size("rating") in RATINGS_A[kind] else None


def _behind(
    circuit: Circuit, solution: Solution, fuse: Part, renewed: Sequence[str]
) -> WireSize | None:
    names = [one for one in wires_behind(circuit, solution, fuse.name) if one not in renewed]
    return _thinnest([circuit.part(name) for name in names])


def _stalled_a(circuit: Circuit, load: Part) -> float | None:
    """What a motor takes held still: the supply over its armature. [A]"""
    if load.kind is not Kind.MOTOR or not load.has("armature"):
        return None
    return circuit.supply_v / load.size("armature")
