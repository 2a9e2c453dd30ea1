"""How fast a wire gets hot, and when its insulation is hurt.

One body of copper: it is heated by the current, its resistance rises as it warms, and it loses
heat to the air in proportion. For a fraction of a second this is the adiabatic equation with the
k of IEC 60364-5-54; for ever it is the steady amps of 33 CFR 183.425, from which the thermal
resistance follows. Between them the temperature that hurts falls with time.
"""

from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final

from scipy.optimize import brentq

from witnessmark.wiring.ampacity import Ampacity, Place, ampacity
from witnessmark.wiring.insulation import Insulation
from witnessmark.wiring.sizes import WireSize

HEAT_J_PER_K_MM3: Final = 3.45e-3  # copper, IEC 60364-5-54 [1]
ZERO_C: Final = 234.5  # copper has no resistance at −234.5 °C in a straight line [1]
RESISTIVITY_OHM_MM: Final = 17.241e-6  # at 20 °C [1]
SHORT_S: Final = 5.0  # up to which k and the short-circuit temperature hold [1]
# How much hotter than its class vehicle cable is tested, and for how long: ISO 6722-1, from
# memory, to be checked: 6 h, 240 h, 3000 h.
_AGEING: Final = ((6 * 3600.0, 50.0), (240 * 3600.0, 25.0), (3000 * 3600.0, 0.0))
LIFE_S: Final = 3000 * 3600.0
_SHORTEST_S: Final = 1e-6


def adiabatic_k(start_c: float, end_c: float) -> float:
    """Return the k of copper in S = I * sqrt(t) / k.

    k = sqrt(Q (B + 20) / rho * ln((B + end) / (B + start)))

    Parameters
    ----------
    start_c
        Temperature before the short circuit. [°C]
    end_c
        Temperature that the insulation still bears. [°C]

    Returns
    -------
    float
        k. [A·√s/mm²]

    Notes
    -----
    No heat is lost: up to 5 s.

    References
    ----------
    [1] IEC 60364-5-54 as quoted in a cable knowledge base: Q 3.45e-3 J/(K·mm³), B 234.5 °C,
        rho 17.241e-6 Ω·mm. Seen.

    Examples
    --------
    >>> round(adiabatic_k(70, 160)), round(adiabatic_k(90, 250))
    (115, 143)
    """
    constant = HEAT_J_PER_K_MM3 * (ZERO_C + 20.0) / RESISTIVITY_OHM_MM
    return sqrt(constant * log((ZERO_C + end_c) / (ZERO_C + start_c)))


