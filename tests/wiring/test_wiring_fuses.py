"""Time-current bands of blade fuses against the tables they were printed in."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.wiring.fuses import (
    COLOURS,
    LARGE_COLOURS,
    LARGE_SHEET,
    RATINGS_A,
    STANDARD_QUOTED,
    STANDARD_SHEET,
    FuseKind,
    band_of,
    fuse_of,
    warm_share,
)

SHEETS = "a fuse maker's sheets, standard and large blade, transcribed in a design note; seen"
QUOTED = "ISO 8820-3 overload points as quoted on a 35 A relay data sheet; seen"
COLOUR_CHART = "blade-fuse colour chart, two copies, 1 to 30 A and 35 A; seen"
BANDS = [STANDARD_SHEET, LARGE_SHEET, *(band_of(kind) for kind in FuseKind)]


@pytest.mark.reference(SHEETS)
@pytest.mark.parametrize(
    ("band", "times", "least_s", "most_s"),
    [
        (STANDARD_SHEET, 1.00, 360_000, None),
        (STANDARD_SHEET, 1.35, 0.75, 600),
        (STANDARD_SHEET, 1.60, 0.25, 50),
        (STANDARD_SHEET, 2.00, 0.15, 5),
        (STANDARD_SHEET, 3.50, 0.08, 0.5),
        (LARGE_SHEET, 1.00, 360_000, None),
        (LARGE_SHEET, 1.35, 60, 1800),
        (LARGE_SHEET, 2.00, 2, 50),
        (LARGE_SHEET, 3.50, 0.2, 7),
        (LARGE_SHEET, 6.00, 0.04, 1),
    ],
)
def test_the_band_goes_through_the_printed_points(band, times, least_s, most_s):
    assert band.least_s(times) == least_s
    assert band.most_s(times) == most_s


@pytest.mark.reference("from memory: ISO 8820-3, 1.10 times the rating for 100 h without opening")
def test_a_tenth_too_much_is_held_for_100_hours():
    assert band_of(FuseKind.STANDARD).least_s(1.10) == 360_000
    assert band_of(FuseKind.STANDARD).most_s(1.10) is None


@pytest.mark.reference(QUOTED)
@pytest.mark.parametrize(("times", "most_s"), [(1.35, 1800), (2.0, 5), (3.5, 0.5), (6.0, 0.1)])
def test_the_band_of_the_relay_data_sheet_is_kept_as_it_was_quoted(times, most_s):
    assert STANDARD_QUOTED.most_s(times) == most_s
    assert STANDARD_QUOTED.least_s(times) == 0.0  # it gives no least time


@pytest.mark.reference(QUOTED)
def test_where_the_two_disagree_the_longer_time_is_followed():
    ours = band_of(FuseKind.STANDARD)
    assert (STANDARD_SHEET.most_s(1.35), STANDARD_QUOTED.most_s(1.35)) == (600, 1800)
    assert ours.most_s(1.35) == 1800
    assert (STANDARD_SHEET.most_s(6.0), STANDARD_QUOTED.most_s(6.0)) == (0.15, 0.1)
    assert ours.most_s(6.0) == 0.15


@pytest.mark.reference(SHEETS)
@pytest.mark.parametrize(
    ("kind", "rating_a", "melting_a2s"),
    [(FuseKind.STANDARD, 40, 3300), (FuseKind.LARGE, 40, 8500), (FuseKind.LARGE, 30, 4100)],
)
def test_the_printed_melting_heat_lies_inside_the_band(kind, rating_a, melting_a2s):
    fuse = fuse_of(kind, rating_a)
    for times in (6.0, 10.0):
        amps = times * rating_a
        assert fuse.least_s(amps) <= melting_a2s / amps**2 <= fuse.most_s(amps)


@pytest.mark.reference(SHEETS)
@pytest.mark.parametrize(("temperature_c", "amps"), [(65, 34), (85, 30), (110, 25)])
def test_a_fuse_in_warm_air_carries_less(temperature_c, amps):
    assert 40 * warm_share(temperature_c) == pytest.approx(amps)


@pytest.mark.reference(SHEETS)
def test_a_10_amp_fuse_may_carry_a_stalled_motor_for_anything_from_an_instant_to_seconds():
    fuse = fuse_of(FuseKind.STANDARD, 10)
    # between the printed points at 1.6 and 2 times: 0.15 s at the least, 50 s at the most
    assert 0.15 <= fuse.least_s(18.9) < fuse.most_s(18.9) <= 50


@pytest.mark.reference(COLOUR_CHART)
def test_the_colours_of_the_chart():
    chart = {
        0.5: "dark blue",
        1: "black",
        2: "grey",
        3: "violet",
        4: "pink",
        5: "tan",
        7.5: "brown",
        10: "red",
        15: "blue",
        20: "yellow",
        25: "clear",
        30: "green",
        35: "aqua",
    }
    assert {rating: COLOURS[rating] for rating in chart} == chart
    # one trade page gives tan as 1 A: two copies of the chart say black
    assert COLOURS[1.0] != "tan" == COLOURS[5.0]


@pytest.mark.reference("fuse colour code chart, large size 50 A red; seen")
def test_the_large_series_repeats_colours_for_other_amps():
    assert LARGE_COLOURS[50.0] == COLOURS[10.0] == "red"


@pytest.mark.reference("from memory: colours of the large series, and amber for 40 A")
def test_the_rest_of_the_large_series():
    assert LARGE_COLOURS == {
        20: "yellow",
        30: "green",
        40: "amber",
        50: "red",
        60: "blue",
        70: "tan",
        80: "clear",
    }


def test_every_rating_has_a_colour():
    for kind, ratings in RATINGS_A.items():
        assert all(fuse_of(kind, rating).colour for rating in ratings)


@given(band=st.sampled_from(BANDS), times=st.floats(0.5, 200))
def test_the_band_never_crosses_itself(band, times):
    most_s = band.most_s(times)
    if most_s is not None:
        assert 0 < band.least_s(times) < most_s


@given(band=st.sampled_from(BANDS), times=st.floats(0.5, 100), more=st.floats(1.0001, 5))
def test_more_current_never_opens_it_later(band, times, more):
    assert band.least_s(times * more) <= band.least_s(times)
    before, after = band.most_s(times), band.most_s(times * more)
    if before is not None:
        assert after is not None and after <= before


def test_below_its_rating_it_holds():
    assert fuse_of(FuseKind.STANDARD, 10).least_s(9.9) == inf
    assert fuse_of(FuseKind.STANDARD, 10).most_s(9.9) is None


@pytest.mark.parametrize("rating_a", [12, 0, -5, float("nan"), 100])
def test_a_rating_that_is_not_made_is_refused_with_the_series(rating_a):
    with pytest.raises(BenchError, match="There is no"):
        fuse_of(FuseKind.STANDARD, rating_a)


def test_a_fuse_in_an_oven_is_refused():
    with pytest.raises(BenchError, match="end at 110 °C"):
        warm_share(140)
