"""Test lamps by Thevenin against the lamp drawn into the circuit and solved."""

import pytest

from diagnosis.lamp_cases import lamps_apart
from diagnosis.sheets_shipped import circuit
from witnessmark.diagnosis.loading import LED_OHM, LED_V
from witnessmark.diagnosis.thevenin import lamp_volts
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import solve


@pytest.mark.second_way("each lamp drawn into the circuit and the whole solved again")
def test_ten_thousand_lamps_are_within_50_mv_of_a_full_solution():
    every = lamps_apart()

    assert len(every) > 10_000
    assert (every > 0.05).sum() == 0


@pytest.mark.second_way("the tester's resistor and drop against a voltage divider worked by hand")
def test_an_led_tester_loads_a_dead_end_hardly_at_all():
    sheet = circuit("fan.toml")
    solved = solve(sheet, [()])
    led = lamp_volts(sheet, [()], solved, ["A", "D"], [""])["led", ""]
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
    quick = lamp_volts(sheet, [fault], solved, ["D"], [""])["lamp", ""]

    assert 0 < quick[0, 1, 0] < solved.voltage("D", "run") + 1e-6
