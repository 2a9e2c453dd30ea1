"""Two paths on one scale: where bars stand, what is hatched, what a reader hears."""

import itertools
import re
import xml.etree.ElementTree as ET

import pytest

from witnessmark.papers.glyph_widths import text_width
from witnessmark.papers.practice_paths import Bar, Lane, paths_svg

YOURS = Lane(
    title="Your <path>",
    bars=(
        Bar(number=1, start_min=0.0, end_min=5.0, belief=0.2),
        Bar(number=2, start_min=5.0, end_min=6.0, belief=0.2, is_wasted=True),
        Bar(number=3, start_min=6.0, end_min=16.0, belief=0.9, told_most=True),
    ),
)
BEST = Lane(title="Best path", bars=(Bar(number=1, start_min=0.0, end_min=8.0, belief=1.0),))
SVG = "{http://www.w3.org/2000/svg}"


def drawn(is_narrow=False, lanes=(YOURS, BEST)):
    text = paths_svg(lanes, "p", is_narrow)
    return ET.fromstring(text.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def test_both_paths_share_one_scale_of_minutes():
    for is_narrow in (False, True):
        outlines = [one for one in drawn(is_narrow).iter(f"{SVG}rect") if one.get("class") == "hol"]
        widths = [float(one.get("width")) for one in outlines]
        per_minute = widths[0] / 5

        assert [round(width / per_minute) for width in widths] == [5, 1, 10, 8]
        assert outlines[0].get("x") == outlines[3].get("x")


def test_belief_fills_a_bar_from_below():
    rects = list(drawn().iter(f"{SVG}rect"))
    filled = [float(one.get("height")) for one in rects if one.get("class") == "blf"]
    outline = float(next(one.get("height") for one in rects if one.get("class") == "hol"))

    assert [round(100 * one / outline) for one in filled] == [20, 20, 90, 100]


def test_a_wasted_test_is_hatched_and_the_turn_has_its_line():
    svg = paths_svg((YOURS, BEST), "p")

    assert svg.count('fill="url(#p)"') == 1
    assert svg.count('class="trn"') == 1


def long_lane(minutes):
    """A path of so many tests, of which each took so many minutes."""
    ends = list(itertools.accumulate(minutes))
    return Lane(
        title="Yours",
        bars=tuple(
            Bar(number=at, start_min=end - took, end_min=end, belief=0.5)
            for at, (took, end) in enumerate(zip(minutes, ends, strict=True), start=1)
        ),
    )


LONG = {
    "one narrow among wide": [9, 1, 9, 9],
    "a row of narrow ones in the middle": [20, *[1] * 7, 30],
    "narrow ones at the end": [30, 30, *[1] * 9],
    "all narrow": [1, 2] * 9,
    "two figures": [12] * 9 + [0.5, 1, 0.5, 1, 40],
}


@pytest.mark.parametrize("is_narrow", [False, True])
@pytest.mark.parametrize("minutes", LONG.values(), ids=LONG.keys())
def test_every_bar_has_its_number_and_none_touches_another(minutes, is_narrow):
    lane = long_lane(minutes)
    svg = drawn(is_narrow, (lane, BEST))
    width = float(svg.get("viewBox").split()[2])
    texts = [one for one in svg.iter(f"{SVG}text") if "b halo" in one.get("class")]
    numbers = [one for one in texts if one.text.isdigit()]
    bars = [one for one in svg.iter(f"{SVG}rect") if one.get("class") == "hol"]
    size = {"f17": 17, "f13": 13}
    places = []
    for one in numbers:
        high = size[one.get("class").split()[0]]
        wide = text_width(one.text, high, "bold")
        x, y = float(one.get("x")), float(one.get("y"))
        places.append((x - wide / 2, y - 0.8 * high, x + wide / 2, y))

    assert sorted(int(one.text) for one in numbers) == sorted([*range(1, len(minutes) + 1), 1])
    for (left, top, right, foot), (l2, t2, r2, f2) in itertools.combinations(places, 2):
        assert right + 2 < l2 or r2 + 2 < left or foot < t2 or f2 < top
    for left, _, right, _ in places:
        assert left >= 0 and right <= width
    for number, (left, top, right, foot) in zip(numbers, places, strict=True):
        for bar in bars:  # a number lies wholly in one bar, or in none
            x, y = float(bar.get("x")), float(bar.get("y"))
            wide, high = float(bar.get("width")), float(bar.get("height"))
            if top < y + high and foot > y:
                is_inside = left > x and right < x + wide
                assert is_inside or right < x or left > x + wide, number.text


def test_where_not_all_numbers_fit_every_second_one_is_left_out():
    svg = drawn(True, (long_lane([1] * 60), BEST))
    numbers = [one.text for one in svg.iter(f"{SVG}text") if one.get("class") == "f13 b halo"]
    assert numbers == [str(one) for one in range(1, 60, 4)]


def test_it_says_itself_and_carries_no_style():
    svg = paths_svg((YOURS, BEST), "p")

    assert drawn().get("aria-label") == (
        "Your <path>: 3 tests, 16 minutes. Best path: 1 test, 8 minutes"
    )
    assert "style=" not in svg and "<script" not in svg


def test_ticks_do_not_crowd_on_a_phone():
    places = [
        float(one.get("x")) for one in drawn(is_narrow=True).iter(f"{SVG}text")
        if re.fullmatch(r"\d+( min)?", one.text or "") and "t2" in one.get("class", "")
    ]  # fmt: skip

    assert min(b - a for a, b in itertools.pairwise(places)) > 40
    empty = drawn(lanes=(Lane(title="Yours", bars=()), BEST))
    assert empty.get("aria-label").startswith("Yours: 0 tests, 0 minutes")
