"""Circuits whose answers others have printed, and two answers that were printed wrong."""

import pytest

from networks.made_circuits import battery, circuit, lamp, resistor
from witnessmark.networks import solve


def _answer(*parts):
    return solve(circuit(*parts))


@pytest.mark.reference(
    "Lessons in Electric Circuits vol. I ch. 10, Millman's theorem, two batteries; seen"
)
def test_two_batteries_into_one_load():
    found = _answer(
        battery(28, ohm=4, plus="B", name="B1"),
        battery(7, ohm=1, plus="B", name="B2"),
        resistor("R2", "B", "0", 2),
    )
    assert found.voltage("B", "on") == pytest.approx(8, abs=1e-6)
    assert found.current("B1", "on") == pytest.approx(-5, abs=1e-6)  # out of its plus post
    assert found.current("B2", "on") == pytest.approx(1, abs=1e-6)  # into it: it is charged
    assert found.current("R2", "on") == pytest.approx(4, abs=1e-6)


@pytest.mark.reference("page 'Ladder Networks', 240 V over 5, 6, 4, 6, 1 and 2 Ω; seen")
def test_a_ladder_of_six():
    found = _answer(
        battery(240, ohm=5, plus="B"),
        resistor("R2", "B", "0", 6),
        resistor("R3", "B", "C", 4),
        resistor("R4", "C", "0", 6),
        resistor("R5", "C", "D", 1),
        resistor("R6", "D", "0", 2),
    )
    assert found.current("BAT", "on") == pytest.approx(-30, abs=1e-6)
    assert found.current("R6", "on") == pytest.approx(10, abs=1e-6)
    volts = [found.voltage(point, "on") for point in "BCD"]
    assert volts == pytest.approx([90, 30, 20], abs=1e-6)


@pytest.mark.reference("question-and-answer page 'Consider the Wheatstone bridge network'; seen")
def test_an_unbalanced_bridge():
    # Printed: 0.081 A through the galvanometer; Thevenin 1.1688 V behind 4.4416 Ω.
    found = _answer(
        battery(10),
        resistor("AB", "A", "B", 3),
        resistor("BC", "B", "0", 4),
        resistor("AD", "A", "D", 6),
        resistor("DC", "D", "0", 5),
        resistor("BD", "B", "D", 10),
    )
    assert found.current("BD", "on") == pytest.approx(0.081, abs=0.0005)
    assert found.current("BD", "on") == pytest.approx(1.1688 / (4.4416 + 10), rel=1e-4)


@pytest.mark.reference("question-and-answer page 'Wheatstone bridge not balanced', 155/74 Ω; seen")
def test_the_resistance_of_a_bridge():
    found = _answer(
        battery(10),
        resistor("R1", "A", "B", 1),
        resistor("R2", "B", "0", 2),
        resistor("R3", "A", "C", 3),
        resistor("R4", "C", "0", 4),
        resistor("R5", "B", "C", 5),
    )
    assert found.voltage("A", "on") / -found.current("BAT", "on") == pytest.approx(
        155 / 74, abs=1e-6
    )


@pytest.mark.reference("textbook companion code, chapter 6 example 6.2: inputs and method; seen")
def test_a_bridge_with_a_meter_that_shows_microamps():
    found = _answer(
        battery(1.5),
        resistor("R1", "A", "B", 1000),
        resistor("R3", "B", "0", 400),
        resistor("R2", "A", "C", 100),
        resistor("Rx", "C", "0", 41),
        resistor("meter", "C", "B", 50),
    )
    assert found.current("meter", "on") * 1e6 == pytest.approx(20.83, abs=0.01)


