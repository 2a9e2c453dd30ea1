"""How much of an oil drilling stays open behind the hole of a bush.

Turns and clock angles are in degrees, clockwise as seen from the front, 12 o'clock at 0.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from witnessmark.errors import BenchError

SHOP_SHARE = 0.75  # a rule of workmanship, not of flow: oil still passes through far less

_NODES, _NODE_WEIGHTS = np.polynomial.legendre.leggauss(40)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole, or with `length_mm` a slot with round ends along the turn of the bush."""

    diameter_mm: float
    length_mm: float | None = None

    def __post_init__(self) -> None:
        if not 0 < self.diameter_mm < math.inf:
            raise BenchError(
                f"A hole is {self.diameter_mm:g} mm wide.",
                "It must be more than 0 mm.",
                "Measure it with a drill shank and enter that.",
            )
        if self.length_mm is not None and not self.diameter_mm <= self.length_mm < math.inf:
            raise BenchError(
                f"A slot is {self.length_mm:g} mm long and {self.diameter_mm:g} mm wide.",
                "Its length is measured over both round ends, so it cannot be less.",
                "Measure the slot from end to end.",
            )

    @property
    def straight_mm(self) -> float:
        """Return half the length of the straight sides. [mm]"""
        return 0.0 if self.length_mm is None else (self.length_mm - self.diameter_mm) / 2

    @property
    def area_mm2(self) -> float:
        """Return the area of the opening. [mm²]"""
        radius = self.diameter_mm / 2
        return math.pi * radius * radius + 4 * self.straight_mm * radius

    def half_height(self, along_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return half the opening's height at places along its length. [mm]"""
        past_straight = np.maximum(np.abs(along_mm) - self.straight_mm, 0.0)
        radius = self.diameter_mm / 2
        height: NDArray[np.float64] = np.sqrt(np.maximum(radius**2 - past_straight**2, 0.0))
        return height

    def kinks(self) -> tuple[float, ...]:
        """Return where its outline begins, bends and ends, from its middle. [mm]"""
        end = self.straight_mm + self.diameter_mm / 2
        return (-end, -self.straight_mm, self.straight_mm, end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """A drilling in the block and the hole of the bush that must lie over it."""

    name: str
    drilling: Hole
    bush: Hole
    clock_deg: float  # of the drilling
    bush_clock_deg: float | None = None  # of the bush hole with the bush true; as the drilling
    off_centre_mm: float = 0.0  # of the two along the shaft

    def open_at(self, radius_mm: float, turn_deg: float) -> float:
        """Return the open share with the bush turned. [0 to 1]"""
        home = self.clock_deg if self.bush_clock_deg is None else self.bush_clock_deg
        apart = (home + turn_deg - self.clock_deg + 180) % 360 - 180
        return open_share(self.drilling, self.bush, radius_mm, apart, self.off_centre_mm)


def overlap_area(first: Hole, second: Hole, apart_mm: float, across_mm: float = 0.0) -> float:
    """Return the common area of two openings laid flat.

    Parameters
    ----------
    first
        One opening, its middle at 0.
    second
        The other, moved along by `apart_mm` and across by `across_mm`.
    apart_mm
        Distance of the middles along the turn. [mm]
    across_mm
        Distance of the middles along the shaft. [mm]

    Returns
    -------
    float
        The common area. [mm²]

    Notes
    -----
    One integral along the turn, broken at every kink of the two outlines; between kinks the
    substitution s = mid - half * cos(t) takes the square roots out. Two circles agree with
    the closed formula of their overlap within 1e-8 mm².

    Examples
    --------
    >>> round(overlap_area(Hole(diameter_mm=2), Hole(diameter_mm=2), 1.0), 9)
    1.228369699
    """

    def gaps(along: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
        one, two = first.half_height(along), second.half_height(along - apart_mm)
        return one - two - across_mm, one - two + across_mm, one + two - abs(across_mm)

    def height(along: NDArray[np.float64]) -> NDArray[np.float64]:
        one, two = first.half_height(along), second.half_height(along - apart_mm)
        top = np.minimum(one, across_mm + two)
        bottom = np.maximum(-one, across_mm - two)
        opening: NDArray[np.float64] = np.maximum(top - bottom, 0.0)
        return opening

    theirs = [apart_mm + kink for kink in second.kinks()]
    start, end = max(first.kinks()[0], theirs[0]), min(first.kinks()[-1], theirs[-1])
    if not start < end:
        return 0.0
    breaks = {start, end}
    breaks |= {kink for kink in (*first.kinks(), *theirs) if start < kink < end}
    breaks |= set(_crossings(gaps, start, end))
    edges = np.array(sorted(breaks))
    middle, half = (edges[1:] + edges[:-1]) / 2, (edges[1:] - edges[:-1]) / 2
    angle = (_NODES + 1) * math.pi / 2
    along = middle[:, None] - half[:, None] * np.cos(angle)
    pieces = height(along) * np.sin(angle) * _NODE_WEIGHTS * math.pi / 2
    return float(np.sum(pieces.sum(axis=1) * half))


def open_share(
    drilling: Hole, bush: Hole, radius_mm: float, turn_deg: float, off_centre_mm: float = 0.0
) -> float:
    """Return the share of a drilling that a turned bush leaves open.

    Parameters
    ----------
    drilling
        The drilling in the block.
    bush
        The hole in the bush.
    radius_mm
        Radius of the bore in the block, where the two meet. [mm]
    turn_deg
        How far the middle of the bush hole lies from that of the drilling. [°]
    off_centre_mm
        Distance of the two along the shaft. [mm]

    Returns
    -------
    float
        Open area over the area of the drilling, 0 to 1.

    Raises
    ------
    BenchError
        If the radius is smaller than a hole.

    Notes
    -----
    The holes are laid flat at the distance of the chord. Against two radial drillings
    through a curved bush of 27 mm radius this is off by 0.0003 at most.

    Examples
    --------
    >>> drilling, bush = Hole(diameter_mm=5), Hole(diameter_mm=6.5)
    >>> [round(open_share(drilling, bush, 27, turn), 3) for turn in (0, 4, 8, 12)]
    [1.0, 0.757, 0.3, 0.004]
    """
    if not radius_mm > max(drilling.diameter_mm, bush.diameter_mm) / 2:
        raise BenchError(
            f"The bore has a radius of {radius_mm:g} mm.",
            "It must be larger than its oil holes.",
            "Check the sizes of the bore and of the holes.",
        )
    if abs(turn_deg) >= 90:
        return 0.0
    chord_mm = 2 * radius_mm * math.sin(math.radians(turn_deg) / 2)
    return min(1.0, overlap_area(drilling, bush, chord_mm, off_centre_mm) / drilling.area_mm2)


def least_open(feeds: Sequence[Feed], radius_mm: float, turn_deg: float) -> float:
    """Return the smallest open share among the feeds of one bush.

    Parameters
    ----------
    feeds
        The drillings that this bush must leave open.
    radius_mm
        Radius of the bore in the block. [mm]
    turn_deg
        How far the bush is turned from where it should be. [°]

    Returns
    -------
    float
        The least share, 0 to 1.
    """
    return min(feed.open_at(radius_mm, turn_deg) for feed in feeds)


def allowed_turn(
    feeds: Sequence[Feed], radius_mm: float, share: float = SHOP_SHARE
) -> tuple[float, float] | None:
    """Return how far a bush may be turned either way for a least open share.

    Parameters
    ----------
    feeds
        The drillings that this bush must leave open.
    radius_mm
        Radius of the bore in the block. [mm]
    share
        The least open share. [0 to 1]

    Returns
    -------
    tuple or None
        Farthest turn back and farthest turn on [°], around the turn that opens most; None if
        no turn opens that much.

    Examples
    --------
    >>> feed = Feed(name="oil feed", drilling=Hole(diameter_mm=5), bush=Hole(diameter_mm=6.5),
    ...             clock_deg=150)
    >>> [round(end, 1) for end in allowed_turn([feed], 27)]
    [-4.1, 4.1]
    """
    return _allowed_turn(tuple(feeds), radius_mm, share)


def clock_words(clock_deg: float) -> str:
    """Return a clock angle as people say it, to the quarter hour.

    Parameters
    ----------
    clock_deg
        Clockwise from 12, seen from the front. [°]

    Returns
    -------
    str
        For example "5 o’clock" or "half past 4".

    Examples
    --------
    >>> clock_words(150), clock_words(135), clock_words(358)
    ('5 o’clock', 'half past 4', '12 o’clock')
    """
    quarters = round(clock_deg / 7.5) % 48
    hour, quarter = divmod(quarters, 4)
    if quarter == 3:
        return f"quarter to {hour + 1}"
    name = hour or 12
    return {0: f"{name} o’clock", 1: f"quarter past {name}", 2: f"half past {name}"}[quarter]


@cache  # of the sheet's sizes only, and every page of a job asks again
def _allowed_turn(
    feeds: tuple[Feed, ...], radius_mm: float, share: float
) -> tuple[float, float] | None:
    best, top = 0.0, least_open(feeds, radius_mm, 0.0)
    # first by whole degrees, then by tenths beside the best of them
    for reach, step in ((30, 1.0), (9, 0.1)):
        home = best
        for number in sorted(range(-reach, reach + 1), key=abs):
            turn = home + number * step
            found = least_open(feeds, radius_mm, turn)
            if found > top + 1e-9:  # of several equally open turns the first, nearest home
                best, top = turn, found
    if top < share:
        return None
    back, on = (_farthest(feeds, radius_mm, share, best, step) for step in (-0.5, 0.5))
    return back, on


def _farthest(
    feeds: Sequence[Feed], radius_mm: float, share: float, best: float, step: float
) -> float:
    good, bad = best, best + step
    while least_open(feeds, radius_mm, bad) >= share:
        good, bad = bad, bad + step
        if abs(bad - best) > 90:
            return good
    if least_open(feeds, radius_mm, good) == share:
        return good
    return float(
        brentq(lambda turn: least_open(feeds, radius_mm, turn) - share, good, bad, xtol=1e-9)
    )


def _crossings(
    gaps: Callable[[NDArray[np.float64]], tuple[NDArray[np.float64], ...]],
    start: float,
    end: float,
) -> list[float]:
    """Return where two outlines cross: each interval with a change of sign, halved together."""
    grid = np.linspace(start, end, 129)
    found: list[float] = []
    values = np.array(gaps(grid))
    found += [float(grid[place]) for _, place in np.argwhere(values == 0)]
    which, place = np.nonzero(values[:, :-1] * values[:, 1:] < 0)
    low, high, sign = grid[place], grid[place + 1], values[which, place]
    rows = np.arange(len(which))
    for _ in range(48 if len(which) else 0):
        middle = (low + high) / 2
        same = np.array(gaps(middle))[which, rows] * sign > 0
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return found + [float(crossing) for crossing in low]
