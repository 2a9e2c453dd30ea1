"""A test lamp held while one state follows another."""

import numpy as np
import pytest

from networks.made_circuits import battery, circuit, relay, resistor, state, switch
from witnessmark.diagnosis.kinds import LAMP
from witnessmark.diagnosis.thevenin import lamp_volts
from witnessmark.networks import solve
from witnessmark.networks.test_lamp import with_lamp


@pytest.mark.second_way("the lamp drawn into the circuit")
def test_a_relay_that_the_lamp_pulls_in_stays_so_in_the_state_that_follows():
    made = circuit(
        battery(12.6),
        resistor("R1", "A", "B", 100.0),
        relay("K1", "B", "C", ("B", "0")),
        resistor("R2", "C", "0", 30.0),
        switch("S1", "B", "D"),
        resistor("R3", "D", "0", 20.0),
        states=(state("first"), state("second", "S1", after="first")),
    )
    solved, drawn = solve(made), solve(with_lamp(made, "B", "A"))
    assert not solved.contacts.any()
    assert drawn.contacts.all()
    quick = lamp_volts(made, solved, ["B"], ["A"])[LAMP, "A"]
    across = [drawn.voltage("B", name) - drawn.voltage("A", name) for name in solved.states]
    assert np.allclose(quick[0, :, 0], across, atol=0.05)
