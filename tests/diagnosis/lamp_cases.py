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
    apart = []
    for name in sorted(SHEETS):
        sheet = circuit(name)
        scenarios = scenarios_of(sheet)
        solved = solve(sheet, scenarios)
        letters = [point.letter for point in sheet.lettered]
        references = ["", supply_letter(sheet)]
        quick = lamp_volts(sheet, scenarios, solved, letters, references)
        for reference in references:
            clip = (reference,) if reference else ()
            for number, letter in enumerate(letters):
                if letter == reference:
                    continue
                lit = solve(with_lamp(sheet, letter, *clip), scenarios)
                volts = lit.volts[:, :, lit.point_place[letter]]
                if reference:
                    volts = volts - lit.volts[:, :, lit.point_place[reference]]
                steady = ~(lit.chatter | solved.chatter)
                apart.append(np.abs(volts - quick["lamp", reference][:, :, number])[steady])
    return np.concatenate(apart)
