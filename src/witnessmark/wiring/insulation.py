"""Insulation of wire: how hot it may be for years, and how hot for seconds."""

from dataclasses import dataclass
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.wiring.sources import Known, Source

_PVC_C: Final = 160.0  # short circuit, IEC 60364-5-54 as quoted [1]
_CROSS_LINKED_C: Final = 250.0  # the same
_SILICONE_C: Final = 350.0  # the same
_TYPES: Final = Source(words="guides to SAE J1127 and J1128 wire types", known=Known.SEEN)
_CLASSES: Final = Source(
    words="ISO vehicle-cable classes in a shielded-cable specification", known=Known.SEEN
)
_COLUMNS: Final = Source(words="33 CFR 183.425 table 5, its column", known=Known.SEEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Insulation:
    """One kind of insulation.

    Attributes
    ----------
    key
        What the command and forms call it.
    words
        What is printed on such wire, or what it is.
    class_c
        Temperature it bears for its whole life. [°C]
    column_c
        Column of 33 CFR 183.425 table 5 that is read for it: its own or the next cooler. [°C]
    short_c
        Temperature at the end of a short circuit of at most 5 s. [°C]
    source
        Where class and type come from.
    """

    key: str
    words: str
    class_c: float
    column_c: int
    short_c: float
    source: Source


# [1] The adiabatic equation and k factor, quoting IEC 60364-5-54: PVC 160 °C, cross-linked
#     polyethylene 250 °C, silicone 350 °C. Seen. No published figure was found for the 200 °C
#     column: 250 °C, its temperature in a six-hour overload, is taken.
INSULATIONS: Final = (
    Insulation(
        key="unknown",
        words="not printed or not known, taken as PVC for 60 °C",
        class_c=60.0,
        column_c=60,
        short_c=_PVC_C,
        source=_COLUMNS,
    ),
    Insulation(
        key="pvc-75",
        words="PVC, 75 °C",
        class_c=75.0,
        column_c=75,
        short_c=_PVC_C,
        source=_COLUMNS,
    ),
    Insulation(
        key="pvc-80",
        words="PVC, 80 °C: GPT wire, SGT battery cable",
        class_c=80.0,
        column_c=80,
        short_c=_PVC_C,
        source=_TYPES,
    ),
    Insulation(
        key="pvc-85",
        words="PVC, 85 °C: ISO class A",
        class_c=85.0,
        column_c=80,
        short_c=_PVC_C,
        source=_CLASSES,
    ),
    Insulation(
        key="pvc-90",
        words="PVC, 90 °C",
        class_c=90.0,
        column_c=90,
        short_c=_PVC_C,
        source=_COLUMNS,
    ),
    Insulation(
        key="pvc-100",
        words="PVC, 100 °C: ISO class B",
        class_c=100.0,
        column_c=90,
        short_c=_PVC_C,
        source=_CLASSES,
    ),
    Insulation(
        key="pvc-105",
        words="PVC, 105 °C: TWP wire, boat cable",
        class_c=105.0,
        column_c=105,
        short_c=_PVC_C,
        source=_TYPES,
    ),
    Insulation(
        key="xlpe-125",
        words="cross-linked, 125 °C: GXL, SXL, TXL, SGX, STX, ISO class C",
        class_c=125.0,
        column_c=125,
        short_c=_CROSS_LINKED_C,
        source=_TYPES,
    ),
    Insulation(
        key="xlpe-150",
        words="cross-linked, 150 °C: ISO class D",
        class_c=150.0,
        column_c=125,
        short_c=_CROSS_LINKED_C,
        source=_CLASSES,
    ),
    Insulation(
        key="silicone-175",
        words="silicone rubber, 175 °C: ISO class E",
        class_c=175.0,
        column_c=125,
        short_c=_SILICONE_C,
        source=_CLASSES,
    ),
    Insulation(
        key="fluoro-200",
        words="fluoropolymer, 200 °C: ISO class F",
        class_c=200.0,
        column_c=200,
        short_c=_CROSS_LINKED_C,
        source=_CLASSES,
    ),
)
_BY_KEY: Final = {one.key: one for one in INSULATIONS}


def insulation(key: str) -> Insulation:
    """Return an insulation by its key.

    Parameters
    ----------
    key
        For example "pvc-105".

    Returns
    -------
    Insulation
        What is known of it.

    Raises
    ------
    BenchError
        If there is no such key.

    References
    ----------
    [1] Vehicle-cable classes A to H, 85 to 250 °C. Seen in a shielded-cable specification.
    [2] SAE J1127 and J1128 types. Seen in guides; two pages call the cross-linked polyethylene
        of GXL, SXL and TXL cross-linked PVC, which we do not follow.

    Examples
    --------
    >>> insulation("pvc-105").class_c
    105.0
    """
    if key in _BY_KEY:
        return _BY_KEY[key]
    raise BenchError(
        f"There is no insulation “{key}” here.",
        f"Known: {', '.join(_BY_KEY)}.",
        "Read the print on the wire; if there is none, take unknown.",
    )
