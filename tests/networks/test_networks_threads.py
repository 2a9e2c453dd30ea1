"""Requests that solve one circuit at the same time."""

import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from networks.made_circuits import sheet
from witnessmark.networks import fault_modes, solve
from witnessmark.networks.solver import ports_of

CREWS, ROUNDS = 8, 12


@pytest.fixture
def hurried():
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    yield
    sys.setswitchinterval(before)


@pytest.mark.second_way("the same scenarios, solved by one thread")
@pytest.mark.usefixtures("hurried")
def test_crews_on_one_circuit_do_not_disturb_each_other():
    made = sheet("turn-hazard")
    scenarios = [(fault,) for mode in fault_modes(made) for fault in mode.faults]
    alone = solve(made, scenarios).volts
    for _ in range(ROUNDS):
        ports_of.cache_clear()
        with ThreadPoolExecutor(CREWS) as crews:
            found = crews.map(lambda at: solve(made, scenarios[at::CREWS]).volts, range(CREWS))
            for at, volts in enumerate(found):
                assert np.abs(volts - alone[at::CREWS]).max() < 1e-6
