"""The drawing of a fuse against its wire: to scale, classes only, and the same facts as rows."""

import re
from xml.etree import ElementTree

import pytest

from witnessmark.papers.fuse_drawing import fuse_legend, fuse_svg
from witnessmark.papers.fuse_table import Mark, fuse_table
from witnessmark.papers.glyph_widths import text_width
from witnessmark.wiring.ampacity import Place
from witnessmark.wiring.fuses import FuseKind, fuse_of
from witnessmark.wiring.heating import heating_of
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.protection import Guard, check_protection
from witnessmark.wiring.sizes import parse_size

LOAD = Mark(words="load", current_a=8)
STALL = Mark(words="held still", current_a=18.9)


def pair(size, key, rating_a, kind=FuseKind.STANDARD, **place):
    wire = heating_of(parse_size(size), insulation(key), Place(**place))
    return check_protection(fuse_of(kind, rating_a), wire)


GOOD = pair("16 AWG", "pvc-105", 10)
SLOW = pair("14 AWG", "pvc-80", 20)
BAD = pair("14 AWG", "pvc-80", 30)
LATE = pair("14 AWG", "pvc-105", 35)
LARGE = pair("10 mm2", "xlpe-125", 60, FuseKind.LARGE, temperature_c=60.0, wires=4)
PAIRS = [GOOD, SLOW, BAD, LATE, LARGE]


def drawings():
    for number, found in enumerate(PAIRS):
        for is_narrow in (False, True):
            yield fuse_svg(found, [LOAD, STALL], is_narrow=is_narrow, name=f"h{number}")


def parts(svg, tag):
    return [one for one in ElementTree.fromstring(svg).iter() if one.tag == tag]


def words(svg):
    return ["".join(text.itertext()) for text in parts(svg, "text")]


@pytest.mark.parametrize("svg", list(drawings()))
def test_a_drawing_is_well_formed_and_carries_no_style(svg):
    drawn = ElementTree.fromstring(svg)
    assert drawn.tag == "svg"
    assert "style" not in svg
    assert not re.search(r"#[0-9a-f]{3,6}\b", svg.replace("url(#", ""))
    assert "nan" not in svg and "inf" not in svg
    assert drawn.get("role") == "img" and "Opening times of the" in drawn.get("aria-label")


@pytest.mark.parametrize("found", PAIRS)
def test_the_legend_explains_what_is_drawn_and_nothing_else(found):
    svg, legend = fuse_svg(found, [LOAD, STALL], name="h"), fuse_legend(found, [LOAD, STALL])
    assert ("Hatched" in legend) is ('fill="url(#h)"' in svg)
    slow = any(path.get("stroke-dasharray") == "5 4" for path in parts(svg, "path"))
    assert ("Dashed shape" in legend) is slow
    assert ("Thick line" in legend) is ('class="wirel"' in svg)


def test_a_pair_that_protects_has_no_hatch_to_explain():
    assert "Hatched" not in fuse_legend(GOOD) and "Dashed" not in fuse_legend(GOOD)
    assert "Hatched" in fuse_legend(BAD) and "Dashed" in fuse_legend(SLOW)


@pytest.mark.parametrize("svg", list(drawings()))
def test_nothing_is_drawn_outside_of_the_sheet(svg):
    _, _, width, height = map(float, ElementTree.fromstring(svg).get("viewBox").split())
    for path in parts(svg, "path"):
        if path.get("class") == "hatl":
            continue
        for x, y in re.findall(r"[ML]([-\d.]+) ([-\d.]+)", path.get("d")):
            assert 0 <= float(x) <= width and 0 <= float(y) <= height
    for text in parts(svg, "text"):
        kinds = text.get("class").split()
        face = ("narrow" if "nr" in kinds else "regular") + ("_bold" if "b" in kinds else "")
        wide = text_width(text.text, 15, face.replace("regular_bold", "bold"))
        start = float(text.get("x"))
        start -= {"end": wide, "middle": wide / 2}.get(text.get("text-anchor"), 0)
        assert start >= 0 and start + wide <= width
        if text.text in ("Fuse opens", "Wire is hurt"):
            assert start > 50  # clear of the scale


