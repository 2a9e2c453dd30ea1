"""Copper conductors as resistances in a circuit."""

import re
from math import pi
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.quantities import parse

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
_SAE: Final = re.compile(
    r"(?:SAE\s*)?(?P<size>0{1,4}|[1-4]/0|[0-9]{1,2})(?:\s*SAE)?", re.IGNORECASE
)
MM2, AWG, SAE = "mm²", "AWG", "SAE"


def wire_area(text: str) -> tuple[float, str]:
    """Return the cross-section of a wire's copper from its size as people write it.

    Parameters
    ----------
    text
        "2.5 mm2", "14 AWG" or "14 SAE"; a bare number is mm².

    Returns
    -------
    tuple of float and str
        Area, and which of the three ways it was written in. [mm²]

    Raises
    ------
    BenchError
        If it is none of them.

    References
    ----------
    AWG: ASTM B 258 as quoted in an encyclopaedia. SAE: areas in circular mils seen in a marine
    wire catalogue, 3 to 13 % below the gauge of the same number, so the two must be told apart.

    Examples
    --------
    >>> wire_area("14 AWG")
    (2.080907717098377, 'AWG')
    >>> round(wire_area("14 SAE")[0], 3)
    1.876
    """
    plain = text.strip()
    if SAE in plain.upper():
        return _sae_area_mm2(plain), SAE
    typed = parse(plain, MM2)
    if typed.unit == AWG:
        return awg_area_mm2(round(typed.value)), AWG
    return typed.to(MM2), MM2


def _sae_area_mm2(text: str) -> float:
    found = _SAE.fullmatch(text)
    size = found["size"] if found else ""
    if size.endswith("/0"):
        number = 1 - int(size[:-2])
    else:
        number = 1 - len(size) if size and set(size) == {"0"} else int(size or -99)
    if number not in SAE_CIRCULAR_MILS:
        raise BenchError(
            f"'{text}' is no SAE wire size.",
            "SAE sizes here are 18 to 1, 0, 00, 000 and 0000, even numbers down to 2.",
            "Read the size printed on the insulation, or enter its mm².",
        )
    return SAE_CIRCULAR_MILS[number] * MM2_PER_CIRCULAR_MIL
