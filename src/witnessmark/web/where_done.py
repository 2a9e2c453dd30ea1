"""Where a kind of test can be done on a circuit, and its minutes from where one stands."""

from collections.abc import Iterable, Sequence
from typing import Any

from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.kinds import (
    CLAMP,
    EVERYTHING,
    HEAT,
    JUMPER,
    LAMP,
    LAMPS,
    OHMS,
    SWAP,
    VOLTS,
    WATCH,
    WIGGLE,
    KindOfTest,
)
from witnessmark.diagnosis.minutes import figure_words
from witnessmark.diagnosis.observations import (
    Observation,
    Test,
    TestReading,
    parse_test_key,
    test_key,
)
from witnessmark.diagnosis.offers import all_minutes, menu_of, standing_after
from witnessmark.diagnosis.watching import asks_presence, told_in
from witnessmark.diagnosis.words import part_words, where_words

# Why a point or a part is not in the list of a kind of test.
NOT_LISTED = {
    CLAMP: "Only what a clamp goes round is listed.",
    HEAT: "Only what may grow warm is listed.",
    JUMPER: "Only what a jumper may bridge, with both ends within reach, is listed.",
    LAMP: "Only points where a bulb does no harm are listed. At the others use a meter or an "
    "LED tester.",
    OHMS: "Only what has ohms of its own at rest is listed. A joint shows nothing then, and a "
    "motor other ohms than when it runs: measure volts across them, under load.",
    SWAP: "Only parts of which a good one is at hand are listed.",
    WATCH: "Only what one sees or hears at work is listed.",
    WIGGLE: "Only what may be loose is listed.",
}
SOME_LISTED = "Only where that can be done is listed."
MOST_IN_FULL = 8  # parts: so many buttons have room for their words


def places_of(book: Dictionary, kind: KindOfTest) -> list[tuple[str, str]]:
    """Return where a kind of test can be done: each point or part, by its name and in words."""
    if kind.at_point:
        able = [one for one in book.places if kind.name != LAMP or not one.no_lamp]
        able.sort(key=lambda place: (len(place.letter), place.letter))
        return [(place.letter, where_words(place)) for place in able]
    if kind.name == JUMPER:  # what it shows is solved only where it is asked for
        can = {part.name for part in book.parts if not part.no_jumper}
    else:
        can = {test.part for test in menu_of(book, EVERYTHING).tests if test.kind == kind.name}
    return [(part.name, part_words(part)) for part in book.parts if part.name in can]


def by_name(kind: KindOfTest, places: Sequence[tuple[str, str]]) -> bool:
    """Return whether the buttons of places bear names only; the chosen one is then said below."""
    return kind.at_point or len(places) > MOST_IN_FULL


def why_not_listed(book: Dictionary, kind: KindOfTest) -> str:
    """Return why some point or part is not listed; empty where all are, and where none is."""
    listed = len(places_of(book, kind))
    every = len(book.places if kind.at_point else book.parts)
    return NOT_LISTED.get(kind.name, SOME_LISTED) if 0 < listed < every else ""


def others_of(book: Dictionary, kind: KindOfTest) -> list[tuple[str, str]]:
    """Return where the other probe or the clip may go; none where there is only one place."""
    if kind.name == VOLTS:
        return [(place.letter, where_words(place)) for place in book.places]
    if kind.name in LAMPS and book.supply_letter:
        return [(book.supply_letter, where_words(book.places[book.point(book.supply_letter)]))]
    return []


def choices_of(kind: KindOfTest) -> list[tuple[str, str]]:
    """Return the outcomes to choose from, as stored and as said; none where a size is read."""
    return [] if kind.unit else list(zip(kind.outcomes, kind.saying, strict=True))


def state_for(book: Dictionary, done: Sequence[TestReading], asked: str, first: str) -> str:
    """Return the state that is asked for, or else the last one of a test, or else the `first`."""
    if asked in [one.name for one in book.settings]:
        return asked
    return next((one.state for one in reversed(done) if one.state), first)


def minutes_here(
    book: Dictionary,
    done: Sequence[TestReading],
    kind: KindOfTest,
    state: str,
    names: Iterable[str],
) -> list[tuple[str, str]]:
    """Return each place with the minutes of a test there, from where the last one ended."""
    tests = tests_at(kind, state, names)
    minutes = all_minutes(book, tests, standing_after([one.test for one in done]))
    return [(test.place, figure_words(one)) for test, one in zip(tests, minutes, strict=True)]


def tests_at(kind: KindOfTest, state: str, names: Iterable[str]) -> list[Test]:
    """Return a kind of test at each place, in a state where it takes one."""
    in_state = state if kind.in_state else ""
    return [parse_test_key(test_key(kind.name, name, in_state)) for name in names]


def form_facts(
    book: Dictionary,
    kind: KindOfTest,
    state: str,
    done: Sequence[TestReading],
    complaints: Sequence[Observation],
) -> dict[str, Any]:
    """Return what a form prints in which a kind of test is chosen first, then its place."""
    places = places_of(book, kind)
    names = [name for name, _ in places]
    told = told_in(book, complaints)
    tests = [test for at in told for test in tests_at(kind, at, names)]
    return {
        "kind": kind,
        "places": places,
        "by_name": by_name(kind, places),
        "not_listed": why_not_listed(book, kind),
        "others": others_of(book, kind),
        "choices": choices_of(kind),
        "asks_presence": any(asks_presence(book, one, complaints) for one in tests),
        "seen_with": [one.words for one in book.settings if one.name in told],
        "state": state,
        "states": book.settings,
        "state_words": book.settings[book.state(state)].words,
        "from_here": minutes_here(book, done, kind, state, names),
    }
