"""Blade fuses: ratings, colours, and the band of time and current in which they open."""

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import inf
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.fuses import BANDS
from witnessmark.wiring.loglog import between
from witnessmark.wiring.sources import Known, Source

HOUR_S: Final = 3600.0
HOLDS_S: Final = 100 * HOUR_S


class FuseKind(StrEnum):
    """The size of a blade fuse."""

    STANDARD = "standard blade"
    MINIATURE = "miniature blade"
    LARGE = "large blade"


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPoint:
    """One row of a time-current table.

    Attributes
    ----------
    times
        Current in ratings.
    least_s
        It opens no sooner; None where the source gives no least time. [s]
    most_s
        It opens no later; None where it may stay whole. [s]
    """

    times: float
    least_s: float | None = None
    most_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseBand:
    """Least and greatest opening time of a kind of fuse, by one source.

    Attributes
    ----------
    kind
        The kind of fuse.
    words
        Which ratings or edition the table is for.
    points
        Its rows, by rising current.
    source
        Where it was printed.
    """

    kind: FuseKind
    words: str
    points: tuple[BandPoint, ...]
    source: Source

    @property
    def opens_from(self) -> float:
        """The least current, in ratings, at which it opens for sure."""
        return next(one.times for one in self.points if one.most_s is not None)

    def least_s(self, times: float) -> float:
        """Return the time before which it does not open; 0 where no source says so. [s]"""
        rows = [(one.times, one.least_s) for one in self.points if one.least_s is not None]
        if not rows:
            return 0.0
        return inf if times < rows[0][0] else _between(rows, times)

    def most_s(self, times: float) -> float | None:
        """Return the time after which it has opened; None where it may stay whole. [s]"""
        rows = [(one.times, one.most_s) for one in self.points if one.most_s is not None]
        return None if times < rows[0][0] else _between(rows, times)


_SHEET: Final = Source(
    words="a fuse maker's sheets as transcribed in a hardware-design note", known=Known.SEEN
)
_QUOTED: Final = Source(words="ISO 8820-3 as quoted on a 35 A relay data sheet", known=Known.SEEN)
_MERGED: Final = Source(
    words="the widest of a maker's sheet and of ISO 8820-3 as quoted on a relay data sheet",
    known=Known.SEEN,
)
_MINIATURE: Final = Source(
    words="taken as the standard blade: ISO 8820-3 type F", known=Known.MEMORY
)


def _points(band: str) -> tuple[BandPoint, ...]:
    return tuple(
        BandPoint(times=times, least_s=least_s, most_s=most_s)
        for times, least_s, most_s in BANDS[band]
    )


# 1.10 times for 100 h is from memory, for ratings up to 30 A; all else was seen.
STANDARD_SHEET: Final = FuseBand(
    kind=FuseKind.STANDARD,
    words="type C, maker's sheet",
    points=(
        BandPoint(times=1.0, least_s=HOLDS_S),
        BandPoint(times=1.1, least_s=HOLDS_S),
        *_points("blade"),
        BandPoint(times=6.0, most_s=0.15),
    ),
    source=_SHEET,
)
STANDARD_QUOTED: Final = FuseBand(
    kind=FuseKind.STANDARD,
    words="type C, as quoted on a relay data sheet",
    points=(
        BandPoint(times=1.35, most_s=1800.0),
        BandPoint(times=2.0, most_s=5.0),
        BandPoint(times=3.5, most_s=0.5),
        BandPoint(times=6.0, most_s=0.1),
    ),
    source=_QUOTED,
)
LARGE_SHEET: Final = FuseBand(
    kind=FuseKind.LARGE,
    words="type E, maker's sheet",
    points=(
        BandPoint(times=1.0, least_s=HOLDS_S),
        *_points("large"),
    ),
    source=_SHEET,
)

