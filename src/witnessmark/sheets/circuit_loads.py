"""How a load is told where its plate says something else: volts, amps or watts."""

from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks import Kind
from witnessmark.quantities import parse
from witnessmark.sheets.circuit_draft import Typed, kind_of_part

_EXAMPLE: Final = (12.0, 8.0)  # V, A: of no motor in particular
_VEHICLE_V: Final = 12.0


def ways_of_a_motor(part: Typed) -> str:
    """Return how a motor is told, worked through with the volts and amps that were typed.

    Parameters
    ----------
    part
        The entry of a motor.

    Notes
    -----
    Ohm's law. Watts are not asked for: those of a plate may be what the shaft gives (common
    practice, no published source).

    Examples
    --------
    >>> ways_of_a_motor({"volts": "12 V", "amps": "10 A"}).partition(": ")[2][:44]
    'volts / amps as it runs, 12 V / 10 A = 1.2 Ω'
    """
    volts, amps = _read(part, "volts", "V"), _read(part, "amps", "A")
    if not (volts and amps):
        volts, amps = _EXAMPLE
    return (
        "The size of a motor is its resistance as it runs: volts / amps as it runs, "
        f"{volts:g} V / {amps:g} A = {volts / amps:.3g} Ω. Or leave that empty and give all three "
        "under More: resistance held still (volts / amps while it cannot turn, for a moment), runs "
        "at, drawing. Watts do not say it: on a plate they may be what the shaft gives."
    )


def watts_in_ohms(part: Typed, times: float | None) -> str:
    """Return where the watts of a load go that were typed as its resistance; else ''.

    Parameters
    ----------
    part
        The entry of a heater or of another load of plain resistance.
    times
        Nominal volts of the vehicle over 12; None where they are of no kind that is known. [1]

    Notes
    -----
    Ohm's law: volts squared over watts.

    Examples
    --------
    >>> watts_in_ohms({"kind": "heater", "ohms": "120 W"}, 1.0)
    ' Watts go into power: 120 W at 12 V are 1.2 Ω.'
    """
    watts = told_in(part.get("ohms", ""), "W")
    if not watts:
        return ""
    where = " under More" if kind_of_part(part) is Kind.RESISTOR else ""
    volts = _read(part, "volts", "V") or _VEHICLE_V * (times or 0.0)
    ohms = f": {watts:g} W at {volts:g} V are {volts**2 / watts:.3g} Ω" if volts else ""
    return f" Watts go into power{where}{ohms}."


def told_in(typed: object, unit: str) -> float | None:
    """Return a size in a unit of the kind that it was typed in; None for a bare number or another.

    Parameters
    ----------
    typed
        The size as it was typed.
    unit
        The unit.

    Examples
    --------
    >>> told_in("1.2 kW", "W"), told_in("120", "W"), told_in("2 ohm", "W")
    (1200.0, None, None)
    """
    text = str(typed)
    try:
        found = parse(text, unit).to(unit)
    except BenchError:
        return None
    try:
        parse(text, "V" if unit != "V" else "A")
    except BenchError:
        return found
    return None  # a number without a unit is read as anything


def _read(part: Typed, key: str, unit: str) -> float:
    """A size in its unit; 0 where it lacks or cannot be read."""
    try:
        return max(0.0, parse(str(part.get(key, "")), unit).to(unit))
    except BenchError:
        return 0.0
