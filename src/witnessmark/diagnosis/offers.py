"""Every test that a crew can do on a circuit, with its minutes from where it stands."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats
from witnessmark.diagnosis.dictionary import Dictionary, PartPlace, Place, Setting
from witnessmark.diagnosis.kinds import (
    CLAMP,
    HEAT,
    JUMPER,
    KINDS,
    LAMP,
    LOOK,
    METER_AND_LAMP,
    OHMS,
    SWAP,
    VOLTS,
    WATCH,
    WIGGLE,
    Means,
)
from witnessmark.diagnosis.lamp_works import Held
from witnessmark.diagnosis.observations import Observation, Test
from witnessmark.diagnosis.outcomes import HEATED
from witnessmark.diagnosis.watching import watched_in

SECOND_PROBE: Final = 0.5  # min: to place the other probe elsewhere than on the battery


@dataclass(frozen=True, slots=True, kw_only=True)
class Menu:
    """Tests with what their minutes are made of.

    Attributes
    ----------
    tests
        The tests.
    keys
        Their keys.
    doing
        Minutes of each without set-up and access. [min]
    setup
        Minutes to set up its state. [min]
    """

    tests: tuple[Test, ...]
    keys: tuple[str, ...]
    doing: Floats
    setup: Floats

    def number(self, key: str) -> int:
        """Return the number of a test."""
        return self.keys.index(key)


def menu_of(
    book: Dictionary, means: Means = METER_AND_LAMP, complaints: Sequence[Observation] = ()
) -> Menu:
    """Return every test that a crew with some means can do; none that hurts is among them.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    means
        Tools and permits of the crew.
    complaints
        What was reported: eyes, fingers, swaps and jumpers are for the states of these; for those
        of every complaint of the sheet where nothing was reported. Loads are watched in them, and
        where they should run.
    """
    told = {complaint.complaint for complaint in complaints}
    states = [trouble.state for trouble in book.troubles if not told or trouble.key in told]
    complained = tuple(dict.fromkeys(states))
    return _menu(
        book.settings,
        book.places,
        book.parts,
        book.spans,
        tuple(sorted(book.solved.lamp)),
        frozenset(book.lamp_works),
        tuple(sorted(book.solved.jumped)),
        complained,
        watched_in(book, complained),
        means,
    )


@lru_cache(maxsize=32)
def _menu(
    settings: tuple[Setting, ...],
    places: tuple[Place, ...],
    parts: tuple[PartPlace, ...],
    spans: tuple[tuple[str, str], ...],
    lamps: tuple[tuple[str, str], ...],
    works: frozenset[Held],
    jumped: tuple[tuple[str, str], ...],
    complained: tuple[str, ...],
    watched: tuple[tuple[str, str], ...],
    means: Means,
) -> Menu:
    tests: list[Test] = []
    for setting in settings:
        state = setting.name
        tests += [Test(kind=VOLTS, point=place.letter, state=state) for place in places]
        tests += [Test(kind=VOLTS, point=one, reference=other, state=state) for one, other in spans]
        for tool, reference in lamps:
            tests += [
                Test(kind=tool, point=place.letter, state=state, reference=reference)
                for place in places
                if place.letter != reference
                and not place.no_lamp
                and not (tool == LAMP and (place.letter, reference, state) in works)
            ]
        tests += [Test(kind=CLAMP, part=part.name, state=state) for part in parts if part.may_clamp]
        tests += [Test(kind=WATCH, part=load, state=state) for load, at in watched if at == state]
        if state in complained:
            for part in parts:
                if part.may_wiggle:
                    tests.append(Test(kind=WIGGLE, part=part.name, state=state))
                if part.kind in HEATED:
                    tests.append(Test(kind=HEAT, part=part.name, state=state))
                if part.may_swap:
                    tests.append(Test(kind=SWAP, part=part.name, state=state))
    tests += [
        Test(kind=JUMPER, part=part, state=state) for part, state in jumped if state in complained
    ]
    for part in parts:
        tests.append(Test(kind=LOOK, part=part.name))
        if part.ohm == part.ohm:
            tests.append(Test(kind=OHMS, part=part.name))
    allowed = tuple(test for test in tests if means.allow(KINDS[test.kind]))
    minutes = {setting.name: setting.minutes for setting in settings}
    return Menu(
        tests=allowed,
        keys=tuple(test.key for test in allowed),
        doing=np.array([doing_minutes(test) for test in allowed]),
        setup=np.array([minutes.get(test.state, 0.0) for test in allowed]),
    )


def doing_minutes(test: Test) -> float:
    """Return minutes without set-up and access; two probes far apart take longer than one. [min]

    Parameters
    ----------
    test
        The test.
    """
    return KINDS[test.kind].minutes + (SECOND_PROBE if test.reference else 0.0)


@lru_cache(maxsize=32)
def _access(
    tests: tuple[Test, ...], places: tuple[Place, ...], parts: tuple[PartPlace, ...]
) -> tuple[Floats, Flags]:
    """Return test by place: minutes of access to what it needs; and where it brings a crew."""
    columns = [place.letter for place in places] + [part.name for part in parts]
    number = {name: at for at, name in enumerate(columns)}
    point_minutes = {place.letter: place.minutes for place in places}
    by_part = {part.name: part for part in parts}
    needs = np.zeros((len(tests), len(columns)))
    brings = np.zeros((len(tests), len(columns)), dtype=np.bool_)
    for row, test in enumerate(tests):
        for letter in (test.point, test.reference):
            if letter:
                needs[row, number[letter]] = point_minutes[letter]
                brings[row, number[letter]] = True
        if test.part and test.kind != WATCH:  # one watches from where one stands
            part = by_part[test.part]
            needs[row, number[test.part]] = part.minutes
            brings[row, [number[name] for name in (part.name, *part.letters)]] = True
    for row, test in enumerate(tests):  # at a point of a part, one is at the part
        for part in parts:
            if test.point in part.letters:
                brings[row, number[part.name]] = True
    return needs, brings


def minutes_after(book: Dictionary, menu: Menu, last: Test | None) -> Floats:
    """Return the minutes of every test after another; set-up and access are shared.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    menu
        The tests.
    last
        The test before, with the state in which it left the circuit; None at the start.
    """
    needs, _ = _access(menu.tests, book.places, book.parts)
    if last is None:
        return np.asarray(menu.doing + menu.setup + needs.sum(axis=1), dtype=np.float64)
    _, brings = _access((last,), book.places, book.parts)
    same = np.array([not test.state or test.state == last.state for test in menu.tests])
    minutes = menu.doing + np.where(same, 0.0, menu.setup) + needs @ ~brings[0]
    return np.asarray(minutes, dtype=np.float64)


def all_minutes(book: Dictionary, tests: Sequence[Test], last: Test | None) -> list[float]:
    """Return the minutes of each of some tests after the one before it. [min]

    Parameters
    ----------
    book
        Dictionary of the circuit.
    tests
        The tests.
    last
        The test before them; None at the start.
    """
    if not tests:
        return []
    setup = {setting.name: setting.minutes for setting in book.settings}
    menu = Menu(
        tests=tuple(tests),
        keys=tuple(test.key for test in tests),
        doing=np.array([doing_minutes(test) for test in tests]),
        setup=np.array([setup.get(test.state, 0.0) for test in tests]),
    )
    return [float(minutes) for minutes in minutes_after(book, menu, last)]


def minutes_of(book: Dictionary, test: Test, last: Test | None) -> float:
    """Return the minutes of a test after the one before it. [min]

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    last
        The test before it; None at the start.
    """
    return all_minutes(book, [test], last)[0]


def standing_after(tests: Collection[Test]) -> Test | None:
    """Return the last test with the state in which the circuit is now; None before the first.

    Parameters
    ----------
    tests
        The tests in the order in which they were done.

    Notes
    -----
    A look leaves the state as it was; for ohms the circuit is switched off. Who watches a load
    stays where the hands are.
    """
    last: Test | None = None
    for test in tests:
        state = last.state if last and test.kind == LOOK else test.state
        last = replace(last if last and test.kind == WATCH else test, state=state)
    return last


def between(menu: Menu, book: Dictionary) -> Floats:
    """Return test by test: minutes of the second after the first.

    Parameters
    ----------
    menu
        The tests.
    book
        Dictionary of the circuit.
    """
    needs, brings = _access(menu.tests, book.places, book.parts)
    states = np.array([test.state for test in menu.tests])
    looks = np.array([not test.state for test in menu.tests])
    same = (states[:, None] == states[None, :]) | looks[None, :]
    access = needs.sum(axis=1)[None, :] - brings.astype(np.float64) @ needs.T
    minutes = menu.doing[None, :] + np.where(same, 0.0, menu.setup[None, :]) + access
    return np.asarray(minutes, dtype=np.float64)


def kept(menu: Menu, chosen: Flags) -> Menu:
    """Return some of the tests.

    Parameters
    ----------
    menu
        The tests.
    chosen
        Which of them.
    """
    numbers = np.flatnonzero(chosen).tolist()
    return Menu(
        tests=tuple(menu.tests[number] for number in numbers),
        keys=tuple(menu.keys[number] for number in numbers),
        doing=menu.doing[chosen],
        setup=menu.setup[chosen],
    )
