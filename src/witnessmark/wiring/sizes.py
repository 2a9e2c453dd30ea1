"""Wire sizes as the trade prints them: AWG, SAE and mm², with their copper and resistance."""

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.copper import (
    MM2_PER_CIRCULAR_MIL,
    SAE_CIRCULAR_MILS,
    awg_area_mm2,
    sae_area_mm2,
    wire_resistance,
)
from witnessmark.networks.wire_sizes import (
    LARGEST_MM2,
    SMALLEST_MM2,
    THICKEST_GAUGE,
    THINNEST_GAUGE,
    ask_whose_size,
    bare_number,
    gauge_name,
    sae_gauge,
)
from witnessmark.quantities import parse, show
from witnessmark.wiring.size_tables import METRIC_MILLIOHM
from witnessmark.wiring.sources import Known, Source


class System(StrEnum):
    """Whose sizes they are."""

    AWG = "AWG"
    SAE = "SAE"
    METRIC = "mm²"


_AWG: Final = Source(
    words="ASTM B 258 for the diameter, IEC 60028 for copper (1/58 Ω·mm²/m)", known=Known.SEEN
)
_SAE: Final = Source(
    words="circular mils in the appendix of a marine wire catalogue, two copies", known=Known.SEEN
)
_IEC: Final = Source(
    words="IEC 60228 class 5, greatest resistance at 20 °C, quoted", known=Known.SEEN
)
_VEHICLE: Final = Source(words="road-vehicle cable, 0.35 mm²", known=Known.MEMORY)
_BETWEEN: Final = Source(
    words="copper of that area and 16 %, the most by which IEC 60228 class 5 exceeds it",
    known=Known.WORKED_OUT,
)

