"""A derived size from several readings, whose shared errors stay shared.

Bore minus journal, each the plain mean of its readings, so that a learner can check it with a
pencil. An error that two readings share (one micrometer's zero, one pair of hands) enters the
result once, with the sum of its weights: in a clearance it may cancel.
"""

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from witnessmark.errors import BenchError
from witnessmark.metrology.budget import Contribution
from witnessmark.metrology.readings import Instrument, Place, Reading, spread_in
from witnessmark.quantities import kind_in_words, kind_of

_NOTHING = 1e-9  # a share of a weight below this is rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The instruments of a job, and how much two pairs of hands differ.

    `hand_u` is the standard uncertainty of one reader's habit, the same in all readings of
    that reader; it is in `unit`.
    """

    instruments: Mapping[str, Instrument]
    hand_u: float = 0.0
    unit: str = "mm"

    def __post_init__(self) -> None:
        assert self.hand_u >= 0, "a habit of less than nothing"

    def of(self, reading: Reading) -> Instrument:
        """Return the instrument of a reading."""
        if reading.instrument not in self.instruments:
            raise BenchError(
                f"{reading.place} was read with “{reading.instrument}”, which is not known here.",
                "Without its errors a reading cannot be judged.",
                "Choose the instrument from the list, or add it.",
            )
        instrument = self.instruments[reading.instrument]
        kind, read = kind_of(instrument.unit), kind_of(reading.quantity.unit)
        if kind != read:
            raise BenchError(
                f"{reading.place} was read as {kind_in_words(read)} with “{instrument.name}”.",
                f"That instrument reads {kind_in_words(kind)}.",
                "Choose the instrument that was used.",
            )
        return instrument


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A derived size and everything that makes it uncertain.

    `errors` holds the signed standard uncertainty of the result by each single error, so that
    two results can be compared although they share errors. `sources` is the same for print,
    the scatter at one place taken together; `cancelled` names what is in the readings but not
    in the result.
    """

    value: float
    unit: str
    u: float
    step: float  # of the coarsest instrument used
    counts: Mapping[Place, int]
    means: Mapping[Place, float]
    errors: Mapping[str, float]
    sources: tuple[Contribution, ...]
    cancelled: tuple[str, ...]

    def covariance(self, other: "Estimate") -> float:
        """Return the covariance with another result of the same readings. [unit²]"""
        assert self.unit == other.unit, "a covariance across units"
        shared = self.errors.keys() & other.errors.keys()
        return math.fsum(self.errors[name] * other.errors[name] for name in shared)


def estimate(
    weights: Mapping[Place, float], readings: Sequence[Reading], bench: Bench, unit: str
) -> Estimate:
    """Return a weighted sum of means with its uncertainty.

    Parameters
    ----------
    weights
        Place and its weight: +1 for the bore and -1 for the journal make a clearance.
    readings
        All readings of the job; those of other places are left alone.
    bench
        The instruments and the habit of hands.
    unit
        Unit of the result.

    Returns
    -------
    Estimate
        Value and standard uncertainty in `unit`, with its sources.

    Raises
    ------
    BenchError
        If a place has no reading, or an instrument is unknown.

    References
    ----------
    [1] JCGM 100:2008, clause 5.2, correlated inputs: each shared error is an input of its
        own. From memory.
    """
    by_place: dict[Place, list[Reading]] = {place: [] for place in weights}
    for reading in readings:
        if reading.place in by_place:
            by_place[reading.place].append(reading)
    missing = [place for place, found in by_place.items() if not found]
    if missing:
        raise BenchError(
            f"There is no reading of {' or of '.join(str(place) for place in missing)}.",
            "Each part of a derived size must be read at least once.",
            "Read it and enter it.",
        )
    scatter: dict[Place, float] = {}
    shared: defaultdict[str, list[float]] = defaultdict(list)  # error -> weights of its readings
    sizes: dict[str, float] = {}
    errors: dict[str, float] = {}
    means: dict[Place, float] = {}
    step = 0.0
    for place, found in by_place.items():
        share = weights[place] / len(found)
        means[place] = math.fsum(reading.quantity.to(unit) for reading in found) / len(found)
        single = []
        for number, reading in enumerate(found):
            instrument = bench.of(reading)
            step = max(step, spread_in(instrument.resolution, instrument.unit, unit))
            u = spread_in(instrument.reading_u, instrument.unit, unit)
            single.append(share * u)
            errors[f"reading {number + 1} of {place}"] = share * u
            carried = instrument.shared(bench.instruments)
            if reading.reader and bench.hand_u:
                carried[f"hand of {reading.reader}"] = (bench.hand_u, bench.unit)
            for name, (size, size_unit) in carried.items():
                shared[name].append(share)
                sizes[name] = spread_in(size, size_unit, unit)
        scatter[place] = math.hypot(*single)
    sources = [
        Contribution(name=f"reading of {place}", sensitivity=weights[place], u=scatter[place])
        for place in weights
    ]
    cancelled = []
    for name, shares in shared.items():
        weight = math.fsum(shares)
        if not sizes[name]:
            continue
        if abs(weight) < _NOTHING * max(abs(share) for share in shares):
            cancelled.append(name)
            continue
        errors[name] = weight * sizes[name]
        sources.append(Contribution(name=name, sensitivity=weight, u=abs(errors[name])))
    return Estimate(
        value=math.fsum(weights[place] * means[place] for place in weights),
        unit=unit,
        u=math.hypot(*errors.values()),
        step=step,
        counts=MappingProxyType({place: len(found) for place, found in by_place.items()}),
        means=MappingProxyType(means),
        errors=MappingProxyType(errors),
        sources=tuple(sources),
        cancelled=tuple(cancelled),
    )


def scatter_seen(readings: Sequence[Reading], bench: Bench) -> dict[str, tuple[float, int]]:
    """Return how far repeated readings of one place really scatter, by instrument.

    Parameters
    ----------
    readings
        All readings of the job.
    bench
        The instruments.

    Returns
    -------
    dict
        Instrument id -> (pooled standard deviation in the instrument's unit, degrees of
        freedom). Instruments without repeated readings are left out.

    Notes
    -----
    Only readings by one reader at one place are pooled, so that habits do not count as
    scatter.
    """
    groups: defaultdict[tuple[str, Place, str], list[float]] = defaultdict(list)
    for reading in readings:
        unit = bench.of(reading).unit
        key = (reading.instrument, reading.place, reading.reader)
        groups[key].append(reading.quantity.to(unit))
    squares: defaultdict[str, float] = defaultdict(float)
    freedom: defaultdict[str, int] = defaultdict(int)
    for (instrument, _, _), values in groups.items():
        if len(values) > 1:
            mean = math.fsum(values) / len(values)
            squares[instrument] += math.fsum((value - mean) ** 2 for value in values)
            freedom[instrument] += len(values) - 1
    return {name: (math.sqrt(squares[name] / freedom[name]), freedom[name]) for name in freedom}
