"""What was read: on which part, with which instrument, by whom and when."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from witnessmark.errors import BenchError
from witnessmark.quantities import Quantity, convert, unit_named


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One thing that can be measured: a characteristic at a position, "bush-bore" at "3"."""

    characteristic: str
    position: str

    def __str__(self) -> str:
        return f"{self.characteristic}:{self.position}" if self.position else self.characteristic


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """An instrument and what is known about its errors, as standard uncertainties in `unit`.

    `repeat_u` is the scatter of one reading by a practised hand. `zero_u` is the setting of
    its zero and `calibration_u` its scale; both are the same in every reading until it is set
    again. An instrument that is set in another (`set_in`, its id) carries that one's zero and
    calibration too.
    """

    id: str
    name: str
    unit: str
    resolution: float
    repeat_u: float
    zero_u: float = 0.0
    calibration_u: float = 0.0
    set_in: str | None = None

    def __post_init__(self) -> None:
        unit_named(self.unit)
        if not self.resolution > 0:
            raise BenchError(
                f"{self.name} has a resolution of {self.resolution:g} {self.unit}.",
                "It must be the smallest step that can be read, above 0.",
                "Read it off the scale.",
            )
        for u in (self.repeat_u, self.zero_u, self.calibration_u):
            if not (u >= 0 and math.isfinite(u)):
                raise BenchError(
                    f"{self.name} has an uncertainty of {u:g} {self.unit}.",
                    "A standard uncertainty is a number from 0 up.",
                    "Take it from the instrument's last check.",
                )
        if self.set_in == self.id:
            raise BenchError(
                f"{self.name} is set in itself.",
                "It can only be set in another instrument.",
                "Name the instrument or gauge block that it was set in.",
            )

    @property
    def reading_u(self) -> float:
        """Return the uncertainty of a single reading apart from shared errors. [unit]"""
        # scatter seen through the scale already holds the rounding: the larger, not both
        return max(self.repeat_u, self.resolution / math.sqrt(12))

    def shared(self, instruments: Mapping[str, "Instrument"]) -> dict[str, tuple[float, str]]:
        """Return the errors that all its readings share: name -> (uncertainty, unit)."""
        errors: dict[str, tuple[float, str]] = {}
        link: Instrument | None = self
        while link is not None:
            if f"calibration of the {link.name}" in errors:
                raise BenchError(
                    f"{self.name} is set in an instrument that is set in it.",
                    "One of them must have a zero of its own.",
                    "Name the gauge block or ring that it was set in.",
                )
            zero = "setting" if link.set_in else "zero"
            errors[f"{zero} of the {link.name}"] = (link.zero_u, link.unit)
            errors[f"calibration of the {link.name}"] = (link.calibration_u, link.unit)
            if link.set_in is not None and link.set_in not in instruments:
                raise BenchError(
                    f"{link.name} was set in “{link.set_in}”, which is not known here.",
                    "The error of that instrument is part of every reading.",
                    "Add it to the list of instruments.",
                )
            link = instruments[link.set_in] if link.set_in is not None else None
        return errors


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One value as read."""

    id: str
    place: Place
    quantity: Quantity
    instrument: str  # id of the instrument
    reader: str = ""
    when: datetime | None = None


def spread_in(u: float, unit: str, wanted: str) -> float:
    """Return an uncertainty in another unit.

    Parameters
    ----------
    u
        A standard uncertainty, a difference on the scale. [unit]
    unit
        Its unit.
    wanted
        Another unit of the same kind.

    Returns
    -------
    float
        The same difference. [wanted]

    Examples
    --------
    >>> round(spread_in(0.0001, "in", "µm"), 2), round(spread_in(1, "°C", "°F"), 9)
    (2.54, 1.8)
    """
    return convert(u, unit, wanted) - convert(0.0, unit, wanted)
