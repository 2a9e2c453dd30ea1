"""Random circuits with every single fault: two ways to solve them, and ngspice."""

import numpy as np
import pytest

from networks.made_circuits import battery, circuit, fuse, lamp, relay, resistor, two_ends
from networks.ngspice import agree
from networks.random_circuits import random_circuit
from witnessmark.networks import Kind, fault_modes, solve
from witnessmark.networks.solver import NODAL

SEEDS = range(120)
BY_NGSPICE = range(0, 120, 6)
TIED_V, FLOATING_V = 1e-6, 1e-4
LEAST_POINTS = 10_000


def _with_faults(seeds):
    """Circuits of these seeds with their single faults."""
    for seed in seeds:
        made = random_circuit(seed)
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


def _feed(name, first, second):
    return two_ends(Kind.SUPPLY, name, first, second, volts=5.0, limit=0.5)


@pytest.mark.second_way("the nodal equations, solved whole; ngspice, the same netlist")
@pytest.mark.parametrize(
    "parts",
    [
        [
            _feed("U1", "B", "D"),
            _feed("U2", "A", "C"),
            _feed("U3", "A", "C"),
            lamp("L1", "A", "C", 21),
        ],
        [_feed("U1", "C", "0"), _feed("U2", "D", "C"), lamp("L1", "C", "A", 1.2)],
        [_feed("U1", "G", "H"), _feed("U2", "F", "C"), relay("K1", "A", "F", ("A", "0"))],
        [
            *[_feed("U1", "C", "0"), _feed("U2", "D", "C"), lamp("L1", "0", "B", 1.2)],
            *[lamp("L2", "C", "A", 1.2), resistor("R1", "B", "E", 755)],
            relay("K1", "E", "A", ("B", "C"), across="resistor"),
        ],
    ],
    ids=["three in parallel", "one on the other", "into nothing", "a relay within its hysteresis"],
)
def test_feeds_into_nothing_and_against_each_other_come_to_rest(parts, tmp_path):
    """A feed without load has no slope: Newton would send its point millions of volts off."""
    made = circuit(battery(12.6, ohm=0.2), fuse("F0", "A", parts[0].second, 15), *parts)
    scenarios = [(), *((fault,) for mode in fault_modes(made) for fault in mode.faults)]
    ports, whole = solve(made, scenarios), solve(made, scenarios, way=NODAL)
    assert (ports.contacts == whole.contacts).all()
    allowed = np.where(ports.floating, FLOATING_V, TIED_V)
    assert (np.abs(ports.volts - whole.volts) <= allowed).all()
    agree(made, scenarios, tmp_path)


@pytest.mark.second_way("ngspice, the same netlist")
def test_any_circuit_agrees_with_ngspice(tmp_path):
    for number, (made, scenarios) in enumerate(_with_faults(BY_NGSPICE)):
        folder = tmp_path / str(number)
        folder.mkdir()
        agree(made, scenarios[:: max(1, len(scenarios) // 12)], folder)
