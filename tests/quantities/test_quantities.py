"""Sizes as people type them: one meaning, or a sentence."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.quantities import convert, kind_of, parse, show, unit_named
from witnessmark.quantities.units import _KIND

UNITS = sorted(unit for unit in _KIND if unit != "AWG")


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("12.6 V", "12.6", "V"),
        ("12,6V", "12.6", "V"),
        ("  12.6   volts ", "12.6", "V"),
        ("54,025 mm", "54.025", "mm"),
        ("3 1/4 in", "3.25", "in"),
        ("3-1/4 inches", "3.25", "in"),
        ('3¼"', "3.25", "in"),
        ("-1/8 in", "-0.125", "in"),
        ("90 thou", "90", "thou"),
        ("25 Nm", "25", "N·m"),
        ("25 N.m", "25", "N·m"),
        ("25 N m", "25", "N·m"),
        ("25 N·m", "25", "N·m"),
        ("18 ft-lb", "18", "ft·lbf"),
        ("18 lb ft", "18", "ft·lbf"),
        ("1.5 ohm", "1.5", "Ω"),
        ("1.5 \u2126", "1.5", "Ω"),  # the ohm sign, not the letter
        ("4 μm", "4", "µm"),  # the letter mu, not the micro sign
        ("4 um", "4", "µm"),
        ("90 C", "90", "°C"),
        ("90 degC", "90", "°C"),
        ("−5 °C", "-5", "°C"),
        ("1.5 mm2", "1.5", "mm²"),
        ("1.5 mm²", "1.5", "mm²"),
        ("2000 RPM", "2000", "rpm"),
        ("14 AWG", "14", "AWG"),
        ("AWG 4/0", "-3", "AWG"),
        ("0000 awg", "-3", "AWG"),
        ("1/2 turn", "0.5", "turns"),
        ("7", "7", ""),
    ],
)
def test_people_spell_a_size_in_many_ways(text, value, unit):
    quantity = parse(text)
    assert (quantity.value, quantity.unit) == (float(value), unit)
    assert quantity.text == text


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("", "V", "Nothing was entered.*voltage in V"),
        ("1,250 rpm", None, "1.250 or as 1250.*between the thousands"),
        ("1 250 mm", None, "between the thousands"),
        ("1'250", "mm", "between the thousands"),
        ("1,250.5 mm", None, "between the thousands"),
        ("1.250,5 mm", None, "between the thousands"),
        ("12,345,678", None, "between the thousands"),
        ("nan", "V", "not one number.*Leave it empty"),
        ("inf V", "V", "not one number"),
        ("1e3", "mm", "not one number.*Write the zeros out"),
        ("2+3", "mm", "not one number.*Work it out first"),
        ("54 ± 0.1 mm", None, "not one number.*Work it out first"),
        ("0x12", "mm", "not one number"),
        ("١٢", "mm", "not one number"),
        (".5", "mm", "not one number.*zero before the point"),
        ("5 ft 3 in", None, "not one number.*one unit only"),
        ("1/3 in", None, "not on a rule"),
        ("5/4 in", None, "not on a rule"),
        ("1 1/2 V", None, "inches and turns only"),
        ("14.5 AWG", None, "no wire gauge"),
        ("41 AWG", None, "no wire gauge"),
        ("5/0 AWG", None, "no wire gauge"),
        ("12 nm", "N·m", "not a unit.*N·m"),
        ("12 MV", "V", "not a unit.*mV"),
        ("12 bananas", None, "not a unit"),
        ("12 V", "mm", "“12 V” is a voltage.*length in mm.*Enter it in mm"),
        ("12 V", "", "“12 V” is a voltage.*A number is needed"),
        ("123456789012345678", None, "more digits"),
    ],
)
def test_what_is_not_one_size_is_sent_back_with_a_sentence(text, unit, words):
    with pytest.raises(BenchError, match=words):
        parse(text, unit)


def test_the_unit_meant_counts_only_when_none_was_typed():
    assert parse("2.5", "mm").unit == "mm"
    assert parse("2.5 in", "mm").unit == "in"
    assert parse("2.5 in", "mm").to("mm") == 2.5 * 25.4


@pytest.mark.pinned("the meaning of the resolution: the step of the last digit typed")
@pytest.mark.parametrize(
    ("text", "step"), [("12", 1), ("12.0", 0.1), ("54,025 mm", 0.001), ("3 1/8 in", 0.125)]
)
def test_the_resolution_is_the_last_digit_that_was_typed(text, step):
    assert parse(text).resolution == step


@pytest.mark.reference("1959 yard and pound agreement and standard gravity; public factor tables")
@pytest.mark.parametrize(
    ("value", "start", "end", "published"),
    [
        (1, "in", "mm", 25.4),
        (1, "ft·lbf", "N·m", 1.355818),
        (1, "in·lbf", "N·m", 0.11298),
        (1, "psi", "kPa", 6.894757),
        (1, "in³", "cm³", 16.387064),
        (1, "lbf", "N", 4.448222),
        (1, "mi", "km", 1.609344),
        (1, "bar", "psi", 14.50377),
        (212, "°F", "°C", 100),
        (-40, "°C", "°F", -40),
    ],
)
def test_factors_agree_with_the_public_tables(value, start, end, published):
    assert convert(value, start, end) == pytest.approx(published, rel=5e-5)


@pytest.mark.second_way("1 ft·lbf as 0.3048 m times 0.45359237 kg times 9.80665 m/s², in decimals")
def test_the_foot_pound_is_the_product_of_its_parts():
    assert convert(1, "ft·lbf", "N·m") == pytest.approx(1.3558179483314004, rel=1e-15)


@pytest.mark.reference("from memory: ASTM B258 table, area of 18, 14, 10, 4 and 4/0 AWG in mm²")
@pytest.mark.parametrize(
    ("gauge", "area_mm2"), [(18, 0.823), (14, 2.08), (10, 5.26), (4, 21.2), (-3, 107.2)]
)
def test_wire_gauges_have_the_areas_of_the_table(gauge, area_mm2):
    # the table prints three or four digits, hence a quarter of a percent
    assert convert(gauge, "AWG", "mm²") == pytest.approx(area_mm2, rel=0.0025)
    assert convert(area_mm2, "mm²", "AWG") == pytest.approx(gauge, abs=0.03)


def test_only_units_of_one_kind_convert():
    with pytest.raises(BenchError, match=r"a voltage.*a length"):
        convert(1, "V", "mm")
    with pytest.raises(BenchError, match="area above 0"):
        convert(0, "mm²", "AWG")


@pytest.mark.parametrize(
    ("value", "unit", "resolution", "words"),
    [
        (12.44, "V", 0.1, "12.4 V"),
        (12.45, "V", 0.1, "12.5 V"),
        (-0.05, "mm", 0.01, "−0.05 mm"),
        (-0.001, "mm", 0.01, "0.00 mm"),
        (90, "thou", 1, "90 thou"),
        (1234, "rpm", 50, "1250 rpm"),
        (12, "°", 1, "12°"),
        (98.6, "degF", None, "98.6 °F"),
        (1 / 3, "mm", None, "0.333333 mm"),
        (3_000_000, "Pa", None, "3000000 Pa"),
        (-3, "AWG", None, "4/0 AWG"),
        (4, "", None, "4"),
    ],
)
@pytest.mark.reference("ISO 80000-1 rules for print: a space before the unit, none before °")
def test_a_size_is_printed_as_a_person_would_write_it(value, unit, resolution, words):
    assert show(value, unit, resolution) == words


@given(st.floats(allow_nan=False, allow_infinity=False), st.sampled_from([None, 1e-9, 0.5, 25]))
def test_any_number_can_be_printed(value, resolution):
    assert show(value, "mm", resolution).endswith(" mm")


def test_no_number_is_never_printed():
    with pytest.raises(BenchError, match="not a number"):
        show(math.nan, "V")


@given(
    steps=st.integers(-(10**7), 10**7),
    places=st.integers(0, 4),
    unit=st.sampled_from(UNITS),
    comma=st.booleans(),
)
def test_what_is_shown_can_be_typed_again(steps, places, unit, comma):
    resolution = float(f"1e-{places}")
    words = show(steps * resolution, unit, resolution)
    quantity = parse(words)
    assert quantity.unit == unit
    assert abs(quantity.value - steps * resolution) < 1e-9
    assert show(quantity.value, quantity.unit, quantity.resolution) == words
    if comma and places != 3:
        assert parse(words.replace(".", ",")).value == quantity.value


@given(number=st.integers(-3, 40))
def test_wire_gauges_can_be_typed_again(number):
    quantity = parse(show(number, "AWG"))
    assert quantity.value == number


@given(value=st.floats(-1e6, 1e6), unit=st.sampled_from(UNITS), other=st.sampled_from(UNITS))
def test_a_conversion_and_its_way_back_meet(value, unit, other):
    if kind_of(unit) == kind_of(other):
        there_and_back = convert(convert(value, unit, other), other, unit)
        assert math.isclose(there_and_back, value, rel_tol=1e-12, abs_tol=1e-9)


@given(st.text(max_size=25))
def test_any_text_at_all_is_a_size_or_a_sentence(text):
    try:
        quantity = parse(text)
    except BenchError as error:
        assert error.found and error.needed and error.do
    else:
        assert math.isfinite(quantity.value)


@pytest.mark.parametrize("unit", UNITS)
def test_every_unit_is_spelled_as_it_is_named(unit):
    assert unit_named(unit) == unit
    assert unit_named(f" {unit} ") == unit