@pytest.mark.reference(
    "chapter on delta and wye, bridge of 12, 18, 6, 18, 12 Ω on 10 V: parts seen, not the answer"
)
def test_a_bridge_by_delta_and_wye():
    found = _answer(
        battery(10),
        resistor("R1", "A", "B", 12),
        resistor("R2", "A", "C", 18),
        resistor("R3", "B", "C", 6),
        resistor("R4", "B", "0", 18),
        resistor("R5", "C", "0", 12),
    )
    assert found.voltage("B", "on") == pytest.approx(5.2941, abs=5e-5)
    assert found.voltage("C", "on") == pytest.approx(4.7059, abs=5e-5)
    assert -found.current("BAT", "on") == pytest.approx(0.68627, abs=5e-6)


@pytest.mark.reference("page 'Resistance of an Infinite Ladder', 1.618 R; seen")
@pytest.mark.parametrize(
    ("sections", "resistance"),
    [(1, 2), (2, 5 / 3), (3, 13 / 8), (4, 34 / 21), (5, 89 / 55), (20, 1.618)],
)
def test_a_ladder_of_equal_rungs_goes_to_the_golden_ratio(sections, resistance):
    rails = ["A", *(f"N{number}" for number in range(1, sections + 1))]
    found = _answer(
        battery(10),
        *(resistor(f"S{n}", rails[n], rails[n + 1], 1) for n in range(sections)),
        *(resistor(f"P{n}", rails[n + 1], "0", 1) for n in range(sections)),
    )
    tolerance = 0.0005 if sections == 20 else 1e-5
    measured = found.voltage("A", "on") / -found.current("BAT", "on")
    assert measured == pytest.approx(resistance, abs=tolerance)


@pytest.mark.reference("answer page, bridge of 2, 4, 8, 4 and 10 Ω on 5 V; its 1.071 A is wrong")
def test_a_bridge_that_a_page_gets_wrong():
    found = _answer(
        battery(5),
        resistor("R1", "A", "B", 2),
        resistor("R2", "B", "0", 4),
        resistor("R3", "A", "C", 8),
        resistor("R4", "C", "0", 4),
        resistor("R5", "B", "C", 10),
    )
    by_thevenin = (5 * 4 / 6 - 5 * 4 / 12) / (2 * 4 / 6 + 8 * 4 / 12 + 10)
    assert found.current("R5", "on") == pytest.approx(by_thevenin, abs=1e-6)
    assert found.current("R5", "on") == pytest.approx(0.11905, abs=5e-6)
    assert found.current("R5", "on") != pytest.approx(1.071, rel=0.5)


@pytest.mark.reference("page 'Lamp rerating', I as V to the 0.55, citing an EE handbook; seen")
@pytest.mark.parametrize(
    ("watts", "volts", "amps"),
    [(5, 12, 0.417), (5, 13.5, 0.445), (5, 6, 0.285), (21, 13.5, 1.867), (55, 13.5, 4.89)],
)
def test_a_lamp_draws_less_than_in_proportion(watts, volts, amps):
    found = _answer(battery(volts), lamp("L", "A", "0", watts))
    assert found.current("L", "on") == pytest.approx(amps, rel=0.002)


@pytest.mark.reference("data sheet of a mini relay, 12 V, 1.7 W, 85 Ω; seen")
def test_a_mini_relay_coil_takes_its_rated_power():
    found = _answer(battery(12), resistor("coil", "A", "0", 85))
    assert 12 * found.current("coil", "on") == pytest.approx(1.7, abs=0.05)


@pytest.mark.reference("page on meters of 10 MΩ: 1.2 µA at 12 V, ghost volts; seen")
def test_a_meter_reads_full_volts_through_a_bad_joint_that_a_lamp_finds():
    metered = _answer(
        battery(12), resistor("joint", "A", "B", 1000), resistor("meter", "B", "0", 10e6)
    )
    assert metered.current("meter", "on") * 1e6 == pytest.approx(1.2, abs=0.005)
    assert metered.voltage("B", "on") == pytest.approx(12, abs=0.005)
    lit = _answer(battery(12), resistor("joint", "A", "B", 1000), lamp("L", "B", "0", 5))
    assert lit.voltage("B", "on") < 0.1
