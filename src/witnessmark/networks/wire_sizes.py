"""Wire sizes as people write them; a number alone is asked whose size it is."""

import re
from collections.abc import Callable
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.copper import (
    AWG,
    MM2,
    SAE,
    SAE_CIRCULAR_MILS,
    awg_area_mm2,
    sae_area_mm2,
)
from witnessmark.quantities import listed, parse, quoted

THINNEST_GAUGE: Final = 24
THICKEST_GAUGE: Final = -3  # 0000
SMALLEST_MM2: Final = 0.05
LARGEST_MM2: Final = 240.0
_BARE: Final = re.compile(
    r"([0-9]+(?:[.,][0-9]+)?(?:/0)?)|([0-9]+(?:/0)?) ?(?:ga|gauge)\.?", re.IGNORECASE
)
_NUMBER: Final = "(0{1,4}|[1-4]/0|[0-9]{1,2})"
_SAE: Final = re.compile(f"sae ?{_NUMBER}|{_NUMBER} ?sae", re.IGNORECASE)


def wire_area(text: str) -> tuple[float, str]:
    """Return the cross-section of a wire's copper from its size as people write it.

    Parameters
    ----------
    text
        "2.5 mm2", "14 AWG" or "14 SAE". A bare number is asked back.

    Returns
    -------
    tuple of float and str
        Area, and which of the three ways it was written in. [mm²]

    Raises
    ------
    BenchError
        If it is none of them, or does not say which.

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
    number = bare_number(plain)
    if number:
        raise ask_whose_size(plain, number, _is_of_a_vehicle)
    if SAE in plain.upper():
        return _sae_area_mm2(plain), SAE
    typed = parse(plain, MM2)
    if typed.unit == AWG:
        return awg_area_mm2(round(typed.value)), AWG
    return typed.to(MM2), MM2


def bare_number(text: str) -> str:
    """Return the number that stands for a size without saying whose size it is; else ''.

    Parameters
    ----------
    text
        What was typed.

    Examples
    --------
    >>> bare_number("14"), bare_number("2,5"), bare_number("4/0 ga"), bare_number("14 AWG")
    ('14', '2.5', '4/0', '')
    """
    found = _BARE.fullmatch(" ".join(text.split()))
    if found:
        return (found[1] or found[2]).replace(",", ".")
    try:
        typed = parse(text)
    except BenchError:
        return ""
    return "" if typed.unit or not typed.value > 0 else f"{typed.value:g}"


def gauge_name(gauge: int) -> str:
    """Return a gauge number as it is printed.

    Parameters
    ----------
    gauge
        The number; 0, -1, -2, -3 for 0, 00, 000, 0000.

    Examples
    --------
    >>> gauge_name(14), gauge_name(-3)
    ('14', '0000')
    """
    return "0" * (1 - gauge) if gauge < 1 else str(gauge)


def gauge_of(text: str) -> int:
    """Return the gauge that is printed so; it need not be one that is made.

    Parameters
    ----------
    text
        Figures: "14", "0000" or "4/0".

    Raises
    ------
    ValueError
        If it is no whole number.

    Examples
    --------
    >>> gauge_of("14"), gauge_of("4/0"), gauge_of("00")
    (14, -3, -1)
    """
    if text.endswith("/0"):
        return 1 - int(text[:-2])
    return 1 - len(text) if set(text) == {"0"} else int(text)


def sae_gauge(text: str) -> int | None:
    """Return the gauge number of a size that says it is SAE; None of any other text.

    Parameters
    ----------
    text
        What was typed. The number need not be one that is made.

    Examples
    --------
    >>> sae_gauge("SAE 14"), sae_gauge("2/0 sae"), sae_gauge("14 AWG"), sae_gauge("SAE of 14")
    (14, -1, None, None)
    """
    found = _SAE.fullmatch(" ".join(text.split()))
    return gauge_of(found[1] or found[2]) if found else None


def ask_whose_size(typed: str, number: str, may_be_mm2: Callable[[float], bool]) -> BenchError:
    """Return the question to a bare number: every size that it may be, each with its copper.

    Parameters
    ----------
    typed
        What was typed.
    number
        The number in it, with a decimal point.
    may_be_mm2
        Whether a wire may have this area. [mm²]

    Examples
    --------
    >>> str(ask_whose_size("2.5", "2.5", lambda area_mm2: area_mm2 < 240)).partition(". ")[2]
    'It may be 2.5 mm² of copper. Read the wire or its reel, and write 2.5 mm².'
    """
    shown, meant = quoted(number), []
    if "/" not in number and set(number) != {"0"} and may_be_mm2(float(number)):
        meant.append(f"{shown} mm²")
    gauge = _gauge(number)
    if gauge is not None and THICKEST_GAUGE <= gauge <= THINNEST_GAUGE:
        name = gauge_name(gauge)
        meant.append(f"{name} AWG, which is {awg_area_mm2(gauge):.3g} mm²")
        if gauge in SAE_CIRCULAR_MILS:
            meant.append(f"SAE {name}, which is {sae_area_mm2(gauge):.3g} mm²")
    needed = "A size is an AWG number, an SAE number, or mm²."
    do = f"Write {shown} AWG, SAE {shown} or {shown} mm²."
    if meant:
        needed = f"It may be {', or '.join(meant)} of copper."
        each = [words.partition(",")[0] for words in meant]
        do = f"Read the wire or its reel, and write {listed(each)}."
    return BenchError(f"“{quoted(typed)}” does not say whose size it is.", needed, do)


def _gauge(number: str) -> int | None:
    try:
        return gauge_of(number)
    except ValueError:
        return None


def _is_of_a_vehicle(area_mm2: float) -> bool:
    return SMALLEST_MM2 <= area_mm2 <= LARGEST_MM2


def _sae_area_mm2(text: str) -> float:
    gauge = sae_gauge(text)
    if gauge is None or gauge not in SAE_CIRCULAR_MILS:
        raise BenchError(
            f"'{text}' is no SAE wire size.",
            "SAE sizes here are 18 to 1, 0, 00, 000 and 0000, even numbers down to 2.",
            "Read the size printed on the insulation, or enter its mm².",
        )
    return sae_area_mm2(gauge)
