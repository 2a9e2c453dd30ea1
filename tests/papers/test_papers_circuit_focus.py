"""The focus of a complaint: what is drawn of it, what stands beside it, and its tables."""

import re
from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest

from tests.papers.drawn_circuits import LONG, SHEETS, drawn_circuit, names_in
from tests.papers.drawn_page import CLASHES, chromium, page_with
from witnessmark.diagnosis.words import percent_words
from witnessmark.networks import BATTERY_MINUS
from witnessmark.papers.circuit import (
    Overlay,
    Reading,
    conducting,
    draw,
    draw_focus,
    draw_narrow,
    focus_of,
    layout_of,
)
from witnessmark.papers.circuit.focus_drawing import focus_layout
from witnessmark.papers.circuit.parts import branches_of
from witnessmark.papers.circuit.shapes import label_of, words_of
from witnessmark.papers.circuit.sketch import sketch_of
from witnessmark.papers.circuit.table import belief_rows, part_rows, point_rows
from witnessmark.papers.glyph_widths import fitted, in_lines, squeezed, text_width, wrapped

CASES = {
    "fan": ("fan.toml", [("Fan", "run")]),
    "starting": ("starting.toml", [("M1", "crank")]),
    "both lamps": ("headlamps.toml", [("L1", "head"), ("L2", "head")]),
    "horn": ("horn.toml", [("H1", "press")]),
    "long names": ("long_names", [(LONG["Fan"], "run")]),
}


@pytest.fixture(params=CASES.values(), ids=CASES)
def case(request):
    """A circuit, its focus, and an overlay with all that Find draws."""
    name, troubles = request.param
    circuit = drawn_circuit(name)
    focus = focus_of(circuit, troubles)
    letters = [point.letter for point in circuit.lettered]
    points = {
        letter: Reading(healthy_v=12.6 * (1 - at / len(letters)), span_v=(1.4, 5.2))
        for at, letter in enumerate(letters)
    }
    points[letters[1]] = replace(points[letters[1]], read="12.45 V", read_v=12.45)
    return (
        circuit,
        focus,
        Overlay(
            conducts=conducting(circuit, troubles[0][1]),
            belief={part.name: 0.03 for part in circuit.parts},
            points={BATTERY_MINUS: Reading(healthy_v=0.0)} | points,
            probe=letters[3],
            supply_v=12.6,
            why=("1.4 to 5.2 V if G7 or S9", "0.1 V if the fan"),
        ),
    )


def test_the_way_of_a_load_and_its_coils_are_the_focus():
    focus = focus_of(drawn_circuit("fan.toml"), [("Fan", "run")])

    way = ["F12", "K3.contact", "W1", "C4", "Fan", "S9", "W2", "G7"]
    assert list(focus.main.pieces) == way
    assert focus.branches == {*way, "S2", "K3.coil"}
    assert [run.pieces for run in focus.others] == [("S2", "K3.coil")]


def test_a_second_load_adds_only_what_is_its_own():
    focus = focus_of(drawn_circuit("headlamps.toml"), [("L1", "head"), ("L2", "head")])

    assert ("W4", "C2", "L2", "W6") in [run.pieces for run in focus.others]
    drawn = [piece for run in (focus.main, *focus.others) for piece in run.pieces]
    assert sorted(drawn) == sorted(focus.branches)


def test_what_is_left_out_is_counted_at_its_point():
    circuit = drawn_circuit("headlamps.toml")
    focus = focus_of(circuit, [("L1", "head")])
    more = {one.node.letter: one.node.more for one in focus_layout(circuit, focus).points}

    assert more["B"] == 1  # the fuse of the side lamp
    assert more["K"] == 2  # the ground wire of the right lamp, and the side lamp
    assert more["C"] == 0


