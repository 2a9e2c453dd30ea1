"""Copper conductors as resistances in a circuit."""

from math import pi
from typing import Final

from witnessmark.errors import BenchError

RESISTIVITY_20C = 1 / 58  # ohm mm2/m, standard annealed copper [1]
TEMPERATURE_COEFFICIENT = 0.00393  # per degC, at 20 degC [2]
_MM2_PER_SQUARE_INCH = 25.4**2


def wire_resistance(length_m: float, area_mm2: float, temperature_c: float = 20.0) -> float:
    """Return the resistance of one copper conductor, end to end.

    R = (1/58) * length / area * (1 + 0.00393 * (temperature - 20))

    Parameters
    ----------
    length_m
        Length of the conductor one way; a feed and its return are two. [m]
    area_mm2
        Cross-section of the metal, without insulation. [mm²]
    temperature_c
        Temperature of the metal, not of the air. [°C]

    Returns
    -------
    float
        Resistance of the conductor alone, without joints or terminals. [Ω]

    Raises
    ------
    BenchError
        If the length or the area is not above zero.

    Notes
    -----
    Valid from 5 °C to 90 °C: checked there against [3], within 0.5 %. A straight line.

    References
    ----------
    [1] IEC 60028:1925, annealed copper, 1/58 Ω·mm²/m at 20 °C. Seen quoted, not the standard.
    [2] Industrial Power Engineering and Applications Handbook, p. 965, 3.93e-3 per °C. Seen
        in a scan whose exponent is unreadable; the exponent is from memory.
    [3] IEC 60228, correction factors. Seen in a cable maker's table, not the standard.

    Examples
    --------
    Five metres of 1.5 mm² there and back, cold and then warm:

    >>> round(wire_resistance(10, 1.5), 4)
    0.1149
    >>> round(wire_resistance(10, 1.5, temperature_c=70), 4)
    0.1375
    """
    if not length_m > 0:
        raise BenchError(
            f"Wire length is {length_m:g} m.",
            "It must be more than 0 m.",
            "Measure the run from terminal to terminal and enter it again.",
        )
    if not area_mm2 > 0:
        raise BenchError(
            f"Wire area is {area_mm2:g} mm².",
            "It must be more than 0 mm².",
            "Read the size printed on the insulation and enter that.",
        )
    warming = 1 + TEMPERATURE_COEFFICIENT * (temperature_c - 20.0)
    return RESISTIVITY_20C * length_m / area_mm2 * warming


def awg_area_mm2(gauge: int) -> float:
    """Return the cross-section of solid copper wire of an American wire gauge.

    d = 0.005 in * 92 ** ((36 - n) / 39); gauges 00, 000, 0000 are n = -1, -2, -3.

    Parameters
    ----------
    gauge
        The gauge number n.

    Returns
    -------
    float
        Area. [mm²]

    References
    ----------
    ASTM B 258, formula as quoted in an encyclopaedia; not the standard itself.

    Examples
    --------
    >>> round(awg_area_mm2(14), 3)
    2.081
    """
    diameter_in: float = 0.005 * 92.0 ** ((36 - gauge) / 39)
    return pi / 4 * diameter_in**2 * _MM2_PER_SQUARE_INCH


# Copper of an "SAE" wire, in circular mils: less than the American wire gauge of the same number.
# Seen in a marine wire catalogue (two copies).
SAE_CIRCULAR_MILS: Final = {
    18: 1537,
    16: 2336,
    14: 3702,
    12: 5833,
    10: 9343,
    8: 14810,
    6: 24538,
    4: 37360,
    2: 62450,
    1: 77790,
    0: 98980,
    -1: 125100,
    -2: 158600,
    -3: 205500,
}
MM2_PER_CIRCULAR_MIL: Final = pi / 4 * 0.0254**2
MM2, AWG, SAE = "mm²", "AWG", "SAE"


def sae_area_mm2(gauge: int) -> float:
    """Return the cross-section of copper of an SAE wire.

    Parameters
    ----------
    gauge
        One of `SAE_CIRCULAR_MILS`.

    Returns
    -------
    float
        Area. [mm²]

    References
    ----------
    Areas in circular mils seen in a marine wire catalogue.

    Examples
    --------
    >>> round(sae_area_mm2(14), 3)
    1.876
    """
    return SAE_CIRCULAR_MILS[gauge] * MM2_PER_CIRCULAR_MIL
