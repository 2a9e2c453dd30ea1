"""Random circuits with every single fault: two ways to solve them, and ngspice."""

import numpy as np
import pytest

from networks.ngspice import agree
from networks.random_circuits import random_circuit
from witnessmark.errors import BenchError
from witnessmark.networks import fault_modes, solve
from witnessmark.networks.solver import NODAL

SEEDS = range(120)
BY_NGSPICE = range(0, 120, 6)
TIED_V, FLOATING_V = 1e-6, 1e-4
LEAST_POINTS = 5000


def _with_faults(seeds):
    """Circuits of these seeds with their single faults; a part with both ends at one point is no
    circuit."""
    for seed in seeds:
        try:
            made = random_circuit(seed)
        except BenchError:
            continue
        yield made, [(), *((fault,) for mode in fault_modes(made) for fault in mode.faults)]


@pytest.mark.second_way("the nodal equations, solved whole")
def test_port_reduction_is_the_nodal_equations_on_any_circuit():
    points = 0
    for made, scenarios in _with_faults(SEEDS):
        ports, whole = solve(made, scenarios), solve(made, scenarios, way=NODAL)
        assert (ports.chatter == whole.chatter).all()
        steady = ~ports.chatter
        assert (ports.contacts == whole.contacts)[steady].all()
        assert (ports.blown == whole.blown)[steady].all()
        allowed = np.where(ports.floating, FLOATING_V, TIED_V)
        assert (np.abs(ports.volts - whole.volts) <= allowed)[steady].all()
        points += int(steady.sum())
    assert points > LEAST_POINTS


@pytest.mark.second_way("ngspice, the same netlist")
def test_any_circuit_agrees_with_ngspice(tmp_path):
    seen = 0
    for made, scenarios in _with_faults(BY_NGSPICE):
        seen += 1
        folder = tmp_path / str(seen)
        folder.mkdir()
        agree(made, scenarios[:: max(1, len(scenarios) // 12)], folder)
    assert seen > len(BY_NGSPICE) // 3
