"""The one stop rule: when a cause can be named, and when no test is worth its minutes."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.dictionary import SOMETHING_ELSE, Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.words import Sides, group_words, percent_words, suspect_words
from witnessmark.quantities import listed

CERTAIN: Final = 0.95  # belief that the suspects of one repair must hold
# Enough for one cause where no test is worth its minutes: no other suspect is left, or a wrong part
# would cost less than the test.
ALONE: Final = 0.90
TWO_LIKELY: Final = 0.05  # belief in two causes at once from which one is not named alone
STANDS: Final = 0.03  # belief from which a suspect counts as still standing
CAUSE, KEEP_ON, NO_TEST, HALT = "cause", "keep on", "no test", "halt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """Whether to go on.

    Attributes
    ----------
    kind
        "cause" (it can be named), "keep on", "no test" (none is worth its minutes), or "halt"
        (nobody in the class may test this circuit).
    repair
        The repair that the cause needs; empty unless the kind is "cause".
    parts
        The parts that it may be.
    share
        Belief in it.
    headline
        The cause in a few words; empty unless the kind is "cause".
    sentence
        Why, in words.
    """

    kind: str
    repair: str
    parts: tuple[str, ...]
    share: float
    sentence: str
    headline: str = ""

    @property
    def percent(self) -> str:
        """The share in words: "93%"."""
        return percent_words(self.share)

    @property
    def is_proved(self) -> bool:
        """Whether the cause is certain, beyond being worth its name."""
        return self.kind == CAUSE and self.share >= CERTAIN


def stop_rule(
    book: Dictionary,
    weighed: Weighed,
    unexplained: Sequence[str],
    worth: bool,
    measured: bool,
    sides: Sides,
    doubted: bool = False,
    spares: bool = True,
    told: bool = True,
) -> Stop:
    """Return whether the cause can be named.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    unexplained
        Words of complaints that the likeliest repair would leave.
    worth
        Whether a test is left that is worth its minutes.
    measured
        Whether a reading counts yet: nothing is named on complaints alone.
    sides
        On which side of the complained load each part lies.
    doubted
        Whether a reading fits nobody and has not been taken again.
    spares
        Whether a test may spare more minutes than it takes.
    told
        Whether any complaint is told on this circuit.
    """
    order = np.argsort(-weighed.suspects, kind="stable").tolist()
    lead = int(weighed.repairs.argmax())
    share = float(weighed.repairs[lead])
    own = [
        number
        for number in order
        if book.suspects[number].repair == book.repairs[lead] and weighed.suspects[number] > 1e-3
    ] or order[:1]
    parts = tuple(dict.fromkeys(part for number in own for part in book.suspects[number].parts))
    percent = percent_words(share)
    elsewhere = book.suspects[own[0]].key == SOMETHING_ELSE
    two = two_at_once(book, weighed)
    two_named = len(book.suspects[own[0]].parts) > 1
    alone = not elsewhere and share >= CERTAIN * float(weighed.belief[book.known].sum())
    costs_less = worth and not spares and not two_named
    sure = not elsewhere and (
        share >= CERTAIN or (share >= ALONE and (costs_less or (alone and not worth)))
    )
    if sure and not unexplained and measured and not doubted and (two_named or two < TWO_LIKELY):
        named = listed([suspect_words(book.suspects[number]) for number in own[:2]])
        explains = ", and it explains every complaint" if told else ""
        words = f"The readings make it {percent} sure{explains}. "
        if share < CERTAIN and not worth:
            words += "No other suspect is left, and no test is worth its minutes. "
        elif share < CERTAIN:
            words += "No test left would spare more time than it takes. "
        words += "It can be named as the cause."
        if share < CERTAIN:
            words += " Before anything is taken apart, read it once more at the part itself."
        return Stop(
            kind=CAUSE,
            repair=book.repairs[lead],
            parts=parts,
            share=share,
            sentence=words,
            headline=f"{named[0].upper()}{named[1:]}",
        )
    if elsewhere and share >= CERTAIN:
        words = (
            "The readings fit no suspect on the sheet. Compare the sheet with the vehicle, and "
            "take the questioned readings again."
        )
    elif doubted and share >= CERTAIN:
        words = (
            f"{listed(parts)} is likely ({percent}), but one reading fits no suspect. "
            "Take that reading again first."
        )
    elif unexplained and share >= CERTAIN:
        words = (
            f"{listed(parts)} would leave a complaint unexplained: {listed(unexplained, 'and')}. "
            "There may be a second fault, or the complaint is not as told: look at it once more."
        )
    elif not worth:
        standing = [
            number
            for number in order
            if weighed.suspects[number] >= STANDS and book.suspects[number].key != SOMETHING_ELSE
        ]
        named = group_words(book, standing, sides).rstrip(",") or "the suspects left"
        if len(standing) == 1:
            words = (
                f"{listed(parts)} is likely ({percent}), and no test on the sheet would make it "
                "surer. Look at it, or name another point beside it on the sheet."
            )
        else:
            words = (
                "No test on the sheet is worth its minutes now: it would not tell "
                f"{named} apart. Look at them, or name a point between them on the sheet."
            )
    elif two >= TWO_LIKELY and two + share >= CERTAIN:
        likely = "likely" if two > 0.5 else "not ruled out yet"
        words = f"Two causes at once are {likely} ({percent_words(two)}): keep on testing."
    elif not measured and share >= CERTAIN:
        words = f"{listed(parts)} is likely ({percent}), but nothing is measured yet."
    elif alone:
        words = f"{listed(parts)} is likely ({percent}): one more reading that shows it is wanted."
    else:
        words = "Can be named when the suspects left share one repair."
    kind = KEEP_ON if worth else NO_TEST
    return Stop(kind=kind, repair="", parts=parts, share=share, sentence=words)


def proved_words() -> str:
    """Return from which belief on a cause counts as proved.

    Examples
    --------
    >>> proved_words()
    'Proved: 95% sure of the cause, or 90% where no test left is worth its minutes.'
    """
    return (
        f"Proved: {percent_words(CERTAIN)} sure of the cause, or {percent_words(ALONE)} "
        "where no test left is worth its minutes."
    )


def two_at_once(book: Dictionary, weighed: Weighed) -> float:
    """Return the belief in two causes at once.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    """
    pairs = [number for number, one in enumerate(book.suspects) if len(one.parts) > 1]
    return float(weighed.suspects[pairs].sum())


def halted(words: str) -> Stop:
    """Return the stop of a circuit that nobody in the class may test.

    Parameters
    ----------
    words
        Why, and who takes over.
    """
    return Stop(kind=HALT, repair="", parts=(), share=0.0, sentence=words)
