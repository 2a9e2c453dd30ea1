"""What a part of any kind is told in: terminals, sizes and words to choose."""

from collections.abc import Container
from dataclasses import dataclass
from typing import Final

WIRE_SIZE: Final = "wire size"


@dataclass(frozen=True, slots=True, kw_only=True)
class Terminal:
    """One terminal of a kind.

    Attributes
    ----------
    key
        What the sheet calls it, "coil_from".
    words
        What a person calls it, "coil, first end".
    is_optional
        Whether a part may do without it.
    """

    key: str
    words: str
    is_optional: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size that a part is told in.

    Attributes
    ----------
    key
        What the sheet calls it, "coil_ohms".
    words
        What a person calls it.
    unit
        Its unit; `WIRE_SIZE` for a wire's size, which is typed in mm², AWG or SAE. [as named]
    least, most
        What a vehicle can hold and the solver's digits can. [unit]
    usual
        Taken where the sheet says nothing; None where it must be said. [unit]
    """

    key: str
    words: str
    unit: str
    least: float
    most: float
    usual: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One word that a part is told with: the first of its values is the usual one."""

    key: str
    words: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """What a part of one kind is told in.

    Attributes
    ----------
    words
        What the kind is, in a sentence's words.
    terminals
        Its terminals, the two of its main piece first; none where the author names them.
    ways
        Sets of sizes of which one must be given whole: a wire by its ohms, or by size and length.
    options
        Sizes that may be given beside any way.
    choices
        Words to choose.
    is_load
        Whether it uses current for what the circuit is there for.
    is_steered
        Whether an operating state says where it stands.
    stands
        Where it can stand, the first at rest; empty for a selector, whose author names them.
    """

    words: str
    terminals: tuple[Terminal, ...]
    ways: tuple[tuple[Size, ...], ...]
    options: tuple[Size, ...] = ()
    choices: tuple[Choice, ...] = ()
    is_load: bool = False
    is_steered: bool = False
    stands: tuple[str, ...] = ()

    def way_told(self, told: Container[str]) -> tuple[Size, ...] | None:
        """Return the way in which a part is told; None where no size of any way is.

        Parameters
        ----------
        told
            Keys of the sizes that are told.

        Notes
        -----
        It is the way of which most sizes are told; of two alike, the one that needs fewer.
        """
        if not any(size.key in told for way in self.ways for size in way):
            return None
        return max(
            reversed(self.ways), key=lambda way: (sum(size.key in told for size in way), -len(way))
        )