_MOST_ABOVE_COPPER: Final = 1.16
_TRADE_GAUGES: Final = (22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3)
_AWG_TEXT: Final = re.compile(r"awg", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class WireSize:
    """One size of copper wire.

    Attributes
    ----------
    system
        Whose size it is.
    name
        As the system prints it: "14", "0000", "2.5".
    area_mm2
        Cross-section of the metal. [mm²]
    ohm_per_m
        Resistance of one metre at 20 °C. [Ω/m]
    source
        Where the resistance comes from.
    gauge
        Gauge number of an AWG or SAE size; None of a metric one.
    """

    system: System
    name: str
    area_mm2: float
    ohm_per_m: float
    source: Source
    gauge: int | None = None

    @property
    def label(self) -> str:
        """The size as a sentence names it: "14 AWG", "SAE 14", "2.5 mm²"."""
        if self.system is System.SAE:
            return f"SAE {self.name}"
        return f"{self.name} {self.system}"

    @property
    def area_cmil(self) -> float:
        """Cross-section in circular mils."""
        return self.area_mm2 / MM2_PER_CIRCULAR_MIL

    def resistance_ohm(self, length_m: float, temperature_c: float = 20.0) -> float:
        """Return the resistance of a run of this wire, its metal at a temperature. [Ω]"""
        bare = wire_resistance(length_m, self.area_mm2, temperature_c)
        return bare * self.ohm_per_m / wire_resistance(1.0, self.area_mm2)


def sizes_of(system: System) -> tuple[WireSize, ...]:
    """Return the sizes of a system that the trade keeps, from thin to thick.

    Parameters
    ----------
    system
        Whose sizes.

    Returns
    -------
    tuple of WireSize
        For example 22 to 0000 AWG.

    References
    ----------
    [1] ASTM B 258, gauge diameters; IEC 60028, copper. Seen quoted.
    [2] SAE areas from a marine wire catalogue, "AWG/SAE CM area". Seen.
    [3] IEC 60228 class 5, seen quoted; 0.35 mm² of a road vehicle from memory.

    Examples
    --------
    >>> [size.label for size in sizes_of(System.METRIC)][:3]
    ['0.35 mm²', '0.5 mm²', '0.75 mm²']
    """
    if system is System.METRIC:
        return tuple(metric(area) for area in METRIC_MILLIOHM)
    if system is System.SAE:
        return tuple(sae(gauge) for gauge in SAE_CIRCULAR_MILS)
    return tuple(awg(gauge) for gauge in _TRADE_GAUGES)


def awg(gauge: int) -> WireSize:
    """Return a size of the American wire gauge.

    Parameters
    ----------
    gauge
        Its number; 0, -1, -2, -3 for 0, 00, 000, 0000.

    Returns
    -------
    WireSize
        The size, as solid round copper; strand of the same area is up to 2 % longer.

    Raises
    ------
    BenchError
        If the gauge is thinner than 24 or thicker than 0000.

    Examples
    --------
    >>> round(awg(12).area_cmil)
    6530
    """
    if not THICKEST_GAUGE <= gauge <= THINNEST_GAUGE:
        raise BenchError(
            f"{gauge_name(gauge)} AWG is no size for a vehicle's wiring.",
            f"Sizes from {THINNEST_GAUGE} to 0000 AWG are worked out here.",
            "Read the size printed on the insulation.",
        )
    return _of_gauge(System.AWG, gauge, awg_area_mm2(gauge), _AWG)


def sae(gauge: int) -> WireSize:
    """Return an SAE size: the same numbers as AWG, with less copper.

    Parameters
    ----------
    gauge
        Its number; 0, -1, -2, -3 for 0, 00, 000, 0000.

    Returns
    -------
    WireSize
        The size.

    Raises
    ------
    BenchError
        If there is no SAE size of this number.

    Examples
    --------
    >>> sae(12).area_mm2 < awg(12).area_mm2
    True
    """
    if gauge not in SAE_CIRCULAR_MILS:
        names = ", ".join(gauge_name(one) for one in SAE_CIRCULAR_MILS)
        raise BenchError(
            f"There is no SAE {gauge_name(gauge)}.",
            f"SAE sizes are {names}.",
            "Read the size printed on the insulation.",
        )
    return _of_gauge(System.SAE, gauge, sae_area_mm2(gauge), _SAE)


def metric(area_mm2: float) -> WireSize:
    """Return a size in mm².

    Parameters
    ----------
    area_mm2
        Nominal cross-section. [mm²]

    Returns
    -------
    WireSize
        With the greatest resistance that IEC 60228 class 5 allows; a size between two of its
        rows is taken 16 % above bare copper, the most by which the rows exceed it.

    Raises
    ------
    BenchError
        If the area is none of a vehicle's wire.

    Examples
    --------
    >>> round(metric(2.5).ohm_per_m, 5)
    0.00798
    """
    if not SMALLEST_MM2 <= area_mm2 <= LARGEST_MM2:
        raise BenchError(
            f"{area_mm2:g} mm² is no size for a vehicle's wiring.",
            f"Sizes from {SMALLEST_MM2:g} to {LARGEST_MM2:g} mm² are worked out here.",
            "Read the size printed on the insulation.",
        )
    listed = METRIC_MILLIOHM.get(area_mm2)
    if listed is None:
        ohm = wire_resistance(1.0, area_mm2) * _MOST_ABOVE_COPPER
        source = _BETWEEN
    else:
        ohm = listed / 1000
        source = _VEHICLE if area_mm2 == 0.35 else _IEC
    return WireSize(
        system=System.METRIC,
        name=show(area_mm2, ""),
        area_mm2=area_mm2,
        ohm_per_m=ohm,
        source=source,
    )


def parse_size(text: str) -> WireSize:
    """Return the size that a person typed; a bare number is asked back.

    Parameters
    ----------
    text
        For example "14 AWG", "4/0 AWG", "SAE 14" or "2.5 mm2".

    Returns
    -------
    WireSize
        The size.

    Raises
    ------
    BenchError
        If the text names no size, or does not say whose size it is.

    Examples
    --------
    >>> parse_size("SAE 12").label, parse_size("4/0 AWG").label, parse_size("2,5 mm2").label
    ('SAE 12', '0000 AWG', '2.5 mm²')
    """
    plain = " ".join(text.split())
    if (gauge := sae_gauge(plain)) is not None:
        return sae(gauge)
    number = bare_number(plain)
    if number:
        raise ask_whose_size(plain, number, METRIC_MILLIOHM.__contains__)
    typed = parse(plain, None if _AWG_TEXT.search(plain) else "mm²")
    if typed.unit == "AWG":
        return awg(round(typed.value))
    return metric(round(typed.to("mm²"), 6))


def next_larger(size: WireSize) -> WireSize | None:
    """Return the next thicker size that the trade keeps in the same system.

    Parameters
    ----------
    size
        The size.

    Returns
    -------
    WireSize or None
        The next one; None above the thickest.

    Examples
    --------
    >>> next_larger(metric(2.5)).label, next_larger(awg(14)).label
    ('4 mm²', '12 AWG')
    """
    thicker = (one for one in sizes_of(size.system) if one.area_mm2 > size.area_mm2 * 1.000001)
    return next(thicker, None)


def _of_gauge(system: System, gauge: int, area_mm2: float, source: Source) -> WireSize:
    """A size with a gauge number, as solid copper of its area."""
    return WireSize(
        system=system,
        name=gauge_name(gauge),
        area_mm2=area_mm2,
        ohm_per_m=wire_resistance(1.0, area_mm2),
        source=source,
        gauge=gauge,
    )
