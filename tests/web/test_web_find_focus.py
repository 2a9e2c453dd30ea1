"""What Find draws follows the complaints told: the way of the last one is the strong one."""

from importlib import resources

import pytest

from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.observations import Observation
from witnessmark.sheets.circuit import read_circuit
from witnessmark.web.find_drawing import drawings

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
