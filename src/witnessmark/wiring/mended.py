"""A repair without a size to choose: what the sheet says of its part, and what to read after it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from witnessmark.networks import LOADS, Circuit, Part, Solution, pieces_of
from witnessmark.wiring.carried import Carried, worst_carried
from witnessmark.wiring.joints import JointRule
from witnessmark.wiring.mending import BOND, NOTE, Mending
from witnessmark.wiring.sentences import amps_words, ohms_words, volts_words

BOND_OHM: Final = 0.003  # the most for one bonding connection, AC 43.13-1B, 11-189
COMPARED: Final = (
    f"Only to compare, a published practice for aircraft bonds: {ohms_words(BOND_OHM)} ({BOND})."
)


def same_again(part: Part) -> str:
    """Return what the sheet says of a part that is replaced; empty where it says nothing.

    Parameters
    ----------
    part
        The part.
    """
    if part.kind not in LOADS or not part.has("power"):
        return ""
    power_w, volts_v = part.size("power"), part.size("volts")
    return (
        f"By the sheet {part.label} has {power_w:g} W at {volts_v:g} V: "
        f"{amps_words(power_w / volts_v)}."
    )


def proof_words(
    circuit: Circuit,
    solution: Solution,
    part: Part,
    carried: Carried,
    range_of: Callable[[float], tuple[float, float]],
) -> str:
    """Return what must be read across a joint, a contact or a fuse once it is repaired.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved, healthy first.
    part
        The part that is repaired.
    carried
        What it carries at the worst.
    range_of
        Which range of a meter proves volts of the healthy circuit, as Find takes it. [V]

    Returns
    -------
    str
        One sentence with volts.
    """
    piece = max(
        (one for one in pieces_of(circuit) if one.part == part.name),
        key=lambda one: abs(solution.current(one.name, carried.state)),
    )
    drop_v = abs(
        solution.voltage(piece.first, carried.state) - solution.voltage(piece.second, carried.state)
    )
    low_v, high_v = range_of(drop_v)
    return (
        f"After the repair the meter must read {low_v:.2f} to {high_v:.2f} V across {part.label} "
        f"itself with {carried.state_words}: by the sheet it loses {volts_words(drop_v)} at "
        f"{amps_words(carried.current_a)}."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mended:
    """A repair without a size to choose: what is done, and what proves it.

    Attributes
    ----------
    mending
        The kind of repair.
    part
        Name and words of the part; empty where no sheet names it.
    facts
        What the sheet says of it, in sentences.
    joint
        The shop's rule for joints; None where no joint is made.
    """

    mending: Mending
    part: str = ""
    facts: tuple[str, ...] = ()
    joint: JointRule | None = None

    @property
    def sentence(self) -> str:
        """The answer in one sentence."""
        return f"{self.part}: {_lower(self.mending.answer)}" if self.part else self.mending.answer

    @property
    def compared(self) -> str:
        """A published limit beside that of the sheet, which alone counts; empty without one."""
        return COMPARED if self.mending.key == "ground" else ""

    @property
    def note(self) -> str:
        """The answer, what must be read and the joint as one text, to be kept with a job."""
        lines = [f"{NOTE}{self.sentence}", *self.facts]
        if self.joint is not None:
            lines.append(f"Joint: {self.joint.words}.")
        return "\n".join(lines)


def mended(
    circuit: Circuit,
    solution: Solution,
    part: Part,
    one: Mending,
    *,
    range_of: Callable[[float], tuple[float, float]],
    joint: JointRule | None = None,
) -> Mended:
    """Return a repair without a size, with what the sheet says of its part.

    Parameters
    ----------
    circuit
        The circuit.
    solution
        It solved in all its states, healthy first.
    part
        The part that is repaired.
    one
        The kind of repair.
    range_of
        Which range of a meter proves volts of the healthy circuit, as Find takes it. [V]
    joint
        The shop's rule for joints; None where no joint is made.
    """
    carried = worst_carried(circuit, solution, part.name)
    facts = [same_again(part)]
    if carried is not None and part.kind not in LOADS:
        facts += [carried.sentence, proof_words(circuit, solution, part, carried, range_of)]
    told = tuple(words for words in facts if words)
    return Mended(mending=one, part=part.label, facts=told, joint=joint)


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]
