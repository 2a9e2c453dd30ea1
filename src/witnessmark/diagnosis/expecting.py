"""What a learner expects of a test, said before it is done: a size, or one of its words."""

import re
from typing import Final

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.kinds import CLAMP, KINDS, OHMS, VOLTS, KindOfTest
from witnessmark.diagnosis.observations import OPEN, OVER_THE_RANGE, Test
from witnessmark.diagnosis.refused import most_volts
from witnessmark.errors import BenchError
from witnessmark.networks import Circuit
from witnessmark.quantities import listed, parse, show

MOST_TIMES: Final = 2.0  # the greatest current that any fault on the sheet gives
_MEANT: Final = {VOLTS: "volts", CLAMP: "amps", OHMS: "ohms"}
_ABOUT: Final = re.compile(
    r"(?:(?:about|around|roughly|nearly|almost|maybe|perhaps|just|slightly|well|a (?:bit|little)"
    r"|approx(?:imately|\.)?|ca\.?|circa|between|from|(?:more|less|higher|lower) than"
    r"|over|above|under|below|at (?:least|most)|up to|[~≈<>≤≥])\s*)+",
    re.IGNORECASE,
)
_OR_SO: Final = re.compile(r"\s*(?:or so|roughly|at (?:least|most)|[?])$", re.IGNORECASE)
_NUMBER: Final = re.compile(r"[-−+]?\s?[\d.,]+")
_BETWEEN: Final = re.compile(r"\s*[–—]\s*|\s+(?:to|and|or|-)\s+|(?<=\d)-(?=\d)", re.IGNORECASE)


class NotExpectable(BenchError):  # noqa: N818 - reads as a sentence
    """What is said to be expected, and no such test can show."""


def expected_said(circuit: Circuit, test: Test, typed: str) -> str:
    """Return what is expected as it is kept: a size with its unit, or the word of an outcome.

    Parameters
    ----------
    circuit
        The circuit.
    test
        The test that is to be done.
    typed
        As typed or chosen: "12,4", "about 12 V", "11 to 12", "open", "lit".

    Raises
    ------
    NotExpectable
        If nothing is said, it is neither a size of the test's kind nor one of its words, or it is
        far more than this circuit can give.
    """
    kind, said = KINDS[test.kind], " ".join(typed.split())
    if not said:
        raise NotExpectable(
            "It does not say what you expect.",
            "Who says it first learns from the answer.",
            f"{_do(kind)}.",
        )
    for outcome, saying in zip(kind.outcomes, kind.saying, strict=True):
        if said.casefold() in (outcome, saying.casefold()):
            return saying
    if test.kind == OHMS and said.upper() in OVER_THE_RANGE:
        return dict(zip(kind.outcomes, kind.saying, strict=True))[OPEN]
    if not kind.unit:
        raise NotExpectable(
            f"“{said}” is not what this test shows.", "It shows a word.", f"{_do(kind)}."
        )
    return _size_said(dictionary_of(circuit), kind, said)


def _do(kind: KindOfTest) -> str:
    """Return how to say what is expected."""
    if not kind.unit:
        return f"Choose {listed([f'“{saying}”' for saying in kind.saying], 'or')}"
    example = "12.4, or about 12" if kind.name == VOLTS else "2.5, or about 2"
    open_too = f", or {OPEN}" if OPEN in kind.outcomes else ""
    return f"Write a number of {_MEANT[kind.name]}: {example}{open_too}"


def _size_said(book: Dictionary, kind: KindOfTest, said: str) -> str:
    """Return a size, or a range of them, with the unit of its test at its end."""
    lead = _ABOUT.match(said)
    bare = _OR_SO.sub("", said[lead.end() :] if lead else said)
    ends = [_ABOUT.sub("", end, count=1) for end in _BETWEEN.split(bare)]
    if len(ends) > 2:
        raise _no_size(kind, said)
    unit = ""
    for end in reversed(ends):  # "11 to 12 V": the unit stands at the last
        try:
            own = unit if _NUMBER.fullmatch(end.strip()) else ""
            size = parse(f"{end} {own}".strip(), kind.unit)
            value = size.to(kind.unit)
        except BenchError:
            raise _no_size(kind, said) from None
        _must_be_possible(book, kind, said, value)
        unit = unit or ("" if _NUMBER.fullmatch(end.strip()) else size.unit)
    return said if unit else said.replace(bare, f"{bare} {kind.unit}")


def _no_size(kind: KindOfTest, said: str) -> NotExpectable:
    meant = _MEANT[kind.name]
    return NotExpectable(
        f"“{said}” is no number of {meant}.", f"This test shows {meant}.", f"{_do(kind)}."
    )


def _must_be_possible(book: Dictionary, kind: KindOfTest, said: str, value: float) -> None:
    """Refuse what is far beyond all that the circuit can give."""
    if kind.name == OHMS:
        if value < 0:
            raise NotExpectable(
                f"“{said}” is below 0.", "No part has fewer ohms than 0.", f"{_do(kind)}."
            )
        return
    if kind.name == VOLTS:
        most, has = most_volts(book), f"This circuit has a supply of {book.supply_v:g} V."
    else:
        greatest = float(abs(book.solved.amps).max(initial=0.0))
        most = max(1.0, MOST_TIMES * greatest)
        has = f"No fault on this sheet gives more than {show(greatest, 'A', 1.0)}."
    if not abs(value) <= most:
        shown = said if kind.unit in said else f"{said} {kind.unit}"
        raise NotExpectable(
            f"{shown} is far too much here. {has}",
            f"Something up to {show(most, kind.unit, 1.0)} is taken.",
            "Look at the decimal point and the unit.",
        )
