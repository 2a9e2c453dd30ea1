"""Several complaints: one common cause, or two causes at once."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from witnessmark.diagnosis.answers import common_words
from witnessmark.diagnosis.belief import Floats
from witnessmark.diagnosis.dictionary import SOMETHING_ELSE, Dictionary
from witnessmark.diagnosis.evidence import (
    EXPLAINED,
    Weighed,
    explained,
    explained_by_sample,
    looks,
    trouble,
)
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.reports import LOOKS


@dataclass(frozen=True, slots=True, kw_only=True)
class Common:
    """One cause against two.

    Attributes
    ----------
    one
        Belief that one fault explains every complaint. [1]
    two
        Belief that two faults at once do. [1]
    part
        Likeliest part of a common cause; empty if no single fault explains all.
    sentence
        The odds in words; empty where there is one complaint only.
    """

    one: float
    two: float
    part: str
    sentence: str


def distinct(book: Dictionary, complaints: Sequence[Observation]) -> list[Observation]:
    """Return the complaints once for each load and state; what was seen here stands first.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaints
        What was reported.
    """
    found: dict[tuple[str, str], Observation] = {}
    for complaint in complaints:
        place = place_of(book, complaint)
        if place not in found or complaint.source == "here":
            found[place] = complaint
    return list(found.values())


def place_of(book: Dictionary, complaint: Observation) -> tuple[str, str]:
    """Return load and state of a complaint.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaint
        The complaint.
    """
    found = trouble(book, complaint.complaint)
    return found.load, found.state


def common_cause(book: Dictionary, weighed: Weighed, complaints: Sequence[Observation]) -> Common:
    """Return how likely one common cause is against two at once.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    complaints
        What was reported.
    """
    told = distinct(book, complaints)
    all_explained = np.ones(len(book.suspect))
    for complaint in told:
        all_explained = np.minimum(all_explained, explained_by_sample(book, complaint))
    explains = np.where(book.known, all_explained >= EXPLAINED, False)
    pairs = np.array([len(suspect.parts) > 1 for suspect in book.suspects])[book.suspect]
    one = float(weighed.belief[explains & ~pairs].sum())
    two = float(weighed.belief[pairs].sum())
    by_suspect = np.bincount(
        book.suspect, np.where(explains & ~pairs, weighed.belief, 0.0), len(book.suspects)
    )
    part = book.suspects[int(by_suspect.argmax())].part if one > 1e-6 else ""
    sentence = common_words(one, two, part, len(told)) if len(told) > 1 else ""
    return Common(one=one, two=two, part=part, sentence=sentence)


def unexplained_words(
    book: Dictionary, weighed: Weighed, complaints: Sequence[Observation]
) -> tuple[str, ...]:
    """Return the complaints that the likeliest repair does not explain, and how it would look.

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
    if book.repairs[lead] == SOMETHING_ELSE:
        return ()
    own = np.where(book.repair == lead, weighed.belief, 0.0)
    # What was seen here stands for what the customer says of the same load in the same state.
    seen = {place_of(book, complaint) for complaint in complaints if complaint.source == "here"}
    return tuple(
        _with_look(book, own, complaint)
        for complaint in complaints
        if explained(book, weighed.belief, complaint)[lead] < EXPLAINED
        and (complaint.source == "here" or place_of(book, complaint) not in seen)
    )


def explained_by_repair(
    book: Dictionary, weighed: Weighed, complaints: Sequence[Observation]
) -> dict[str, tuple[str, ...]]:
    """Return the keys of the complaints that each repair explains.

    What the customer says of a load that was seen here otherwise is judged by what was seen.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    complaints
        What was reported.

    Returns
    -------
    dict
        By repair; what is not on the sheet explains nothing, and has no entry.
    """
    seen = {place_of(book, one): one for one in complaints if one.source == "here"}
    judged = {one.complaint: seen.get(place_of(book, one), one) for one in complaints}
    shares = {key: explained(book, weighed.belief, one) for key, one in judged.items()}
    return {
        repair: tuple(key for key, share in shares.items() if share[number] >= EXPLAINED)
        for number, repair in enumerate(book.repairs)
        if repair != SOMETHING_ELSE
    }


def _with_look(book: Dictionary, own: Floats, complaint: Observation) -> str:
    """Return a complaint's words, with how the load would look instead."""
    asked = trouble(book, complaint.complaint)
    told = complaint.look or asked.look
    chances = own[book.known] @ looks(book, asked)[book.known]
    often = LOOKS[int(chances.argmax())] == told
    chances[LOOKS.index(told)] = -1.0
    would_be = LOOKS[int(chances.argmax())]
    does = (
        f"it would {'often ' if often else ''}{'work' if would_be == 'works' else f'be {would_be}'}"
    )
    return f"{asked.words} (told as {told}; {does})"
