"""Readings that cannot both be right: named and sent back, never dropped."""

import math
import statistics
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

from witnessmark.metrology.estimates import Bench, estimate, scatter_seen
from witnessmark.metrology.readings import Place, Reading, spread_in
from witnessmark.quantities import show

FALSE_ALARM = 0.01  # share of places with good readings that are sent back for nothing
# One turn of the thimble, by the pitch of the screw: common practice, no published source.
_THIMBLE_TURN = {"mm": 0.5, "in": 0.025}


@dataclass(frozen=True, slots=True, kw_only=True)
class Misread:
    """Readings of one place that lie too far apart, with a sentence that says what to do."""

    place: Place
    suspects: tuple[str, ...]  # ids of the readings in doubt
    sentence: str


def grubbs(values: Sequence[float]) -> float:
    """Return how far the farthest value stands from the mean, in standard deviations.

    Parameters
    ----------
    values
        At least three values of one thing.

    Returns
    -------
    float
        G of the Grubbs test.

    Examples
    --------
    >>> round(grubbs([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]), 4)
    2.4688
    """
    mean, spread = statistics.fmean(values), statistics.stdev(values)
    if spread == 0:
        return 0.0
    return max(abs(value - mean) for value in values) / spread


def grubbs_critical(count: int, false_alarm: float, one_sided: bool = False) -> float:
    """Return the G above which the farthest of several values is an outlier.

    Parameters
    ----------
    count
        Number of values, three at least.
    false_alarm
        Share of good sets that are flagged. [0 to 1]
    one_sided
        Whether only the highest, or only the lowest, was in doubt beforehand.

    Returns
    -------
    float
        The critical G.

    References
    ----------
    [1] Grubbs' test, ISO 5725-2 and others; the formula is from memory. A widely copied
        table agrees except for two misprints (2.202 at n = 7 must be 2.020).

    Examples
    --------
    >>> round(grubbs_critical(7, 0.05), 4)
    2.02
    """
    from scipy.special import stdtrit  # late: it is large, and a first page needs none of it

    assert count >= 3, "an outlier among fewer than three"
    tail = false_alarm / (count if one_sided else 2 * count)
    t = -float(stdtrit(count - 2, tail))
    return (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))


@cache
def range_critical(count: int, false_alarm: float) -> float:
    """Return how far apart the ends of several good readings seldom lie.

    Parameters
    ----------
    count
        Number of readings, two at least.
    false_alarm
        Share of good sets that are flagged. [0 to 1]

    Returns
    -------
    float
        The range in standard deviations of one reading, which must be known.

    References
    ----------
    [1] Distribution of the range of n Gaussian values (studentized range with infinite
        degrees of freedom). The formula is from memory.

    Examples
    --------
    >>> round(range_critical(3, 0.05), 2)
    3.31
    """
    low, high = 0.0, 20.0
    for _ in range(50):
        middle = (low + high) / 2
        if 1 - _share_below(middle, count) > false_alarm:
            low = middle
        else:
            high = middle
    return high


def misreads(
    readings: Sequence[Reading], bench: Bench, names: Mapping[Place, str] | None = None
) -> tuple[Misread, ...]:
    """Return the places whose readings cannot all be right.

    Parameters
    ----------
    readings
        All readings of the job.
    bench
        The instruments and the habit of hands.
    names
        Place and what people call it, for the sentences: "Bearing 2, bore".

    Returns
    -------
    tuple of Misread
        One for each place in doubt, in the order in which the places were first read.

    Notes
    -----
    The spread of n readings is held against the studentized range for the scatter that the
    instruments and hands are known for. Where no scatter is known and there are three
    readings or more, Grubbs' test judges by the readings alone.
    """
    by_place: defaultdict[Place, list[Reading]] = defaultdict(list)
    for reading in readings:
        by_place[reading.place].append(reading)
    found = []
    for place, several in by_place.items():
        if len(several) < 2:
            continue
        unit = bench.of(several[0]).unit
        values = [reading.quantity.to(unit) for reading in several]
        gap = max(values) - min(values)
        if not _too_far(several, values, bench, unit):
            continue
        suspects = _farthest(several, values)
        step = max(spread_in(bench.of(r).resolution, bench.of(r).unit, unit) for r in several)
        found.append(
            Misread(
                place=place,
                suspects=tuple(reading.id for reading in suspects),
                sentence=f"{(names or {}).get(place, str(place))}: "
                f"{_sentence(suspects, several, gap, unit, step)}",
            )
        )
    return tuple(found)


