"""A repair without a size to choose: what the sheet says of its part, and what to read after it."""

from dataclasses import dataclass
from typing import Final

from witnessmark.networks import LOADS, Circuit, Kind, Part, Solution, pieces_of
from witnessmark.wiring.carried import Carried, worst_carried
from witnessmark.wiring.mending import BOND, Mending
from witnessmark.wiring.sentences import amps_words, volts_words

BOND_OHM: Final = 0.003  # the most for one bonding connection, AC 43.13-1B, 11-189


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


def proof_words(circuit: Circuit, solution: Solution, part: Part, carried: Carried) -> str:
    """Return what to read across a joint, a contact or a fuse once it is repaired.

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

    Returns
    -------
    str
        One or two sentences with volts.

    References
    ----------
    [1] AC 43.13-1B, 11-189: no bonding connection has more than 0.003 Ω. Seen.
    """
    piece = max(
        (one for one in pieces_of(circuit) if one.part == part.name),
        key=lambda one: abs(solution.current(one.name, carried.state)),
    )
    drop_v = abs(
        solution.voltage(piece.first, carried.state) - solution.voltage(piece.second, carried.state)
    )
    said = (
        f"By the sheet {part.label} loses {volts_words(drop_v)} with {carried.state_words}, at "
        f"{amps_words(carried.current_a)}. Read it across the part itself."
    )
    if part.kind is not Kind.GROUND:
        return said
    return (
        f"{said} Aircraft practice allows one such connection 3 mΩ, here "
        f"{volts_words(BOND_OHM * carried.current_a)} ({BOND})."
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
    """

    mending: Mending
    part: str
    facts: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """The answer in one sentence."""
        return f"{self.part}: {_lower(self.mending.answer)}" if self.part else self.mending.answer

    @property
    def note(self) -> str:
        """The answer with its steps as one text, to be kept with a job."""
        lines = [f"Size the repair: {self.sentence}", *self.facts, *self.mending.steps]
        return "\n".join(lines)


def mended(circuit: Circuit, solution: Solution, part: Part, one: Mending) -> Mended:
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
    """
    carried = worst_carried(circuit, solution, part.name)
    facts = [same_again(part)]
    if carried is not None and part.kind not in LOADS:
        facts += [carried.sentence, proof_words(circuit, solution, part, carried)]
    return Mended(mending=one, part=part.label, facts=tuple(words for words in facts if words))


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]
