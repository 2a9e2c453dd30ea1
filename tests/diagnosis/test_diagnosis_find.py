"""Find on the circuits that are shipped: simulated vehicles, half-splitting, the way of a load."""

import numpy as np
import pytest

from diagnosis.bench_play import faults_with_a_complaint, half_splitting, ours, play
from diagnosis.fan_book import read
from diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.diagnosis.belief import meter_uncertainty
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.find import caution, find_run, way_of_complaint
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.path import way_of
from witnessmark.networks.faults import Fault
from witnessmark.networks.solver import solve
from witnessmark.networks.test_lamp import with_lamp
from witnessmark.sheets.circuit import read_circuit

MOST_WRONG = 0.08  # of the causes that are named


@pytest.mark.second_way("vehicles whose fault is known answer through the solver, with noise")
@pytest.mark.parametrize("name", SHEETS)
def test_a_single_fault_is_found_or_left_open_but_hardly_ever_named_wrongly(name):
    """Every other single fault that brings a complaint, with meter noise, as often as it occurs."""
    right = wrong = left_open = 0.0
    count = 0
    for seed, (mode, fault) in enumerate(list(faults_with_a_complaint(circuit(name)))[::2]):
        found, _, _ = play(circuit(name), fault, ours, seed=seed)
        count += 1
        if found.stop.kind == "cause":
            right += mode.weight * (found.stop.repair == mode.repair)
            wrong += mode.weight * (found.stop.repair != mode.repair)
            assert found.unexplained == ()
        else:
            left_open += mode.weight
            # What is left open is left to suspects that this sheet cannot tell apart, or to
            # more than one suspect; the true one stands among them.
            standing = {share.part for share in found.belief if share.share > 0.01}
            assert mode.part in standing, (str(fault), found.stop)
    assert count > 3
    assert wrong <= MOST_WRONG * (right + wrong)
    assert right > left_open


@pytest.mark.parametrize("name", ["fan.toml", "horn.toml"])
def test_the_advised_tests_take_fewer_minutes_than_half_splitting(name):
    """Over every single fault, weighed by how often it occurs; the benchmark has all sheets."""
    minutes = dict.fromkeys((ours, half_splitting), 0.0)
    for seed, (mode, fault) in enumerate(faults_with_a_complaint(circuit(name))):
        for crew in minutes:
            minutes[crew] += mode.weight * play(circuit(name), fault, crew, seed=seed)[1]

    assert minutes[ours] < minutes[half_splitting]


@pytest.mark.second_way("each sample's voltages solved anew at its own severity")
def test_samples_between_solved_severities_are_where_the_solver_puts_them():
    fan = circuit("fan.toml")
    book = dictionary_of(fan)
    own = [n for n, s in enumerate(book.suspects) if s.key in ("G7:high", "C4:high", "Fan:high")]
    picked = np.flatnonzero(np.isin(book.suspect, own))[::23]
    letters = [place.letter for place in book.places]
    volts = book.mix.of(book.solved.volts)
    worst = 0.0
    for sample in picked:
        suspect = book.suspects[book.suspect[sample]]
        # The ohms of a sample are those between two severities; find them from its own E.
        ends = solve(fan, [(Fault(part=suspect.part, mode="high", value=v),) for v in (1e-3, 50)])
        low, high = 1e-4, 60.0
        state, at = book.state("run"), book.point("E" if suspect.part != "C4" else "D")
        rising = ends.voltage(letters[at], "run", 1) > ends.voltage(letters[at], "run", 0)
        for _ in range(60):
            middle = (low * high) ** 0.5
            fault = Fault(part=suspect.part, mode="high", value=middle)
            above = solve(fan, [(fault,)]).voltage(letters[at], "run")
            above = above > volts[sample, state, at]
            low, high = (low, middle) if above == rising else (middle, high)
        solved = solve(fan, [(Fault(part=suspect.part, mode="high", value=low),)])
        there = np.array([solved.voltage(letter, "run") for letter in letters])
        worst = max(worst, float(np.abs(there - volts[sample, state]).max()))
    assert len(picked) > 5
    assert worst < 1e-3


