"""Where things stand: room for all, the same each time, and half-finished sheets too."""

import itertools
import time
from dataclasses import replace
from xml.etree import ElementTree

import networkx
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests.papers.drawn_circuits import NAMES, battery, circuit, drawn_circuit, names_in, part
from tests.papers.test_papers_circuit_planar import graph_of
from witnessmark.networks import FORMS, Kind
from witnessmark.papers.circuit import draw, layout_of
from witnessmark.papers.circuit.across import label_box
from witnessmark.papers.circuit.layout import laid_out
from witnessmark.papers.circuit.parts import branches_of
from witnessmark.papers.circuit.shapes import SHAPES
from witnessmark.papers.circuit.sketch import sketch_of


@st.composite
def half_finished(draw_value):
    """Any parts at all between a few points; terminals may be left open, names be missing."""
    parts = []
    for number in range(draw_value(st.integers(0, 12))):
        kind = draw_value(st.sampled_from(list(Kind)))
        terminals = [one.key for one in FORMS[kind].terminals] or ["a", "b", "c"]
        ends = [(key, draw_value(st.sampled_from(["", "0", *"ABCDEFG"]))) for key in terminals]
        parts.append(
            part(
                draw_value(st.sampled_from([f"P{number}", f"P{number}", "P0", ""])),
                kind,
                *[(key, end) for key, end in ends if end],
                words=draw_value(st.sampled_from(["", "fan", "ground wire of the left lamp"])),
                positions=(("off", ()), ("low", ("a-b",)), ("high", ("a-c", "b-c"))),
                choices=(("rests", "open"), ("across", draw_value(st.sampled_from(["", "diode"])))),
            )
        )
    return circuit("half finished", *parts)


def boxes(made):
    """Boxes of labels, symbols and lines of a layout, each with what it is."""
    labels, symbols, lines = [], [], []
    for one in made.branches:
        left, top, right, bottom = label_box(one.branch, one.side, made.has_bars)
        labels.append((one.x + left, one.y + top, one.x + right, one.y + bottom, one.branch.key))
        shape = SHAPES[one.branch.symbol]
        symbols.append(
            (
                one.x - shape.left,
                one.y - shape.half,
                one.x + shape.right,
                one.y + shape.half,
                one.branch.key,
            )
        )
    for one in made.points:
        if one.node.letter:
            y = one.y - 6 if one.is_raised else one.y + 5
            labels.append((one.x - 30, y - 11, one.x - 18, y, one.node.letter))
            symbols.append((one.x - 6, one.y - 6, one.x + 6, one.y + 6, one.node.letter))
    lines += [(run.x - 1, run.top, run.x + 1, run.bottom, "run") for run in made.runs]
    lines += [(bar.left, bar.y - 1, bar.right, bar.y + 1, bar.key) for bar in made.bars]
    return labels, symbols, lines


def meet(one, other):
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > 0
        and min(one[3], other[3]) - max(one[1], other[1]) > 0
    )


def must_be_clear(made):
    labels, symbols, lines = boxes(made)
    for one, other in itertools.combinations(labels, 2):
        assert not meet(one, other), (one, other)
    for one, other in itertools.product(labels, symbols + lines):
        assert not meet(one, other), (one, other)
    for one, other in itertools.combinations(symbols, 2):
        assert not meet(one, other), (one, other)


@pytest.mark.parametrize("has_bars", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_stands_on_anything_else(name, has_bars):
    must_be_clear(layout_of(drawn_circuit(name), has_bars=has_bars, has_words=has_bars))


@settings(max_examples=60, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(half_finished())
def test_a_half_finished_circuit_is_drawn_as_far_as_it_goes(made):
    sketch = sketch_of(made)
    placed = laid_out(sketch)
    tree = ElementTree.fromstring(draw(placed))

    assert len(placed.branches) == len(branches_of(made))
    assert tree.get("role") == "img"
    must_be_clear(placed)
    if networkx.check_planarity(graph_of(sketch))[0]:
        assert placed.crossings == 0


@pytest.mark.parametrize("name", NAMES)
def test_every_part_and_every_letter_of_a_sheet_is_drawn(name):
    made = drawn_circuit(name)
    words = names_in(draw(layout_of(made)))

    assert {part.name for part in made.parts} <= words
    assert {point.letter for point in made.lettered} <= words


def test_a_branch_that_lies_above_another_on_the_sheet_stands_above_it():
    placed = {one.branch.key: one.y for one in layout_of(drawn_circuit("fan.toml")).branches}
    way = ["F12", "K3.contact", "W1", "C4", "Fan", "S9", "W2", "G7"]

    assert sorted(way, key=placed.__getitem__) == way
    assert placed["K3.coil"] == pytest.approx(placed["K3.contact"])


def test_the_pin_of_a_module_stands_above_its_ground():
    placed = {one.branch.key: one for one in layout_of(drawn_circuit("charging")).branches}

    assert not placed["V5"].is_turned
    assert not placed["PU"].is_turned
    assert placed["SEN"].y < placed["W_S"].y


def test_the_second_time_comes_at_once():
    made = drawn_circuit("body")
    laid_out.cache_clear()
    before = time.process_time()
    first = layout_of(made)
    worked = time.process_time() - before

    assert len(made.parts) > 50
    assert worked < 1
    assert layout_of(replace(made, note="said otherwise")) is first


def test_a_part_more_leaves_every_letter_where_it_was():
    made = drawn_circuit("charging")
    more = circuit("charging", *made.parts, part("H2", Kind.HEATER, ("from", "A"), ("to", "0")))
    letters = {one.node.key: one.node.letter for one in layout_of(made).points}

    assert (
        letters.items() <= {one.node.key: one.node.letter for one in layout_of(more).points}.items()
    )


def test_a_long_chain_of_forks_is_no_trouble():
    links = [
        part(f"W{at}", Kind.WIRE, ("from", f"n{at}"), ("to", f"n{at + 1}")) for at in range(60)
    ]
    stubs = [part(f"L{at}", Kind.LAMP, ("from", f"n{at}")) for at in range(60)]
    made = layout_of(circuit("comb", battery(plus="n0"), *links, *stubs))

    assert made.crossings == 0
