"""How many amps a wire carries for years: 33 CFR 183.425 table 5 and its corrections."""

from dataclasses import dataclass
from math import sqrt
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks import awg_area_mm2
from witnessmark.wiring.insulation import Insulation
from witnessmark.wiring.loglog import between
from witnessmark.wiring.sizes import WireSize
from witnessmark.wiring.sources import Known, Source

TABLE: Final = Source(words="33 CFR 183.425 table 5, public law", known=Known.SEEN)
_ENGINE_105: Final = Source(words="33 CFR 183.425 table 5, note 1", known=Known.SEEN)
_ENGINE: Final = Source(words="33 CFR 183.425 table 5, note 1", known=Known.MEMORY)
_HEAT: Final = Source(
    words="root of the temperature left, from the engine-space figure", known=Known.WORKED_OUT
)
_BUNDLE: Final = Source(
    words="33 CFR 183.425 table 5, note 2, as a boat-cable maker's table applies it",
    known=Known.SEEN,
)
_BUNDLE_LARGE: Final = Source(words="33 CFR 183.425 table 5, note 2", known=Known.MEMORY)
_BUILDING: Final = Source(words="NEC 2014 table 310.15(B)(3)(a)", known=Known.SEEN)

COLUMNS_C: Final = (60, 75, 80, 90, 105, 125, 200)
# gauge: amps in each column at 30 °C; 0, -1, -2, -3 are 0, 00, 000, 0000.
TABLE_5: Final = {
    18: (10, 10, 15, 20, 20, 25, 25),
    16: (15, 15, 20, 25, 25, 30, 35),
    14: (20, 20, 25, 30, 35, 40, 45),
    12: (25, 25, 35, 40, 45, 50, 55),
    10: (40, 40, 50, 55, 60, 70, 70),
    8: (55, 65, 70, 70, 80, 90, 100),
    6: (80, 95, 100, 100, 120, 125, 135),
    4: (105, 125, 130, 135, 160, 170, 180),
    3: (120, 145, 150, 155, 180, 195, 210),
    2: (140, 170, 175, 180, 210, 225, 240),
    1: (165, 195, 210, 210, 245, 265, 280),
    0: (195, 230, 245, 245, 285, 305, 325),
    -1: (225, 265, 285, 285, 330, 355, 370),
    -2: (260, 310, 330, 330, 385, 410, 430),
    -3: (300, 360, 385, 385, 445, 475, 510),
}
TABLE_C: Final = 30.0
ENGINE_C: Final = 50.0
ENGINE_SHARE: Final = {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 105: 0.85, 125: 0.89, 200: 1.00}
# From so many wires: share of the amps. Of boats and of buildings the smaller is followed.
BOAT_SHARE: Final = ((3, 0.70), (4, 0.60), (7, 0.50), (25, 0.40))
BUILDING_SHARE: Final = ((4, 0.80), (7, 0.70), (10, 0.50), (21, 0.45), (31, 0.40), (41, 0.35))
THIN_WALL_A: Final = {
    0.5: 11.0,
    0.75: 14.0,
    1.0: 16.5,
    1.5: 21.0,
    2.0: 25.0,
    2.5: 29.0,
    3.0: 33.0,
    4.0: 39.0,
    4.5: 42.0,
    6.0: 50.0,
    8.5: 63.0,
    10.0: 70.0,
}
_AREAS_MM2: Final = {gauge: awg_area_mm2(gauge) for gauge in TABLE_5}
COLDEST_C: Final = -60.0
MOST_WIRES: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the wire lies.

    Attributes
    ----------
    words
        "in the body", "in the engine space".
    temperature_c
        Of the air round it. [°C]
    wires
        How many wires that carry current lie in its bundle, itself included.
    """

    words: str = "in the body"
    temperature_c: float = TABLE_C
    wires: int = 1

    def __post_init__(self) -> None:
        if not COLDEST_C <= self.temperature_c <= 250.0:
            raise BenchError(
                f"The place has {self.temperature_c:g} °C.",
                "Air round a wire has from −60 to 250 °C.",
                "Enter the air's temperature while the engine is hot.",
            )
        if not 1 <= self.wires <= MOST_WIRES:
            raise BenchError(
                f"The bundle has {self.wires} wires.",
                f"It has from 1 to {MOST_WIRES}, this one counted.",
                "Count the wires that carry current at the same time.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """One correction of the table's amps."""

    words: str
    value: float
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Ampacity:
    """Amps of a table, its corrections, and what is left.

    Attributes
    ----------
    table_a
        Amps of the table. [A]
    factors
        Its corrections, in the order in which they are multiplied.
    """

    table_a: float
    factors: tuple[Factor, ...] = ()

    @property
    def allowed_a(self) -> float:
        """Amps that are left. [A]"""
        left = self.table_a
        for factor in self.factors:
            left *= factor.value
        return left

    @property
    def words(self) -> str:
        """The reckoning in one line: "35 A × 0.85 (50 °C) × 0.70 (3 wires) = 20.8 A"."""
        if not self.factors:
            return f"{_amps(self.table_a)} A"
        steps = "".join(f" × {one.value:.2f} ({one.words})" for one in self.factors)
        return f"{_amps(self.table_a)} A{steps} = {_amps(self.allowed_a)} A"


