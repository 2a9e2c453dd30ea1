"""Currents balance, contacts settle or chatter, fuses blow and stay blown, points float."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from networks.made_circuits import (
    SHEETS,
    battery,
    circuit,
    fuse,
    lamp,
    relay,
    resistor,
    sheet,
    state,
    switch,
)
from witnessmark.errors import BenchError
from witnessmark.networks import (
    TEST_LAMP,
    Fault,
    fault_modes,
    parse_fault,
    pieces_of,
    solve,
    with_lamp,
)
from witnessmark.networks.compiled import compiled
from witnessmark.networks.laws import LEAK_S

FAN_SUM_OHM = 0.02 + 0.005 + 0.010 + 0.018 + 0.005 + 0.001 + 0.019 + 0.003


def _run(made, *faults):
    return solve(made, [tuple(parse_fault(text, made) for text in faults)])


def _unbalanced_a(made, found):
    """Greatest current that goes into a point and does not come out, leak included."""
    incidence = np.zeros((len(found.pieces), len(found.points)))
    for number, piece in enumerate(compiled(made).pieces):
        incidence[number, made.place[piece.first]] += 1
        incidence[number, made.place[piece.second]] -= 1
    left = found.currents @ incidence + LEAK_S * found.volts
    return np.abs(left[..., 1:]).max()


@pytest.mark.second_way("Kirchhoff's current law, point by point")
@pytest.mark.parametrize("name", [path.stem for path in SHEETS])
def test_what_flows_into_a_point_flows_out(name):
    made = sheet(name)
    faults = [(fault,) for mode in fault_modes(made) for fault in mode.faults]
    assert _unbalanced_a(made, solve(made, [(), *faults])) < 1e-9


@pytest.mark.second_way("Ohm's law around the loop; the coil takes 3 mV off the battery")
@pytest.mark.parametrize(("fan_ohm", "amps"), [("1.50 ohm", 7.97), ("3.00 ohm", 4.09)])
def test_a_changed_resistance_in_the_sheet_changes_the_answer(fan_ohm, amps):
    from witnessmark.sheets.circuit import read_circuit

    (path,) = [path for path in SHEETS if path.stem == "fan"]
    text = path.read_text(encoding="utf-8")
    assert text.count("1.50 ohm") == 1
    found = solve(read_circuit(text.replace("1.50 ohm", fan_ohm), "fan.toml"))
    assert found.current("Fan", "run") == pytest.approx(amps, abs=0.005)
    by_hand = 12.6 / (FAN_SUM_OHM + float(fan_ohm.split()[0]))
    assert found.current("Fan", "run") == pytest.approx(by_hand, rel=5e-4)


@pytest.mark.second_way("Ohm's law around the loop, by hand, 7.97 A")
def test_the_volts_of_the_fan_circuit():
    found = _run(sheet("fan"))
    volts = [found.voltage(letter, "run") for letter in "ABCDEF"]
    assert volts == pytest.approx([12.44, 12.40, 12.32, 12.14, 0.18, 0.02], abs=0.008)


@pytest.mark.second_way("Ohm's law around the loop with 0.8 Ω more")
def test_a_bad_ground_lifts_the_motors_minus():
    found = _run(sheet("fan"), "G7:high=0.8")
    amps = 12.6 / (FAN_SUM_OHM + 1.5 + 0.8)
    assert found.current("Fan", "run") == pytest.approx(amps, rel=5e-4)
    assert found.voltage("F", "run") == pytest.approx(0.803 * amps, rel=5e-4)


def test_a_relay_that_cuts_its_own_coil_chatters():
    buzzer = circuit(
        battery(12, ohm=0.02),
        relay("K1", "A", "B", coil=("B", "0"), closes_at_rest=True),
        resistor("R", "A", "0", 100),
    )
    found = solve(buzzer)
    assert found.chatter.tolist() == [[True]]
    assert np.isfinite(found.volts).all()
    healed = solve(buzzer, [(Fault(part="K1", mode="coil-open"),)])
    assert healed.chatter.tolist() == [[False]]


def test_chatter_of_one_fault_leaves_the_others_alone():
    buzzer = circuit(
        battery(12, ohm=0.02), relay("K1", "A", "B", coil=("B", "0"), closes_at_rest=True)
    )
    scenarios = [
        (),
        (Fault(part="K1", mode="stuck-closed"),),
        (),
        (Fault(part="BAT", mode="open"),),
    ]
    found = solve(buzzer, scenarios)
    assert found.chatter[:, 0].tolist() == [True, False, True, False]
    assert found.volts[0] == pytest.approx(found.volts[2])


def test_volts_across_an_open_coil_do_not_move_the_relay():
    made = sheet("fan")
    found = _run(made, "K3:coil-open")
    run = found.states.index("run")
    assert not found.contacts[0, run, 0]
    assert found.voltage("G", "run") > found.voltage("C", "run") + made.part("K3").size("pulls_in")


def test_two_relays_that_block_each_other_come_to_rest():
    # Moved together they swing for ever; one at a time the first holds the second off.
    latch = circuit(
        battery(12, ohm=0.02),
        relay("K1", "A", "B", coil=("C", "0"), closes_at_rest=True),
        relay("K2", "A", "C", coil=("B", "0"), closes_at_rest=True),
    )
    found = solve(latch)
    assert found.chatter.tolist() == [[False]]
    assert sorted(found.contacts[0, 0].tolist()) == [False, True]


def test_a_relay_holds_above_its_drop_out_voltage():
    # 5 V does not pull it in, and does not let it go.
    made = circuit(
        battery(12, ohm=0.02),
        switch("S1", "A", "B"),
        resistor("R1", "A", "C", 119),
        switch("S2", "C", "B"),
        relay("K1", "A", "D", coil=("B", "0")),
        resistor("R2", "D", "0", 10),
        states=(
            state("weak", "S2"),
            state("full", "S1", "S2"),
            state("let down", "S2", after="full"),
        ),
    )
    found = solve(made)
    assert found.contacts[0, :, 0].tolist() == [False, True, True]
    assert solve(made, states=["let down"]).contacts[0, :, 0].tolist() == [True]


def test_a_fuse_blows_above_twice_its_rating_and_stays_blown():
    made = circuit(
        battery(12, ohm=0.02),
        fuse("F1", "A", "B", rating_a=10),
        switch("S1", "B", "C"),
        resistor("short", "C", "0", 0.3),
        resistor("R", "B", "0", 12),
        states=(
            state("before"),
            state("shorted", "S1"),
            state("later", after="shorted"),
            state("from rest"),
        ),
    )
    found = solve(made)
    at = found.pieces.index("F1")
    assert found.blown[0, :, at].tolist() == [False, True, True, False]
    assert found.current("R", "later") == pytest.approx(0, abs=1e-6)
    assert found.current("R", "before") > found.current("R", "later") + 1 / 2
    assert found.blown.sum() == 2  # nothing else is marked as blown


def test_a_fuse_carries_its_rating():
    made = circuit(
        battery(12, ohm=0.02), fuse("F1", "A", "B", rating_a=10), resistor("R", "B", "0", 1.2)
    )
    assert not solve(made).blown.any()


def test_the_smaller_of_two_fuses_saves_the_larger():
    made = circuit(
        battery(12, ohm=0.02),
        fuse("large", "A", "B", rating_a=30),
        fuse("small", "B", "C", rating_a=10),
        resistor("short", "C", "0", 0.05),
    )
    found = solve(made)
    assert [name for name, on in zip(found.pieces, found.blown[0, 0], strict=True) if on] == [
        "small"
    ]


def test_a_point_that_nothing_ties_is_named():
    made = sheet("fan")
    found = _run(made, "G7:open")
    off = found.states.index("off")
    floating = {key for key, on in zip(found.points, found.floating[0, off], strict=True) if on}
    assert floating == {"C", "D", "E", "F", "loom side of C4", "after splice S9"}
    assert not _run(made).floating[0, off].any()


@pytest.mark.second_way("the divider of a lamp of 0.25 A and an open ground, by the lamp law")
def test_a_test_lamp_is_part_of_the_circuit():
    # Across the fan's open ground the lamp carries the fan's current: 3 W against 1.5 Ω.
    made = with_lamp(sheet("fan"), "E")
    found = _run(made, "G7:open")
    amps = found.current(TEST_LAMP, "run")
    assert amps == pytest.approx(found.current("Fan", "run"), abs=1e-6)
    lamp_v = found.voltage("E", "run")
    assert amps == pytest.approx(0.25 * (lamp_v / 12) ** 0.55, rel=1e-4)
    assert lamp_v > 11.9
    with pytest.raises(BenchError, match="Both ends of the test lamp"):
        with_lamp(sheet("fan"), "A", "A")


def test_an_unknown_state_is_refused():
    with pytest.raises(BenchError, match="no state 'fast'"):
        solve(sheet("fan"), states=["fast"])


def test_many_scenarios_at_once_are_the_same_as_one_by_one():
    made = sheet("fan")
    faults = [(fault,) for mode in fault_modes(made) for fault in mode.faults] * 6
    assert len(faults) > 256  # more than one chunk
    found = solve(made, faults)
    for number in range(0, len(faults), 37):
        alone = solve(made, [faults[number]])
        assert alone.volts[0] == pytest.approx(found.volts[number], abs=1e-9)
        assert (alone.contacts[0] == found.contacts[number]).all()
    assert solve(made, []).volts.shape == (0, 2, len(made.points))


ENDS = st.sampled_from("0ABCDE")
OHMS = st.floats(min_value=0.01, max_value=1000)


@st.composite
def resistor_networks(draw):
    parts = [battery(draw(st.floats(min_value=1, max_value=30)), ohm=draw(OHMS))]
    for number in range(draw(st.integers(min_value=1, max_value=10))):
        first, second = draw(ENDS), draw(ENDS)
        if first != second:
            parts.append(resistor(f"R{number}", first, second, draw(OHMS)))
    if draw(st.booleans()):
        plus = draw(st.sampled_from("ABC"))
        parts.append(battery(draw(st.floats(1, 30)), ohm=draw(OHMS), plus=plus, name="B2"))
    return circuit(*parts)


def _by_tableau(made):
    """Volts and currents as unknowns of one dense system: Kirchhoff's and each part's law."""
    count, pieces = len(made.points), pieces_of(made)
    size = count - 1 + len(pieces)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    for point in range(1, count):
        matrix[point - 1, point - 1] = LEAK_S
    for number, piece in enumerate(pieces):
        column = count - 1 + number
        for end, sign in ((made.place[piece.first], 1), (made.place[piece.second], -1)):
            if end:
                matrix[end - 1, column] += sign
                matrix[column, end - 1] += sign
        matrix[column, column] = -piece.ohm
        right[column] = piece.emf_v
    return np.linalg.solve(matrix, right)


@settings(deadline=None, max_examples=150)
@given(resistor_networks())
@pytest.mark.second_way("numpy dense solution of the tableau: volts and currents as unknowns")
def test_any_network_of_resistors_agrees_with_its_tableau(made):
    found = solve(made)
    answer = _by_tableau(made)
    count = len(made.points) - 1
    tied = ~found.floating[0, 0, 1:]
    assert found.volts[0, 0, 1:][tied] == pytest.approx(answer[:count][tied], abs=1e-6)
    assert found.currents[0, 0] == pytest.approx(answer[count:], abs=1e-6)


@settings(deadline=None, max_examples=60)
@given(resistor_networks(), st.floats(min_value=0.1, max_value=10))
def test_twice_the_emf_gives_twice_the_volts(made, times):
    from dataclasses import replace

    scaled = replace(made, parts=tuple(_with_emf_times(part, times) for part in made.parts))
    assert solve(scaled).volts == pytest.approx(solve(made).volts * times, abs=1e-6)


def _with_emf_times(part, times):
    from dataclasses import replace

    sizes = tuple((key, value * times if key == "emf" else value) for key, value in part.sizes)
    return replace(part, sizes=sizes)


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.floats(min_value=1, max_value=100), min_size=1, max_size=4),
    st.floats(min_value=0.001, max_value=50),
    st.floats(min_value=0.5, max_value=30),
)
@pytest.mark.second_way("bisection on the one unknown: volts across lamps in parallel")
def test_lamps_behind_a_resistance_agree_with_bisection(watts, ohm, emf_v):
    made = circuit(
        battery(emf_v, ohm=ohm), *(lamp(f"L{n}", "A", "0", w) for n, w in enumerate(watts))
    )
    low, high = 0.0, emf_v
    for _ in range(200):
        middle = (low + high) / 2
        drawn = sum(w / 12 / 12**0.55 * middle * (middle**2 + 0.05**2) ** (-0.225) for w in watts)
        low, high = (middle, high) if drawn < (emf_v - middle) / ohm else (low, middle)
    assume(high > 0)
    assert solve(made).voltage("A", "on") == pytest.approx(low, abs=1e-6)


@st.composite
def lamp_networks(draw):
    ohms = st.floats(min_value=-4, max_value=6).map(lambda power: 10**power)
    parts = [battery(draw(st.floats(min_value=1, max_value=30)), ohm=draw(ohms))]
    for number in range(draw(st.integers(min_value=1, max_value=12))):
        first, second = draw(ENDS), draw(ENDS)
        if first == second:
            continue
        if draw(st.booleans()):
            parts.append(lamp(f"L{number}", first, second, draw(st.floats(0.1, 100))))
        else:
            parts.append(resistor(f"R{number}", first, second, draw(ohms)))
    return circuit(*parts)


@settings(deadline=None, max_examples=200)
@given(lamp_networks())
@pytest.mark.second_way("Kirchhoff's current law, point by point")
def test_lamps_settle_in_any_network(made):
    assert _unbalanced_a(made, solve(made)) < 1e-9
