"""A point whose name is its letter is printed once."""

import re

from networks.made_circuits import battery, lamp, switch
from witnessmark.networks import BATTERY_MINUS, Circuit, Point, State
from witnessmark.papers.circuit import draw, layout_of
from witnessmark.papers.circuit.table import part_rows

CIRCUIT = Circuit(
    name="typed",
    source="made for a test",
    points=(
        Point(letter=BATTERY_MINUS, words="battery −"),
        Point(letter="A", words="battery +"),
        Point(letter="B", words="B"),
        Point(letter="C", words="lamp +"),
    ),
    parts=(
        battery(12.0),
        switch("S1", "A", "B"),
        switch("S2", "B", "C"),
        lamp("L1", "C", BATTERY_MINUS, 21.0),
    ),
    states=(State(name="on", words="the lamp on", closed=frozenset({"S1", "S2"})),),
)


def test_a_letter_stands_once_in_a_drawing_and_other_words_beside_theirs():
    drawn = draw(layout_of(CIRCUIT, has_words=True), title="typed")
    printed = re.findall(r"<text[^>]*>([^<]+)</text>", drawn)
    assert printed.count("B") == 1
    assert printed.count("C") == 1
    assert "lamp +" in printed


def test_a_letter_stands_once_in_the_table_of_parts():
    ends = {row.name: row.ends for row in part_rows(CIRCUIT)}
    assert ends["S1"] == "A, battery +; B"
    assert ends["S2"] == "B; C, lamp +"
