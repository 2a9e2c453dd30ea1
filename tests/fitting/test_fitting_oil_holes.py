"""The open share of an oil hole behind a turned bush."""

import math

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.fitting.oil_holes import (
    Feed,
    Hole,
    allowed_turn,
    least_open,
    open_share,
    overlap_area,
    overlap_by_integral,
)

DRILLING = Hole(diameter_mm=5)
WIDE = Hole(diameter_mm=6.5)
SLOT = Hole(diameter_mm=5, length_mm=8)


def circles(r, big, apart):
    """Common area of two circles, the closed formula of the handbooks."""
    if apart >= r + big:
        return 0.0
    if apart <= abs(big - r):
        return math.pi * min(r, big) ** 2
    first = r * r * math.acos((apart**2 + r * r - big * big) / (2 * apart * r))
    second = big * big * math.acos((apart**2 + big * big - r * r) / (2 * apart * big))
    product = (r + big - apart) * (apart + r - big) * (apart - r + big) * (apart + r + big)
    return first + second - math.sqrt(product) / 2


@pytest.mark.reference("overlap of two circles, a mathematics handbook on the web; r = R = d = 1")
def test_two_unit_circles():
    area = overlap_area(Hole(diameter_mm=2), Hole(diameter_mm=2), 1)
    assert area == pytest.approx(1.228, abs=5e-4)  # as printed
    assert area == pytest.approx(2 * math.pi / 3 - math.sqrt(3) / 2, abs=1e-8)


@pytest.mark.reference("from memory: two unit circles share half their area at 0.8079455")
def test_half_a_circle():
    area = overlap_area(Hole(diameter_mm=2), Hole(diameter_mm=2), 0.8079455)
    assert area == pytest.approx(math.pi / 2, abs=1e-6)


@pytest.mark.second_way("the closed formula for circles with radii 3 4, and 3 2")
@pytest.mark.parametrize(
    ("r", "big", "apart", "area"),
    [(3, 4, 5, 6.641674702707057), (3, 2, 2.5, 7.325698504581958), (1, 1, 3, 0)],
)
def test_circles_of_two_sizes(r, big, apart, area):
    holes = Hole(diameter_mm=2 * r), Hole(diameter_mm=2 * big)
    assert overlap_area(*holes, apart) == pytest.approx(area, abs=1e-7)


@example(r=1.0, big=1.0, apart=1.0, across=5e-324)
@given(r=st.floats(0.5, 6), big=st.floats(0.5, 6), apart=st.floats(0, 14), across=st.floats(-5, 5))
def test_the_integral_agrees_with_the_closed_formula_for_any_two_circles(r, big, apart, across):
    holes = Hole(diameter_mm=2 * r), Hole(diameter_mm=2 * big)
    expected = circles(r, big, math.hypot(apart, across))
    assert overlap_by_integral(*holes, apart, across) == pytest.approx(expected, abs=1e-5)
    assert overlap_area(*holes, apart, across) == pytest.approx(expected, abs=1e-9)


@pytest.mark.second_way("the closed formula at the chord; bore 50 mm, two holes of 5 mm")
def test_equal_holes_as_the_bush_turns():
    shares = [open_share(DRILLING, DRILLING, 25, turn) for turn in (2, 4, 6, 8, 10, 12)]
    assert shares == pytest.approx([0.779, 0.565, 0.365, 0.190, 0.054, 0], abs=5e-4)


@pytest.mark.second_way("the closed formula along the arc; the chord opens 0.001 more at most")
def test_the_drilling_of_the_training_six():
    shares = [open_share(DRILLING, WIDE, 27, turn) for turn in (0, 4, 8, 12)]
    assert shares == pytest.approx([1, 0.756, 0.299, 0.003], abs=1.1e-3)


