"""Limits, and how sure one may be that a part keeps them."""

import math
from dataclasses import dataclass
from enum import StrEnum

from witnessmark.errors import BenchError
from witnessmark.quantities import convert, kind_in_words, kind_of, show, unit_named

WITHIN_FROM = 0.95  # chance of conforming; a rule of the shop, not of a standard
OUTSIDE_TO = 0.05


class Verdict(StrEnum):
    """What may be said about a part and its limit."""

    WITHIN = "within"
    OUTSIDE = "outside"
    TOO_CLOSE = "too close to call"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The acceptable range of a characteristic; an open end is None.

    `text` is the range as its source prints it, and `source` says who asks for it.
    """

    lower: float | None = None
    upper: float | None = None
    unit: str
    source: str
    text: str = ""

    def __post_init__(self) -> None:
        unit_named(self.unit)
        ends = [end for end in (self.lower, self.upper) if end is not None]
        if not ends or not all(math.isfinite(end) for end in ends):
            raise BenchError(
                "A limit has no end.",
                "It needs a lower end, an upper end or both, as numbers.",
                "Copy the range from the service information.",
            )
        if len(ends) == 2 and not ends[0] < ends[1]:
            raise BenchError(
                f"A limit runs from {ends[0]:g} to {ends[1]:g} {self.unit}.".replace(" .", "."),
                "Its lower end must be below its upper end.",
                "Check the two numbers against the service information.",
            )
        if not self.source.strip():
            raise BenchError(
                "A limit has no source.",
                "Nobody may judge a part by a number from nowhere.",
                "Write where it is printed: maker, document, page.",
            )

    def to(self, unit: str) -> "Limit":
        """Return the same limit in another unit of the same kind; its text stays as printed."""
        if kind_of(unit) != kind_of(self.unit):
            raise BenchError(
                f"The limit {self} is {kind_in_words(kind_of(self.unit))}.",
                f"The reading is {kind_in_words(kind_of(unit))}.",
                "Check which characteristic was read.",
            )
        return Limit(
            lower=None if self.lower is None else convert(self.lower, self.unit, unit),
            upper=None if self.upper is None else convert(self.upper, self.unit, unit),
            unit=unit_named(unit),
            source=self.source,
            text=self.text or str(self),
        )

    def __str__(self) -> str:
        if self.text:
            return self.text
        lower = None if self.lower is None else show(self.lower, "")
        upper = None if self.upper is None else show(self.upper, "")
        unit = f" {self.unit}" if self.unit else ""
        if lower is None:
            return f"at most {upper}{unit}"
        if upper is None:
            return f"at least {lower}{unit}"
        return f"{lower} to {upper}{unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """A verdict with the chance that the part conforms."""

    verdict: Verdict
    chance: float


def chance_of_conforming(y: float, u: float, lower: float | None, upper: float | None) -> float:
    """Return the probability that the measured thing lies inside its limits.

    Parameters
    ----------
    y
        The measured value. [any unit]
    u
        Its standard uncertainty; 0 compares exactly, the ends counting as inside. [unit of y]
    lower
        Lower end of the range, None where there is none. [unit of y]
    upper
        Upper end of the range, None where there is none. [unit of y]

    Returns
    -------
    float
        Between 0 and 1.

    Notes
    -----
    Gaussian, with no knowledge of the part before it was measured.

    References
    ----------
    [1] JCGM 106:2012, conformance probability of a two-sided interval. The inputs of its
        clause 7.4 were seen quoted; the formula is from memory.

    Examples
    --------
    >>> round(chance_of_conforming(13.6, 1.8, 12.5, 16.3), 4)
    0.6626
    """
    assert math.isfinite(y) and math.isfinite(u), "a judgement on no number"
    assert u >= 0, "an uncertainty below zero"
    if u == 0:
        above = lower is None or y >= lower
        below = upper is None or y <= upper
        return float(above and below)
    short = 0.0 if lower is None else _below((lower - y) / u)
    long = 0.0 if upper is None else _below((y - upper) / u)
    return max(0.0, 1.0 - short - long)


def verdict(
    y: float,
    u: float,
    limit: Limit,
    within_from: float = WITHIN_FROM,
    outside_to: float = OUTSIDE_TO,
) -> Judgement:
    """Say whether a measured value keeps its limit, and how sure that is.

    Parameters
    ----------
    y
        The measured value. [limit.unit]
    u
        Its standard uncertainty. [limit.unit]
    limit
        The range that the part must keep.
    within_from
        The least chance of conforming that is called within. [0 to 1]
    outside_to
        The greatest chance of conforming that is called outside. [0 to 1]

    Returns
    -------
    Judgement
        The verdict and the chance of conforming.

    Examples
    --------
    >>> verdict(105, 4.12, Limit(lower=60, upper=110, unit="µm", source="invented")).verdict
    <Verdict.TOO_CLOSE: 'too close to call'>
    """
    assert 0 <= outside_to < within_from <= 1, "the shop's rule is upside down"
    chance = chance_of_conforming(y, u, limit.lower, limit.upper)
    if chance >= within_from:
        said = Verdict.WITHIN
    elif chance <= outside_to:
        said = Verdict.OUTSIDE
    else:
        said = Verdict.TOO_CLOSE
    return Judgement(verdict=said, chance=chance)


def sure_range(
    u: float, limit: Limit, within_from: float = WITHIN_FROM
) -> tuple[float | None, float | None] | None:
    """Return the narrower range in which a measured value is called within.

    Parameters
    ----------
    u
        Standard uncertainty of the values to come. [limit.unit]
    limit
        The range that the part must keep.
    within_from
        The least chance of conforming that is called within. [0 to 1]

    Returns
    -------
    tuple or None
        Lower and upper end [limit.unit], None for an open end; None alone if no value at all
        can be called within, because the uncertainty is too large for the limit.

    Examples
    --------
    >>> ends = sure_range(4.123, Limit(lower=60, upper=110, unit="µm", source="invented"))
    >>> [round(end, 1) for end in ends]
    [66.8, 103.2]
    """
    if limit.lower is None or limit.upper is None:
        # one-sided: mirror the end into a range too wide to matter
        far = 40 * u + 1
        known = limit.upper if limit.lower is None else limit.lower
        assert known is not None
        whole = (known - 2 * far, known) if limit.lower is None else (known, known + 2 * far)
    else:
        whole = (limit.lower, limit.upper)
    middle = (whole[0] + whole[1]) / 2
    if chance_of_conforming(middle, u, *whole) < within_from:
        return None
    sure, unsure = middle, whole[1]
    if chance_of_conforming(unsure, u, *whole) >= within_from:
        sure = unsure
    while abs(unsure - sure) > 1e-12 * max(1.0, abs(middle)):
        halfway = (sure + unsure) / 2
        if halfway in (sure, unsure):
            break
        if chance_of_conforming(halfway, u, *whole) >= within_from:
            sure = halfway
        else:
            unsure = halfway
    half = sure - middle
    return (
        None if limit.lower is None else middle - half,
        None if limit.upper is None else middle + half,
    )


def chance_in_words(chance: float) -> str:
    """Return a chance as a page prints it, never rounded to certainty.

    Parameters
    ----------
    chance
        A probability. [0 to 1]

    Returns
    -------
    str
        Percent, or "over 99.9%" and "under 0.1%" at the ends.

    Examples
    --------
    >>> chance_in_words(0.887), chance_in_words(0.9997), chance_in_words(0.0003)
    ('89%', 'over 99.9%', 'under 0.1%')
    """
    if chance > 0.999:
        return "over 99.9%"
    if chance < 0.001:
        return "under 0.1%"
    percent = round(100 * chance)
    # 94.6% is not 95%: rounding must not carry a chance over a threshold of the shop
    near_a_threshold = (percent == 95 and chance < WITHIN_FROM) or (
        percent == 5 and chance > OUTSIDE_TO
    )
    if 0.01 < chance < 0.99 and not near_a_threshold:
        return f"{percent}%"
    tenths = math.floor(1000 * chance) if chance > 0.5 else math.ceil(1000 * chance)
    return f"{tenths / 10:.1f}%"


def _below(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))
