"""The drawings of a fit: to scale, classes only, and the same facts as rows."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

import witnessmark
from witnessmark.fitting.report import judge_fit
from witnessmark.metrology import Place, Reading, Verdict
from witnessmark.papers.block import block_svg, block_table
from witnessmark.papers.gauge import axis_for, axis_svg, gauge_svg, gauge_table, verdict_glyph
from witnessmark.papers.oil_clock import oil_clock_svg, oil_clock_table
from witnessmark.quantities import parse
from witnessmark.sheets.assembly import read_assembly
from witnessmark.sheets.readings import read_readings

EXAMPLES = Path(witnessmark.__file__).parent / "examples"
ASSEMBLY = read_assembly((EXAMPLES / "assemblies/training-six.toml").read_text("utf-8"), "sheet")
READINGS = read_readings((EXAMPLES / "readings/training-six.csv").read_text("utf-8"), "r", ASSEMBLY)
REPORT = judge_fit(ASSEMBLY, READINGS)
AXIS = axis_for(REPORT.rows)


def drawings():
    yield axis_svg(AXIS)
    yield from (gauge_svg(row, AXIS) for row in REPORT.rows)
    yield from (oil_clock_svg(hole, f"c{n}") for n, hole in enumerate(REPORT.holes))
    yield block_svg(ASSEMBLY)
    yield block_svg(ASSEMBLY, {"2": "3", "3": "2"}, is_narrow=True)
    yield from (verdict_glyph(verdict) for verdict in Verdict)


@pytest.mark.parametrize("svg", list(drawings()))
def test_a_drawing_is_well_formed_and_carries_no_style(svg):
    drawn = ElementTree.fromstring(svg)
    assert drawn.tag == "svg"
    assert "style" not in svg
    assert not re.search(r"#[0-9a-f]{3,6}\b", svg.replace("url(#", ""))
    assert "nan" not in svg and "inf" not in svg


@pytest.mark.parametrize("svg", list(drawings()))
def test_a_drawing_says_its_facts_or_is_hidden_from_a_reader(svg):
    drawn = ElementTree.fromstring(svg)
    assert drawn.get("aria-hidden") == "true" or len(drawn.get("aria-label")) > 20


def centre(svg):
    """Where the point of a bar stands, whatever its shape."""
    found = re.search(r'cx="(\d+)" cy="24"|M(\d+) 15l9 9', svg)
    return int(found[1] or found[2])


def test_the_scale_runs_from_edge_to_edge():
    assert (AXIS.x(AXIS.start), AXIS.x(AXIS.end)) == (18, 402)
    assert AXIS.start < 60 and AXIS.end > 124 + 8


def test_bars_stand_to_scale_between_their_brackets():
    bars = [gauge_svg(row, AXIS) for row in REPORT.rows]
    places = [centre(bar) for bar in bars]
    lower, upper = AXIS.x(60), AXIS.x(110)
    per_micrometre = (upper - lower) / 50
    for place, size in zip(places, [82, 91, 105, 124], strict=True):
        assert abs(place - (lower + (size - 60) * per_micrometre)) <= 1
    assert all(f"M{lower + 7:.0f} 5H{lower:.0f}V43" in bar for bar in bars)
    assert all(
        f"M{AXIS.x(row.sure[1]):.0f} 12V36" in bar
        for row, bar in zip(REPORT.rows, bars, strict=True)
    )


def test_each_verdict_has_its_own_shape_and_class():
    bars = [gauge_svg(row, AXIS) for row in REPORT.rows]
    assert [re.search('class="ub v (.*?)"', bar)[1] for bar in bars] == [
        "within",
        "within",
        "close",
        "outside",
    ]
    assert "circle" in bars[0] and "hol" not in bars[0]
    assert "hol" in bars[2]
    assert "circle" not in bars[3] and "9 9-9 9-9-9z" in bars[3]


def test_a_bar_far_off_stays_on_the_paper_with_an_arrow():
    place = Place(characteristic="bush-bore", position="4")
    far = Reading(id="x", place=place, quantity=parse("52.376 mm"), instrument="bore-gauge")
    others = [reading for reading in READINGS if reading.place != place]
    rows = judge_fit(ASSEMBLY, [*others, far]).rows
    axis = axis_for(rows)
    assert 350 < centre(gauge_svg(rows[3], axis)) <= 420
    assert abs(centre(gauge_svg(rows[0], axis)) - centre(gauge_svg(rows[1], axis))) > 5
    assert "16L" in gauge_svg(rows[3], axis)


def test_the_table_says_what_the_bars_say():
    third = gauge_table(REPORT.rows)[2]
    assert (third.title, third.size, third.plus_minus) == ("Bearing 3", "105 µm", "± 8 µm")
    assert (third.limit, third.chance, third.verdict) == (
        "60 to 110 µm",
        "89%",
        "too close to call",
    )
    assert third.sure == "66.8 to 103.2 µm"


@pytest.mark.second_way("150 px for the radius of the bore, holes by the same scale, 150° by hand")
def test_the_oil_clock_shows_both_holes_at_true_scale():
    hole = REPORT.holes[2]
    svg = oil_clock_svg(hole)
    circles = [float(r) for r in re.findall(r'<circle cx="[\d.]+" cy="[\d.]+" r="([\d.]+)"', svg)]
    scale = 150 / hole.bearing.radius_mm
    assert any(abs(r - 2.5 * scale) < 0.1 for r in circles)
    assert any(abs(r - 3.25 * scale) < 0.1 for r in circles)
    # the drilling at 5 o'clock: right of the middle and below it
    assert 'cx="275.0" cy="329.9"' in svg
    assert ">31%<" in svg and "8° late" in svg
    assert ">5<" not in svg and ">12<" in svg  # the hole covers the 5


def test_every_feed_of_a_bush_stands_in_the_table():
    lines = oil_clock_table(REPORT.holes[1])
    assert [line.name for line in lines] == ["oil feed", "rocker riser"]
    third = oil_clock_table(REPORT.holes[2])[0]
    assert third.drilling == "5 mm at 5 o’clock"
    assert (third.open_now, third.allowed, third.verdict) == ("31%", "−4° to 4°", "outside")


def test_the_block_names_a_bush_that_lies_wrong():
    svg = block_svg(ASSEMBLY, {"1": "1", "2": "3", "3": "2", "4": "4"})
    assert "bush 3 lies here" in svg and "bush 2 lies here" in svg
    assert "lies here" not in block_svg(ASSEMBLY, {"1": "1"})
    assert [line.lies for line in block_table(ASSEMBLY, {"1": "1"})][:2] == [
        "bush 1",
        "not looked at",
    ]


def test_larger_bores_are_drawn_taller():
    heights = [int(tall) for tall in re.findall(r'height="(\d+)"', block_svg(ASSEMBLY))]
    assert heights == sorted(heights, reverse=True)
    assert len(set(heights)) == 4
