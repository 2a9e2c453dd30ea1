"""Steps cut short to where the content of a circuit is least along them."""

import numpy as np

from networks.made_circuits import sheet
from witnessmark.networks import fault_modes, port_laws, solve
from witnessmark.networks.damping import NEARLY_LEVEL, RISES, shortened

FEW_ROUNDS = 16


def _taken(slope_at, start):
    taken = []

    def along(share):
        taken[:] = [share[:, 0].copy()]
        return slope_at(share[:, 0])

    shortened(along, start)
    return taken[0]


def test_a_step_that_goes_a_little_too_far_is_taken_whole():
    start = np.array([-1.0, -8.0])
    assert _taken(lambda share: start * (1.0 - share * (1.0 + RISES)), start).tolist() == [1.0, 1.0]


def test_a_step_across_a_sharp_knee_ends_at_the_knee():
    start, knee = np.array([-90.0, -90.0, -90.0]), np.array([1e-9, 0.3, 0.999])

    def slope_at(share):
        return np.where(share < knee, start * (1.0 - NEARLY_LEVEL), -start) + 9.0 * share

    assert np.allclose(_taken(slope_at, start), knee, atol=1e-12)


def test_an_alternator_that_nothing_loads_comes_to_rest_in_few_rounds(monkeypatch):
    monkeypatch.setattr(port_laws, "MOST_ROUNDS", FEW_ROUNDS)
    real, unsure = port_laws.PortLaws.currents, []

    def counted(self, free):
        current, rows = real(self, free)
        unsure.append(len(rows))
        return current, rows

    monkeypatch.setattr(port_laws.PortLaws, "currents", counted)
    made = sheet("charging")
    solve(made, [(fault,) for mode in fault_modes(made) for fault in mode.faults])
    assert unsure
    assert sum(unsure) == 0
