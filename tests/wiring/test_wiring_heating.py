"""Heating of a wire: the adiabatic end, the steady end, and a numeric solution between."""

from math import log, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from witnessmark.errors import BenchError
from witnessmark.networks.copper import MM2_PER_CIRCULAR_MIL
from witnessmark.networks.fusing import melting_a2s, onderdonk_a, preece_a
from witnessmark.wiring.ampacity import Ampacity, Place
from witnessmark.wiring.heating import (
    LIFE_S,
    ZERO_C,
    Heating,
    adiabatic_k,
    adiabatic_s,
    heating_of,
)
from witnessmark.wiring.insulation import INSULATIONS, insulation
from witnessmark.wiring.sizes import awg, metric

K_PAGE = "'The adiabatic equation and k factor', quoting IEC 60364-5-54; seen"
AIRCRAFT = "AC 43.13-1B p. 11-27, No. 14 wire: 47 A, 0.91, 0.6, 26 A; seen"
PREECE = "'Fuse Equations (Preece's Law)', inverse table for copper; seen"
PVC_105 = insulation("pvc-105")


def wire(gauge=14, key="pvc-105", **place):
    return heating_of(awg(gauge), insulation(key), Place(**place))


@pytest.mark.reference(K_PAGE)
@pytest.mark.parametrize(
    ("start_c", "end_c", "k"),
    [
        (70, 160, 115),
        (90, 160, 100),
        (90, 250, 143),
        (60, 200, 141),
        (85, 220, 134),
        (180, 350, 132),
    ],
)
def test_k_of_copper_as_published(start_c, end_c, k):
    # the rounded constants of the page leave half a unit
    assert adiabatic_k(start_c, end_c) == pytest.approx(k, abs=0.5)


@pytest.mark.reference("from memory: BS 7671, PVC from 30 °C, k 143")
def test_k_of_a_cold_wire():
    assert adiabatic_k(30, 160) == pytest.approx(143, abs=0.5)


@pytest.mark.second_way("k = 226 √ln(1 + (end − start) / (234.5 + start)), the page's short form")
@pytest.mark.parametrize(("start_c", "end_c"), [(70, 160), (90, 250), (25, 1083)])
def test_k_by_its_short_form(start_c, end_c):
    short = 226 * sqrt(log(1 + (end_c - start_c) / (234.5 + start_c)))
    assert adiabatic_k(start_c, end_c) == pytest.approx(short, rel=0.002)


@pytest.mark.second_way("(k S / I)² by hand")
@pytest.mark.parametrize(("area", "amps", "seconds"), [(1.0, 150, 0.588), (0.5, 100, 0.331)])
def test_a_short_circuit_is_borne_for_a_fraction_of_a_second(area, amps, seconds):
    assert adiabatic_s(area, amps, 115) == pytest.approx(seconds, abs=0.0005)


@pytest.mark.reference("Onderdonk's equation, article on fusing currents, with 234 + Ta; seen")
def test_the_equation_for_melting_agrees_with_the_one_for_insulation_to_a_fifth_of_a_percent():
    per_mm2 = sqrt(melting_a2s(1.0, 20.0))
    assert per_mm2 == pytest.approx(290.4, abs=0.1)
    short = 226 * sqrt(log(1 + (1083 - 20) / (234.5 + 20)))
    assert short == pytest.approx(289.8, abs=0.1)
    assert per_mm2 == pytest.approx(short, rel=0.0025)
    # the page rounds the constant to 226; with its unrounded parts it is 225.7
    assert per_mm2 == pytest.approx(adiabatic_k(20, 1083), rel=0.004)


@pytest.mark.second_way("Onderdonk worked apart from this program, at 25 °C")
@pytest.mark.parametrize(
    ("gauge", "tenth", "one", "five"),
    [
        (10, 4804, 1519, 679),
        (12, 3021, 955, 427),
        (14, 1900, 601, 269),
        (16, 1195, 378, 169),
        (18, 752, 238, 106),
        (20, 473, 149, 66.8),
    ],
)
def test_the_current_that_melts_a_wire_in_a_time(gauge, tenth, one, five):
    area = awg(gauge).area_mm2
    found = [onderdonk_a(area, time_s) for time_s in (0.1, 1.0, 5.0)]
    assert found == pytest.approx([tenth, one, five], rel=0.003)


@pytest.mark.reference("a forum example of Onderdonk with 234 − Ta: 178 A; seen, and wrong")
def test_a_forum_example_has_the_sign_wrong_and_we_follow_the_sum():
    ours = onderdonk_a(2581 * MM2_PER_CIRCULAR_MIL, 5.0, 25.0)
    wrong = 2581 * sqrt(log((1083 - 25) / (234 - 25) + 1, 10) / (33 * 5))
    assert round(wrong) == 178
    assert ours == pytest.approx(168.9, abs=0.1)


@pytest.mark.reference(PREECE)
@pytest.mark.parametrize(
    ("amps", "inch", "half_step"),
    [(10, 0.0098, 0.00005), (40, 0.0248, 0.00005), (100, 0.0457, 0.00005)],
)
def test_preeces_law_gives_the_fuse_wire_of_a_printed_table(amps, inch, half_step):
    low, high = (
        preece_a(3.14159265 / 4 * ((inch + way) * 25.4) ** 2) for way in (-half_step, half_step)
    )
    assert low <= amps <= high


@pytest.mark.second_way("10244 d^1.5 by hand from the diameters of ASTM B 258")
@pytest.mark.parametrize(
    ("gauge", "amps"), [(10, 333), (12, 235), (14, 166), (16, 117), (18, 82.9), (20, 58.5)]
)
def test_the_current_that_a_bare_wire_bears_for_good(gauge, amps):
    assert preece_a(awg(gauge).area_mm2) == pytest.approx(amps, rel=0.0035)


