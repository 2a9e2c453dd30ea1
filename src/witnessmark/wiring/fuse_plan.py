"""A fuse renewed by itself: what all its loads ask for, and whether it protects its wires."""

from dataclasses import dataclass

from witnessmark.wiring.ampacity import Place
from witnessmark.wiring.choosing import FuseChoice, Load, choose_fuse
from witnessmark.wiring.fuses import Fuse, FuseKind, fuse_of
from witnessmark.wiring.heating import heating_of
from witnessmark.wiring.insulation import Insulation
from witnessmark.wiring.mending import NOTE
from witnessmark.wiring.protection import Guard, Protection, Stall, check_protection, check_stall
from witnessmark.wiring.sentences import amps_words
from witnessmark.wiring.sizes import WireSize


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseAsked:
    """Which fuse is renewed, and what hangs on it.

    Attributes
    ----------
    load
        What it carries: all its loads that run together.
    kind
        The kind of fuse that the holder takes.
    fuse_a
        Rating that belongs there; None to choose one. [A]
    thinnest
        The thinnest wire that it alone protects; None where nobody knows.
    cover, place
        Insulation of that wire, and where it lies.
    stalled_a
        What a motor takes that is held still; None where there is none. [A]
    counted
        Which loads were counted, in sentences.
    """

    load: Load
    cover: Insulation
    place: Place
    kind: FuseKind = FuseKind.STANDARD
    fuse_a: float | None = None
    thinnest: WireSize | None = None
    stalled_a: float | None = None
    counted: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FusePlan:
    """The fuse to fit, and how it was found.

    Attributes
    ----------
    asked
        What was asked.
    choice
        The fuse that its loads ask for.
    fuse
        The one that belongs there, or else the chosen one; None where no rating is large enough.
    protection
        The fuse against its thinnest wire; None where no wire was named.
    stall
        What a held motor does, where one was named.
    """

    asked: FuseAsked
    choice: FuseChoice
    fuse: Fuse | None
    protection: Protection | None
    stall: Stall | None

    @property
    def too_large(self) -> str:
        """What to ask about a fuse that is larger than its loads ask for; empty for any other."""
        return self.choice.too_large(self.fuse)

    @property
    def holds(self) -> bool:
        """Whether the fuse carries its loads and protects the wire that was named."""
        guarded = self.protection is None or self.protection.guard is not Guard.DOES_NOT
        stands = self.stall is None or self.stall.wire_is_safe
        return self.choice.is_carried_by(self.fuse) and guarded and stands

    @property
    def sentence(self) -> str:
        """The answer in one sentence."""
        if self.fuse is None:
            return f"No fuse of this kind carries {amps_words(self.asked.load.current_a)} for long."
        if not self.choice.is_carried_by(self.fuse):
            return self.choice.too_small(self.fuse)
        if self.protection is not None and self.protection.guard is Guard.DOES_NOT:
            return (
                f"{self.protection.wire.size.label} is not protected by a fuse of "
                f"{self.fuse.rating_a:g} A. Look up which fuse and which wire belong there."
            )
        if self.stall is not None and not self.stall.wire_is_safe:
            return "Held still, the motor hurts the wire before this fuse opens."
        flows = amps_words(self.asked.load.current_a)
        if self.asked.fuse_a is None:
            return f"Fit a fuse of {self.fuse.rating_a:g} A, the smallest that carries {flows}."
        return f"Fit the same fuse again, {self.fuse.rating_a:g} A: it carries {flows}."

    @property
    def sentences(self) -> tuple[str, ...]:
        """Everything that was found, in the order in which it is read."""
        said = [*self.asked.counted, self.choice.sentence]
        if self.choice.fuse is not None:
            said += [one for one in (self.choice.why_not_smaller, self.too_large) if one]
        if self.protection is not None:
            said += self.protection.sentences
        if self.stall is not None:
            said.append(self.stall.sentence)
        return tuple(said)

    @property
    def note(self) -> str:
        """The answer, its loads and what it protects as one text, to be kept with a job."""
        guards = () if self.protection is None else self.protection.sentences
        return "\n".join([f"{NOTE}{self.sentence}", *self.asked.counted, *guards])


def plan_fuse(asked: FuseAsked) -> FusePlan:
    """Return the fuse to fit, against its loads and its thinnest wire.

    Parameters
    ----------
    asked
        Which fuse is renewed, and what hangs on it.

    Returns
    -------
    FusePlan
        The plan; no wire is sized.

    Raises
    ------
    BenchError
        If the place is too hot, or there is no such fuse.

    Examples
    --------
    >>> from witnessmark.wiring.insulation import insulation
    >>> from witnessmark.wiring.sizes import metric
    >>> asked = FuseAsked(
    ...     load=Load(current_a=10.2), cover=insulation("unknown"), fuse_a=20,
    ...     thinnest=metric(2.5), place=Place(),
    ... )
    >>> plan_fuse(asked).sentence
    'Fit the same fuse again, 20 A: it carries 10.2 A.'
    """
    choice = choose_fuse(asked.load, asked.kind)
    fuse = choice.fuse if asked.fuse_a is None else fuse_of(asked.kind, asked.fuse_a)
    protection = stall = None
    if asked.thinnest is not None and fuse is not None:
        wire = heating_of(asked.thinnest, asked.cover, asked.place)
        protection = check_protection(fuse, wire)
        if asked.stalled_a is not None:
            stall = check_stall(fuse, wire, asked.stalled_a)
    return FusePlan(asked=asked, choice=choice, fuse=fuse, protection=protection, stall=stall)
