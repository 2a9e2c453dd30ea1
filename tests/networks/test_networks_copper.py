"""Wire and battery against printed tables."""

import pytest

from witnessmark.errors import BenchError
from witnessmark.networks import awg_area_mm2, wire_resistance
from witnessmark.networks.battery import inner_resistance, rest_voltage

FOOT_M = 0.3048


@pytest.mark.reference("handbook table of wire gauges, ohms per km at 20 °C; seen on a hobby page")
@pytest.mark.parametrize(
    ("gauge", "ohm_per_km", "half_step"),
    [
        (-3, 0.16, 0.005),
        (-2, 0.20, 0.005),
        (-1, 0.26, 0.005),
        (0, 0.32, 0.005),
        (1, 0.41, 0.005),
        (2, 0.51, 0.005),
        (4, 0.82, 0.005),
        (6, 1.30, 0.005),
        (8, 2.06, 0.005),
        (10, 3.28, 0.005),
        (12, 5.21, 0.005),
        (14, 8.28, 0.01),  # the page rounds down from here: 8.286, 20.95 and 33.31 by the formula
        (16, 13.17, 0.01),
        (18, 20.94, 0.02),
        (20, 33.29, 0.03),
    ],
)
def test_gauge_resistance_at_20_degrees(gauge, ohm_per_km, half_step):
    assert wire_resistance(1000, awg_area_mm2(gauge)) == pytest.approx(ohm_per_km, abs=half_step)


@pytest.mark.reference("wire resistance table of a test-equipment maker, ohms per foot; seen")
@pytest.mark.parametrize(
    ("gauge", "ohm_per_ft"),
    [(12, 0.001588), (14, 0.002525), (16, 0.004016), (18, 0.006385), (20, 0.01015)],
)
def test_gauge_resistance_per_foot(gauge, ohm_per_ft):
    assert wire_resistance(FOOT_M, awg_area_mm2(gauge)) == pytest.approx(ohm_per_ft, rel=0.0005)


@pytest.mark.reference("NEC chapter 9 table 8, DC at 75 °C, uncoated copper; seen annotated")
@pytest.mark.parametrize(
    ("gauge", "ohm_per_kft", "strand_lay"),
    # The rows up to 8 AWG equal solid wire; from 6 AWG on the table adds about 2 % for strand lay.
    [
        (14, 3.07, 1),
        (12, 1.93, 1),
        (10, 1.21, 1),
        (8, 0.764, 1),
        (6, 0.491, 1.02),
        (4, 0.308, 1.02),
        (2, 0.194, 1.02),
        (0, 0.122, 1.02),
        (-3, 0.0608, 1.02),
    ],
)
def test_gauge_resistance_at_75_degrees(gauge, ohm_per_kft, strand_lay):
    solid = wire_resistance(1000 * FOOT_M, awg_area_mm2(gauge), temperature_c=75)
    assert solid * strand_lay == pytest.approx(ohm_per_kft, rel=0.005)


@pytest.mark.reference("ASTM B 258, diameters of 36 and 0000 AWG; seen quoted in an encyclopaedia")
@pytest.mark.parametrize(("gauge", "inch"), [(36, 0.0050), (-3, 0.4600)])
def test_the_two_gauges_that_define_the_others(gauge, inch):
    assert awg_area_mm2(gauge) == pytest.approx(3.14159265 / 4 * (inch * 25.4) ** 2, rel=1e-8)


@pytest.mark.reference("IEC 60228, correction factors Kt; seen in a cable maker's table")
@pytest.mark.parametrize(
    ("temperature_c", "factor"),
    [(5, 1.064), (30, 0.962), (50, 0.893), (75, 0.820), (100, 0.758)],
)
def test_warm_copper_resists_more(temperature_c, factor):
    assert wire_resistance(1, 1, 20) / wire_resistance(1, 1, temperature_c) == pytest.approx(
        factor, rel=0.005
    )


@pytest.mark.reference("IEC 60228, greatest resistance of classes 2 and 5 at 20 °C; seen quoted")
@pytest.mark.parametrize(
    ("area_mm2", "class_2", "class_5"),
    [
        (0.5, 36.0, 39.0),
        (1, 18.1, 19.5),
        (1.5, 12.1, 13.3),
        (2.5, 7.41, 7.98),
        (4, 4.61, 4.95),
        (6, 3.08, 3.30),
        (10, 1.83, 1.91),
        (16, 1.15, 1.21),
        (25, 0.727, 0.780),
        (50, 0.387, 0.386),
    ],
)
def test_a_good_cable_stays_below_the_limit_of_its_class(area_mm2, class_2, class_5):
    # The limit leaves room for lay and for metal below the nominal area: up to a sixth.
    milliohm_per_m = 1000 * wire_resistance(1, area_mm2)
    for limit in (class_2, class_5):
        assert milliohm_per_m < limit < milliohm_per_m * 7 / 6


@pytest.mark.parametrize("length_m", [0, -1, float("nan")])
def test_a_wire_without_length_is_refused(length_m):
    with pytest.raises(BenchError, match="Wire length is"):
        wire_resistance(length_m, 1)


@pytest.mark.parametrize("area_mm2", [0, -1, float("nan")])
def test_a_wire_without_metal_is_refused(area_mm2):
    with pytest.raises(BenchError, match="Wire area is"):
        wire_resistance(1, area_mm2)


@pytest.mark.reference("rested voltage by state of charge, a page crediting the BCI; seen")
@pytest.mark.parametrize(
    ("charge", "volts"), [(100, 12.65), (75, 12.45), (50, 12.24), (25, 12.06), (0, 11.89)]
)
def test_rested_volts_by_charge(charge, volts):
    assert rest_voltage(charge) == pytest.approx(volts, abs=1e-9)


@pytest.mark.reference("page of rounded rest volts 12.6, 12.4, 12.2, 12.0; seen")
@pytest.mark.parametrize(("charge", "volts"), [(100, 12.6), (75, 12.4), (50, 12.2), (25, 12.0)])
def test_rested_volts_agree_with_the_rounded_set(charge, volts):
    assert rest_voltage(charge) == pytest.approx(volts, abs=0.07)


@pytest.mark.reference("from memory: a healthy battery of 500 A cold-cranking has 4 to 8 mΩ")
def test_a_healthy_battery_has_a_few_milliohms():
    assert 0.004 <= inner_resistance(500) <= 0.008


@pytest.mark.reference("SAE J537: at least 7.2 V at the cold-cranking current; seen quoted")
def test_a_healthy_battery_holds_its_cranking_volts():
    assert rest_voltage(100) - 500 * inner_resistance(500) > 7.2
