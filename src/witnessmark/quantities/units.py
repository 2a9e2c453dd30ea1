"""The units that a garage uses, as people spell them, and exact factors between them."""

import math
import re
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from fractions import Fraction
from typing import Final

from witnessmark.errors import BenchError

_INCH_M: Final = Fraction("0.0254")  # exact: international yard and pound agreement, 1959
_FOOT_M: Final = 12 * _INCH_M
_MILE_M: Final = 5280 * _FOOT_M
_POUND_KG: Final = Fraction("0.45359237")  # exact: the same agreement
_GRAVITY: Final = Fraction("9.80665")  # m/s², exact: standard acceleration, CGPM 1901
_LBF_N: Final = _POUND_KG * _GRAVITY
_PSI_PA: Final = _LBF_N / _INCH_M**2
_BAR_PA: Final = Fraction(100_000)  # exact: SI brochure, table of units used with the SI

# kind -> unit -> size in the kind's first SI unit, all exact. Temperature, gauge and count
# are handled by themselves.
_SIZES: Final[Mapping[str, Mapping[str, Fraction]]] = {
    "voltage": {"V": Fraction(1), "mV": Fraction(1, 1000)},
    "current": {"A": Fraction(1), "mA": Fraction(1, 1000)},
    "resistance": {
        "Ω": Fraction(1),
        "mΩ": Fraction(1, 1000),
        "kΩ": Fraction(1000),
        "MΩ": Fraction(1_000_000),
    },
    "power": {"W": Fraction(1), "kW": Fraction(1000)},
    "charge": {"Ah": Fraction(3600)},
    "length": {
        "m": Fraction(1),
        "mm": Fraction(1, 1000),
        "µm": Fraction(1, 1_000_000),
        "cm": Fraction(1, 100),
        "km": Fraction(1000),
        "in": _INCH_M,
        "thou": _INCH_M / 1000,
        "ft": _FOOT_M,
        "mi": _MILE_M,
    },
    "area": {"mm²": Fraction(1), "cm²": Fraction(100), "in²": (_INCH_M * 1000) ** 2},
    "volume": {
        "L": Fraction(1),
        "mL": Fraction(1, 1000),
        "cm³": Fraction(1, 1000),
        "in³": (_INCH_M * 10) ** 3,
    },
    "torque": {
        "N·m": Fraction(1),
        "ft·lbf": _FOOT_M * _LBF_N,
        "in·lbf": _INCH_M * _LBF_N,
    },
    "pressure": {
        "kPa": Fraction(1),
        "Pa": Fraction(1, 1000),
        "MPa": Fraction(1000),
        "bar": _BAR_PA / 1000,
        "psi": _PSI_PA / 1000,
    },
    "force": {"N": Fraction(1), "kN": Fraction(1000), "lbf": _LBF_N},
    "mass": {"kg": Fraction(1), "g": Fraction(1, 1000), "lb": _POUND_KG},
    "time": {"s": Fraction(1), "ms": Fraction(1, 1000), "min": Fraction(60), "h": Fraction(3600)},
    "speed of turning": {"rpm": Fraction(1)},
    "speed": {"km/h": Fraction(1), "mph": _MILE_M / 1000},
    "frequency": {"Hz": Fraction(1), "kHz": Fraction(1000)},
    "share": {"%": Fraction(1)},
    "angle": {"°": Fraction(1), "turns": Fraction(360)},
}
_KIND: Final[Mapping[str, str]] = {
    **{unit: kind for kind, units in _SIZES.items() for unit in units},
    "°C": "temperature",
    "°F": "temperature",
    "AWG": "area",
    "": "count",
}

# What people type for each unit, where "·" stands for any dot, star, dash or blank.
_SPELLED: Final = """
V: v volt volts
A: a amp amps
Ω: ohm ohms
mΩ: mohm
kΩ: kohm kω
MΩ: megohm
W: w watt watts
kW: kw
Ah: ah
°C: c degc deg·c °c celsius
°F: f degf deg·f °f fahrenheit
µm: um micron microns
in: inch inches " ″ ”
thou: thousandth thousandths
ft: feet foot
mi: mile miles
mm²: mm2 mm^2 sqmm sq·mm
cm²: cm2 cm^2
in²: in2 in^2
AWG: awg gauge
L: l litre litres liter liters
mL: ml
cm³: cc ccm cm3 cm^3
in³: in3 in^3
N·m: Nm n·m
ft·lbf: ft·lb ftlb ftlbs ft·lbs lb·ft lbft lbf·ft
in·lbf: in·lb inlb inlbs in·lbs lb·in lbin lbf·in
kPa: kpa
kN: kn
lb: lbs
s: sec second seconds
min: mins minute minutes
h: hr hrs hour hours
rpm: r/min
km/h: kmh kph
Hz: hz
kHz: khz
%: percent pct
°: deg degree degrees
turns: turn
"""
_SPELLINGS: Final[Mapping[str, str]] = {
    spelling: unit
    for unit, _, spellings in (line.partition(": ") for line in _SPELLED.strip().splitlines())
    for spelling in spellings.split()
}
# The same letters in lower case mean something else here: they are taken only as written.
_CASE_MATTERS: Final = {"m", "mv", "ma", "mω", "mpa", "pa", "nm", "ms", "k", "g", "kg", "n"}
_KIND_WORDS: Final[Mapping[str, str]] = {
    "area": "an area",
    "angle": "an angle",
    "count": "a bare number",
    "speed of turning": "a speed of turning",
}

