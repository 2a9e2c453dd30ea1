"""Two paths on one scale: where bars stand, what is hatched, what a reader hears."""

import itertools
import re
import xml.etree.ElementTree as ET

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
