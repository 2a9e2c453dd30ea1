"""The exceptions whose text is written for a person at the bench."""

from collections.abc import Sequence
from dataclasses import dataclass


class BenchError(ValueError):
    """A reading, setting or step that cannot be used as it stands.

    Three sentences, in this order: what was found, what is needed, what to do now. `field` is the
    name of the entry that it is about, where it is about one: its page says it there.
    """

    def __init__(self, found: str, needed: str, do: str, *, field: str = "") -> None:
        super().__init__(f"{found} {needed} {do}")
        self.found, self.needed, self.do, self.field = found, needed, do, field


class Several(BenchError):  # noqa: N818 - reads as a sentence
    """More than one entry of a form that cannot be used: the first one speaks, `each` has all."""

    def __init__(self, each: Sequence[BenchError]) -> None:
        first = each[0]
        super().__init__(first.found, first.needed, first.do, field=first.field)
        self.each = tuple(each)


def refuse_all(each: Sequence[BenchError]) -> None:
    """Raise what is wrong with a form, each entry in its own words; nothing where nothing is."""
    if each:
        raise each[0] if len(each) == 1 else Several(each)


class Question(BenchError):  # noqa: N818 - reads as a sentence
    """Something that may be right all the same: asked once, and kept when the answer is yes.

    Its first sentence says what is odd, and is sent back with the answer, so that a yes counts
    for nothing else.
    """


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """One thing to mend in a text that a person wrote, with the line it stands on."""

    line: int  # counted from 1; 0 where the text as a whole lacks something
    found: str
    needed: str
    do: str
    path: tuple[str | int, ...] = ()  # of the entry, ("parts", 3, "length")

    def __str__(self) -> str:
        where = f"Line {self.line}: " if self.line else ""
        return f"{where}{self.found} {self.needed} {self.do}"


class SheetError(BenchError):
    """A sheet, procedure or week that cannot be used: every mistake with its line."""

    def __init__(self, name: str, mistakes: Sequence[Mistake]) -> None:
        assert mistakes, "a sheet error without a mistake"
        first = mistakes[0]
        where = f"{name}, line {first.line}: " if first.line else f"{name}: "
        super().__init__(f"{where}{first.found}", first.needed, first.do)
        self.name = name
        self.mistakes = tuple(mistakes)
