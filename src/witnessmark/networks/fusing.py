"""The current that melts a bare copper wire: Onderdonk for seconds, Preece for ever."""

from math import log10, pi, sqrt
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.copper import MM2_PER_CIRCULAR_MIL

COPPER_MELTS_C: Final = 1083.0
ONDERDONK_UP_TO_S: Final = 10.0  # it leaves cooling out
_PREECE: Final = 10244.0  # A/in^1.5, copper
_MM_PER_INCH: Final = 25.4


def onderdonk_a(area_mm2: float, time_s: float, ambient_c: float = 25.0) -> float:
    """Return the current that melts a copper wire in a time.

    I = A * sqrt(log10((1083 - Ta) / (234 + Ta) + 1) / (33 t)), A in circular mils

    Parameters
    ----------
    area_mm2
        Cross-section of the metal. [mm²]
    time_s
        Time to melting. [s]
    ambient_c
        Temperature of the wire at the start. [°C]

    Returns
    -------
    float
        The current. [A]

    Raises
    ------
    BenchError
        If area or time are not above zero.

    Notes
    -----
    No heat is lost: good up to about 10 s. A forum example subtracts the ambient temperature
    where it is added, and gets 178 A instead of 169 A for 2581 circular mils in 5 s.

    References
    ----------
    [1] Onderdonk's equation as quoted in an article on fusing currents, with 234 + Ta. Seen. It
        agrees with the adiabatic equation of IEC 60364-5-54, its constant rounded to 226, to
        0.2 %; to 0.4 % unrounded.

    Examples
    --------
    >>> from witnessmark.networks.copper import awg_area_mm2
    >>> round(onderdonk_a(awg_area_mm2(14), 1.0))
    601
    """
    return sqrt(melting_a2s(area_mm2, ambient_c) / _above_zero(time_s, "time", "s"))


def melting_a2s(area_mm2: float, ambient_c: float = 25.0) -> float:
    """Return the square of the current times the time that melts a copper wire.

    Parameters
    ----------
    area_mm2
        Cross-section of the metal. [mm²]
    ambient_c
        Temperature of the wire at the start. [°C]

    Returns
    -------
    float
        By Onderdonk's equation, no heat lost. [A²s]

    Examples
    --------
    >>> from witnessmark.networks.copper import awg_area_mm2
    >>> round(melting_a2s(awg_area_mm2(14)), -3)
    361000.0
    """
    area_cmil = _above_zero(area_mm2, "area", "mm²") / MM2_PER_CIRCULAR_MIL
    rise = (COPPER_MELTS_C - ambient_c) / (234.0 + ambient_c)
    return area_cmil**2 * log10(rise + 1.0) / 33.0


def preece_a(area_mm2: float) -> float:
    """Return the current that melts a bare copper wire in still air, given time.

    I = 10244 * d ** 1.5, d in inches

    Parameters
    ----------
    area_mm2
        Cross-section of a round wire. [mm²]

    Returns
    -------
    float
        The current. [A]

    References
    ----------
    [1] Preece's law, copper, as printed in two tables of fuse wire. Seen.

    Examples
    --------
    >>> from witnessmark.networks.copper import awg_area_mm2
    >>> round(preece_a(awg_area_mm2(14)))
    166
    """
    diameter_in = sqrt(4 * _above_zero(area_mm2, "area", "mm²") / pi) / _MM_PER_INCH
    return float(_PREECE * diameter_in**1.5)


def _above_zero(value: float, what: str, unit: str) -> float:
    if not value > 0:
        raise BenchError(
            f"The {what} is {value:g} {unit}.",
            f"It must be more than 0 {unit}.",
            f"Enter the {what} again.",
        )
    return value
