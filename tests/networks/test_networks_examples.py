"""The circuit sheets that ship: readable, labelled, and healthy where they say so."""

import pytest

from networks.made_circuits import SHEETS, sheet
from witnessmark.networks import Kind, Look, fault_modes, solve

NAMES = [path.stem for path in SHEETS]
ELSEWHERE = [name for name in NAMES if name != "fan"]
A_TENTH = 1 / 10
BATTERY_CURRENT_AT_REST_A = 1e-6


def test_there_are_four_circuits_to_try():
    assert {"fan", "headlamps", "horn", "starting"} <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_sheet_says_that_it_is_invented_and_what_may_be_wrong(name):
    made = sheet(name)
    assert "invented" in made.source.lower()
    assert len(made.states) >= 2
    assert len(made.complaints) >= 2
    assert all(point.access_min > 0 for point in made.points)


@pytest.mark.parametrize("name", ELSEWHERE)
def test_values_without_a_maker_are_marked(name):
    assert sheet(name).source.startswith("Typical values, no maker")


@pytest.mark.parametrize("path", SHEETS, ids=NAMES)
def test_every_letter_of_a_point_stands_in_the_sheet(path):
    text = path.read_text(encoding="utf-8")
    for point in sheet(path.stem).lettered:
        assert f'\n{point.letter} = "{point.words}"\n' in text


@pytest.mark.parametrize("name", NAMES)
def test_a_healthy_circuit_is_quiet_and_nothing_blows(name):
    found = solve(sheet(name))
    assert not found.chatter.any()
    assert not found.blown.any()


@pytest.mark.parametrize("name", NAMES)
def test_nothing_runs_while_everything_is_off(name):
    made = sheet(name)
    found = solve(made)
    (plus,) = [part.name for part in made.parts if part.kind is Kind.BATTERY]
    rest = made.states[0].name
    assert abs(found.current(plus, rest)) < BATTERY_CURRENT_AT_REST_A


@pytest.mark.parametrize("name", NAMES)
def test_every_complaint_can_come_from_some_single_fault(name):
    made = sheet(name)
    faults = [(fault,) for mode in fault_modes(made) for fault in mode.faults]
    healthy, faulty = solve(made), solve(made, faults)
    for complaint in made.complaints:
        part = made.part(complaint.load)
        piece, state = healthy.piece_place[part.name], healthy.state_place[complaint.state]
        most = abs(healthy.currents[0, :, piece]).max()
        share = abs(faulty.currents[:, state, piece]) / most
        power = _watts(faulty, part)[:, state] / _watts(healthy, part).max()
        if complaint.looks is Look.ON:
            assert abs(healthy.currents[0, state, piece]) < most * A_TENTH
            assert (share > 1 / 2).any(), complaint.words
        elif complaint.looks is Look.DEAD:
            assert (share < A_TENTH).any(), complaint.words
        else:
            # A motor that turns slowly against a steady load draws as much as before, at fewer V.
            assert ((power > A_TENTH) & (power < 1 - A_TENTH)).any(), complaint.words


def _watts(found, part):
    ends = [found.point_place[end] for end in (part.first, part.second)]
    over = found.volts[:, :, ends[0]] - found.volts[:, :, ends[1]]
    return abs(over * found.currents[:, :, found.piece_place[part.name]])


@pytest.mark.reference("service manual, cold cranking test: 9.6 V at the battery; seen")
def test_a_healthy_battery_cranks_above_its_limit():
    assert solve(sheet("starting")).voltage("A", "crank") > 9.6


@pytest.mark.reference("load-tester manual, starter draw test: feed 0.5 V, ground 0.3 V; seen")
def test_the_starter_cables_drop_less_than_their_limits():
    found = solve(sheet("starting"))
    assert found.voltage("A", "crank") - found.voltage("D", "crank") < 0.5
    assert found.voltage("E", "crank") < 0.3


@pytest.mark.reference("starter draw, four cylinders, warm: 150 to 185 A; seen on a summary page")
def test_the_starter_draws_what_starters_draw():
    assert 150 <= solve(sheet("starting")).current("M1", "crank") <= 185


@pytest.mark.reference("voltage-drop calculator note: 0.5 V in all for an accessory circuit; seen")
@pytest.mark.parametrize(
    ("name", "state", "plus", "minus"),
    [
        ("headlamps", "head", "F", "H"),
        ("headlamps", "head", "G", "J"),
        ("horn", "press", "D", "F"),
        ("horn", "press", "E", "G"),
    ],
)
def test_a_healthy_load_loses_less_than_half_a_volt_on_the_way(name, state, plus, minus):
    found = solve(sheet(name))
    across = found.voltage(plus, state) - found.voltage(minus, state)
    assert found.voltage("A", state) - across < 0.5


@pytest.mark.second_way("the healthy lamps by the same sheet, and the ratio of their currents")
def test_a_bad_shared_ground_dims_all_three_lamps():
    from witnessmark.networks import parse_fault

    made = sheet("headlamps")
    found = solve(made, [(), (parse_fault("G1:high=0.5", made),)])
    for lamp in ("L1", "L2", "L3"):
        ratio = found.current(lamp, "head", 1) / found.current(lamp, "head", 0)
        assert 0.5 < ratio < 0.9
    assert found.voltage("K", "head", 1) > 3
