"""A limit of volts that a wire keeps together with the rest of its way."""

from dataclasses import dataclass
from typing import Final

from witnessmark.wiring.sentences import volts_words

ROOM: Final = 1 + 1e-9  # for what is exactly what a table allows


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A limit that the wire keeps together with the rest of its way.

    Attributes
    ----------
    words
        What the limit is for: "Feed and ground together".
    allowed_v
        What it allows. [V]
    rest_v
        What all but the wire loses of it. [V]
    was_v
        What the wire that was there loses by the sheet, its copper at 20 °C. [V]
    """

    words: str
    allowed_v: float
    rest_v: float
    was_v: float

    @property
    def is_past(self) -> bool:
        """Whether the healthy circuit of the sheet is past the limit already."""
        return self.rest_v + self.was_v > self.allowed_v * ROOM

    @property
    def past(self) -> str:
        """That the healthy circuit is past the limit, and what the wire is held to instead."""
        return (
            f"{self.words}: by the sheet {volts_words(self.rest_v + self.was_v)} in the healthy "
            f"circuit, more than {volts_words(self.allowed_v)}, so no size of this wire is judged "
            "by that limit. It is held to the wire that was there."
        )
