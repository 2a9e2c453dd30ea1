"""Test lamps by Thevenin beside the same lamps drawn into the circuit and solved."""

import numpy as np

from tests.diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.diagnosis.predicting import supply_letter
from witnessmark.diagnosis.thevenin import lamp_volts
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.solver import solve
from witnessmark.networks.test_lamp import with_lamp


def scenarios_of(sheet):
    """The healthy circuit and every single fault at every severity."""
    return [(), *((fault,) for mode in fault_modes(sheet) for fault in mode.faults)]


def lamps_apart():
    """How far both ways are apart, for every fault, state, point and reference. [V]"""
    return np.concatenate([apart for name in sorted(SHEETS) for apart in _apart(circuit(name))])


def some_lamps_apart(sheet, points, faults, seed):
    """The same for some points and faults of a sheet, drawn by a seed. [V]"""
    return np.concatenate(list(_apart(sheet, np.random.default_rng(seed), points, faults)))


def _apart(sheet, dice=None, points=0, faults=0):
    scenarios = scenarios_of(sheet)
    solved = solve(sheet, scenarios)
    letters = [point.letter for point in sheet.lettered]
    references = ["", supply_letter(sheet)]
    quick = lamp_volts(sheet, solved, letters, references)
    at, rows = np.arange(len(letters)), np.arange(len(scenarios))
    if dice is not None:
        at = dice.choice(at, min(points, len(at)), replace=False)
    for number in at.tolist():
        if dice is not None:
            rows = dice.choice(len(scenarios), min(faults, len(scenarios)), replace=False)
        letter = letters[number]
        for reference in references:
            clip = (reference,) if reference else ()
            if letter == reference:
                continue
            lit = solve(with_lamp(sheet, letter, *clip), [scenarios[row] for row in rows])
            volts = lit.volts[:, :, lit.point_place[letter]]
            if reference:
                volts = volts - lit.volts[:, :, lit.point_place[reference]]
            steady = ~(lit.chatter | solved.chatter[rows])
            yield np.abs(volts - quick["lamp", reference][rows][:, :, number])[steady]
