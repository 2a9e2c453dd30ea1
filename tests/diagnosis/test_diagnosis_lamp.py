"""Test lamps by Thevenin against the lamp drawn into the circuit and solved."""

import pytest

from diagnosis.lamp_cases import lamps_apart, some_lamps_apart
from diagnosis.sheets_shipped import ALL, SHEETS, circuit
from witnessmark.diagnosis.loading import LED_OHM, LED_V
from witnessmark.diagnosis.thevenin import lamp_volts
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import solve
from witnessmark.sheets.circuit import read_circuit


@pytest.mark.second_way("each lamp drawn into the circuit and the whole solved again")
def test_ten_thousand_lamps_are_within_50_mv_of_a_full_solution():
    every = lamps_apart()

    assert len(every) > 10_000
    assert (every > 0.05).sum() == 0


@pytest.mark.second_way("each lamp drawn into the circuit and the whole solved again")
@pytest.mark.parametrize("name", sorted(set(ALL) - set(SHEETS)))
def test_lamps_on_every_sheet_that_ships_are_within_50_mv(name):
    every = some_lamps_apart(circuit(name), points=4, faults=25, seed=11)
    assert len(every) > 300
    assert every.max() < 0.05


STABILISER = """
[circuit]
name = "Stabiliser and gauge"
source = "made for a test"
[points]
A = "battery +"
D = "10 V"
E = "sender side"
[[parts]]
name = "BAT"
kind = "battery"
plus = "A"
minus = "battery −"
emf = "12.6 V"
inside = "0.02 ohm"
[[parts]]
name = "REG"
kind = "supply"
from = "battery −"
to = "D"
volts = "10 V"
limit = "0.8 A"
inside = "0.2 ohm"
[[parts]]
name = "L1"
kind = "lamp"
from = "A"
to = "battery −"
power = "5 W"
volts = "12 V"
[[parts]]
name = "GA1"
kind = "heater"
from = "D"
to = "E"
ohms = "62 ohm"
[[parts]]
name = "R2"
kind = "sender"
from = "E"
to = "battery −"
ohms = "180 ohm"
[[states]]
name = "empty"
"""


@pytest.mark.second_way("each lamp drawn into the circuit and the whole solved again")
def test_a_lamp_that_pushes_a_stabiliser_out_of_its_range_is_solved_anew():
    """A regulated feed gives current and takes none: beyond zero its slope is gone."""
    every = some_lamps_apart(read_circuit(STABILISER, "made"), points=3, faults=40, seed=3)
    assert every.max() < 0.05


@pytest.mark.second_way("the tester's resistor and drop against a voltage divider worked by hand")
def test_an_led_tester_loads_a_dead_end_hardly_at_all():
    sheet = circuit("fan.toml")
    solved = solve(sheet, [()])
    led = lamp_volts(sheet, solved, ["A", "D"], [""])["led", ""]
    run = [state.name for state in sheet.states].index("run")
    open_v = solved.voltage("A", "run")
    ohm = next(piece.ohm for piece in pieces_of(sheet) if piece.name == "BAT")
    drop_v = ohm * (open_v - LED_V) / LED_OHM

    assert led[0, run, 0] == pytest.approx(open_v - drop_v, abs=2e-3)


def test_a_lamp_on_a_dead_end_lights_and_a_meter_reads_through_a_bad_joint():
    """A bulb draws current through the joint, a meter none: that is what the bulb is for."""
    sheet = circuit("fan.toml")
    mode = next(m for m in fault_modes(sheet) if (m.part, m.mode) == ("C4", "high"))
    fault = (mode.faults[-1],)
    solved = solve(sheet, [fault])
    quick = lamp_volts(sheet, solved, ["D"], [""])["lamp", ""]

    assert 0 < quick[0, 1, 0] < solved.voltage("D", "run") + 1e-6
