"""Why a test: what a healthy circuit would show, and to whom anything else would point."""

from collections.abc import Iterator, Sequence
from typing import Final

from witnessmark.diagnosis.answers import exact_words
from witnessmark.diagnosis.dictionary import Dictionary, Suspect
from witnessmark.diagnosis.forecast import healthy_outcome, healthy_size
from witnessmark.diagnosis.groups import BETWEEN, EITHER, Group
from witnessmark.diagnosis.kinds import KINDS, LAMPS, WATCH
from witnessmark.diagnosis.observations import Test
from witnessmark.diagnosis.watching import AMISS, WELL, should_run
from witnessmark.diagnosis.words import Sides, both_words, group_words, side_words, size_words

AT_MOST: Final = 3  # outcomes beside the healthy one that are said
# What a load that is watched does, where it should run and where it should not.
_DOES: Final = {
    True: {WELL: "work as it should", AMISS: "be weak or dead"},
    False: {WELL: "stay off as it should", AMISS: "be on"},
}


def outcome_words(group: Group, kind: str) -> str:
    """Return the outcome of a group of suspects: "1.4 to 5.2 V", "dark", "a wandering value".

    Parameters
    ----------
    group
        The group.
    kind
        Kind of the test.
    """
    if group.wanders:
        return "a wandering value"
    if group.outcome:
        known = KINDS[kind]
        return dict(zip(known.outcomes, known.saying, strict=True))[group.outcome]
    return size_words(
        group.low, group.high, KINDS[kind].unit, "or" if group.spread == EITHER else "to"
    )


def says_range(test: Test, found: Sequence[Group]) -> bool:
    """Return whether a reason names a range of readings, of which one may lie a little outside.

    Parameters
    ----------
    test
        The test.
    found
        Credible suspects by what they would read.
    """
    sizes = [one for one in _others(found) if not (one.wanders or one.outcome)]
    return any(" to " in outcome_words(group, test.kind) for group in sizes)


def why_sentence(book: Dictionary, test: Test, found: Sequence[Group], sides: Sides) -> str:
    """Return why this test: what is healthy, then what the suspects would show.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    found
        Credible suspects by what they would read.
    sides
        On which side of the complained load each part lies.
    """
    if not found:
        return "Why: no suspect on the sheet stands out yet."
    said = list(_said(book, test, found, sides))
    if len(found) == 1:
        said.append("Anything else there would speak against it")
    said = [phrase[0].upper() + phrase[1:] if at else phrase for at, phrase in enumerate(said)]
    return f"Why: {'. '.join(said)}."


def _said(book: Dictionary, test: Test, found: Sequence[Group], sides: Sides) -> Iterator[str]:
    """Return a phrase for each outcome, the healthy one first."""
    whose = [{name for n in group.suspects for name in _names(book.suspects[n])} for group in found]
    # A part that would read one way if open and another way if only bad: say which is meant.
    twice = {part for part in set().union(*whose) if sum(part in parts for parts in whose) > 1}

    named_sides: set[str] = set()  # a reason says once that a feed or a ground path is bad

    def who(group: Group) -> str:
        side = side_words(book, group.suspects, sides)
        shown = {} if side in named_sides else sides
        named_sides.add(side)
        return group_words(book, group.suspects, shown, twice)

    alike = next((group for group in found if group.is_healthy), None)
    others = _others(found)
    if test.kind in LAMPS:
        shown = healthy_outcome(book, test)
        so_too = f", and so it would be with {who(alike).rstrip(',')}" if alike else ""
        yield f"in a healthy circuit the lamp is {shown}{so_too}"
        for group in others:
            yield f"with {who(group).rstrip(',')} it would be {outcome_words(group, test.kind)}"
    elif unit := KINDS[test.kind].unit:
        healthy = healthy_size(book, test)
        so_too = f", and {who(alike)} would read the same" if alike else ""
        # Amps as the readings beside them say them: a branch takes hundredths of another's current.
        said = exact_words if unit == "A" else _size
        yield f"healthy is {said(healthy, unit)} there{so_too}"
        for group in others:
            yield f"{who(group)} would read {_read_words(group, test.kind)}"
    elif test.kind == WATCH:
        runs = should_run(book, test)
        for group in found:
            every = set() if runs or group.outcome == WELL else set().union(*whose)
            named = group_words(book, group.suspects, sides, twice | every).rstrip(",")
            yield f"with {named} it would {_DOES[runs][group.outcome]}"
    else:
        for group in found:
            yield f"{who(group).rstrip(',')} would mean {outcome_words(group, test.kind)}"


def _names(suspect: Suspect) -> tuple[str, ...]:
    """Return what a suspect may be called: its part, or each of two and both together."""
    return (*suspect.parts, both_words(suspect))


def _others(found: Sequence[Group]) -> list[Group]:
    """Return the groups that are said beside the healthy one."""
    alike = next((group for group in found if group.is_healthy), None)
    return [group for group in found if group is not alike][:AT_MOST]


def _size(value: float, unit: str) -> str:
    return size_words(value, value, unit)


def _read_words(group: Group, kind: str) -> str:
    """Return what a group would read; where nearly anything, that it is a matter of degree."""
    words = outcome_words(group, kind)
    if not group.spread:
        return words
    anything = "anything from " if group.spread == BETWEEN else ""
    return f"{anything}{words}, depending on how bad it is"
