"""What the suspects would read at a point: ranges, and who would read alike."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import (
    LAMP_OUTCOMES,
    Floats,
    lamp_chances,
    meter_uncertainty,
)
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.observations import LAMP, Test

CREDIBLE: Final = 0.03  # belief from which a suspect is worth a word
LOW, HIGH = 0.05, 0.95  # a range leaves out one in twenty at either end


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Suspects that would give about the same outcome of a test.

    Attributes
    ----------
    suspects
        Numbers of the suspects, the likeliest first.
    share
        Their belief together.
    low_v, high_v
        The range they would read, for a meter. [V]
    outcome
        "lit", "dim" or "dark", for a lamp.
    wanders
        Whether the reading would wander because a relay chatters.
    """

    suspects: tuple[int, ...]
    share: float
    low_v: float = 0.0
    high_v: float = 0.0
    outcome: str = ""
    wanders: bool = False


def quantile_v(values_v: Floats, weights: Floats, at: float) -> float:
    """Return the voltage below which a share of the weight lies.

    Parameters
    ----------
    values_v
        Voltages. [V]
    weights
        Their weights.
    at
        Share of the weight, 0 to 1. [1]
    """
    order = np.argsort(values_v)
    passed = np.cumsum(weights[order])
    place = int(np.searchsorted(passed, at * passed[-1]))
    return float(values_v[order[min(place, len(order) - 1)]])


def predicted_v(book: Dictionary, weighed: Weighed, test: Test) -> Floats:
    """Return what every sample predicts that the meter shows, or that the lamp gets. [V]

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far, which knows how high this vehicle's supply stands.
    test
        Where and in which state.
    """
    state = book.state(test.state)
    if test.kind == LAMP:
        return book.lamp[test.reference][:, state, book.point(test.point)] * weighed.supply
    volts = book.volts[:, state, book.point(test.point)]
    if test.reference:
        volts = volts - book.volts[:, state, book.point(test.reference)]
    return volts * weighed.supply


def groups(
    book: Dictionary, weighed: Weighed, test: Test, least: float = CREDIBLE
) -> tuple[Group, ...]:
    """Return the credible suspects by what they would read, the likeliest group first.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    test
        The test.
    least
        Belief from which a suspect counts. [1]
    """
    held = [
        number
        for number in np.argsort(-weighed.suspects, kind="stable").tolist()
        if weighed.suspects[number] >= least and number != len(book.suspects) - 1
    ]
    if test.kind == LAMP:
        found = _lamp_groups(book, weighed, test, held)
    else:
        found = _volt_groups(book, weighed, test, held)
    return tuple(sorted(found, key=lambda group: -group.share))


def _volt_groups(
    book: Dictionary, weighed: Weighed, test: Test, held: Sequence[int]
) -> list[Group]:
    state, point = book.state(test.state), book.point(test.point)
    volts = predicted_v(book, weighed, test)
    wandering: list[int] = []
    ranges: list[tuple[float, float, int]] = []
    for number in held:
        own = book.samples(number)
        weight = weighed.belief[own]
        if weight[book.unsteady[own, state, point]].sum() > 0.5 * weight.sum():
            wandering.append(number)
            continue
        low = quantile_v(volts[own], weight, LOW)
        high = quantile_v(volts[own], weight, HIGH)
        ranges.append((low, high, number))
    found: list[Group] = []
    for low, high, number in sorted(ranges):
        near = 2.0 * float(meter_uncertainty(low, 0.01))
        if found and low <= found[-1].high_v + near:
            last = found[-1]
            found[-1] = _joined(weighed, last, number, max(high, last.high_v))
        else:
            share = float(weighed.suspects[number])
            found.append(Group(suspects=(number,), share=share, low_v=low, high_v=high))
    if wandering:
        share = float(weighed.suspects[wandering].sum())
        found.append(Group(suspects=tuple(wandering), share=share, wanders=True))
    return found


def _joined(weighed: Weighed, group: Group, number: int, high_v: float) -> Group:
    members = sorted((*group.suspects, number), key=lambda one: -weighed.suspects[one])
    return Group(
        suspects=tuple(members),
        share=float(weighed.suspects[list(members)].sum()),
        low_v=group.low_v,
        high_v=high_v,
    )


def _lamp_groups(
    book: Dictionary, weighed: Weighed, test: Test, held: Sequence[int]
) -> list[Group]:
    chances = lamp_chances(predicted_v(book, weighed, test))
    members: dict[str, list[int]] = {}
    for number in held:
        own = book.samples(number)
        mean = weighed.belief[own] @ chances[own]
        members.setdefault(LAMP_OUTCOMES[int(mean.argmax())], []).append(number)
    return [
        Group(
            suspects=tuple(numbers), share=float(weighed.suspects[numbers].sum()), outcome=outcome
        )
        for outcome, numbers in members.items()
    ]


def disagreement_v(
    book: Dictionary, weighed: Weighed, state: str, letter: str
) -> tuple[float, float] | None:
    """Return the range over which credible suspects part from each other at a point.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    state
        Operating state.
    letter
        The point.

    Returns
    -------
    tuple or None
        Lowest and highest voltage of those that do not read as a healthy circuit would; None
        where all would read alike. [V]
    """
    test = Test(kind="volts", point=letter, state=state)
    found = [group for group in groups(book, weighed, test) if not group.wanders]
    if not found:
        return None
    healthy_v = float(book.healthy_v[book.state(state), book.point(letter)])
    near_v = 3.0 * float(meter_uncertainty(healthy_v, 0.01))
    apart = [
        group
        for group in found
        if group.high_v > healthy_v + near_v or group.low_v < healthy_v - near_v
    ]
    if len(found) < 2 or not apart:
        return None
    return min(group.low_v for group in apart), max(group.high_v for group in apart)