def wider_than_stated(readings: Sequence[Reading], bench: Bench) -> tuple[str, ...]:
    """Say which instruments scatter more in these hands than their record says.

    Parameters
    ----------
    readings
        All readings of the job.
    bench
        The instruments.

    Returns
    -------
    tuple of str
        A sentence for each such instrument; none if all agree with their record.

    Notes
    -----
    One-sided chi-square test of the pooled scatter, at one false alarm in a hundred.
    """
    seen = scatter_seen(readings, bench)
    if not seen:
        return ()
    from scipy.special import chdtri

    sentences = []
    for name, (spread, freedom) in seen.items():
        instrument = bench.instruments[name]
        ratio = (spread / instrument.reading_u) ** 2 * freedom
        if ratio > chdtri(freedom, FALSE_ALARM):
            finer = instrument.resolution / 10
            sentences.append(
                f"{instrument.name[0].upper()}{instrument.name[1:]}: repeated readings scatter by "
                f"{show(spread, instrument.unit, finer)}, its record says "
                f"{show(instrument.reading_u, instrument.unit, finer)}. "
                "Read again with care, or judge by the wider figure."
            )
    return tuple(sentences)


def _share_below(width: float, count: int) -> float:
    """Return the share of sets of Gaussian values whose range is below a width."""
    steps, reach = 400, 8.0  # the trapezoid rule on a smooth function that dies out at both ends
    total = 0.0
    for number in range(steps + 1):
        z = -reach + (2 * reach + width) * number / steps
        inside = (math.erf(z / math.sqrt(2)) - math.erf((z - width) / math.sqrt(2))) / 2
        total += math.exp(-z * z / 2) * inside ** (count - 1)
    return count * total * (2 * reach + width) / steps / math.sqrt(2 * math.pi)


def _too_far(several: Sequence[Reading], values: Sequence[float], bench: Bench, unit: str) -> bool:
    if all(bench.of(reading).repeat_u == 0 for reading in several):
        return len(values) > 2 and grubbs(values) > grubbs_critical(len(values), FALSE_ALARM)
    # each pair by its own uncertainty: two hands and two gauges may differ by more than one
    limit = range_critical(len(values), FALSE_ALARM) / math.sqrt(2)
    for first, second in combinations(several, 2):
        one, two = _alone(first, "one"), _alone(second, "two")
        gap = estimate({one.place: 1.0, two.place: -1.0}, [one, two], bench, unit)
        if abs(gap.value) > limit * gap.u:
            return True
    return False


def _alone(reading: Reading, name: str) -> Reading:
    """Return the reading as if it were the only one of its place."""
    return Reading(
        id=reading.id,
        place=Place(characteristic=name, position=""),
        quantity=reading.quantity,
        instrument=reading.instrument,
        reader=reading.reader,
        when=reading.when,
    )


def _farthest(several: Sequence[Reading], values: Sequence[float]) -> list[Reading]:
    """Return the reading in doubt, or both ends where the middle cannot tell."""
    middle = statistics.median(values)
    order = sorted(zip(values, several, strict=True), key=lambda pair: pair[0])
    low, high = order[0], order[-1]
    if math.isclose(middle - low[0], high[0] - middle, rel_tol=0.25):
        return [low[1], high[1]]
    return [low[1] if middle - low[0] > high[0] - middle else high[1]]


def _sentence(
    suspects: Sequence[Reading], several: Sequence[Reading], gap: float, unit: str, step: float
) -> str:
    typed = " and ".join(
        f"{_typed(reading)}{f' by {reading.reader}' if reading.reader else ''}"
        for reading in suspects
    )
    apart = show(gap, unit, step)
    if len(suspects) == 2:
        text = f"{typed} are {apart} apart. Both cannot be right: read it again."
    else:
        text = (
            f"{typed} stands apart from the other {len(several) - 1}, "
            f"the readings span {apart}. Read it again."
        )
    turn = _THIMBLE_TURN.get(unit)
    if turn and abs(gap - turn) < 0.1 * turn:
        text += f" {show(turn, unit)} is one turn of a thimble: look at the line on the sleeve."
    return text


def _typed(reading: Reading) -> str:
    """Return a reading as typed, with its unit where that was not typed."""
    text, unit = reading.quantity.text.strip(), reading.quantity.unit
    return f"{text} {unit}".strip() if text[-1:].isdigit() else text