RATINGS_A: Final = {
    FuseKind.STANDARD: (1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0),
    FuseKind.MINIATURE: (2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0),
    FuseKind.LARGE: (20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0),
}
# Seen up to 30 A and for 35 A in two copies of a colour chart; 40 A standard and the large
# series, but for 50 A, from memory. One trade page gives tan as 1 A. The moulded number rules.
COLOURS: Final = {
    0.5: "dark blue",
    1.0: "black",
    2.0: "grey",
    3.0: "violet",
    4.0: "pink",
    5.0: "tan",
    7.5: "brown",
    10.0: "red",
    15.0: "blue",
    20.0: "yellow",
    25.0: "clear",
    30.0: "green",
    35.0: "aqua",
    40.0: "amber",
}
LARGE_COLOURS: Final = {
    20.0: "yellow",
    30.0: "green",
    40.0: "amber",
    50.0: "red",
    60.0: "blue",
    70.0: "tan",
    80.0: "clear",
}
# Amps that a 40 A large blade may carry in warm air, as a share of its rating: 34, 30 and 25 A
# at 65, 85 and 110 °C. Seen; taken for every blade fuse.
_WARM: Final = ((25.0, 1.0), (65.0, 34 / 40), (85.0, 30 / 40), (110.0, 25 / 40))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse:
    """A fuse of a rating, with the band in which it opens."""

    kind: FuseKind
    rating_a: float
    band: FuseBand

    @property
    def label(self) -> str:
        """As a sentence names it: "15 A standard blade fuse"."""
        return f"{self.rating_a:g} A {self.kind} fuse"

    @property
    def colour(self) -> str:
        """Usual colour of its body; the moulded number rules."""
        colours = LARGE_COLOURS if self.kind is FuseKind.LARGE else COLOURS
        return colours[self.rating_a]

    @property
    def opens_from_a(self) -> float:
        """The least current at which it opens for sure. [A]"""
        return self.rating_a * self.band.opens_from

    def least_s(self, current_a: float) -> float:
        """Return the time before which a current does not open it. [s]"""
        return self.band.least_s(current_a / self.rating_a)

    def most_s(self, current_a: float) -> float | None:
        """Return the time after which a current has opened it; None if it may not. [s]"""
        return self.band.most_s(current_a / self.rating_a)


def band_of(kind: FuseKind) -> FuseBand:
    """Return the widest band that the sources allow for a kind of fuse.

    Parameters
    ----------
    kind
        The kind.

    Returns
    -------
    FuseBand
        For the standard blade the longer of both greatest times; a miniature blade as it.

    References
    ----------
    [1] A fuse maker's sheets, transcribed; and ISO 8820-3 as quoted on a relay data sheet. Seen.

    Examples
    --------
    >>> band_of(FuseKind.STANDARD).most_s(1.35), band_of(FuseKind.STANDARD).most_s(6)
    (1800.0, 0.15)
    """
    if kind is FuseKind.LARGE:
        return LARGE_SHEET
    quoted = {one.times: one.most_s for one in STANDARD_QUOTED.points}
    points = tuple(
        BandPoint(
            times=one.times,
            least_s=one.least_s,
            most_s=max(
                (most for most in (one.most_s, quoted.get(one.times)) if most is not None),
                default=None,
            ),
        )
        for one in STANDARD_SHEET.points
    )
    source = _MINIATURE if kind is FuseKind.MINIATURE else _MERGED
    return FuseBand(kind=kind, words="the widest of the sources", points=points, source=source)


def fuse_of(kind: FuseKind, rating_a: float) -> Fuse:
    """Return a fuse of a kind and rating.

    Parameters
    ----------
    kind
        The kind.
    rating_a
        Its rating, one of the series. [A]

    Returns
    -------
    Fuse
        The fuse.

    Raises
    ------
    BenchError
        If there is no such rating.

    Examples
    --------
    >>> fuse_of(FuseKind.STANDARD, 15).label
    '15 A standard blade fuse'
    """
    ratings = RATINGS_A[kind]
    if rating_a not in ratings:
        raise BenchError(
            f"There is no {rating_a:g} A {kind} fuse here.",
            f"Its ratings are {', '.join(f'{one:g}' for one in ratings)} A.",
            "Read the number moulded into the fuse; the colour alone decides nothing.",
        )
    return Fuse(kind=kind, rating_a=float(rating_a), band=band_of(kind))


def warm_share(temperature_c: float) -> float:
    """Return the share of its rating that a fuse carries in warm air.

    Parameters
    ----------
    temperature_c
        Of the air round the fuse. [°C]

    Returns
    -------
    float
        1 up to 25 °C, 0.85 at 65 °C.

    Raises
    ------
    BenchError
        Above 110 °C, where no figure was found.

    Examples
    --------
    >>> warm_share(65), round(warm_share(50), 2)
    (0.85, 0.91)
    """
    if temperature_c <= _WARM[0][0]:
        return 1.0
    for (cool, more), (warm, less) in pairwise(_WARM):
        if temperature_c <= warm:
            return more + (temperature_c - cool) / (warm - cool) * (less - more)
    raise BenchError(
        f"The fuse lies in air of {temperature_c:g} °C.",
        "Figures for blade fuses end at 110 °C.",
        "Put the fuse where it is cooler; the wire may still run through the heat.",
    )


def _between(rows: list[tuple[float, float]], times: float) -> float:
    """Between rows straight on a log-log sheet; beyond the last the heat I²t stays the same."""
    last_times, last_s = rows[-1]
    if times > last_times:
        return last_s * (last_times / times) ** 2
    found = between(rows, times)
    assert found is not None, "a current below the first row"
    return found
