"""The sentences of a practice case's review."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.stop import CERTAIN
from witnessmark.diagnosis.words import percent_words, size_words
from witnessmark.quantities import listed

LATE: Final = "came when the readings had proved the cause already."


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the sentences about cause and repair need.

    Attributes
    ----------
    truth, mend
        The hidden fault, and what puts it right, in words.
    named
        Key of the cause that was named; empty where the learner gave up.
    belief_true, belief_named
        Belief in the right repair and in that of the named cause, when it was named. [1]
    fuses
        Fuses that the hidden fault blows.
    tests
        How many tests were done.
    is_proved
        Whether Find would have named the right repair at that moment.
    named_words
        Where part and repair are right and the fault is another, the fault that was named.
    """

    truth: str
    mend: str
    named: str
    belief_true: float
    belief_named: float
    fuses: tuple[str, ...]
    tests: int
    is_proved: bool
    named_words: str = ""


def cause_words(told: Told, right: bool, proved: bool) -> str:
    """Return what to say of the cause that was named.

    Parameters
    ----------
    told
        What is known of the end.
    right
        Whether the cause named is right.
    proved
        Whether the readings had proved it by then.
    """
    share = percent_words(told.belief_true)
    truth = told.truth
    if told.named_words:
        truth = f"{truth}, not {told.named_words}; part and repair are the same"
    if not told.named and told.is_proved:
        return (
            f"It was {told.truth}. When you stopped, your readings were enough ({share}): "
            "it was ready to be named."
        )
    if not told.named and not told.tests:
        return (
            f"It was {told.truth}. You stopped before the first test, so nothing was measured. "
            "The best path shows where to begin."
        )
    if not told.named:
        return (
            f"It was {told.truth}. When you stopped, your readings held {share} for it. "
            "Look at the best path: which of its tests did you not do?"
        )
    if right and proved:
        did = "proved it" if told.belief_true >= CERTAIN else "were enough to name it"
        return f"Right: it was {truth}. Your readings {did} ({share})."
    if right and not told.tests:
        return (
            f"Right: it was {truth}. But you measured nothing, so on a vehicle it would have "
            "been a guess."
        )
    if right:
        return (
            f"Right: it was {truth}. But your readings held only {share} for it, too little to "
            "name it. This time the guess was good."
        )
    if told.named.partition(":")[0] in told.fuses:
        return (
            f"Not this time. {told.named.partition(':')[0]} did blow, but something blew it: "
            f"{told.truth}."
        )
    if not told.tests:
        return f"Not this time: it was {told.truth}. Nothing was measured, so it was a guess."
    named = percent_words(told.belief_named)
    if told.belief_true >= 0.5:
        return (
            f"Not this time: it was {told.truth}. Your own readings held {share} for it: "
            "read them again before you name a cause."
        )
    if told.belief_named >= 0.5:
        return (
            f"Not this time: it was {told.truth}. Your readings did point the other way "
            f"({named} for what you named), so the reason is in one of them: see below."
        )
    return (
        f"Not this time: it was {told.truth}. Your readings held {named} for what you named and "
        f"{share} for the true cause: too little to name one yet."
    )


def repair_words(told: Told, chosen: str, right: bool) -> str:
    """Return what to say of the repair that was chosen.

    Parameters
    ----------
    told
        What is known of the end.
    chosen
        The repair; empty where the learner gave up.
    right
        Whether it puts the fault right.
    """
    mend = told.mend
    if told.fuses:
        mend = f"{mend}, then a new {listed(told.fuses, 'and')} of the same rating"
    if not chosen:
        return f"What puts it right: {mend}."
    if right:
        return f"Your repair puts it right: {mend}."
    if any(chosen.endswith(f" {fuse}") for fuse in told.fuses):
        return (
            f"A new fuse alone burns again: the short is still there. What puts it right: {mend}."
        )
    return f"After “{chosen}” the fault is still there. What puts it right: {mend}."


def told_most_words(
    where: str, number: int, before: float, after: float, is_luck: bool = False
) -> str:
    """Return which test told most of the true cause.

    Parameters
    ----------
    where
        The test in words.
    number
        Its number; 0 where none told much.
    before
        Belief in the true cause before it. [1]
    after
        Belief in the true cause after it. [1]
    is_luck
        Whether little was to be expected of it.

    Examples
    --------
    >>> told_most_words("F, stud G7", 3, 0.24, 0.97)
    'Test 3 told most (F, stud G7): from 24% to 97% for the true cause.'
    """
    if not number:
        return "No test made the true cause much surer."
    if is_luck:
        return (
            f"Test {number} ({where}) made the true cause surer, from {percent_words(before)} to "
            f"{percent_words(after)}; that was luck, for it most often shows the same."
        )
    return (
        f"Test {number} told most ({where}): from {percent_words(before)} to "
        f"{percent_words(after)} for the true cause."
    )


def wasted_words(number: int, where: str, again: bool, sure: bool, surely: str, away: bool) -> str:
    """Return why a test told little.

    Parameters
    ----------
    number
        Its number.
    where
        The test in words.
    again
        Whether it was done before.
    sure
        Whether the cause was proved before it.
    surely
        What it would have shown whoever is at fault; empty where that differs.
    away
        Whether the complaint was seen to be away, so that it showed something else.
    """
    head = f"Test {number} ({where})"
    if again:
        return f"{head} was done before, and nothing had changed since."
    if sure:
        return f"{head} {LATE}"
    if surely:
        shown = surely if any(sign.isdigit() for sign in surely) else f"“{surely}”"
        gives = f"nearly every suspect left would give {shown}."
        if away:
            return f"{head} came while the complaint was away. While it is there, {gives}"
        return f"{head} could be predicted: {gives}"
    return f"{head} could not tell the suspects left apart, whatever it showed."


def late_words(numbers: Sequence[int]) -> str:
    """Return which tests came too late to be needed, in one sentence.

    Parameters
    ----------
    numbers
        Their numbers, two or more, rising.

    Examples
    --------
    >>> late_words([6, 7, 8])
    'Tests 6 to 8 came when the readings had proved the cause already.'
    >>> late_words([4, 6])
    'Tests 4 and 6 came when the readings had proved the cause already.'
    """
    first, last = numbers[0], numbers[-1]
    if len(numbers) > 2 and last - first == len(numbers) - 1:
        return f"Tests {first} to {last} {LATE}"
    return f"Tests {listed([str(number) for number in numbers], 'and')} {LATE}"


def surely_words(low: float, high: float, unit: str) -> str:
    """Return what every suspect left would read.

    Parameters
    ----------
    low
        Lower end, in the unit given. [V], [A] or [Ω]
    high
        Upper end, in the unit given. [V], [A] or [Ω]
    unit
        The unit.

    Examples
    --------
    >>> surely_words(12.42, 12.58, "V")
    'about 12.5 V'
    >>> surely_words(1e9, 1e9, "Ω")
    'open (OL)'
    """
    if low > 1e8:
        return "open (OL)"
    middle = (low + high) / 2.0
    return f"about {size_words(middle, middle, unit)}"
