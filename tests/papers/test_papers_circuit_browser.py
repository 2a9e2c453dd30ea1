"""Drawings measured in Chromium: no label on a label, a symbol or a line."""

import pytest

from tests.papers.drawn_circuits import NAMES, drawn_circuit
from tests.papers.drawn_page import CLASHES, chromium, page_with
from witnessmark.papers.circuit import Overlay, Reading, draw, layout_of

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def browser():
    with chromium() as opened:
        yield opened


def full_overlay(circuit, conducts):
    """Everything that can be drawn over a circuit at once."""
    letters = [point.key for point in circuit.lettered]
    return Overlay(
        conducts=conducts,
        belief={part.name: 0.27 for part in circuit.parts[::2]},
        ranks={part.name: at for at, part in enumerate(circuit.parts[1::2], 1)},
        points={key: Reading(healthy_v=12.4, read="12.4 V") for key in letters[::2]},
        probe=letters[len(letters) // 2] if letters else "",
        supply_v=12.6,
    )


@pytest.mark.parametrize("name", NAMES)
def test_no_label_stands_on_a_label_a_symbol_or_a_line(name, browser, tmp_path):
    circuit = drawn_circuit(name)
    words = layout_of(circuit, has_bars=True, has_words=True)
    closed = frozenset(one.branch.key for one in words.branches)
    drawings = [draw(layout_of(circuit)), draw(words, full_overlay(circuit, closed))]
    page = page_with(browser, tmp_path, drawings)

    assert page.evaluate(CLASHES) == []
    page.close()


@pytest.mark.parametrize("at", range(3))
def test_the_probe_finds_room_at_every_point(at, browser, tmp_path):
    circuit = drawn_circuit(NAMES[at])
    layout = layout_of(circuit, has_bars=True)
    belief = {part.name: 1.0 for part in circuit.parts}
    drawings = [draw(layout, Overlay(belief=belief, probe=point.key)) for point in circuit.lettered]
    page = page_with(browser, tmp_path, drawings)

    assert page.evaluate(CLASHES) == []
    page.close()


def test_the_look_sees_what_is_squeezed_together(browser, tmp_path):
    squeezed = draw(layout_of(drawn_circuit("body"))).replace('text-anchor="end"', "")
    page = page_with(browser, tmp_path, [squeezed])

    assert len(page.evaluate(CLASHES)) > 10
    page.close()
