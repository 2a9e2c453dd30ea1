"""The timetable as a drawing, as table rows and as a list by day."""

import re
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

import witnessmark
from witnessmark.papers.timetable import make_timetable
from witnessmark.papers.timetable_drawing import promise_lines, timetable_svg
from witnessmark.planning import solve_week
from witnessmark.sheets.week import read_week

EXAMPLE = Path(witnessmark.__file__).parent / "examples/weeks/skerry-point-two-weeks.toml"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def planned():
    problem = read_week(EXAMPLE.read_text(encoding="utf-8"), EXAMPLE.name)
    return problem, solve_week(problem, seconds=1).sittings


def drawn(timetable):
    text = timetable_svg(timetable)
    return ElementTree.fromstring(text.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" '))


def boxes(root):
    return [one for one in root.iter(f"{SVG}rect") if "pl-box" in one.get("class")]


def test_each_sitting_is_one_box_and_each_hold_one_mark(planned):
    problem, sittings = planned
    timetable = make_timetable(problem, sittings)
    root = drawn(timetable)
    holds = [one for one in sittings if one.hold_min]
    assert len(boxes(root)) == len(sittings)
    assert sum("pl-hold" in one.get("class") for one in root.iter(f"{SVG}rect")) == len(holds)
    threads = [one for one in root.iter(f"{SVG}path") if one.get("class") == "pl-thread"]
    assert len(threads) == len(holds) == len(timetable.holds)


def test_boxes_of_the_drawing_never_lie_on_each_other(planned):
    problem, sittings = planned
    spots = [
        tuple(float(box.get(key)) for key in ("x", "y", "width", "height"))
        for box in boxes(drawn(make_timetable(problem, sittings)))
    ]
    for at, (x, y, width, height) in enumerate(spots):
        assert width > 0
        for other_x, other_y, other_width, other_height in spots[at + 1 :]:
            apart_x = x + width <= other_x or other_x + other_width <= x
            apart_y = y + height <= other_y or other_y + other_height <= y
            assert apart_x or apart_y


def test_marks_on_the_teacher_line_keep_their_order_and_do_not_touch(planned):
    problem, sittings = planned
    root = drawn(make_timetable(problem, sittings))
    marks = [one for one in root.iter(f"{SVG}rect") if one.get("class") == "pl-hold"]
    lefts = [float(one.get("x")) for one in marks]
    assert lefts == sorted(lefts)
    assert all(b - a > 10 for a, b in pairwise(lefts))


def test_the_drawing_carries_classes_and_no_style(planned):
    problem, sittings = planned
    states = {("J-114", "pump"): "broken", ("J-112", "shoes"): "called"}
    text = timetable_svg(
        make_timetable(problem, sittings, now=datetime(2026, 11, 24, 11, 12), hold_states=states)
    )
    assert "style" not in text
    assert re.search(r'class="gap"', text)
    assert "pl-now" in text
    assert "pl-called" in text
    assert 'aria-label="Plan 24 Nov to 4 Dec:' in text


def test_names_from_a_sheet_cannot_break_the_drawing(planned):
    problem, sittings = planned
    bus = replace(problem.jobs[0], name='<b> & "bus"')
    odd = replace(problem, jobs=(bus, *problem.jobs[1:]))
    words = " ".join(one.text or "" for one in drawn(make_timetable(odd, sittings)).iter())
    assert "<b> &" in words


def test_the_table_says_what_the_drawing_shows(planned):
    problem, sittings = planned
    table = make_timetable(problem, sittings).table()
    assert len(table) == len(sittings)
    pump = next(row for row in table if row.step == "Fit pump, belt")
    assert (pump.day, pump.period, pump.place) == ("Tue 24 Nov", "Period 3", "Bay 1")
    assert re.fullmatch(r"\d\d:\d\d to \d\d:\d\d", pump.clock)
    road = next(row for row in table if row.step == "Road test")
    assert road.place == ""


def test_the_list_by_day_holds_every_line_once(planned):
    problem, sittings = planned
    timetable = make_timetable(problem, sittings)
    lines = [line for day in timetable.days() for part in day.parts for line in part.lines]
    assert lines == list(timetable.table())
    assert timetable.days()[0].parts[0].clock == "10:40 to 12:00"


def test_promises_are_said_against_the_planned_finish(planned):
    problem, sittings = planned
    last = next(one for one in sittings if (one.job, one.step) == ("J-112", "test"))
    late = tuple(
        replace(one, day=date(2026, 12, 3), number=3) if one is last else one for one in sittings
    )
    said = {row[0]: row for row in promise_lines(make_timetable(problem, late))}
    assert said["Tow tractor"][1] == "Mon 30 Nov"
    assert said["Tow tractor"][2].startswith("Thu 3 Dec, ")
    assert said["Tow tractor"][3] == "3 periods late"
    assert said["Training six"][3] == "no promise"
    left = tuple(one for one in sittings if one is not last)
    said = {row[0]: row for row in promise_lines(make_timetable(problem, left))}
    assert said["Tow tractor"][2:] == ("after these weeks", "not done in these weeks, too late")


def test_a_promise_after_these_weeks_is_in_time(planned):
    problem, sittings = planned
    bus = replace(problem.jobs[0], promised=problem.periods[-1].day + timedelta(days=3))
    later = replace(problem, jobs=(bus, *problem.jobs[1:]))
    promise = make_timetable(later, sittings).promises[0]
    assert promise.words == "in time"
    assert promise.flag == "Mon 7 Dec"
