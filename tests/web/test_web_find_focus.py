"""What Find draws follows the next test, then the complaints told: its way is the strong one."""

from importlib import resources

import pytest

from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.observations import Observation, parse_test_key
from witnessmark.networks import pieces_of
from witnessmark.papers.circuit import Overlay, focus_of
from witnessmark.sheets.circuit import read_circuit
from witnessmark.web.find_drawing import drawings, views_of

HEADLAMPS = resources.files("witnessmark") / "examples" / "circuits" / "headlamps.toml"


@pytest.mark.parametrize(
    ("told", "loads"),
    [(("dim",), "L1"), (("dim", "right-dark"), "L2 and L1"), (("right-dark", "dim"), "L1 and L2")],
)
def test_the_complaint_told_last_is_drawn_strong(told, loads):
    circuit = read_circuit(HEADLAMPS.read_text("utf-8"), "headlamps.toml")
    complaints = tuple(Observation(complaint=key, source="here") for key in told)
    drawn = drawings(circuit, find_run(circuit, complaints), complaints)

    assert f"Circuit of {loads}: supply at the top" in drawn["views"].wide
    first = next(row.name for row in drawn["points_table"] if row.words.endswith("lamp +"))
    ways = {"L1": "left", "L2": "right"}
    point = circuit.point(first)
    assert ways[loads[:2]] in point.words


@pytest.mark.parametrize(
    ("place", "state", "strong"),
    [("left low beam +", "low", "LL"), ("horn +", "horn", "HN"), ("body panel", "low", "LL")],
)
def test_the_way_that_the_test_lies_on_is_drawn_strong(place, state, strong):
    """Of a dim lamp and a silent horn: a probe at the lamp stands on the volts of its own way."""
    path = HEADLAMPS.parent / "body-front.toml"
    circuit = read_circuit(path.read_text("utf-8"), path.name)
    said = [Observation(complaint=key) for key in ("left-dim", "silent")]
    (letter,) = [point.letter for point in circuit.points if point.words == place]

    for told in (said, said[::-1]):
        views = views_of(circuit, told, Overlay(), (letter,), state)
        assert f"Circuit of {strong} and " in views.wide
        assert letter in {row.name for row in views.points}


def test_the_place_of_the_advised_test_is_drawn_wherever_it_lies():
    """Whatever the advice asks next, with a complaint told and with none."""
    outside = 0
    for sheet in (
        HEADLAMPS,
        *(HEADLAMPS.parent / f"{one}.toml" for one in ("brake-lamps", "horn")),
    ):
        circuit = read_circuit(sheet.read_text("utf-8"), sheet.name)
        for complaint in (*circuit.complaints[:2], None):
            told = (Observation(complaint=complaint.key, source="here"),) if complaint else ()
            found = find_run(circuit, told)
            if found.next_test is None:
                continue
            test = parse_test_key(found.next_test.key)
            troubles = [(complaint.load, complaint.state)] if complaint else _first(circuit)
            alone = focus_of(circuit, troubles)
            if alone is None:
                continue
            places = {one for one in (test.point, test.reference, test.part) if one}
            outside += not places <= _drawn(circuit, alone)
            assert found.state == test.state or not test.state
            focus = focus_of(circuit, troubles, places, found.state)
            assert places <= _drawn(circuit, focus), (sheet.name, found.next_test.key)
            page = drawings(circuit, found, told)["views"].wide
            assert all(f">{place}<" in page for place in places), (sheet.name, places)
    assert outside  # the case is there


def _first(circuit):
    return [(one.load, one.state) for one in circuit.complaints[:1]]


def _drawn(circuit, focus):
    parts = {piece.part for piece in pieces_of(circuit) if piece.name in focus.branches}
    runs = (focus.main, *focus.others)
    return parts | {point for run in runs for point in run.points} | {"BAT"}