def test_letters_are_those_of_the_sheet_however_narrow_the_view(case):
    circuit, focus, _ = case
    letters = {point.key: point.letter for point in circuit.points[1:]}

    for layout in (layout_of(circuit), focus_layout(circuit, focus)):
        for one in layout.points:
            if one.node.key != BATTERY_MINUS:
                assert one.node.letter == letters[one.node.key]


def places(svg):
    """Where the names of parts and the letters stand."""
    return re.findall(r'<text x="([\d.]+)" y="([\d.]+)"[^>]* class="f15 b[^"]*">([^<]+)<', svg)


def test_the_picture_stays_when_readings_beliefs_and_the_probe_change(case):
    circuit, focus, overlay = case
    bare = draw_focus(circuit, focus, Overlay(supply_v=12.6))
    names = {*(part.name for part in circuit.parts), *(p.letter for p in circuit.lettered)}
    names -= {"BAT", LONG["BAT"], "A"}  # the battery's belief comes beside the rail

    for point in circuit.lettered:
        full = draw_focus(circuit, focus, replace(overlay, probe=point.letter))
        assert {one for one in places(bare) if one[2] in names} <= set(places(full))


def test_every_part_of_the_focus_and_every_reading_is_drawn(case):
    circuit, focus, overlay = case
    parts = {key.partition(".")[0] for key in focus.branches}

    for svg in (draw_focus(circuit, focus, overlay), draw_narrow(circuit, focus, overlay)):
        assert parts <= names_in(svg)
        assert svg.count('class="probe"') >= 1
        assert svg.count('class="span"') > 2
    assert "12.45 V" in draw_narrow(circuit, focus, overlay)


def test_the_next_test_is_marked_at_its_point_or_on_its_part(case):
    circuit, focus, overlay = case
    lead = next(key.partition(".")[0] for key in focus.main.pieces)
    on_part = replace(overlay, probe="", part=lead)

    for drawing in (draw_focus, draw_narrow):
        assert drawing(circuit, focus, overlay).count('<g class="probe"') >= 1
        assert drawing(circuit, focus, on_part).count('<rect class="probe"') == 1
        assert '<g class="probe"' not in drawing(circuit, focus, on_part)


def test_a_phone_holds_the_narrow_drawing_without_scrolling(case):
    circuit, focus, overlay = case
    width = float(
        ElementTree.fromstring(draw_narrow(circuit, focus, overlay)).get("viewBox").split()[2]
    )

    assert width <= 390 - 2 * 16


def test_contacts_stand_as_they_do_in_the_state_that_is_shown():
    circuit = drawn_circuit("fan.toml")
    off, run = conducting(circuit, "off"), conducting(circuit, "run")

    assert run - off == {"S2", "K3.contact"}
    layout = layout_of(circuit)
    at_rest = draw(layout)
    assert draw(layout, Overlay(conducts=off)) == at_rest
    assert draw(layout, Overlay(conducts=run)) != at_rest


def test_a_persons_own_order_stands_in_dashed_rings():
    svg = draw(
        layout_of(drawn_circuit("fan.toml"), has_bars=True), Overlay(ranks={"G7": 1, "S9": 2})
    )

    assert svg.count('stroke-dasharray="3 2.6"') == 2
    assert re.findall(r'class="f13 b rank">(\d)<', svg) in (["1", "2"], ["2", "1"])


def test_the_tables_say_what_the_drawing_says(case):
    circuit, focus, overlay = case
    rows = point_rows(circuit, focus, overlay)
    drawn = {one.node.letter for one in focus_layout(circuit, focus).points} - {""}

    assert {row.name for row in rows} == drawn
    assert rows[0].name == "A"
    assert rows[1].suspects == "1.4 to 5.2 V"
    assert [row.belief for row in belief_rows(circuit, overlay)] == ["3%"] * len(circuit.parts)


def test_the_table_of_parts_says_where_each_one_lies():
    rows = {row.name: row for row in part_rows(drawn_circuit("begun"))}

    assert rows["X1"].ends == "not connected"
    assert rows["L1"].ends == "C, at C; D, at D"
    assert rows["F1"].words == "20 A (fuse)"


