"""Which bush belongs in which bore, and from which end the shaft goes in."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from witnessmark.errors import BenchError
from witnessmark.fitting.oil_holes import Feed
from witnessmark.metrology import Limit
from witnessmark.quantities import show


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """One bearing along the block, with the sizes of its sheet; all diameters in mm."""

    position: str
    housing_mm: float  # bore in the block
    bush_outside_mm: float  # of the bush before it is pressed in
    bush_bore_mm: float
    journal_mm: float
    feeds: tuple[Feed, ...] = ()

    def __post_init__(self) -> None:
        sizes = (self.journal_mm, self.bush_bore_mm, self.bush_outside_mm, self.housing_mm)
        if not all(size > 0 for size in sizes):
            raise BenchError(
                f"Bearing {self.position} has a diameter that is not above 0 mm.",
                "All four diameters must be known.",
                "Measure what is missing, or copy it from the service information.",
            )
        if not self.journal_mm < self.bush_bore_mm < self.bush_outside_mm:
            raise BenchError(
                f"Bearing {self.position}: journal {self.journal_mm:g}, bush bore "
                f"{self.bush_bore_mm:g}, bush outside {self.bush_outside_mm:g} mm.",
                "Each must be larger than the one before.",
                "Check which number was measured where.",
            )

    @property
    def radius_mm(self) -> float:
        """Return the radius at which bush and block meet. [mm]"""
        return self.housing_mm / 2


class Press(StrEnum):
    """How a bush sits in a bore."""

    FITS = "fits"
    LOOSE = "loose"
    TIGHT = "tight"


class Way(StrEnum):
    """The end of the block from which the shaft goes in."""

    FIRST = "first"
    LAST = "last"
    EITHER = "either"
    NEITHER = "neither"


def press_of(outside_mm: float, housing_mm: float, press: Limit) -> Press:
    """Say how a bush would sit in a bore.

    Parameters
    ----------
    outside_mm
        Outside diameter of the bush. [mm]
    housing_mm
        Bore in the block. [mm]
    press
        How much larger the bush must be, both ends given.

    Returns
    -------
    Press
        Fits, loose (it would turn and lose its oil) or tight (it will not go in whole).

    Examples
    --------
    >>> press_of(53.81, 54.00, Limit(lower=30, upper=90, unit="µm", source="invented"))
    <Press.LOOSE: 'loose'>
    """
    wanted = press.to("mm")
    over = outside_mm - housing_mm
    # a hundredth of a micrometre: sizes are decimals, their difference is not
    if wanted.lower is not None and over < wanted.lower - 1e-5:
        return Press.LOOSE
    if wanted.upper is not None and over > wanted.upper + 1e-5:
        return Press.TIGHT
    return Press.FITS


def where_bushes_belong(
    housing_mm: Mapping[str, float], outside_mm: Mapping[str, float], press: Limit
) -> dict[str, str]:
    """Return the bore for each bush by size, so that the worst press is as good as can be.

    Parameters
    ----------
    housing_mm
        Position and bore in the block. [mm]
    outside_mm
        Bush and its outside diameter. [mm]
    press
        How much larger a bush must be than its bore.

    Returns
    -------
    dict
        Bush -> position.

    Raises
    ------
    BenchError
        If there are not as many bushes as bores, or even the best order leaves a bush loose
        or tight.

    Notes
    -----
    Smallest to smallest: on a line no other pairing has a smaller worst deviation. Equal
    sizes keep the order in which they were given.

    Examples
    --------
    >>> press = Limit(lower=30, upper=90, unit="µm", source="invented")
    >>> where_bushes_belong({"1": 54.0, "2": 53.75}, {"a": 53.81, "b": 54.06}, press)
    {'a': '2', 'b': '1'}
    """
    if len(housing_mm) != len(outside_mm):
        raise BenchError(
            f"There are {len(outside_mm)} bushes for {len(housing_mm)} bores.",
            "Each bore takes one bush.",
            "Lay the bushes out along the block and count again.",
        )
    bores = sorted(housing_mm, key=lambda position: housing_mm[position])
    bushes = sorted(outside_mm, key=lambda bush: outside_mm[bush])
    pairs = dict(zip(bushes, bores, strict=True))
    for bush, position in pairs.items():
        sits = press_of(outside_mm[bush], housing_mm[position], press)
        if sits is not Press.FITS:
            over = show(outside_mm[bush] - housing_mm[position], "mm", 0.001)
            raise BenchError(
                f"Bush {bush} is {over} over bore {position}, the best bore for it.",
                f"It must be {press} over.",
                "Measure both again, then change the bush.",
            )
    return {bush: pairs[bush] for bush in outside_mm}


def wrong_places(
    bearings: Sequence[Bearing], lying: Mapping[str, str], press: Limit
) -> tuple[str, ...]:
    """Say what is wrong with the order in which the bushes lie.

    Parameters
    ----------
    bearings
        The bearings of the sheet, from the first end to the last.
    lying
        Position and the bush that lies there, named by the position where it belongs.
    press
        How much larger a bush must be than its bore.

    Returns
    -------
    tuple of str
        A sentence for each bush in a wrong bore; none if all lie right.
    """
    by_position = {bearing.position: bearing for bearing in bearings}
    sentences = []
    for position, bush in lying.items():
        for name in (position, bush):
            if name not in by_position:
                raise BenchError(
                    f"There is no bearing {name}.",
                    f"This block has {', '.join(by_position)}.",
                    "Count from the front, and enter the number of the bush that lies there.",
                )
        if bush != position:
            sentences.append(_wrong(by_position[bush], by_position[position], press))
    if len(set(lying.values())) < len(lying):
        twice = sorted({b for b in lying.values() if list(lying.values()).count(b) > 1})
        sentences.append(f"Bush {twice[0]} was entered at two bores. Look again at its size.")
    return tuple(sentences)


def bores_in_words(bearings: Sequence[Bearing], press: Limit) -> str:
    """Say whether size alone tells the bushes apart.

    Parameters
    ----------
    bearings
        The bearings of the sheet, from the first end to the last.
    press
        How much larger a bush must be than its bore.

    Returns
    -------
    str
        One sentence.
    """
    alike = [
        (one.position, other.position)
        for number, one in enumerate(bearings)
        for other in bearings[number + 1 :]
        if press_of(one.bush_outside_mm, other.housing_mm, press) is Press.FITS
        and press_of(other.bush_outside_mm, one.housing_mm, press) is Press.FITS
    ]
    if alike:
        one, other = alike[0]
        return f"Bushes {one} and {other} fit each other's bores: go by the oil holes."
    sizes = [bearing.housing_mm for bearing in bearings]
    if sizes == sorted(sizes, reverse=True):
        return "Housing bores step down, so each bush fits one place."
    if sizes == sorted(sizes):
        return "Housing bores step up, so each bush fits one place."
    return "Housing bores differ, so each bush fits one place."


def shaft_way(bearings: Sequence[Bearing]) -> Way:
    """Say from which end the shaft goes in past the bushes.

    Parameters
    ----------
    bearings
        The bearings from the first end to the last.

    Returns
    -------
    Way
        First, last, either, or neither if no end lets every journal through.

    Notes
    -----
    From the first end each journal must pass the bushes of all bearings before its own.
    """
    count = len(bearings)
    first = all(
        bearings[journal].journal_mm < bearings[bush].bush_bore_mm
        for journal in range(count)
        for bush in range(journal)
    )
    last = all(
        bearings[journal].journal_mm < bearings[bush].bush_bore_mm
        for journal in range(count)
        for bush in range(journal + 1, count)
    )
    if first and last:
        return Way.EITHER
    if first:
        return Way.FIRST
    return Way.LAST if last else Way.NEITHER


def _wrong(bush: Bearing, place: Bearing, press: Limit) -> str:
    sits = press_of(bush.bush_outside_mm, place.housing_mm, press)
    over = bush.bush_outside_mm - place.housing_mm
    faults = []
    if sits is Press.LOOSE:
        by = show(abs(over), "mm", 0.01)
        faults.append(
            f"it is {by} too small for the bore and would turn"
            if over < 0
            else f"it is only {by} larger than the bore and would turn"
        )
    elif sits is Press.TIGHT:
        faults.append(f"it is {show(over, 'mm', 0.01)} too large and will not press in")
    if bush.bush_bore_mm <= place.journal_mm:
        faults.append("the journal does not go through it")
    has = {feed.name for feed in bush.feeds}
    lacks = [feed.name for feed in place.feeds if feed.name not in has]
    if lacks:
        faults.append(f"it has no hole for the {' and the '.join(lacks)}")
    reason = "; ".join(faults) if faults else "it fits there, but its oil holes are its own"
    return (
        f"Bush {bush.position} lies at bore {place.position}: {reason}. "
        f"Move it to bore {bush.position}."
    )
