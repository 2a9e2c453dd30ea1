"""The one stop rule: when a cause can be named, and when no test is worth its minutes."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import meter_uncertainty
from witnessmark.diagnosis.dictionary import SOMETHING_ELSE, Dictionary
from witnessmark.diagnosis.evidence import EXPLAINED, Weighed, explained, trouble
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.sentences import Sides, group_words, listed, percent_words, suspect_words

CERTAIN: Final = 0.95  # belief that the suspects of one repair must hold
TWIN: Final = 0.03  # belief from which a suspect counts as still standing
CAUSE, KEEP_ON, NO_TEST = "cause", "keep on", "no test"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """Whether to go on.

    Attributes
    ----------
    kind
        "cause" (it can be named), "keep on", or "no test" (none is worth its minutes).
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


def unexplained_words(
    book: Dictionary, weighed: Weighed, complaints: Sequence[Observation]
) -> tuple[str, ...]:
    """Return the complaints that would stay if only the likeliest repair were done.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    complaints
        What was reported.
    """
    lead = int(weighed.repairs.argmax())
    own = np.where(book.repair == lead, weighed.belief, 0.0)
    # What was seen here stands for what the customer says of the same load in the same state.
    seen = {_place(book, complaint) for complaint in complaints if complaint.source == "here"}
    return tuple(
        trouble(book, complaint.complaint).words
        for complaint in complaints
        if explained(book, own, complaint) < EXPLAINED
        and (complaint.source == "here" or _place(book, complaint) not in seen)
    )


def _place(book: Dictionary, complaint: Observation) -> tuple[str, str]:
    found = trouble(book, complaint.complaint)
    return found.load, found.state


def stop_rule(
    book: Dictionary,
    weighed: Weighed,
    unexplained: Sequence[str],
    worth: bool,
    measured: bool,
    sides: Sides,
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
    """
    lead = int(weighed.repairs.argmax())
    share = float(weighed.repairs[lead])
    own = [
        number
        for number in np.argsort(-weighed.suspects, kind="stable").tolist()
        if book.suspects[number].repair == book.repairs[lead] and weighed.suspects[number] > 1e-3
    ]
    parts = tuple(dict.fromkeys(book.suspects[number].part for number in own))
    percent = percent_words(share)
    elsewhere = book.suspects[own[0]].key == SOMETHING_ELSE
    if not elsewhere and share >= CERTAIN and not unexplained and measured:
        named = listed([suspect_words(book.suspects[number]) for number in own[:2]])
        words = f"It holds {percent} of the belief and explains every complaint. "
        words += "It can be named as the cause."
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
    elif unexplained and share >= CERTAIN:
        words = (
            f"{listed(parts)} would leave a complaint unexplained: {listed(unexplained, 'and')}. "
            "There may be a second fault, or the complaint is not as told."
        )
    elif not worth:
        standing = [
            number
            for number in np.argsort(-weighed.suspects, kind="stable").tolist()
            if weighed.suspects[number] >= TWIN
        ]
        named = group_words(book, standing, sides).rstrip(",") or "the suspects left"
        words = (
            f"No test on the sheet is worth its minutes now: it would not tell {named} apart. "
            "Look at them, or name a point between them on the sheet."
        )
    elif not measured and share >= CERTAIN:
        words = f"{listed(parts)} is likely ({percent}), but nothing is measured yet."
    else:
        words = "Can be named when the suspects left share one repair."
    kind = KEEP_ON if worth else NO_TEST
    return Stop(kind=kind, repair="", parts=parts, share=share, sentence=words)


def twin_parts(book: Dictionary, weighed: Weighed) -> tuple[tuple[str, ...], ...]:
    """Return the standing parts of several repairs that every volts test reads alike.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    """
    standing = [
        number
        for number in np.argsort(-weighed.suspects, kind="stable").tolist()
        if weighed.suspects[number] >= TWIN and number != len(book.suspects) - 1
    ]
    means = {}
    for number in standing:
        own = book.samples(number)
        weight = weighed.belief[own] / weighed.belief[own].sum()
        means[number] = np.tensordot(weight, book.volts[own], axes=1)
    found: list[list[int]] = []
    for number in standing:
        for group in found:
            u_v = meter_uncertainty(means[group[0]], 0.01)
            if (np.abs(means[number] - means[group[0]]) < u_v).all():
                group.append(number)
                break
        else:
            found.append([number])
    twins = []
    for group in found:
        repairs = {book.suspects[number].repair for number in group}
        parts = tuple(dict.fromkeys(book.suspects[number].part for number in group))
        if len(repairs) > 1 and len(parts) > 1:
            twins.append(parts)
    return tuple(twins)