def test_belief_is_never_shown_as_certain():
    assert percent_words(1) == "over 99%"
    assert percent_words(0) == "under 1%"


def test_words_of_the_author_are_escaped(case):
    circuit, focus, overlay = case
    parts = tuple(replace(part, words="<script>") for part in circuit.parts)
    points = (
        circuit.points[0],
        *(replace(p, words="a & b <i>") for p in circuit.points[1:] if p.letter),
    )
    points += tuple(point for point in circuit.points[1:] if not point.letter)
    hostile = replace(circuit, parts=parts, points=points)

    for svg in (draw_focus(hostile, focus, overlay), draw_narrow(hostile, focus, overlay)):
        assert "<script>" not in svg
        ElementTree.fromstring(svg)


def test_the_drawing_carries_no_style(case):
    circuit, focus, overlay = case
    for svg in (draw_focus(circuit, focus, overlay), draw_narrow(circuit, focus, overlay)):
        for element in ElementTree.fromstring(svg).iter():
            assert "style" not in element.attrib
            assert not any(name.startswith("on") for name in element.attrib)


def test_a_text_is_cut_to_its_room():
    cut = fitted("a very long name of a part", 17, "bold", 80)

    assert cut.endswith("…")
    assert text_width(cut, 17, "bold") <= 80
    lines = wrapped("one two three four five six", 15, "narrow", 60, 2)
    assert len(lines) == 2
    assert all(text_width(line, 15, "narrow") <= 60 for line in lines)


def test_a_name_takes_the_lines_it_needs_and_loses_its_middle_only_where_it_is_longer_still():
    assert in_lines("Feed wire of the left blower", 15, "narrow_bold", 118, 4) == (
        "Feed wire of the left",
        "blower",
    )
    assert in_lines("K3", 15, "narrow_bold", 118, 4) == ("K3",)
    assert in_lines("", 15, "narrow_bold", 118, 4) == ()
    whole = "Connector_between_loom_and_blower"
    lines = in_lines(whole, 15, "narrow_bold", 118, 4)
    assert "".join(lines) == whole and all(line.endswith("_") for line in lines[:-1])
    far = in_lines(LONG["S9"] * 2, 15, "narrow_bold", 118, 4)
    assert len(far) == 4 and far[0].startswith("Splice") and far[-1].endswith("has it")
    assert [line for line in far if "…" in line] == [far[-1]]
    for line in (*lines, *far):
        assert text_width(line, 15, "narrow_bold") <= 118
    short = squeezed("plug of the left blower", 13, "narrow", 90)
    assert short.startswith("plug") and short.endswith("blower") and "…" in short
    assert squeezed("anything", 13, "narrow", 1) == "…"


def test_what_tells_two_parts_or_points_apart_is_never_hidden():
    circuit = drawn_circuit("long_names")
    labels = {one.part: label_of(one, True).names for one in branches_of(circuit)}
    assert len(set(labels.values())) == len(labels) > 7
    for name in (LONG["W1"], LONG["W2"], LONG["Fan"]):
        assert "…" not in "".join(labels[name])
    for one in ("S9", "G7"):  # longer than four lines: the whole comes up under the pointer
        focus = focus_of(circuit, [(LONG["Fan"], "run")])
        for svg in (draw_focus(circuit, focus, Overlay()), draw_narrow(circuit, focus, Overlay())):
            assert f"<title>{LONG[one]}, " in svg
    assert LONG["S9"] in [row.name for row in part_rows(circuit)]
    nodes = [node for node in sketch_of(circuit).nodes if node.letter in "DE" and node.letter]
    assert len({words_of(node) for node in nodes}) == len(nodes) == 2