@pytest.mark.parametrize("svg", list(drawings()))
def test_no_flag_stands_on_another(svg):
    flags = [text for text in parts(svg, "text") if re.search(r" [\d.]+ A$", text.text or "")]
    boxes = [
        (float(text.get("y")), float(text.get("x")), text_width(text.text, 15, "narrow_bold"))
        for text in flags
    ]
    assert len(boxes) == 4
    for at, (y, x, wide) in enumerate(boxes):
        for other_y, other_x, _ in boxes[at + 1 :]:
            assert abs(y - other_y) >= 20 or x + wide < other_x


def test_where_it_does_not_protect_is_a_shape_and_a_word():
    for found, is_hatched, word in (
        (GOOD, False, None),
        (SLOW, False, "Slow overload"),
        (BAD, True, "Not protected"),
        (LATE, True, "Not protected"),
    ):
        svg = fuse_svg(found, name="x")
        assert ('fill="url(#x)"' in svg) == is_hatched
        assert [one for one in words(svg) if one in ("Slow overload", "Not protected")] == (
            [word] if word else []
        )


def test_the_slow_overload_is_dashed_and_not_hatched():
    svg = fuse_svg(SLOW)
    assert svg.count('stroke-dasharray="5 4"') == 2  # the region, and the frame of its word


def test_the_curves_are_named_and_the_currents_flagged():
    said = words(fuse_svg(GOOD, [LOAD, STALL]))
    for word in ("Fuse opens", "Wire is hurt", "load 8 A", "held still 18.9 A", "wire bears 25 A"):
        assert word in said


def scale(svg, words_of_tick):
    """Where the tick of a scale stands."""
    (text,) = [one for one in parts(svg, "text") if one.text == words_of_tick]
    return text


@pytest.mark.second_way("logarithmic scales by hand: twice a factor of 60, twice a factor of 2")
def test_times_and_currents_stand_to_scale():
    svg = fuse_svg(GOOD, [LOAD])
    second, minute, hour = (float(scale(svg, words).get("y")) for words in ("1 s", "1 min", "1 h"))
    assert abs((second - minute) - (minute - hour)) < 0.2  # 60 and 60
    ten, twenty, fifty, hundred = (
        float(scale(svg, words).get("x")) for words in ("10", "20", "50", "100")
    )
    assert abs((twenty - ten) - (hundred - fifty)) < 0.2  # both a factor of two


@pytest.mark.second_way("log10 of 1.35 of a decade, by hand")
def test_the_band_begins_to_open_for_sure_where_the_standard_says():
    svg = fuse_svg(GOOD, [LOAD])
    ten, hundred = (float(scale(svg, words).get("x")) for words in ("10", "100"))
    sure = ten + (hundred - ten) * 0.13033  # log10 of 1.35
    assert re.search(rf"M{sure:.0f}(\.\d)? ", svg) or re.search(rf"M{sure:.1f} ", svg)


def test_the_table_says_what_the_drawing_shows():
    rows = {row.words: row for row in fuse_table(BAD, [LOAD])}
    assert rows["load"].verdict == "protected"
    assert rows["1.35 times the rating"].opens == "0.75 s to 30 min"
    assert rows["1.35 times the rating"].verdict == "not protected"
    assert rows["6 times the rating"].verdict == "protected"
    currents = [float(row.current.removesuffix(" A")) for row in fuse_table(BAD, [LOAD])]
    assert currents == sorted(currents)


def test_the_table_names_the_slow_overload():
    slow = [row.verdict for row in fuse_table(SLOW, [Mark(words="x", current_a=26)])]
    assert "slow overload" in slow and "not protected" not in slow
    assert SLOW.guard is Guard.SLOW


def test_a_sentence_for_whoever_cannot_see_it():
    label = ElementTree.fromstring(fuse_svg(BAD)).get("aria-label")
    assert "does not protect 14 AWG" in label
