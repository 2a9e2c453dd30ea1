"""A size as a person types it, and as a page prints it."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.quantities.units import convert, kind_in_words, kind_of, quoted, unit_named

MINUS: Final = "−"

_FRACTION_SIGNS: Final[Mapping[str, str]] = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_DENOMINATORS: Final[Mapping[str, frozenset[int]]] = {
    "in": frozenset({2, 4, 8, 16, 32, 64}),
    "turns": frozenset({2, 3, 4, 6, 8}),
}
# Units in which three decimals are everyday readings, so that 54,025 has one meaning.
_THREE_DECIMALS: Final = {"mm", "cm", "m", "in", "V", "A", "Ω", "kΩ", "mm²", "L", "bar", "N·m"}

_NUMBER: Final = r"[0-9]+(?:[.,][0-9]+)?"
_UNIT: Final = r"[^0-9+*/.,()×^±-][^0-9]*(?:(?<=[mn^])[23])?"  # the only digit is that of mm2
_PLAIN: Final = re.compile(rf"(?P<sign>[+-]?) ?(?P<number>{_NUMBER}) ?(?P<unit>{_UNIT})?")
_MIXED: Final = re.compile(
    r"(?P<sign>[+-]?) ?(?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
    rf" ?(?P<unit>{_UNIT})?"
)
_GAUGE: Final = re.compile(
    r"AWG ?(?P<after>[0-9]+(?:/0)?)|(?P<before>[0-9]+(?:/0)?) ?AWG", re.IGNORECASE
)
_GROUPED: Final = re.compile(
    r"[+-]?[0-9]{1,3}(?:[ '’][0-9]{3})+(?:[.,][0-9]+)?(?: ?[^0-9].*)?"
    r"|[+-]?[0-9]{1,3}(?:,[0-9]{3})*(?:,[0-9]{3}|\.[0-9]{3},?)[.,][0-9]+(?: ?[^0-9].*)?"
)
_AMBIGUOUS: Final = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """One size as typed, with its value in the unit that was typed or meant.

    `resolution` is the step of the last digit that was typed, in the same unit: a reading
    of 12.60 V was read to 0.01 V.
    """

    text: str
    value: float
    unit: str
    resolution: float

    def __post_init__(self) -> None:
        assert unit_named(self.unit) == self.unit, f"{self.unit!r} is no unit"
        assert math.isfinite(self.value), "a quantity that is no number"
        assert self.resolution > 0, "a quantity without a resolution"

    def to(self, unit: str) -> float:
        """Return the value in another unit of the same kind."""
        return convert(self.value, self.unit, unit)


def parse(text: str, unit: str | None = None) -> Quantity:
    """Return what a person typed as a quantity.

    A unit that was typed wins and is kept; ask `.to(...)` for the value in another.

    Parameters
    ----------
    text
        For example "12,6 V", "3 1/4 in", "90 thou", "14 AWG" or "2.5".
    unit
        The unit meant when none was typed. A typed unit must be of the same kind.

    Returns
    -------
    Quantity
        The value in the unit that was typed, else in `unit`, else a bare number.

    Raises
    ------
    BenchError
        If the text is no single size, can be read in two ways, has an unknown unit, or has
        a unit of another kind than the one asked for.

    Notes
    -----
    A comma before exactly three digits is refused in units where thousands are everyday
    readings (rpm, psi, km), and is a decimal comma in mm, in, V and their like.

    Examples
    --------
    >>> parse("12,6 V").value
    12.6
    >>> parse("3 1/4 in").to("mm")
    82.55
    >>> parse("2.50", "mm")
    Quantity(text='2.50', value=2.5, unit='mm', resolution=0.01)
    """
    meant = None if unit is None else unit_named(unit)
    plain = _tidied(text)
    if not plain:
        raise BenchError(
            "Nothing was entered.", f"{_a_size(meant)} is needed here.", "Read it and enter it."
        )
    quantity = _gauge(text, plain) or _fraction(text, plain, meant) or _decimal(text, plain, meant)
    if meant is not None and kind_of(quantity.unit) != kind_of(meant):
        raise BenchError(
            f"“{quoted(text)}” is {kind_in_words(kind_of(quantity.unit))}.",
            f"{_a_size(meant)} is needed here.",
            f"Enter it in {meant}." if meant else "Enter the number alone.",
        )
    return quantity


def show(value: float, unit: str, resolution: float | None = None) -> str:
    """Return a size in words, rounded for print.

    Parameters
    ----------
    value
        The size. [unit]
    unit
        Its unit, any spelling that `unit_named` knows.
    resolution
        The step to round to, in the same unit; six significant digits if none is given.

    Returns
    -------
    str
        The number with a true minus sign, a space and the unit; halves round away from zero.

    Raises
    ------
    BenchError
        If the unit is unknown, or the value is no number.

    Examples
    --------
    >>> show(12.44, "V", 0.1)
    '12.4 V'
    >>> show(-0.05, "mm", 0.01)
    '−0.05 mm'
    """
    name = unit_named(unit)
    if not math.isfinite(value):
        raise BenchError(
            "This value is not a number.",
            "A page shows measured or computed numbers only.",
            "Check the readings that it comes from.",
        )
    if name == "AWG":
        number = round(value)
        return f"{1 - number}/0 AWG" if number < 0 else f"{number} AWG"
    digits = _rounded(value, resolution)
    sign = MINUS if digits.startswith("-") else ""
    # ISO 80000-1: a space before the unit, but none before the degree of an angle
    gap = "" if name in ("", "°") else " "
    return f"{sign}{digits.lstrip('-')}{gap}{name}"


def _rounded(value: float, resolution: float | None) -> str:
    if resolution is None:
        if value == 0:
            return "0"
        places = 5 - math.floor(math.log10(abs(value)))
        step = Decimal(1).scaleb(-places)
    else:
        assert resolution > 0, "a resolution must be above zero"
        step = Decimal(repr(resolution)).normalize()
    # more digits than any float and any step need, so that no size is too large to print
    wide = Context(prec=800, rounding=ROUND_HALF_UP)
    steps = wide.to_integral_value(wide.divide(Decimal(repr(value)), step))
    number = wide.quantize(wide.multiply(steps, step), step)
    if resolution is None:
        number = number.normalize(wide)
    text = f"{number:f}"
    return text.lstrip("-") if number == 0 else text


def _tidied(text: str) -> str:
    for sign, fraction in _FRACTION_SIGNS.items():
        text = text.replace(sign, f" {fraction}")
    text = re.sub(r"[−–]", "-", text)
    return re.sub(r"\s+", " ", text).strip()


def _gauge(text: str, plain: str) -> Quantity | None:
    found = _GAUGE.fullmatch(plain)
    if not found:
        return None
    size = found["after"] or found["before"]
    if size.endswith("/0"):
        number = 1 - int(size[:-2])
    elif set(size) == {"0"}:
        number = 1 - len(size)
    else:
        number = int(size)
    if not -3 <= number <= 40:
        raise BenchError(
            f"“{quoted(text)}” is no wire gauge.",
            "Gauges run from 4/0 to 40 AWG.",
            "Read the size printed on the insulation and enter that.",
        )
    return Quantity(text=text, value=float(number), unit="AWG", resolution=1.0)


def _fraction(text: str, plain: str, meant: str | None) -> Quantity | None:
    found = _MIXED.fullmatch(plain)
    if not found:
        return None
    unit = _unit_of(found["unit"], meant)
    whole, top, bottom = int(found["whole"] or 0), int(found["top"]), int(found["bottom"])
    if unit not in _DENOMINATORS:
        raise BenchError(
            f"“{quoted(text)}” has a fraction.",
            "Fractions are taken for inches and turns only.",
            "Enter it as a decimal, or add the unit in.",
        )
    if bottom not in _DENOMINATORS[unit] or not 0 < top < bottom:
        parts = ", ".join(f"1/{part}" for part in sorted(_DENOMINATORS[unit]))
        raise BenchError(
            f"“{quoted(text)}” has a fraction that is not on a rule.",
            f"The parts are {parts}, as in 3 1/4.",
            "Read it again, or enter it as a decimal.",
        )
    size = float(whole + Fraction(top, bottom))
    value = -size if found["sign"] == "-" else size
    return Quantity(text=text, value=value, unit=unit, resolution=1 / bottom)


def _decimal(text: str, plain: str, meant: str | None) -> Quantity:
    found = _PLAIN.fullmatch(plain)
    if not found or _GROUPED.fullmatch(plain):
        raise _no_number(text, plain, meant)
    unit = _unit_of(found["unit"], meant)
    number = found["number"]
    if _AMBIGUOUS.fullmatch(number) and unit not in _THREE_DECIMALS:
        whole, part = number.split(",")
        raise BenchError(
            f"“{quoted(text)}” can be read as {whole}.{part} or as {whole}{part}.",
            "No sign may stand between the thousands.",
            f"Enter {whole}.{part} or {whole}{part}.",
        )
    if len(number) > 16:
        raise BenchError(
            f"“{quoted(text)}” has more digits than any instrument shows.",
            "At most fifteen digits are taken.",
            "Enter the digits that you read.",
        )
    digits = number.replace(",", ".")
    places = len(digits.partition(".")[2])
    value = float(digits)
    if unit == "AWG" and (places or value > 40):  # "14.5 AWG"; a whole gauge was taken before
        raise BenchError(
            f"“{quoted(text)}” is no wire gauge.",
            "Gauges are whole numbers from 4/0 to 40 AWG.",
            "Read the size printed on the insulation and enter that.",
        )
    return Quantity(
        text=text,
        value=-value if found["sign"] == "-" and value else value,
        unit=unit,
        resolution=float(Decimal(1).scaleb(-places)),
    )


def _unit_of(typed: str | None, meant: str | None) -> str:
    return unit_named(typed) if typed and typed.strip() else (meant or "")


def _no_number(text: str, plain: str, meant: str | None) -> BenchError:
    found = f"“{quoted(text)}” is not one number."
    needed = f"{_a_size(meant)} is needed here, as digits with one point or comma."
    do = "Enter the number as you read it."
    if _GROUPED.fullmatch(plain):
        needed = "No sign may stand between the thousands."
        do = "Enter the digits without gaps, as in 1250.5."
    elif re.fullmatch(r"[+-]?(?:nan|inf|infinity)", plain, re.I):
        do = "Leave it empty if there is no reading, and say why in a note."
    elif re.search(r"[0-9][eE][+-]?[0-9]", plain):
        do = "Write the zeros out, or choose a smaller or larger unit."
    elif re.search(r"[0-9)] ?[+*/x×^-] ?[0-9(]", plain) or "±" in plain:
        do = "Work it out first, and enter one reading."
    elif re.match(r"[+-]?[.,][0-9]", plain):
        do = "Put a zero before the point, as in 0.5."
    elif re.search(r"[0-9] ?[^0-9., ]+ ?[0-9]", plain):
        do = "Enter it in one unit only."
    return BenchError(found, needed, do)


def _a_size(meant: str | None) -> str:
    if meant is None:
        return "A number with its unit"
    if meant == "":
        return "A number"
    words = kind_in_words(kind_of(meant))
    return f"{words[0].upper()}{words[1:]} in {meant}"
