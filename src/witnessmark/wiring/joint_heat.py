"""Heat in a bad joint: how many watts, why it grew, how hot, and why no fuse opens for it."""

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.wiring.heating import Heating
from witnessmark.wiring.joint_on_sheet import SheetJoint
from witnessmark.wiring.sentences import amps_words, ohms_words, rise_words, watts_words

COPPER_W_PER_M_K: Final = 390.0  # heat that copper leads along a wire; from memory
# A joint loses heat by its wires for sure, and by its body and what it is screwed to as much
# again or many times that: the range is honest, not narrow.
_BODY: Final = {"between wires": 2.0, "at a stud": 10.0}
_CHARS_C: Final = 300.0


class JointKind(StrEnum):
    """What the joint sits on."""

    WIRES = "between wires"
    STUD = "at a stud"


@dataclass(frozen=True, slots=True, kw_only=True)
class BadJoint:
    """A joint with too many ohms in a loop.

    Attributes
    ----------
    name
        As the sheet names it.
    supply_v
        Of the loop. [V]
    rest_ohm
        Of everything else in the loop, the load included. [Ω]
    joint_ohm
        Of the joint as it is now. [Ω]
    good_ohm
        Of the joint as it should be. [Ω]
    """

    name: str
    supply_v: float
    rest_ohm: float
    joint_ohm: float
    good_ohm: float

    @property
    def current_a(self) -> float:
        """What flows now. [A]"""
        return self.supply_v / (self.rest_ohm + self.joint_ohm)

    @property
    def good_current_a(self) -> float:
        """What flows with a good joint. [A]"""
        return self.supply_v / (self.rest_ohm + self.good_ohm)

    @property
    def drop_v(self) -> float:
        """Across the joint now. [V]"""
        return self.current_a * self.joint_ohm

    @property
    def heat_w(self) -> float:
        """In the joint now. [W]"""
        return self.current_a * self.drop_v

    @property
    def good_heat_w(self) -> float:
        """In the joint as it should be. [W]"""
        return self.good_current_a**2 * self.good_ohm

    @property
    def worst_ohm(self) -> float:
        """With which it makes most heat: as many as the rest of the loop has. [Ω]"""
        return self.rest_ohm

    @property
    def worst_w(self) -> float:
        """The most heat that any joint makes in this loop, where its ohms equal the rest. [W]"""
        return self.supply_v**2 / (4 * self.rest_ohm)


def bad_joint(
    name: str, *, supply_v: float, current_a: float, drop_v: float, good_drop_v: float = 0.02
) -> BadJoint:
    """Return a joint from what was read across it.

    Parameters
    ----------
    name
        As the sheet names it.
    supply_v
        Of the loop. [V]
    current_a
        What the healthy circuit takes. [A]
    drop_v
        Read across the joint, the load switched on. [V]
    good_drop_v
        What a good joint loses at that current. [V]

    Returns
    -------
    BadJoint
        The rest of the loop is taken as one resistance that stays the same.

    Raises
    ------
    BenchError
        If the drop is not between 0 V and the supply.

    Examples
    --------
    >>> found = bad_joint("G7", supply_v=12.6, current_a=7.9, drop_v=2.8)
    >>> round(found.current_a, 1), round(found.joint_ohm, 2), round(found.heat_w)
    (6.2, 0.45, 17)
    """
    if not (supply_v > 0 and current_a > 0):
        raise BenchError(
            f"The loop has {supply_v:g} V and {current_a:g} A.",
            "Both must be more than 0.",
            "Enter the battery's volts and the current of the healthy load.",
        )
    if not 0 < drop_v < supply_v:
        raise BenchError(
            f"{drop_v:g} V were read across {name}.",
            f"It lies between 0 V and the supply, {supply_v:g} V.",
            "Measure again across the joint itself, the load switched on.",
        )
    good_ohm = min(good_drop_v, drop_v) / current_a
    rest_ohm = supply_v / current_a - good_ohm
    joint_ohm = drop_v * rest_ohm / (supply_v - drop_v)
    return BadJoint(
        name=name, supply_v=supply_v, rest_ohm=rest_ohm, joint_ohm=joint_ohm, good_ohm=good_ohm
    )