_BETWEEN: Final = re.compile(r"(?<=[A-Za-z°])(?: ?[·⋅•.*×-] ?| +)(?=[A-Za-z])")


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Return a value in another unit of the same kind.

    Parameters
    ----------
    value
        The size. [from_unit]
    from_unit
        Unit of the value; AWG counts 0, 00, 000, 0000 as 0, -1, -2, -3.
    to_unit
        Unit of the answer.

    Returns
    -------
    float
        The same size. [to_unit]

    Raises
    ------
    BenchError
        If a unit is unknown, or the two are of different kinds.

    Notes
    -----
    Temperatures are points on the scale, not differences. Factors are kept as exact
    fractions and rounded once.

    References
    ----------
    [1] International yard and pound agreement, 1959, and the standard acceleration of 1901,
        for in, ft, mi, lb, lbf and psi. From memory; products agree with a public table.
    [2] ASTM B258, wire gauge: diameter 0.127 mm * 92^((36 - n)/39). From memory.

    Examples
    --------
    >>> convert(1, "in", "mm")
    25.4
    >>> round(convert(14, "AWG", "mm²"), 3)
    2.081
    """
    start, end = unit_named(from_unit), unit_named(to_unit)
    kind = kind_of(start)
    if kind_of(end) != kind:
        raise BenchError(
            f"{start or 'A bare number'} measures {kind_in_words(kind)}.",
            f"It cannot be turned into {end or 'a bare number'}, "
            f"which measures {kind_in_words(kind_of(end))}.",
            "Choose two units of one kind.",
        )
    if start == end:
        return value
    if kind == "temperature":
        # Fahrenheit = 1.8 * Celsius + 32, exact by definition
        return (value - 32) / 1.8 if end == "°C" else value * 1.8 + 32
    if start == "AWG":
        return convert(_gauge_area_mm2(value), "mm²", end)
    if end == "AWG":
        return _gauge_number(convert(value, start, "mm²"))
    sizes = _SIZES[kind]
    ratio = sizes[start] / sizes[end]
    return value * ratio.numerator / ratio.denominator


def kind_of(unit: str) -> str:
    """Return what a unit measures, in a word: "length", "torque", "count" for a bare number.

    Parameters
    ----------
    unit
        Any spelling that `unit_named` knows.

    Returns
    -------
    str
        The kind. Units of one kind can be converted into each other.

    Raises
    ------
    BenchError
        If the unit is unknown.

    Examples
    --------
    >>> kind_of("ft·lbf")
    'torque'
    """
    return _KIND[unit_named(unit)]


def unit_named(spelling: str) -> str:
    """Return the one name that the tool uses for a unit as people spell it.

    Parameters
    ----------
    spelling
        For example "Nm", "N.m", "ohm", "degC" or "mm2"; blank for a bare number.

    Returns
    -------
    str
        For example "N·m", "Ω", "°C" or "mm²".

    Raises
    ------
    BenchError
        If the unit is unknown, with the nearest one that is known.

    Examples
    --------
    >>> unit_named("ft-lb"), unit_named("ohm"), unit_named("um")
    ('ft·lbf', 'Ω', 'µm')
    """
    # micro sign and ohm sign exist twice each in Unicode; one of each is kept
    text = spelling.strip().replace("μ", "µ").replace("\u2126", "Ω").rstrip(".")
    text = _BETWEEN.sub("·", text)
    if text in _KIND:
        return text
    if text in _SPELLINGS:
        return _SPELLINGS[text]
    low = text.lower()
    if low not in _CASE_MATTERS:
        if low in _SPELLINGS:
            return _SPELLINGS[low]
        if low in _KIND:
            return low
    raise BenchError(
        f"“{quoted(spelling)}” is not a unit this tool knows.",
        _nearest(low),
        "Enter the reading again with one of these.",
    )


def kind_in_words(kind: str) -> str:
    """Return a kind with its article, for a sentence.

    Parameters
    ----------
    kind
        As `kind_of` gives it.

    Returns
    -------
    str
        For example "a length".

    Examples
    --------
    >>> kind_in_words(kind_of("mm²"))
    'an area'
    """
    return _KIND_WORDS.get(kind, f"a {kind}")


def _gauge_area_mm2(number: float) -> float:
    diameter_mm = 0.127 * math.pow(92, (36 - number) / 39)
    return math.pi / 4 * diameter_mm * diameter_mm


def _gauge_number(area_mm2: float) -> float:
    if not area_mm2 > 0:
        raise BenchError(
            f"The area is {area_mm2:g} mm².",
            "A wire gauge needs an area above 0 mm².",
            "Read the size printed on the insulation and enter that.",
        )
    diameter_mm = math.sqrt(4 * area_mm2 / math.pi)
    return 36 - 39 * math.log(diameter_mm / 0.127, 92)


def _nearest(low: str) -> str:
    if low == "nm":
        return "For torque the unit is N·m."
    names = {**{name.lower(): unit for name, unit in _SPELLINGS.items()}}
    names |= {unit.lower(): unit for unit in _KIND if unit}
    near = [names[name] for name in get_close_matches(low, names, n=3, cutoff=0.6)]
    known = dict.fromkeys(near or ["V", "A", "Ω", "mm", "in", "N·m", "kPa", "°C"])
    return f"Units are written as {', '.join(known)}."


def quoted(text: str) -> str:
    """Return at most as much of what was typed as fits in a sentence.

    Parameters
    ----------
    text
        What a person typed.

    Returns
    -------
    str
        The text on one line, 30 signs at the most.
    """
    plain = " ".join(text.split())
    return plain if len(plain) <= 30 else f"{plain[:29]}…"


def listed(words: Sequence[str], last: str = "or") -> str:
    """Return "a", "a or b", "a, b or c".

    Parameters
    ----------
    words
        The words.
    last
        The word before the last one.

    Examples
    --------
    >>> listed(["G7", "S9", "C4"])
    'G7, S9 or C4'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
