"""Everything off or undone, and what closed it: the ledger balances, or the gate is shut."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from witnessmark.errors import BenchError, Question
from witnessmark.work.amounts import amount_in_words
from witnessmark.work.steps import CLOSED_BY, Closing, How, OldPart

TAKEN_BACK = "taken back"  # an entry that says: this movement was not so
SLIP = 10  # so many times what came out: a decimal point, and no old fill that was low
MAY_BE_MORE = {  # closed with more than came off or out: what is said then
    Closing.REFILLED: ("goes in", "go in", "More goes in than came out."),
    Closing.NEW_FITTED: ("new one goes on", "new ones go on", "More go on than came off."),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing off or undone: what, how many, where it is kept, by whom, when."""

    id: str
    what: str
    how: How = How.TAKEN_OFF
    quantity: Decimal
    unit: str = ""
    place: str
    key: str = ""  # the item of the step, if it has one
    one_use: bool = False
    step: str = ""
    who: str = ""
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """What closed a line, or a part of it."""

    id: str
    line: str
    kind: Closing
    quantity: Decimal
    old: OldPart | None = None
    step: str = ""
    who: str = ""
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineBalance:
    """One line and everything that moved on it."""

    line: Line
    movements: tuple[Movement, ...] = ()

    @property
    def closed(self) -> Decimal:
        """Return how much of it is back, new, refilled or undone. [the line's unit]"""
        return sum((one.quantity for one in self.movements), Decimal(0))

    @property
    def still_off(self) -> Decimal:
        """Return how much of it is still off; more filled in than came out is none. [unit]"""
        return max(Decimal(0), self.line.quantity - self.closed)

    @property
    def is_closed(self) -> bool:
        """Return whether nothing of it is still off."""
        return self.still_off == 0

    @property
    def closed_by(self) -> str:
        """Return how the last of it was closed: `back on`; nothing while all of it is off."""
        return self.movements[-1].kind if self.movements else ""

    @property
    def still_off_in_words(self) -> str:
        """Return what is still off: `2 of 6` or `0.4 L of 9.4 L`."""
        unit = self.line.unit
        whole = amount_in_words(self.line.quantity, unit)
        if self.still_off == self.line.quantity:
            return whole
        return f"{amount_in_words(self.still_off, unit)} of {whole}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """The whole ledger of a job, still off first."""

    lines: tuple[LineBalance, ...]

    @property
    def still_off(self) -> tuple[LineBalance, ...]:
        """Return the lines that are not closed."""
        return tuple(one for one in self.lines if not one.is_closed)

    @property
    def back_on(self) -> tuple[LineBalance, ...]:
        """Return the lines that are closed."""
        return tuple(one for one in self.lines if one.is_closed)

    @property
    def is_balanced(self) -> bool:
        """Return whether every line is closed."""
        return not self.still_off

    @property
    def off_count(self) -> int:
        """Return how many lines were ever off."""
        return len(self.lines)

    @property
    def back_count(self) -> int:
        """Return how many lines are closed."""
        return len(self.back_on)

    @property
    def still_off_count(self) -> int:
        """Return how many lines are not closed."""
        return len(self.still_off)

    @property
    def by_place(self) -> tuple[tuple[str, tuple[LineBalance, ...]], ...]:
        """Return what is still off by the bag, bin or drum where it lies."""
        places: dict[str, list[LineBalance]] = {}
        for one in self.still_off:
            places.setdefault(one.line.place, []).append(one)
        return tuple((place, tuple(places[place])) for place in sorted(places))


def balance(lines: Iterable[Line], movements: Iterable[Movement]) -> Balance:
    """Return the ledger of a job.

    Parameters
    ----------
    lines
        Everything that was ever off, in the order in which it came off.
    movements
        Everything that closed a line or a part of one, oldest first.

    Returns
    -------
    Balance
        Still off first, then closed, each in the order in which it came off.

    Examples
    --------
    >>> line = Line(id="a", what="Fan bolt", quantity=Decimal(6), place="Bag 31")
    >>> back = Movement(id="b", line="a", kind=Closing.BACK_ON, quantity=Decimal(4))
    >>> balance([line], [back]).lines[0].still_off_in_words
    '2 of 6'
    """
    moved: dict[str, list[Movement]] = {}
    for movement in movements:
        moved.setdefault(movement.line, []).append(movement)
    all_lines = [LineBalance(line=line, movements=tuple(moved.pop(line.id, ()))) for line in lines]
    assert not moved, f"movements without a line: {sorted(moved)}"
    return Balance(lines=tuple(sorted(all_lines, key=lambda one: one.is_closed)))


def check_movement(entry: LineBalance, movement: Movement) -> Question | None:
    """Refuse a movement that cannot be, and ask about one that may be right all the same.

    Parameters
    ----------
    entry
        The line as it stands.
    movement
        What someone wants to enter on it.

    Returns
    -------
    Question
        What must be answered before it is kept: more is refilled than was drained, or more new
        ones are fitted than came off. The old fill may have been low, a bolt may have been missing.

    Raises
    ------
    BenchError
        If more comes back than is still off, ten times as much is refilled as was drained, a
        one-use part goes back on, the thing cannot be closed in that way, or nobody says what
        became of the old part.
    """
    line = entry.line
    assert movement.line == line.id, "a movement of another line"
    if movement.kind not in CLOSED_BY[line.how]:
        ways = " or ".join(CLOSED_BY[line.how])
        raise BenchError(
            f"{line.what} was {line.how} and is entered as {movement.kind}.",
            f"What was {line.how} is closed by: {ways}.",
            "Choose one of these.",
        )
    if line.one_use and movement.kind is Closing.BACK_ON:
        raise BenchError(
            f"{line.what} is entered as back on.",
            "It is a one-use part and is never fitted again.",
            "Fit a new one and enter it as new fitted.",
        )
    if movement.kind is Closing.NEW_FITTED and movement.old is None:
        raise BenchError(
            f"A new {line.what[:1].lower()}{line.what[1:]} is entered.",
            "The record must say what became of the old one.",
            "Choose kept, returned or scrapped.",
        )
    if movement.quantity <= entry.still_off:
        return None
    if entry.is_closed or movement.kind not in MAY_BE_MORE:
        wanted = amount_in_words(movement.quantity, line.unit)
        left = amount_in_words(entry.still_off, line.unit)
        raise BenchError(
            f"{wanted} of {line.what} would come back and {left} is still off.",
            "No more can come back than was off.",
            f"Count what lies in {line.place}. If more came off, correct the line in the ledger.",
        )
    return _about_more(entry, movement)


def _about_more(entry: LineBalance, movement: Movement) -> Question:
    """Ask once whether more went in, or on, than came out or off; refuse a slip."""
    line = entry.line
    total = entry.closed + movement.quantity
    one, many, odd = MAY_BE_MORE[movement.kind]
    was = "was" if line.quantity == 1 else "were"
    said = f"{amount_in_words(line.quantity, line.unit)} {was} {line.how}, "
    said += f"{amount_in_words(total, line.unit)} {one if total == 1 else many}."
    if total >= SLIP * line.quantity:
        raise BenchError(
            said,
            f"That is {SLIP} times as much, or more.",
            "Look at the decimal point and the unit, and enter it again.",
        )
    return Question(said, odd, "Is that right? Say so, or enter it again.")
