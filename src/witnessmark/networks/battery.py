"""A lead-acid battery by its state of charge and cold-cranking current."""

from typing import Final

import numpy as np

# Rested open-circuit voltage of a 12 V battery at 26.7 °C by state of charge, seen in a table
# that credits the Battery Council International.
_CHARGE_PERCENT: Final = (0.0, 25.0, 50.0, 75.0, 100.0)
_REST_V: Final = (11.89, 12.06, 12.24, 12.45, 12.65)
# A healthy battery of 500 A cold-cranking current has about 4 to 8 mΩ (from memory): 3 V / CCA.
_OHM_TIMES_CCA_V: Final = 3.0
_OHM_TIMES_CCA_COLD_V: Final = 5.45  # at -18 °C: 12.65 V at rest, 7.2 V at the current (SAE J537)
_WARM_C: Final = 20.0
_CRANKING_TEST_C: Final = -18.0
_RISE_WHEN_EMPTY: Final = 3.0  # share by which resistance has risen at 0 % (from memory)


def rest_voltage(charge_percent: float) -> float:
    """Return the rested voltage of a 12 V lead-acid battery.

    Parameters
    ----------
    charge_percent
        State of charge. [%]

    Returns
    -------
    float
        Open-circuit voltage, straight lines between the table's rows. [V]

    References
    ----------
    Table of rested voltages at 26.7 °C crediting the Battery Council International; seen on a
    measurement page, not the council's own print.

    Examples
    --------
    >>> rest_voltage(75)
    12.45
    """
    return float(np.interp(charge_percent, _CHARGE_PERCENT, _REST_V))


def inner_resistance(
    cranking_a: float, charge_percent: float = 100.0, temperature_c: float = 20.0
) -> float:
    """Return the inner resistance of a healthy battery.

    Parameters
    ----------
    cranking_a
        Cold-cranking current printed on it. [A]
    charge_percent
        State of charge. [%]
    temperature_c
        Temperature of the battery. [°C]

    Returns
    -------
    float
        About 3 V / CCA when full and at 20 °C, more when it is empty or cold. [Ω]

    References
    ----------
    From memory: 4 to 8 mΩ for a healthy battery of 500 A at room temperature. The rise in the
    cold is set so that at -18 °C a battery at its cold-cranking current holds the 7.2 V that
    SAE J537 asks for (seen on two pages): (12.65 - 7.2) V / CCA = 5.45 V / CCA.

    Examples
    --------
    >>> round(inner_resistance(500, temperature_c=-18) * 1000, 1)
    10.9
    """
    cold = max(0.0, _WARM_C - temperature_c) / (_WARM_C - _CRANKING_TEST_C)
    rise = 1.0 + (_OHM_TIMES_CCA_COLD_V / _OHM_TIMES_CCA_V - 1.0) * cold
    return _OHM_TIMES_CCA_V / cranking_a * resistance_rise(charge_percent) * rise


def resistance_rise(charge_percent: float) -> float:
    """Return how many times its full value the inner resistance is.

    Parameters
    ----------
    charge_percent
        State of charge. [%]

    Returns
    -------
    float
        1 at 100 %, rising in a straight line to 4 at 0 % (from memory).
    """
    return 1 + _RISE_WHEN_EMPTY * (1 - charge_percent / 100)
