"""Times, amps, volts and watts as a sentence of this room says them."""

from typing import Final

from witnessmark.quantities import show

_MINUTE_S: Final = 60.0
_HOUR_S: Final = 3600.0
_DAY_S: Final = 86400.0
_YEAR_S: Final = 365.25 * 86400.0


def time_words(time_s: float) -> str:
    """Return a time as one says it, from milliseconds to years.

    Parameters
    ----------
    time_s
        The time. [s]

    Examples
    --------
    >>> [time_words(one) for one in (0.08, 1.5, 50, 600, 7200, 360000, 5e7)]
    ['0.08 s', '1.5 s', '50 s', '10 min', '2 h', '100 h', '580 days']
    """
    if time_s < 2 * _MINUTE_S:
        return f"{_two(time_s)} s"
    if time_s < 2 * _HOUR_S:
        return f"{_two(time_s / _MINUTE_S)} min"
    if time_s < 5 * _DAY_S:
        return f"{_three(time_s / _HOUR_S)} h"
    if time_s < 3 * _YEAR_S:
        return f"{_two(time_s / _DAY_S)} days"
    return f"{_two(time_s / _YEAR_S)} years"


def amps_words(current_a: float) -> str:
    """Return amps to three figures.

    Parameters
    ----------
    current_a
        The current. [A]

    Examples
    --------
    >>> amps_words(18.9), amps_words(0.41667), amps_words(1234)
    ('18.9 A', '0.417 A', '1230 A')
    """
    return f"{_three(current_a)} A"


def volts_words(value_v: float) -> str:
    """Return volts, small ones to the millivolt.

    Parameters
    ----------
    value_v
        The voltage. [V]

    Examples
    --------
    >>> volts_words(12.44), volts_words(0.0237), volts_words(0.3)
    ('12.44 V', '0.024 V', '0.30 V')
    """
    return show(value_v, "V", 0.001 if abs(value_v) < 0.1 else 0.01)


def ohms_words(value_ohm: float) -> str:
    """Return ohms to two figures, small ones in milliohms.

    Parameters
    ----------
    value_ohm
        The resistance. [Ω]

    Examples
    --------
    >>> ohms_words(0.0237), ohms_words(0.828), ohms_words(1.5)
    ('24 mΩ', '0.83 Ω', '1.5 Ω')
    """
    if abs(value_ohm) < 0.1:
        return f"{_two(value_ohm * 1000)} mΩ"
    return f"{_two(value_ohm)} Ω"


def watts_words(power_w: float) -> str:
    """Return watts to two figures.

    Parameters
    ----------
    power_w
        The power. [W]

    Examples
    --------
    >>> watts_words(0.0312), watts_words(17.31)
    ('0.031 W', '17 W')
    """
    return f"{_two(power_w)} W"


def rise_words(rise_k: float) -> str:
    """Return how many degrees warmer, to ten degrees where it is many.

    Parameters
    ----------
    rise_k
        The rise. [K]

    Examples
    --------
    >>> rise_words(199.3), rise_words(87), rise_words(4.21)
    ('200 °C', '90 °C', '4 °C')
    """
    return f"{round(rise_k, -1 if rise_k >= 20 else 0):.0f} °C"


def _two(value: float) -> str:
    return _rounded(value, 2)


def _three(value: float) -> str:
    return _rounded(value, 3)


def _rounded(value: float, figures: int) -> str:
    return show(float(f"{value:.{figures}g}"), "")
