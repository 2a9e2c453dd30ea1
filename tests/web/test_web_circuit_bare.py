"""Bare numbers in the table of a circuit, points typed as letters, and one fact said once."""

import html
import re

import pytest

from tests.web.test_web_circuit import form, send
from tests.web.test_web_circuit_ground import look
from tests.web.test_web_circuit_todo import ways

TYPED = [
    ("BAT", "battery", "battery +", "battery −", "", ""),
    ("F1", "fuse", "battery +", "B", "15", ""),
    ("W1", "wire", "B", "C", "14 AWG", "2"),
    ("S1", "switch", "C", "D", "", ""),
    ("W2", "wire", "D", "E", "14 AWG", "3"),
    ("L1", "lamp", "E", "F", "55", ""),
    ("W3", "wire", "F", "stud G7", "14 AWG", "1"),
    ("G1", "ground", "stud G7", "", "", ""),
]


@pytest.fixture
def teacher(cast):
    return cast.browser(cast.teacher)


def with_part(at, column, text):
    parts = [list(part) for part in TYPED]
    parts[at][column] = text
    return [tuple(part) for part in parts]


def plain(page):
    return html.unescape(re.sub(r"<[^>]+>", " ", page))


def test_a_bare_wire_size_is_asked_back_at_its_field_and_stays(teacher):
    page = send(teacher, **form(with_part(2, 4, "14"))).content.decode()
    assert 'name="r2.s1" value="14"' in page
    note = plain(page.partition('id="n-r2"')[2].partition("</ul>")[0])
    assert "“14” does not say whose size it is." in note
    assert "It may be 14 mm², or 14 AWG, which is 2.08 mm², or SAE 14, which is 1.88 mm²" in note
    assert ("row-r2", "r2.s1", "W1: “14” does not say whose size it is.") in ways(page)
    assert "The sheet is whole" not in page


def test_a_bare_number_of_one_unit_shows_what_was_taken(teacher):
    page = send(teacher, **form(TYPED)).content.decode()
    assert "The sheet is whole" in page
    for name, value in (("r1.s1", "15 A"), ("r2.s2", "2 m"), ("r4.s2", "3 m"), ("r5.s1", "55 W")):
        assert f'name="{name}" value="{value}"' in page
    assert 'name="r2.s1" value="14 AWG" placeholder="2.5 mm2" spellcheck' in page  # no unit of one
    assert 'name="r2.s2" value="2 m" placeholder="3 m" data-unit="m"' in page


def test_points_so_far_lists_each_point_once_and_a_letter_once(teacher):
    said = look(teacher, form(TYPED)).partition("<h2>Points so far</h2>")[2].partition("</ul>")[0]
    points = [" ".join(plain(one).split()) for one in said.split("</li>") if one.strip()]
    assert points == [
        "0 battery −",
        "A battery +",
        "B",
        "C",
        "D",
        "E",
        "F",
        "G stud G7",
    ]


def test_that_nothing_is_switched_on_is_said_once_and_not_called_done(teacher):
    sent = form(TYPED) | {"s1.name": "", "s1.words": "", "s1.set": "", "refused": "yes"}
    side = look(teacher, sent)
    assert side.count("No state switches anything on yet.") == 1
    assert "No current flows through" not in side
    assert "runs in no state" not in side
    assert "can go into the Library" not in side
    assert "Look first at what the check asks, beside the table." in side


@pytest.mark.parametrize(("at", "text"), [(5, "550 W"), (1, "3 A")])
def test_a_fuse_that_blows_is_the_only_thing_told(teacher, at, text):
    side = look(teacher, form(with_part(at, 4, text)))
    look_at = side.partition("<h3>Look at this</h3>")[2].partition("</ul>")[0]
    (told,) = re.findall(r'<li class="look">([^<]+)</li>', look_at)
    assert told == "F1 blows with the lamp on. Look at its rating and at what it feeds."


def test_a_sheet_of_the_library_says_plainly_what_can_be_done_with_it(teacher):
    sent = form(TYPED)
    answer = send(teacher, do="put", **sent)
    page = answer.content.decode()
    item = answer.redirect_chain[-1][0]
    buttons = dict(re.findall(r'<a class="btn" href="([^"]+)">([^<]+)</a>', page))
    item_id = item.rsplit("/", 1)[-1]
    assert buttons[f"/library/circuit?from={item_id}"] == "Change it"
    assert buttons[f"/library/circuit?copy={item_id}"] == "Copy it for another vehicle"
    assert buttons[f"/library/new?from={item_id}"] == "Put in a changed file"
    changed = teacher.get(f"/library/new?from={item_id}").content.decode()
    assert "<h1>Change Work lamp</h1>" in changed
