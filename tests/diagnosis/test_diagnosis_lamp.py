"""Test lamps by Thevenin against the lamp drawn into the circuit and solved."""

import numpy as np
import pytest

from diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.diagnosis.loading import LED_OHM, LED_V
from witnessmark.diagnosis.predicting import supply_letter
from witnessmark.diagnosis.thevenin import lamp_volts
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import solve
from witnessmark.networks.test_lamp import with_lamp


def scenarios_of(sheet):
    return [(), *((fault,) for mode in fault_modes(sheet) for fault in mode.faults)]


@pytest.mark.second_way("each lamp drawn into the circuit and the whole solved again")
def test_ten_thousand_lamps_are_within_50_mv_of_a_full_solution():
    apart = []
    for name in SHEETS:
        sheet = circuit(name)
        scenarios = scenarios_of(sheet)
        solved = solve(sheet, scenarios)
        letters = [point.letter for point in sheet.lettered]
        references = ["", supply_letter(sheet)]
        quick = lamp_volts(sheet, scenarios, solved, letters, references)
        for reference in references:
            for number, letter in enumerate(letters):
                if letter == reference:
                    continue
                clip = (reference,) if reference else ()
                lit = solve(with_lamp(sheet, letter, *clip), scenarios)
                volts = lit.volts[:, :, lit.point_place[letter]]
                if reference:
                    volts = volts - lit.volts[:, :, lit.point_place[reference]]
                steady = ~(lit.chatter | solved.chatter)
                apart.append(np.abs(volts - quick["lamp", reference][:, :, number])[steady])
    every = np.concatenate(apart)

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
