"""A whole repair: wire, fuse and joint together, with the answer in one sentence."""

from dataclasses import dataclass, replace

from witnessmark.wiring.choosing import CONTINUOUS, FuseChoice, Load, choose_fuse
from witnessmark.wiring.fuses import Fuse, FuseKind, fuse_of
from witnessmark.wiring.heating import Heating, heating_of
from witnessmark.wiring.joints import JOINT_RULES, JointRule
from witnessmark.wiring.mending import NOTE
from witnessmark.wiring.protection import Guard, Protection, Stall, check_protection, check_stall
from witnessmark.wiring.sentences import amps_words
from witnessmark.wiring.sizes import WireSize
from witnessmark.wiring.sizing import Run, SizeRow, Sizing, is_one_size, size_wire


@dataclass(frozen=True, slots=True, kw_only=True)
class RepairAsked:
    """What is to be repaired.

    Attributes
    ----------
    run
        What the wire must do; its fuse is left out.
    kind
        The kind of fuse that the holder takes.
    fuse_a
        Rating of the fuse that is there; None to choose one. [A]
    starting_a, starting_s
        What flows while the load starts, and for how long. [A], [s]
    stalled_a
        What a motor takes that is held still; None where the load is none. [A]
    together_a
        What all loads on the fuse take that run together; None where the wire feeds them all. [A]
    counted
        Which loads were counted for wire and fuse, in sentences.
    thinnest
        A thinner wire behind the same fuse; None where the new one is the thinnest.
    share
        Share of its rating that a fuse may carry for long. [1]
    joint
        The shop's rule for joints.
    on_sheet
        The wire as the sheet has it; None where no sheet says.
    """

    run: Run
    kind: FuseKind = FuseKind.STANDARD
    fuse_a: float | None = None
    starting_a: float = 0.0
    starting_s: float = 0.0
    stalled_a: float | None = None
    together_a: float | None = None
    counted: tuple[str, ...] = ()
    thinnest: WireSize | None = None
    share: float = CONTINUOUS
    joint: JointRule = JOINT_RULES[0]
    on_sheet: WireSize | None = None

    @property
    def on_fuse_a(self) -> float:
        """What the fuse carries: all its loads together, never less than the wire. [A]"""
        return max(self.run.current_a, self.together_a or 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """What to fit, and how it was found.

    Attributes
    ----------
    asked
        What was asked.
    choice
        The fuse that the load asks for.
    fuse
        The fuse that is there, or else the chosen one; None where no rating is large enough.
    sizing
        Every size with its tests.
    guarded
        The thinnest wire behind the fuse, in its place; None without a size.
    protection
        The fuse against that wire.
    stall
        What a held motor does, where one was named.
    """

    asked: RepairAsked
    choice: FuseChoice
    fuse: Fuse | None
    sizing: Sizing
    guarded: Heating | None
    protection: Protection | None
    stall: Stall | None

    @property
    def row(self) -> SizeRow | None:
        """The size to fit with its tests."""
        return self.sizing.answer

    @property
    def fuse_is_enough(self) -> bool:
        """Whether the fuse carries its loads for long."""
        return self.choice.is_carried_by(self.fuse)

    @property
    def too_large(self) -> str:
        """What to ask about a fuse that is larger than its loads ask for; empty for any other."""
        return self.choice.too_large(self.fuse)

    @property
    def holds(self) -> bool:
        """Whether wire and fuse are found, and the fuse protects the wire."""
        return (
            self.row is not None
            and self.fuse_is_enough
            and self.protection is not None
            and self.protection.guard is not Guard.DOES_NOT
            and (self.stall is None or self.stall.wire_is_safe)
        )

    @property
    def sentence(self) -> str:
        """The answer in one sentence."""
        if self.fuse is None:
            return f"No fuse of this kind carries {amps_words(self.asked.on_fuse_a)} for long."
        if self.row is None:
            return self.sizing.sentence
        fit = f"{self.row.size.label} behind a fuse of {self.fuse.rating_a:g} A"
        if not self.fuse_is_enough:
            return self.choice.too_small(self.fuse)
        if self.protection is not None and self.protection.guard is Guard.DOES_NOT:
            return (
                f"{self.protection.wire.size.label} is not protected by the fuse of "
                f"{self.fuse.rating_a:g} A. Replace that wire too, or give it a fuse of its own."
            )
        if self.stall is not None and not self.stall.wire_is_safe:
            return f"Not {fit}: held still, the motor hurts the wire before the fuse opens."
        return f"Fit {fit}."

    @property
    def sentences(self) -> tuple[str, ...]:
        """Everything that was found about wire and fuse, in the order in which it is read."""
        said = [check.sentence for check in self.row.checks] if self.row else []
        said += self.sizing.why_not_thinner
        if self.row is not None and self.row.note:
            said.append(self.row.note)
        said += self.asked.counted
        said.append(self.choice.sentence)
        if self.choice.why_not_smaller and self.choice.fuse is not None:
            said.append(self.choice.why_not_smaller)
        if self.too_large:
            said.append(self.too_large)
        if self.stall is not None:
            said.append(self.stall.sentence)
        return tuple(said)

    @property
    def differs(self) -> str:
        """That the size is not the one of the sheet, and why; empty where it is."""
        there, fit = self.asked.on_sheet, self.row
        if there is None or fit is None or is_one_size(there, fit.size):
            return ""
        said = f"The sheet has {there.label} there, and this is {fit.size.label}"
        typed = self.asked.run.replaces
        if typed is not None and not is_one_size(there, typed):
            said += f", because {typed.label} was typed for the wire that was there"
        return f"{said}. Look at the wire itself before it is cut."

    @property
    def note(self) -> str:
        """The answer, what was asked, its limits and the joint as one text, kept with a job."""
        run = self.asked.run
        lines = [f"{NOTE}{self.sentence}", self.differs]
        lines.append(
            f"Asked: {amps_words(run.current_a)} over {run.length_m:g} m of wire; "
            f"{run.cover.words}; {run.place.words}, {run.place.temperature_c:g} °C, "
            f"{run.place.wires} in the bundle."
        )
        kept = self.row.checks[:2] if self.row else ()
        limits = f"Limits: {run.limits.words} ({run.limits.source})."
        lines.append(" ".join([limits, *(check.sentence for check in kept)]))
        if self.holds:
            lines.append(f"Joint: {self.asked.joint.words}.")
        return "\n".join(line for line in lines if line)


def plan_repair(asked: RepairAsked) -> Repair:
    """Return wire and fuse for a repair, and whether the fuse protects the wire.

    Parameters
    ----------
    asked
        What is to be repaired.

    Returns
    -------
    Repair
        The thinnest size that passes every test, among them that the fuse protects it.

    Raises
    ------
    BenchError
        If the place is too hot, or there is no such fuse.

    Examples
    --------
    >>> from witnessmark.wiring.drop import drop_limits
    >>> from witnessmark.wiring.insulation import insulation
    >>> run = Run(
    ...     current_a=8, length_m=5, limits=drop_limits("accessory"), cover=insulation("pvc-105")
    ... )
    >>> plan_repair(RepairAsked(run=run)).sentence
    'Fit 2.5 mm² behind a fuse of 10 A.'
    """
    load = Load(
        current_a=asked.on_fuse_a,
        starting_a=asked.starting_a,
        starting_s=asked.starting_s,
        share=asked.share,
    )
    choice = choose_fuse(load, asked.kind)
    fuse = choice.fuse if asked.fuse_a is None else fuse_of(asked.kind, asked.fuse_a)
    sizing = size_wire(replace(asked.run, fuse=fuse))
    guarded = _guarded(asked, sizing)
    protection = stall = None
    if guarded is not None and fuse is not None:
        protection = check_protection(fuse, guarded)
        if asked.stalled_a is not None:
            stall = check_stall(fuse, guarded, asked.stalled_a)
    return Repair(
        asked=asked,
        choice=choice,
        fuse=fuse,
        sizing=sizing,
        guarded=guarded,
        protection=protection,
        stall=stall,
    )


def _guarded(asked: RepairAsked, sizing: Sizing) -> Heating | None:
    """The thinnest wire behind the fuse, in the same place."""
    row = sizing.answer
    if asked.thinnest is not None and (row is None or asked.thinnest.area_mm2 < row.size.area_mm2):
        return heating_of(asked.thinnest, asked.run.cover, asked.run.place)
    return None if row is None else row.heating
