"""Verdicts: what may be said about a part and its limit."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.metrology import (
    Limit,
    Verdict,
    chance_in_words,
    chance_of_conforming,
    sure_range,
    verdict,
)

CLEARANCE = Limit(lower=60, upper=110, unit="µm", source="invented for training")
U_UM = math.sqrt(17)  # bore reading 3, journal reading 2, setting 2


@pytest.mark.reference("JCGM 106:2012 clause 7.4; inputs seen quoted, result by its formula")
def test_the_worked_oil_of_the_guide():
    assert chance_of_conforming(13.6, 1.8, 12.5, 16.3) == pytest.approx(0.6626, abs=5e-5)


@pytest.mark.reference("from memory: ISO 14253-1 and JCGM 106, guard bands of 2 u and 1.645 u")
@pytest.mark.parametrize(("guard_u", "chance"), [(2, 0.9772), (1.645, 0.9500), (0, 0.5)])
def test_one_sided_guard_bands(guard_u, chance):
    assert chance_of_conforming(10 - guard_u, 1, None, 10) == pytest.approx(chance, abs=5e-5)


@pytest.mark.second_way("worked by hand: clearance 5.6 thou against 6.0, u 0.3, in a normal table")
def test_a_clearance_in_thousandths_that_is_not_proved():
    limit = Limit(upper=0.0060, unit="in", source="invented for training")
    said = verdict(0.0056, 0.0003, limit)
    assert said.chance == pytest.approx(0.9088, abs=5e-5)
    assert said.verdict is Verdict.TOO_CLOSE


@pytest.mark.second_way("normal table: the invented clearances of the training six, u 4.12 µm")
@pytest.mark.parametrize(
    ("clearance_um", "chance", "said"),
    [
        (82, 1.0, Verdict.WITHIN),
        (91, 1.0, Verdict.WITHIN),
        (105, 0.887, Verdict.TOO_CLOSE),
        (124, 0.0003, Verdict.OUTSIDE),
    ],
)
def test_the_four_bearings_of_the_training_six(clearance_um, chance, said):
    judged = verdict(clearance_um, U_UM, CLEARANCE)
    assert judged.chance == pytest.approx(chance, abs=5e-4)
    assert judged.verdict is said


@pytest.mark.second_way("60 and 110 µm, 1.645 standard uncertainties inwards")
def test_where_95_percent_lies():
    lower, upper = sure_range(U_UM, CLEARANCE)
    assert lower == pytest.approx(66.8, abs=0.05)
    assert upper == pytest.approx(103.2, abs=0.05)
    assert chance_of_conforming(upper, U_UM, 60, 110) == pytest.approx(0.95, abs=1e-9)


def test_an_open_end_stays_open():
    lower, upper = sure_range(1, Limit(lower=3, unit="mm", source="invented"))
    assert upper is None
    assert chance_of_conforming(lower, 1, 3, None) == pytest.approx(19 / 20, abs=1e-9)


def test_an_uncertainty_as_wide_as_the_limit_can_prove_nothing():
    assert sure_range(30, CLEARANCE) is None
    assert verdict(85, 30, CLEARANCE).verdict is Verdict.TOO_CLOSE


@pytest.mark.second_way("the same thresholds, given as arguments")
def test_the_shop_sets_its_own_thresholds():
    assert verdict(105, U_UM, CLEARANCE, within_from=0.85).verdict is Verdict.WITHIN
    assert verdict(124, U_UM, CLEARANCE, outside_to=0.0001).verdict is Verdict.TOO_CLOSE


@given(y=st.floats(0, 200), u=st.floats(0.01, 50), shift=st.floats(-5, 5), width=st.floats(1, 100))
def test_a_chance_is_a_chance_and_grows_with_the_limit(y, u, shift, width):
    lower = 80 + shift
    narrow = chance_of_conforming(y, u, lower, lower + width)
    wide = chance_of_conforming(y, u, lower - 1, lower + width + 1)
    assert 0 <= narrow <= wide <= 1
    assert wide <= chance_of_conforming(y, u, lower - 1, None) + 1e-12


def test_an_exact_value_is_compared_exactly():
    assert verdict(110, 0, CLEARANCE).verdict is Verdict.WITHIN
    assert verdict(111, 0, CLEARANCE).verdict is Verdict.OUTSIDE


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        ({"source": "x"}, "no end"),
        ({"lower": math.nan, "source": "x"}, "no end"),
        ({"lower": 5, "upper": 5, "source": "x"}, "lower end must be below"),
        ({"lower": 5, "upper": 6, "source": "  "}, "no source"),
    ],
)
def test_a_limit_that_nobody_could_use_is_refused(ends, words):
    with pytest.raises(BenchError, match=words):
        Limit(unit="mm", **ends)


def test_a_limit_is_printed_as_its_source_prints_it():
    assert str(CLEARANCE) == "60 to 110 µm"
    assert str(Limit(upper=0.006, unit="in", source="x")) == "at most 0.006 in"
    printed = Limit(lower=1.5, upper=3, unit="thou", source="x", text=".0015-.0030 in")
    assert str(printed.to("µm")) == ".0015-.0030 in"
    assert str(CLEARANCE.to("mm")) == "60 to 110 µm"
    with pytest.raises(BenchError, match="a voltage"):
        CLEARANCE.to("V")


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.887, "89%"),
        (0.958, "96%"),
        (0.9497, "94.9%"),
        (0.95, "95%"),
        (0.0503, "5.1%"),
        (0.995, "99.5%"),
        (0.9999, "over 99.9%"),
        (0.0003, "under 0.1%"),
        (1.0, "over 99.9%"),
        (0.0, "under 0.1%"),
    ],
)
@pytest.mark.pinned("how a chance is printed: never rounded over a threshold or to certainty")
def test_a_chance_in_words(chance, words):
    assert chance_in_words(chance) == words
