"""What the suspects would show in a test: ranges and outcomes, and who would be alike."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import METERS, Floats, meter_uncertainty
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary, Mixture
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.kinds import KINDS, VOLTS
from witnessmark.diagnosis.observations import Observation, Test
from witnessmark.diagnosis.outcomes import (
    follows_supply,
    is_lamp,
    lamp_outcomes,
    sign_chances,
    size,
    wanders,
)

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
    low, high
        The range they would read, for a meter, in the unit of the test.
    outcome
        The outcome, where it is a word: "lit", "hot".
    wanders
        Whether the reading would wander because a relay chatters.
    """

    suspects: tuple[int, ...]
    share: float
    low: float = 0.0
    high: float = 0.0
    outcome: str = ""
    wanders: bool = False


def quantile(values: Floats, weights: Floats, at: float) -> float:
    """Return the value below which a share of the weight lies.

    Parameters
    ----------
    values
        The values.
    weights
        Their weights.
    at
        Share of the weight, 0 to 1. [1]
    """
    order = np.argsort(values)
    passed = np.cumsum(weights[order])
    place = int(np.searchsorted(passed, at * passed[-1]))
    return float(values[order[min(place, len(order) - 1)]])


def predicted(book: Dictionary, weighed: Weighed, test: Test) -> Floats:
    """Return what every sample predicts that the meter shows, or that the lamp gets.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far, which knows how high this vehicle's supply stands.
    test
        The test.
    """
    sizes = size(book, test)
    return sizes * weighed.supply if follows_supply(test.kind) or is_lamp(test) else sizes


def healthy_size(book: Dictionary, test: Test) -> float:
    """Return what a circuit without a fault would show, in the unit of the test.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    healthy = Mixture(corner=np.array([[HEALTHY]]), weight=np.array([[1.0]]))
    return float(size(book, test, healthy)[0])


def healthy_outcome(book: Dictionary, test: Test) -> str:
    """Return the outcome of a healthy circuit, where it is a word.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    """
    outcomes = KINDS[test.kind].outcomes
    if is_lamp(test):
        chances = lamp_outcomes(np.array([healthy_size(book, test)]), test)[0]
        return outcomes[int(chances.argmax())]
    return outcomes[1]


def groups(
    book: Dictionary,
    weighed: Weighed,
    test: Test,
    complaints: Sequence[Observation] = (),
    least: float = CREDIBLE,
) -> tuple[Group, ...]:
    """Return the credible suspects by what they would show, the likeliest group first.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    test
        The test.
    complaints
        What was reported.
    least
        Belief from which a suspect counts. [1]
    """
    held = [
        number
        for number in np.argsort(-weighed.suspects, kind="stable").tolist()
        if weighed.suspects[number] >= least and number != len(book.suspects) - 1
    ]
    if is_lamp(test) or not KINDS[test.kind].unit:
        found = _word_groups(book, weighed, test, held, complaints)
    else:
        found = _size_groups(book, weighed, test, held)
    return tuple(sorted(found, key=lambda group: -group.share))


def _size_groups(
    book: Dictionary, weighed: Weighed, test: Test, held: Sequence[int]
) -> list[Group]:
    wanted = [book.samples(number) for number in held]
    rows = np.concatenate([np.arange(0), *(np.arange(one.start, one.stop) for one in wanted)])
    mix = book.mix.rows(rows)
    all_sizes, unsteady = size(book, test, mix), wanders(book, test, mix)
    if follows_supply(test.kind):
        all_sizes = all_sizes * weighed.supply[rows]
    first = 0
    wandering: list[int] = []
    endless: list[int] = []
    ranges: list[tuple[float, float, int]] = []
    for number, own in zip(held, wanted, strict=True):
        weight = weighed.belief[own]
        here = slice(first, first + len(weight))
        first = here.stop
        sizes = all_sizes[here]
        if weight[unsteady[here]].sum() > 0.5 * weight.sum():
            wandering.append(number)
            continue
        if np.isinf(sizes).any():
            endless.append(number)
            continue
        low = quantile(sizes, weight, LOW)
        high = quantile(sizes, weight, HIGH)
        ranges.append((low, high, number))
    found: list[Group] = []
    for low, high, number in sorted(ranges):
        near = 2.0 * float(meter_uncertainty(low, 0.01, METERS[test.kind]))
        if found and low <= found[-1].high + near:
            last = found[-1]
            found[-1] = _joined(weighed, last, number, max(high, last.high))
        else:
            share = float(weighed.suspects[number])
            found.append(Group(suspects=(number,), share=share, low=low, high=high))
    for members, words in ((wandering, ""), (endless, KINDS[test.kind].outcomes[:1])):
        if members:
            found.append(
                Group(
                    suspects=tuple(members),
                    share=float(weighed.suspects[members].sum()),
                    outcome=words[0] if words else "",
                    wanders=not words,
                )
            )
    return found


def _joined(weighed: Weighed, group: Group, number: int, high: float) -> Group:
    members = sorted((*group.suspects, number), key=lambda one: -weighed.suspects[one])
    return Group(
        suspects=tuple(members),
        share=float(weighed.suspects[list(members)].sum()),
        low=group.low,
        high=high,
    )


def _word_groups(
    book: Dictionary,
    weighed: Weighed,
    test: Test,
    held: Sequence[int],
    complaints: Sequence[Observation],
) -> list[Group]:
    outcomes = KINDS[test.kind].outcomes
    if is_lamp(test):
        chances = lamp_outcomes(predicted(book, weighed, test), test)
    else:
        first = sign_chances(book, test, complaints)
        chances = np.stack([first, 1.0 - first], axis=-1)
    members: dict[str, list[int]] = {}
    for number in held:
        own = book.samples(number)
        mean = weighed.belief[own] @ chances[own]
        members.setdefault(outcomes[int(mean.argmax())], []).append(number)
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
    test = Test(kind=VOLTS, point=letter, state=state)
    found = [group for group in groups(book, weighed, test) if not group.wanders]
    if not found:
        return None
    healthy_v = healthy_size(book, test)
    near_v = 3.0 * float(meter_uncertainty(healthy_v, 0.01))
    apart = [
        group
        for group in found
        if group.high > healthy_v + near_v or group.low < healthy_v - near_v
    ]
    if len(found) < 2 or not apart:
        return None
    return min(group.low for group in apart), max(group.high for group in apart)
