"""What a circuit sheet says already of the run that is to be repaired."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from witnessmark.networks import Circuit, Kind, Part
from witnessmark.wiring.sizes import System, WireSize, sizes_of

_SAME_AREA: Final = 0.01  # relative: areas this near are one size


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRun:
    """What the sheet knows of a run; None where it does not say.

    Attributes
    ----------
    length_m
        All wires of the run, there and back. [m]
    was
        The wire at fault, or the thinnest one at the joint at fault.
    fuse_a
        Rating of the fuse of the run. [A]
    """

    length_m: float | None = None
    was: WireSize | None = None
    fuse_a: float | None = None


def sheet_run(circuit: Circuit, pieces: Sequence[str], part: Part | None) -> SheetRun:
    """Return what the sheet says of the run of a load.

    Parameters
    ----------
    circuit
        The circuit.
    pieces
        Names of the pieces of the run, from supply to ground.
    part
        The part at fault.

    Returns
    -------
    SheetRun
        The length only if every wire of the run is given by its length: a part of it would size a
        wire that is too thin.
    """
    run = [one for one in circuit.parts if one.name in pieces]
    wires = [one for one in run if one.kind is Kind.WIRE]
    known = [one.size("length") for one in wires if one.has("length")]
    ratings = [one.size("rating") for one in run if one.kind is Kind.FUSE]
    return SheetRun(
        length_m=sum(known) if known and len(known) == len(wires) else None,
        was=None if part is None else _wire_at(circuit, part),
        fuse_a=min(ratings, default=None),
    )


def _wire_at(circuit: Circuit, part: Part) -> WireSize | None:
    """Return the size of a wire, or of the thinnest wire that ends where a joint does."""
    ends = {point for _, point in part.ends}
    near = [part] if part.kind is Kind.WIRE else circuit.parts
    wires = [
        one
        for one in near
        if one.kind is Kind.WIRE and one.has("size") and ends & {point for _, point in one.ends}
    ]
    if not wires:
        return None
    thinnest = min(wires, key=lambda wire: wire.size("size"))
    return _size(thinnest.size("size"), System(thinnest.choice("standard") or System.METRIC))


def _size(area_mm2: float, system: System) -> WireSize | None:
    near = [
        one for one in sizes_of(system) if abs(one.area_mm2 - area_mm2) <= _SAME_AREA * one.area_mm2
    ]
    return min(near, key=lambda one: abs(one.area_mm2 - area_mm2), default=None)
