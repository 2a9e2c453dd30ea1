"""Suspects by what they would show in a test: who would be alike, and who as a healthy circuit."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np

from witnessmark.diagnosis.belief import METERS, Floats, meter_uncertainty
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.forecast import (
    HIGH,
    LOW,
    healthy_outcome,
    healthy_size,
    quantile,
    word_chances,
)
from witnessmark.diagnosis.kinds import KINDS, VOLTS
from witnessmark.diagnosis.observations import Observation, Test
from witnessmark.diagnosis.outcomes import (
    follows_supply,
    is_lamp,
    size,
    wanders,
)

CREDIBLE: Final = 0.03  # belief from which a suspect is worth a word
# Shares of all that a meter could show in the test, from 0 to the supply for volts.
WIDE: Final = 2.0 / 3.0  # a suspect that ranges as far is said by itself: any value may be its
NARROW: Final = 0.05  # a suspect that ranges no farther reads one value
EMPTY: Final = 0.1  # belief in the middle of a range below which it is one end or the other
BETWEEN, EITHER = "between", "either"


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
    spread
        Where they range over nearly all that the meter could show: "between" if any value may
        come, "either" if it is one end or the other; else empty.
    is_healthy
        Whether a circuit without a fault would show the same.
    """

    suspects: tuple[int, ...]
    share: float
    low: float = 0.0
    high: float = 0.0
    outcome: str = ""
    wanders: bool = False
    spread: str = ""
    is_healthy: bool = False


class _Range(NamedTuple):
    """What one suspect would read."""

    low: float
    high: float
    number: int
    spread: str


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
    healthy = healthy_size(book, test)
    if follows_supply(test.kind):
        all_sizes = all_sizes * weighed.supply[rows]
        healthy *= float(weighed.belief @ weighed.supply)
    whole = _whole(book, test, [healthy, *all_sizes[np.isfinite(all_sizes)].tolist()])
    first = 0
    wandering: list[int] = []
    endless: list[int] = []
    ranges: list[_Range] = []
    for number, own in zip(held, wanted, strict=True):
        weight = weighed.belief[own]
        here = slice(first, first + len(weight))
        first = here.stop
        if weight[unsteady[here]].sum() > 0.5 * weight.sum():
            wandering.append(number)
        elif np.isinf(all_sizes[here]).any():
            endless.append(number)
        else:
            ranges.append(_range(all_sizes[here], weight, number, whole))
    found = _alike(weighed, test, ranges, whole)
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
    return [_beside_healthy(group, healthy, test, whole) for group in found]


def _whole(book: Dictionary, test: Test, sizes: Iterable[float]) -> float:
    """Return how far readings of a test could lie apart, in its unit."""
    known = [0.0, book.supply_v, *sizes] if test.kind == VOLTS else [0.0, *sizes]
    return max(known) - min(known)


def _range(sizes: Floats, weight: Floats, number: int, whole: float) -> _Range:
    low, high = quantile(sizes, weight, LOW), quantile(sizes, weight, HIGH)
    if high - low <= WIDE * whole:
        return _Range(low, high, number, "")
    edge = 0.2 * (high - low)
    middle = (sizes > low + edge) & (sizes < high - edge)
    is_empty = weight[middle].sum() < EMPTY * weight.sum()
    return _Range(low, high, number, EITHER if is_empty else BETWEEN)


def _alike(weighed: Weighed, test: Test, ranges: Sequence[_Range], whole: float) -> list[Group]:
    """Return suspects that would read about the same: one value, a range, or nearly anything."""
    kinds: dict[tuple[bool, str], list[_Range]] = {}
    for one in ranges:
        is_value = one.high - one.low <= NARROW * whole
        kinds.setdefault((is_value, one.spread), []).append(one)
    return [group for own in kinds.values() for group in _chained(weighed, test, own, whole)]


def _chained(weighed: Weighed, test: Test, ranges: Sequence[_Range], whole: float) -> list[Group]:
    """Join ranges that overlap, or that a meter would not tell apart."""
    found: list[Group] = []
    for low, high, number, spread in sorted(ranges):
        near = _near(low, test)
        last = found[-1] if found else None
        reach = high if last is None else max(high, last.high)
        if last and low <= last.high + near and (spread or reach - last.low <= WIDE * whole):
            found[-1] = _joined(weighed, last, number, reach)
        else:
            share = float(weighed.suspects[number])
            found.append(Group(suspects=(number,), share=share, low=low, high=high, spread=spread))
    return found


def _near(value: float, test: Test) -> float:
    """Return how far from a value another one must lie so that a meter tells them apart."""
    return 2.0 * float(meter_uncertainty(value, 0.01, METERS[test.kind]))


def _beside_healthy(group: Group, healthy: float, test: Test, whole: float) -> Group:
    near = _near(healthy, test)
    is_healthy = (
        not group.wanders
        and not group.outcome
        and group.high - group.low <= NARROW * whole
        and group.low - near <= healthy <= group.high + near
    )
    return replace(group, is_healthy=is_healthy)


def _joined(weighed: Weighed, group: Group, number: int, high: float) -> Group:
    members = sorted((*group.suspects, number), key=lambda one: -weighed.suspects[one])
    return replace(
        group,
        suspects=tuple(members),
        share=float(weighed.suspects[list(members)].sum()),
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
    chances = word_chances(book, weighed, test, complaints)
    members: dict[str, list[int]] = {}
    for number in held:
        own = book.samples(number)
        mean = weighed.belief[own] @ chances[own]
        members.setdefault(outcomes[int(mean.argmax())], []).append(number)
    healthy = healthy_outcome(book, test)
    return [
        Group(
            suspects=tuple(numbers),
            share=float(weighed.suspects[numbers].sum()),
            outcome=outcome,
            is_healthy=outcome == healthy,
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