def rise_range_k(heat_w: float, wire: Heating, kind: JointKind) -> tuple[float, float]:
    """Return how much hotter than its air a joint may get, from little to much.

    Parameters
    ----------
    heat_w
        Heat in the joint. [W]
    wire
        The wire that leaves it.
    kind
        What it sits on.

    Returns
    -------
    tuple of float
        Low and high estimate. [K]

    Notes
    -----
    High: the heat leaves only along the wires, each a long fin that loses heat to the air as the
    steady amps of its size imply. Low: body, terminal and stud carry off as much again between
    two wires, nine times as much at a stud. Worked out here; no published measurement was found.

    Examples
    --------
    >>> from witnessmark.wiring.ampacity import Place
    >>> from witnessmark.wiring.heating import heating_of
    >>> from witnessmark.wiring.insulation import insulation
    >>> from witnessmark.wiring.sizes import awg
    >>> wire = heating_of(awg(14), insulation("pvc-105"), Place())
    >>> [round(k) for k in rise_range_k(1.0, wire, JointKind.WIRES)]
    [21, 41]
    """
    arms = 2 if kind is JointKind.WIRES else 1
    along = COPPER_W_PER_M_K * wire.size.area_mm2 * 1e-6
    w_per_k = arms * sqrt(along / wire.thermal_k_m_per_w)
    high = heat_w / w_per_k
    return high / _BODY[kind], high


def joint_sentences(
    found: BadJoint | SheetJoint, wire: Heating | None, kind: JointKind
) -> tuple[str, ...]:
    """Return why the joint heats, how hot it may be and why no fuse opens, with its numbers.

    Parameters
    ----------
    found
        The joint: worked out in the circuit of its sheet, or in a loop of typed current.
    wire
        The wire that leaves it; None where nobody knows it.
    kind
        What it sits on.

    Returns
    -------
    tuple of str
        Sentences in the order in which they are read.
    """
    return _heat_words(found), _grew_words(found), _hot_words(found, wire, kind), _fuse_words(found)


def _heat_words(found: BadJoint | SheetJoint) -> str:
    heat = (
        f"{found.name[:1].upper()}{found.name[1:]} has {ohms_words(found.joint_ohm)} and makes "
        f"{watts_words(found.heat_w)} of heat at {amps_words(found.current_a)}"
    )
    good = ohms_words(found.good_ohm)
    if isinstance(found, BadJoint):
        return (
            f"{heat}. A good one has {good} at most. The current is taken as typed, "
            f"{amps_words(found.good_current_a)} with a good joint, and the rest of its loop as "
            "one resistance that stays the same."
        )
    has = f"has {good} by the sheet" if found.is_good_by_sheet else f"has {good} at most"
    return (
        f"{heat}, worked out with {found.state_words} in the whole circuit of the sheet. A good "
        f"one {has} and makes {watts_words(found.good_heat_w)} at "
        f"{amps_words(found.good_current_a)}."
    )


def _grew_words(found: BadJoint | SheetJoint) -> str:
    grew = (
        "It grew by itself: heat loosens the joint and oxidizes its metal, which adds ohms, which "
        "make more heat."
    )
    most, where = watts_words(found.worst_w), ohms_words(found.worst_ohm)
    if found.joint_ohm < found.worst_ohm:
        return f"{grew} More ohms still make more heat: up to {most}, near {where}."
    return f"{grew} It has passed its worst: {most}, near {where}."


def _hot_words(found: BadJoint | SheetJoint, wire: Heating | None, kind: JointKind) -> str:
    if wire is None:
        return (
            "How hot it gets depends on its wire: type the size of the wire at the joint. Do not "
            "touch it; use a thermometer."
        )
    low_k, high_k = rise_range_k(found.heat_w, wire, kind)
    many = f"more than {_CHARS_C:.0f} °C"
    if low_k >= _CHARS_C:
        return f"That is {many} above its surroundings: hot enough to char any insulation."
    low = rise_words(low_k).removesuffix(" °C")
    top = rise_words(high_k) if high_k < _CHARS_C else many
    return (
        f"It may be {low} to {top} above its surroundings. The range is wide: how the joint loses "
        "heat is not known. Do not touch it; use a thermometer."
    )


def _fuse_words(found: BadJoint | SheetJoint) -> str:
    return (
        f"The current through it, {amps_words(found.current_a)}, is no greater than the usual "
        f"{amps_words(found.good_current_a)}, so no fuse opens for it: it heats where it is, until "
        "the joint is good again."
    )