def ampacity(size: WireSize, cover: Insulation, place: Place) -> Ampacity:
    """Return the amps a wire carries for years without hurting its insulation.

    Parameters
    ----------
    size
        The wire.
    cover
        Its insulation.
    place
        Where it lies.

    Returns
    -------
    Ampacity
        Amps of the table with the corrections for heat and bundle.

    Raises
    ------
    BenchError
        If the place is as hot as the insulation may be.

    Notes
    -----
    The table has stranded copper from 18 to 0000 AWG at 30 °C. Between its rows amps follow the
    area on a log scale. Below 18 AWG they fall with the area, which is careful: two seen tables
    print more. Above 0000 they stay. Between 30 and 50 °C the factor of note 1 is reached in a
    straight line; above 50 °C it falls with the root of the temperature left.

    References
    ----------
    [1] 33 CFR 183.425 table 5, seen. Of note 1 only 0.85 for 105 °C was seen, the others are
        from memory and agree with the root law. Note 2 binds in law at 50 V and above only; a
        cable maker's table applies 0.70, 0.60 and 0.50 to boat cable, seen; 0.40 from memory.
    [2] NEC 2014 table 310.15(B)(3)(a), seen: followed where its share is the smaller.

    Examples
    --------
    >>> from witnessmark.wiring.insulation import insulation
    >>> from witnessmark.wiring.sizes import awg
    >>> hot = Place(words="in the engine space", temperature_c=50)
    >>> ampacity(awg(16), insulation("pvc-105"), hot).words
    '25 A × 0.85 (50 °C) = 21.2 A'
    """
    column = cover.column_c
    if not place.temperature_c < column:
        raise BenchError(
            f"The place has {place.temperature_c:g} °C.",
            f"The amps of this insulation ({cover.words}) are known up to {column} °C.",
            "Take another way for the wire, or an insulation of a hotter class.",
        )
    factors = []
    if place.temperature_c > TABLE_C:
        factors.append(_heat_factor(column, place.temperature_c))
    share = bundle_share(place.wires)
    if share < 1:
        source = _BUILDING if share < _share_of(BOAT_SHARE, place.wires) else _BUNDLE
        if place.wires >= 25 and source is _BUNDLE:
            source = _BUNDLE_LARGE
        factors.append(Factor(words=f"{place.wires} wires", value=share, source=source))
    return Ampacity(table_a=table_amps(size.area_mm2, column), factors=tuple(factors))


def table_amps(area_mm2: float, column_c: int) -> float:
    """Return the amps of table 5 for an area, between its rows by area.

    Parameters
    ----------
    area_mm2
        Cross-section of the metal. [mm²]
    column_c
        Column of the table.

    Returns
    -------
    float
        At 30 °C, alone. [A]

    Examples
    --------
    >>> round(table_amps(awg_area_mm2(3), 105)), round(table_amps(2.5, 105))
    (180, 39)
    """
    at = COLUMNS_C.index(column_c)
    rows = [(_AREAS_MM2[gauge], float(amps[at])) for gauge, amps in TABLE_5.items()]
    thinnest, least = rows[0]
    if area_mm2 < thinnest:
        return least * area_mm2 / thinnest
    found = between(rows, area_mm2)
    return rows[-1][1] if found is None else found


def bundle_share(wires: int) -> float:
    """Return the share of its amps that a wire keeps in a bundle.

    Parameters
    ----------
    wires
        Wires that carry current in the bundle, this one counted.

    Examples
    --------
    >>> [bundle_share(count) for count in (1, 3, 6, 20, 24, 30)]
    [1.0, 0.7, 0.6, 0.5, 0.45, 0.4]
    """
    return min(_share_of(rows, wires) for rows in (BOAT_SHARE, BUILDING_SHARE))


def thin_wall_a(area_mm2: float) -> float | None:
    """Return what a maker of thin-wall vehicle cable prints for an area, between its rows.

    Parameters
    ----------
    area_mm2
        Cross-section. [mm²]

    Returns
    -------
    float or None
        Amps, at temperatures that the sheet does not say; None outside of 0.5 to 10 mm². [A]

    Examples
    --------
    >>> thin_wall_a(2.5), thin_wall_a(16)
    (29.0, None)
    """
    return between(list(THIN_WALL_A.items()), area_mm2)


def _share_of(rows: tuple[tuple[int, float], ...], wires: int) -> float:
    return next((share for least, share in reversed(rows) if wires >= least), 1.0)


def _heat_factor(column_c: int, temperature_c: float) -> Factor:
    engine = ENGINE_SHARE[column_c]
    words = f"{temperature_c:g} °C"
    if temperature_c == ENGINE_C:
        source = _ENGINE_105 if column_c == 105 else _ENGINE
        return Factor(words=words, value=engine, source=source)
    if temperature_c < ENGINE_C:
        value = 1 - (1 - engine) * (temperature_c - TABLE_C) / (ENGINE_C - TABLE_C)
    else:
        value = engine * sqrt((column_c - temperature_c) / (column_c - ENGINE_C))
    return Factor(words=words, value=value, source=_HEAT)


def _amps(value_a: float) -> str:
    return f"{value_a:.3g}"