@pytest.mark.second_way("rise over I² R of each row of the law's table, worked apart")
@pytest.mark.parametrize(
    ("gauge", "k_m_per_w"),
    [(16, 6.8), (14, 5.5), (12, 5.3), (10, 4.8), (8, 4.3), (4, 2.7), (-3, 1.8)],
)
def test_the_law_implies_this_thermal_resistance(gauge, k_m_per_w):
    assert wire(gauge).thermal_k_m_per_w == pytest.approx(k_m_per_w, abs=0.05)


@pytest.mark.reference(AIRCRAFT)
def test_the_aircraft_point_has_a_thermal_resistance_of_the_same_order():
    point = Heating(
        size=awg(14),
        cover=insulation("fluoro-200"),
        place=Place(temperature_c=50),
        amps=Ampacity(table_a=47.0),
    )
    watts = 47**2 * awg(14).resistance_ohm(1, 200)
    assert watts == pytest.approx(31.2, abs=0.1)
    assert point.thermal_k_m_per_w == pytest.approx(4.8, abs=0.05)
    assert point.steady_c(47) == pytest.approx(200, abs=0.1)


@pytest.mark.parametrize("cover", INSULATIONS, ids=lambda one: one.key)
def test_its_steady_amps_end_at_its_own_temperature_and_never_hurt_it(cover):
    for place in (Place(), Place(temperature_c=50), Place(wires=5)):
        body = heating_of(metric(2.5), cover, place)
        assert body.steady_c(body.amps.allowed_a) == pytest.approx(cover.column_c, abs=0.1)
        assert body.hurt_after_s(body.amps.allowed_a) is None


@pytest.mark.second_way("the adiabatic equation of IEC 60364-5-54")
@pytest.mark.parametrize("cover", INSULATIONS, ids=lambda one: one.key)
def test_for_a_fraction_of_a_second_it_is_the_adiabatic_equation(cover):
    body = heating_of(awg(14), cover, Place())
    k = adiabatic_k(cover.column_c, cover.short_c)
    for amps in (1000, 3000):
        published_s = adiabatic_s(body.size.area_mm2, amps, k)
        # copper by its gauge, and what little is lost in that time
        assert body.hurt_after_s(amps) == pytest.approx(published_s, rel=0.01)


@pytest.mark.second_way("the same body integrated step by step (SciPy, Runge-Kutta)")
@pytest.mark.parametrize("times", [0.7, 1.0, 1.2, 1.6, 3.0, 10.0])
def test_the_closed_form_is_the_solution_of_the_body(times):
    body = wire(12, key="xlpe-125", temperature_c=50)
    amps = times * body.amps.allowed_a
    end_s = 2.0 * body.time_constant_s / max(times, 1.0) ** 2

    def slope(_, state):
        heat = amps**2 * body.size.ohm_per_m * (ZERO_C + state[0]) / (ZERO_C + 20)
        lost = (state[0] - 50) / body.thermal_k_m_per_w
        return [(heat - lost) / body.heat_j_per_k_m]

    stepped = solve_ivp(slope, (0, end_s), [body.start_c], rtol=1e-9, atol=1e-9).y[0, -1]
    assert body.temperature_c(amps, end_s) == pytest.approx(stepped, abs=0.01)


@pytest.mark.reference("from memory: ISO 6722-1, ageing 3000 h at, 240 h 25 K and 6 h 50 K above")
def test_what_hurts_falls_with_time_to_the_class():
    body = wire(14, key="xlpe-125")
    hours = [3000.0, 240.0, 6.0]
    assert [body.hurt_c(h * 3600) for h in hours] == pytest.approx([125, 150, 175])
    assert body.hurt_c(5.0) == body.hurt_c(0.01) == 250
    times = [10**e for e in range(-2, 8)]
    temperatures = [body.hurt_c(t) for t in times]
    assert temperatures == sorted(temperatures, reverse=True)


@given(
    gauge=st.sampled_from([22, 18, 14, 10, 4, -1]),
    cover=st.sampled_from(INSULATIONS),
    times=st.floats(1.05, 80),
    more=st.floats(1.001, 3),
)
def test_more_current_never_takes_longer_to_hurt(gauge, cover, times, more):
    body = heating_of(awg(gauge), cover, Place())
    amps = body.amps.allowed_a * times
    slow, fast = body.hurt_after_s(amps), body.hurt_after_s(amps * more)
    if slow is not None:
        assert fast is not None and fast <= slow <= LIFE_S


@given(times=st.floats(1.1, 50), temperature_c=st.floats(20, 59))
def test_a_hotter_place_never_bears_a_current_longer(times, temperature_c):
    cool = wire(14)
    hot = wire(14, temperature_c=temperature_c)
    amps = cool.amps.allowed_a * times
    longer, shorter = cool.hurt_after_s(amps), hot.hurt_after_s(amps)
    if longer is not None:
        assert shorter is not None and shorter <= longer * (1 + 1e-6)


def test_a_current_that_grows_without_end_has_no_steady_temperature():
    assert wire(14).steady_c(300) is None
    assert wire(14).temperature_c(300, 1e6) > 1083


@pytest.mark.parametrize("value", [0, -1, float("nan")])
def test_a_wire_without_metal_or_time_does_not_melt(value):
    with pytest.raises(BenchError, match="The area is"):
        preece_a(value)
    with pytest.raises(BenchError, match="The time is"):
        onderdonk_a(1.0, value)