@pytest.mark.parametrize("name", [sheet.name for sheet in SHEETS])
def test_nothing_is_cut_in_the_sheets_that_ship(name):
    circuit = drawn_circuit(name)
    drawings = [draw(layout_of(circuit))]
    for one in circuit.complaints[:3]:
        focus = focus_of(circuit, [(one.load, one.state)])
        bare = Overlay(supply_v=12.6)
        drawings += [draw_focus(circuit, focus, bare), draw_narrow(circuit, focus, bare)]
    assert not [text for svg in drawings for text in names_in(svg) if "…" in text]


def pairs_as_in(whole, part):
    """How many pairs of runs stand as in the whole from left to right, and how many do not."""
    at = {one.branch.key: one.x for one in whole.branches}
    alike = turned = 0
    for one, other in combinations(part.runs, 2):
        apart = one.x - other.x
        before, after = (np.mean([at[key] for key in run.branches]) for run in (one, other))
        if abs(apart) > 1 and abs(before - after) > 1:
            alike += (apart < 0) == (before < after)
            turned += (apart < 0) != (before < after)
    return alike, turned


@pytest.mark.second_way("where the same branches stand in the drawing of the whole, pair by pair")
@pytest.mark.parametrize("name", [sheet.name for sheet in SHEETS])
def test_the_focus_stands_from_left_to_right_as_the_whole_does(name):
    """Never mirrored; only a way that changes columns in the whole may stand on either side."""
    circuit = drawn_circuit(name)
    whole = layout_of(circuit, has_bars=True)
    told = [(one.load, one.state) for one in circuit.complaints]
    for troubles in (*([one] for one in told), told[:2], told[-2:]):
        focus = focus_of(circuit, troubles)
        layout = focus_layout(circuit, focus)
        alike, turned = pairs_as_in(whole, layout)
        assert turned <= (alike / 3 if name == "headlamps-changeover.toml" else 0)
        assert layout.crossings == 0
        svg = ElementTree.fromstring(draw_focus(circuit, focus, Overlay(supply_v=12.6)))
        assert float(svg.get("width")) <= 1341


def test_where_the_strong_way_is_not_the_last_its_letters_stand_beside_the_volts():
    circuit = drawn_circuit("headlamps.toml")
    focus = focus_of(circuit, [("L1", "head")])
    layout = focus_layout(circuit, focus)
    (main,) = {run.x for run in layout.runs if set(run.branches) & layout.sketch.main}
    assert main < max(run.x for run in layout.runs)
    letters = [one[2] for one in places(draw_focus(circuit, focus, Overlay(supply_v=12.6)))]
    for letter in ("C", "D", "R", "F"):
        assert letters.count(letter) == 2


@pytest.mark.browser
def test_no_label_stands_on_anything_else_wherever_the_probe_is(case, tmp_path):
    circuit, focus, overlay = case
    letters = [key for run in (focus.main, *focus.others) for key in run.points]
    probed = [replace(overlay, probe=key) for key in dict.fromkeys(letters)]
    with chromium() as browser:
        page = page_with(browser, tmp_path, [draw_focus(circuit, focus, one) for one in probed])
        assert page.evaluate(CLASHES) == []
        page.close()
        drawings = [draw_narrow(circuit, focus, one) for one in probed]
        page = page_with(browser, tmp_path, drawings, width=390)
        assert page.evaluate(CLASHES) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.parametrize("name", [sheet.name for sheet in SHEETS])
def test_the_way_to_any_place_in_any_state_can_be_drawn(name):
    """The field of an alternator conducts, and no drawing has it."""
    model = drawn_circuit(name)
    branches = {one.key for one in branches_of(model)}
    first = model.complaints[0]
    for state in model.states:
        for place in (*(one.name for one in model.parts), *(one.key for one in model.points)):
            focus = focus_of(model, [(first.load, first.state)], (place,), state.name)
            assert focus.branches <= branches, (state.name, place)
            assert "<svg" in draw_narrow(model, focus, Overlay())
