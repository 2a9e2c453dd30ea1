"""Where a number of this room comes from, how it is known, and where two sources disagree."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Known(StrEnum):
    """How a number is known."""

    SEEN = "seen"
    MEMORY = "from memory, to be checked"
    WORKED_OUT = "worked out here"
    OWN = "the shop's own"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Who says a number, and how we know that they say it."""

    words: str
    known: Known

    def __str__(self) -> str:
        """Return the words as a page prints them; what was seen itself needs no word more."""
        return self.words if self.known is Known.SEEN else f"{self.words}; {self.known}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Disagreement:
    """Two printed numbers for one thing, and which of them this room follows.

    Attributes
    ----------
    about
        The thing.
    follows
        The number that is used here, with who says it.
    against
        The other number, with who says it.
    why
        Why the one and not the other.
    """

    about: str
    follows: str
    against: str
    why: str


DISAGREEMENTS: Final = (
    Disagreement(
        about="SAE wire against AWG",
        follows="an SAE size has 3 to 13 % less copper than the AWG of its number",
        against="many charts treat the two as one",
        why="a marine wire catalogue prints both areas; the size must be asked for",
    ),
    Disagreement(
        about="resistance of mm² cable",
        follows="IEC 60228 class 5, 13.3 mΩ/m for 1.5 mm²",
        against="road-vehicle cable, 12.7 mΩ/m, from memory",
        why="the greater resistance is the careful one, and it was seen",
    ),
    Disagreement(
        about="heading of an IEC 60228 page",
        follows="its figures are the greatest resistance",
        against="one version of the page headed them minimum",
        why="its author corrected the heading",
    ),
    Disagreement(
        about="solid or stranded in NEC chapter 9 table 8",
        follows="rows 14 to 8 AWG are solid wire, 3.07 Ω/kft for 14 AWG",
        against="an annotated page heads the whole table stranded, which would be 3.14",
        why="the figures agree with the solid area to the printed digit",
    ),
    Disagreement(
        about="insulation of GXL, SXL and TXL wire",
        follows="cross-linked polyethylene, 125 °C",
        against="two pages print cross-linked PVC",
        why="the engineer's guide and the temperature agree with polyethylene",
    ),
    Disagreement(
        about="amps of wires in a bundle",
        follows="0.70 for 3 wires, 0.60 for 4 to 6, 0.50 for 7 to 24 (33 CFR table 5, note 2)",
        against="building practice: up to 3 wires in full, 0.80 for 4 to 6 (NEC 310.15)",
        why="the smaller share is the careful one in a closed loom; from 21 wires that is NEC's",
    ),
    Disagreement(
        about="steady amps of thin-wall vehicle cable",
        follows="33 CFR 183.425 table 5, by area: 39 A for 2.5 mm² at 105 °C",
        against="a maker of thin-wall cable prints 29 A for 2.5 mm²",
        why="the table is public law with stated temperatures; the maker's figure is said too",
    ),
    Disagreement(
        about="drop of 20 A over 19.5 ft of No. 10 aircraft wire",
        follows="0.491 V, as the resistance of the same handbook gives",
        against="its worked row prints 0.366 V",
        why="the row does not agree with the handbook's own resistance table",
    ),
    Disagreement(
        about="100 W at 12 V over 10 ft of 12 AWG",
        follows="0.272 V by the page's table",
        against="the same page measured 0.330 V",
        why="the difference is in the joints: a table knows only the wire",
    ),
    Disagreement(
        about="a standard blade fuse at 1.35 and 6 times its rating",
        follows="the longer of both: 1800 s and 0.15 s",
        against="a maker's sheet prints 600 s, a relay data sheet 0.1 s",
        why="editions and ratings differ; for the wire the longer time counts",
    ),
    Disagreement(
        about="the colour tan on a blade fuse",
        follows="5 A",
        against="one trade page prints tan as 1 A",
        why="two copies of the colour chart agree; the moulded number rules in any case",
    ),
    Disagreement(
        about="size of a fusible link",
        follows="four gauge numbers smaller than the wire",
        against="others say two sizes smaller",
        why="two even sizes are four numbers: both say the same",
    ),
    Disagreement(
        about="melting current of 16 AWG in 5 s",
        follows="169 A, with 234 + ambient temperature in the formula",
        against="a forum example uses 234 − ambient temperature and gets 178 A",
        why="only the sum agrees with the IEC formula, to 0.2 %",
    ),
    Disagreement(
        about="resistance of tinned No. 16 aircraft wire",
        follows="4.02 Ω per 1000 ft, the copper of 16 AWG",
        against="the handbook's strand of that number prints 4.81",
        why="aircraft strand is its own size; it is not bought for a vehicle",
    ),
)