@pytest.mark.second_way("areas counted on a fine grid: a slot of 8 by 5 over a drilling of 5")
def test_a_slot_forgives_more():
    shares = [open_share(DRILLING, SLOT, 27, turn) for turn in (0, 4, 8, 12)]
    step = 0.01
    x, y = np.meshgrid(np.arange(-2.5, 2.5, step), np.arange(-2.5, 2.5, step))
    drilled = x**2 + y**2 <= 2.5**2
    for turn, share in zip((0, 4, 8, 12), shares, strict=True):
        along = np.maximum(np.abs(x - 2 * 27 * math.sin(math.radians(turn) / 2)) - 1.5, 0)
        counted = np.sum(drilled & (along**2 + y**2 <= 2.5**2)) / np.sum(drilled)
        assert share == pytest.approx(counted, abs=0.002)


@pytest.mark.second_way("radial drillings through a curved bush, points thrown at the drilling")
@pytest.mark.parametrize("turn", [3, 6, 9])
def test_laying_the_holes_flat_is_good_enough(turn):
    random = np.random.default_rng(5)
    x, y = random.uniform(-2.5, 2.5, (2, 1_000_000))
    inside = x**2 + y**2 <= 2.5**2
    x, y = x[inside], y[inside]
    depth = np.sqrt(27**2 - x**2)  # where each line of the drilling meets the bush
    turned = x * math.cos(math.radians(turn)) - depth * math.sin(math.radians(turn))
    thrown = np.mean(turned**2 + y**2 <= 3.25**2)
    assert open_share(DRILLING, WIDE, 27, turn) == pytest.approx(float(thrown), abs=0.002)


@pytest.mark.second_way("the closed circle formula solved for 75 %; bore 54 mm")
@pytest.mark.parametrize(("bush", "turn"), [(DRILLING, 2.1), (WIDE, 4.1), (SLOT, 5.3)])
def test_the_turn_that_the_shop_rule_allows(bush, turn):
    feed = Feed(name="oil feed", drilling=DRILLING, bush=bush, clock_deg=150)
    back, on = allowed_turn([feed], 27)
    assert on == pytest.approx(turn, abs=0.05)
    assert back == pytest.approx(-on, abs=1e-6)
    assert feed.open_at(27, on) == pytest.approx(3 / 4, abs=1e-6)


def test_of_several_holes_the_worst_counts():
    feed = Feed(name="oil feed", drilling=DRILLING, bush=WIDE, clock_deg=0)
    riser = Feed(name="riser", drilling=DRILLING, bush=WIDE, clock_deg=127, bush_clock_deg=120)
    at_home = least_open([feed, riser], 27, 0)
    assert at_home == riser.open_at(27, 0) < feed.open_at(27, 0)
    back, on = allowed_turn([feed, riser], 27)
    _, alone = allowed_turn([feed], 27)
    assert (back, on) == pytest.approx((7 - alone, alone), abs=1e-6)
    shifted = Feed(name="riser", drilling=DRILLING, bush=WIDE, clock_deg=127, bush_clock_deg=90)
    assert allowed_turn([feed, shifted], 27) is None


def test_a_hole_that_is_too_small_can_never_be_open_enough():
    feed = Feed(name="oil feed", drilling=DRILLING, bush=Hole(diameter_mm=3), clock_deg=0)
    assert allowed_turn([feed], 27) is None


@given(turn=st.floats(0, 60), more=st.floats(0, 30))
def test_turning_further_never_opens(turn, more):
    further = open_share(DRILLING, WIDE, 27, turn + more)
    assert 0 <= further <= open_share(DRILLING, WIDE, 27, turn) + 1e-9


@given(turn=st.floats(-40, 40))
def test_early_and_late_are_alike(turn):
    late = open_share(DRILLING, SLOT, 27, turn)
    assert late == pytest.approx(open_share(DRILLING, SLOT, 27, -turn), abs=1e-6)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Hole(diameter_mm=0), "more than 0 mm"),
        (lambda: Hole(diameter_mm=math.nan), "more than 0 mm"),
        (lambda: Hole(diameter_mm=5, length_mm=4), "over both round ends"),
        (lambda: open_share(DRILLING, WIDE, 3, 0), "larger than its oil holes"),
    ],
)
def test_sizes_that_cannot_be_are_sent_back(make, words):
    with pytest.raises(BenchError, match=words):
        make()
