"""Our volts against ngspice: every sheet that ships, single faults, every state."""

from random import Random

import pytest

from networks.made_circuits import SHEETS, battery, circuit, fuse, lamp, relay, resistor, sheet
from networks.ngspice import agree
from witnessmark.networks import fault_modes, solve, with_lamp

PAIRS = 16  # of each sheet, in every state: 320 over the library


@pytest.mark.second_way("ngspice, the same netlist")
@pytest.mark.parametrize("name", [path.stem for path in SHEETS])
def test_single_faults_of_every_sheet_in_every_state(name, tmp_path):
    made = sheet(name)
    faults = [(), *((fault,) for mode in fault_modes(made) for fault in mode.faults)]
    # A joint so bad that its relay drops out with its own load's current finds no rest.
    rests = ~solve(made, faults).chatter.any(axis=1)
    assert rests[0] and rests.mean() > 0.9
    agree(made, [fault for fault, steady in zip(faults, rests, strict=True) if steady], tmp_path)


@pytest.mark.second_way("ngspice, the same netlist")
@pytest.mark.parametrize("name", [path.stem for path in SHEETS])
def test_two_faults_at_once_on_every_sheet_in_every_state(name, tmp_path):
    made = sheet(name)
    dice = Random(name)
    faults = [fault for mode in fault_modes(made) for fault in mode.faults]
    pairs = [
        (one, other)
        for one, other in (dice.sample(faults, 2) for _ in range(4 * PAIRS))
        if one.part.partition(".")[0] != other.part.partition(".")[0]
    ]
    steady = ~solve(made, pairs).chatter.any(axis=1)
    chosen = [pair for pair, rests in zip(pairs, steady, strict=True) if rests][:PAIRS]
    assert len(chosen) == PAIRS
    assert len(SHEETS) * PAIRS >= 300
    agree(made, chosen, tmp_path)


@pytest.mark.second_way("ngspice, the same netlist")
def test_two_faults_at_once_and_a_test_lamp(tmp_path):
    made = sheet("fan")
    singles = [mode.faults[-1] for mode in fault_modes(made)]
    pairs = [(one, other) for one, other in zip(singles, singles[5:], strict=False)]
    agree(made, pairs, tmp_path)
    agree(with_lamp(made, "E"), [(), *((fault,) for fault in singles)], tmp_path)


@pytest.mark.second_way("ngspice, the same netlist")
def test_lamps_relays_and_a_blown_fuse(tmp_path):
    made = circuit(
        battery(12.6, ohm=0.02),
        relay("K1", "A", "B", coil=("A", "0")),
        lamp("L1", "B", "C", 55),
        lamp("L2", "C", "0", 5),
        resistor("R1", "C", "D", 0.1),
        fuse("F1", "D", "0", rating_a=1, ohm=0.005),
    )
    found = solve(made)
    assert found.blown.any()
    assert 12 < found.voltage("C", "on") < found.voltage("B", "on")
    agree(made, [()], tmp_path)