def adiabatic_s(area_mm2: float, current_a: float, k: float) -> float:
    """Return how long a wire bears a short circuit: t = (k S / I)².

    Parameters
    ----------
    area_mm2
        Cross-section of the metal. [mm²]
    current_a
        The current. [A]
    k
        As `adiabatic_k` gives it. [A·√s/mm²]

    Examples
    --------
    >>> round(adiabatic_s(1.0, 150.0, 115.0), 3)
    0.588
    """
    return (k * area_mm2 / current_a) ** 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Heating:
    """A wire in its place as a body that is heated and cooled.

    Attributes
    ----------
    size, cover, place
        The wire, its insulation, where it lies.
    amps
        What it carries for years.
    """

    size: WireSize
    cover: Insulation
    place: Place
    amps: Ampacity

    @property
    def start_c(self) -> float:
        """Temperature at which it starts: fully loaded, as hot as its amps make it. [°C]"""
        return float(self.cover.column_c)

    @property
    def thermal_k_m_per_w(self) -> float:
        """Degrees above the air for each watt lost by a metre. [K·m/W]"""
        watts = self.amps.allowed_a**2 * self.size.resistance_ohm(1.0, self.start_c)
        return (self.start_c - self.place.temperature_c) / watts

    @property
    def heat_j_per_k_m(self) -> float:
        """Heat that a metre of its copper takes for each degree. [J/(K·m)]"""
        return HEAT_J_PER_K_MM3 * self.size.area_mm2 * 1000.0

    @property
    def time_constant_s(self) -> float:
        """How fast it warms, by its copper alone; insulation makes it slower. [s]"""
        return self.heat_j_per_k_m * self.thermal_k_m_per_w

    def steady_c(self, current_a: float) -> float | None:
        """Return the temperature a steady current ends at; None if it never ends. [°C]"""
        gain, loss = self._gain(current_a), 1.0 / self.thermal_k_m_per_w
        if gain >= loss:
            return None
        return (gain * ZERO_C + loss * self.place.temperature_c) / (loss - gain)

    def temperature_c(self, current_a: float, time_s: float) -> float:
        """Return the temperature after a time, from its start. [°C]"""
        rate, pull = self._rates(current_a)
        if abs(rate * time_s) < 1e-9:
            return self.start_c + (rate * self.start_c + pull) * time_s
        # beyond any temperature that copper survives the number says nothing more
        grown = exp(min(rate * time_s, 50.0))
        return (self.start_c + pull / rate) * grown - pull / rate

    def hurt_c(self, time_s: float) -> float:
        """Return the temperature that hurts the insulation in a time. [°C]

        The short-circuit temperature up to 5 s, then falling with the logarithm of time over
        those of vehicle-cable tests, to the class in 3000 h.
        """
        before = (SHORT_S, self.cover.short_c)
        if time_s <= SHORT_S:
            return self.cover.short_c
        for until_s, above_c in _AGEING:
            here = (until_s, min(self.cover.class_c + above_c, before[1]))
            if time_s <= until_s:
                share = log(time_s / before[0]) / log(until_s / before[0])
                return before[1] + share * (here[1] - before[1])
            before = here
        return self.cover.class_c

    def hurt_after_s(self, current_a: float) -> float | None:
        """Return after how long a current hurts the insulation; None if it never does. [s]"""

        def above(log_s: float) -> float:
            time_s = exp(log_s)
            return self.temperature_c(current_a, time_s) - self.hurt_c(time_s)

        if above(log(LIFE_S)) <= 0:
            return None
        if above(log(_SHORTEST_S)) >= 0:
            return _SHORTEST_S
        return exp(float(brentq(above, log(_SHORTEST_S), log(LIFE_S), xtol=1e-9)))

    def _gain(self, current_a: float) -> float:
        """Heat of a metre for each degree above the zero of resistance. [W/(K·m)]"""
        return current_a**2 * self.size.ohm_per_m / (ZERO_C + 20.0)

    def _rates(self, current_a: float) -> tuple[float, float]:
        """Warming per second as rate * temperature + pull."""
        gain, loss = self._gain(current_a), 1.0 / self.thermal_k_m_per_w
        heat = self.heat_j_per_k_m
        return (gain - loss) / heat, (gain * ZERO_C + loss * self.place.temperature_c) / heat


def heating_of(size: WireSize, cover: Insulation, place: Place) -> Heating:
    """Return a wire in its place as a body that is heated and cooled.

    Parameters
    ----------
    size
        The wire.
    cover
        Its insulation.
    place
        Where it lies.

    Returns
    -------
    Heating
        Starts fully loaded. Only its copper takes heat, so that it warms faster than a real
        wire, whose insulation takes heat too.

    Raises
    ------
    BenchError
        If the place is as hot as the insulation may be.

    References
    ----------
    [1] IEC 60364-5-54 for short times and 33 CFR 183.425 for long ones, both seen quoted.
    [2] ISO 6722-1, ageing at 50, 25 and 0 °C above the class for 6, 240 and 3000 h. From
        memory, to be checked.

    Examples
    --------
    >>> from witnessmark.wiring.insulation import insulation
    >>> from witnessmark.wiring.sizes import awg
    >>> wire = heating_of(awg(14), insulation("pvc-105"), Place())
    >>> round(wire.thermal_k_m_per_w, 1), round(wire.steady_c(35))
    (5.5, 105)
    >>> wire.hurt_after_s(35) is None, round(wire.hurt_after_s(400), 2)
    (True, 0.21)
    """
    return Heating(size=size, cover=cover, place=place, amps=ampacity(size, cover, place))