@pytest.mark.second_way("a test lamp drawn into the circuit and solved, fault by fault")
def test_the_lamp_of_the_dictionary_is_solved_in_the_circuit():
    fan = circuit("fan.toml")
    book = dictionary_of(fan)
    number = [s.key for s in book.suspects].index("C4:open")
    sample = int(np.flatnonzero(book.suspect == number)[0])
    lamp = book.mix.of(book.solved.lamp["lamp", ""])
    for letter in ("B", "D", "E"):
        lit = solve(with_lamp(fan, letter), [(Fault(part="C4", mode="open"),)])
        expected = lit.voltage(letter, "run")
        got = lamp[sample, book.state("run"), book.point(letter)]
        assert got == pytest.approx(expected, abs=1e-9)
    # A meter reads the whole supply before an open joint; a lamp there lights as well.
    assert lamp[sample, book.state("run"), book.point("B")] > 12.0


def test_one_changed_resistance_changes_what_is_advised_and_believed():
    readings = [read("A", "12.5"), read("D", "12.2"), read("E", "0.15")]
    slow = [Observation(complaint="slow")]
    before = find_run(circuit("fan.toml"), slow, readings)
    text = SHEETS["fan.toml"].replace('ohms = "1.50 ohm"', 'ohms = "2.50 ohm"')
    assert text != SHEETS["fan.toml"]
    changed = read_circuit(text, "fan.toml")
    after = find_run(changed, slow, readings)

    healthy = [dictionary_of(c).node_v["run"]["D"] for c in (circuit("fan.toml"), changed)]
    assert healthy[0] < healthy[1]
    assert before.parts != after.parts


def test_the_way_of_the_fan_goes_through_the_contact_and_brings_its_coil():
    way = way_of(circuit("fan.toml"), "Fan", "run")

    assert way.main.pieces == ("F12", "K3.contact", "W1", "C4", "Fan", "S9", "W2", "G7")
    assert [run.pieces for run in way.coils] == [("S2", "K3.coil")]
    assert way.sides["C4"] == "feed"
    assert way.sides["G7"] == "ground"


@pytest.mark.parametrize("name", SHEETS)
def test_every_complained_load_has_a_way_through_parts_that_join(name):
    sheet = circuit(name)
    for complaint in sheet.complaints:
        way = way_of(sheet, complaint.load, complaint.state)
        assert any(piece.startswith(complaint.load) for piece in way.main.pieces)
        for run in (way.main, *way.coils):
            assert len(run.points) == len(run.pieces) + 1
            for number, name_ in enumerate(run.pieces):
                part = sheet.part(name_.split(".")[0])
                ends = {part.first, part.second}
                if name_.endswith(".coil"):
                    ends = {part.end("coil_from"), part.end("coil_to")}
                assert ends == set(run.points[number : number + 2])


def test_without_a_complaint_the_first_load_of_the_sheet_is_drawn():
    assert way_of_complaint(circuit("fan.toml"), []).load == "Fan"


@pytest.mark.parametrize("name", SHEETS)
def test_a_healthy_vehicle_blames_no_part_with_certainty_without_its_complaint(name):
    """All readings healthy, no complaint given: nothing may be named."""
    sheet = circuit(name)
    book = dictionary_of(sheet)
    state = sheet.complaints[0].state
    healthy = book.solved.volts[0, book.state(state)]
    readings = [
        read(place.letter, f"{healthy[number]:.2f} V", state=state)
        for number, place in enumerate(book.places)
    ]
    found = find_run(sheet, [], readings)

    assert found.stop.kind != "cause"
    assert found.questioned == ()


def test_a_turning_motor_is_cautioned_against_and_a_resting_one_not():
    assert "Fan runs in this state" in caution(circuit("fan.toml"), "run")
    assert caution(circuit("fan.toml"), "off") == ""


def test_the_meter_of_the_belief_is_no_better_than_its_last_digit():
    assert meter_uncertainty(0.0, 1.0) > meter_uncertainty(0.0, 0.01)
