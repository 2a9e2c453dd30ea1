"""What Find says at the end and on the way: proof, twins, odd readings, undone readings."""

import pytest

from diagnosis.bench_play import Vehicle, every_complaint
from diagnosis.fan_book import SIDES, fan_book, read
from diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.diagnosis.answers import between_words, common_words
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.kinds import EVERYTHING
from witnessmark.diagnosis.observations import Observation, parse_test_key
from witnessmark.diagnosis.proof import proofs
from witnessmark.diagnosis.run import run
from witnessmark.networks.faults import parse_fault
from witnessmark.networks.solver import solve

SLOW = Observation(complaint="slow")


def followed(sheet, *faults, means=EVERYTHING, seed=3):
    """The last run of a vehicle whose faults are known."""
    faults = tuple(parse_fault(text, sheet) for text in faults)
    complaints = every_complaint(sheet, faults)
    vehicle = Vehicle(sheet, faults, seed, complaints)
    readings = []
    for _ in range(15):
        found = find_run(sheet, complaints, readings, means=means)
        if found.next_test is None:
            break
        readings.append(vehicle.answer(parse_test_key(found.next_test.key)))
    return found, complaints


@pytest.mark.second_way("the healthy circuit solved")
def test_three_readings_prove_the_repair_and_that_both_complaints_have_gone():
    sheet = circuit("horn.toml")
    found, complaints = followed(sheet, "F9:blown")
    assert found.stop.kind == "cause"
    healthy = solve(sheet)

    assert len(found.proof) == 3
    assert len({proof.key for proof in found.proof}) == 3
    for proof in found.proof:
        assert proof.low_v <= healthy.voltage(proof.point, proof.state) <= proof.high_v
    shows = {proof.shows for proof in found.proof} - {""}
    words = {c.words for c in sheet.complaints if c.key in {one.complaint for one in complaints}}
    assert len(complaints) == 2
    assert shows == words
    assert sum("has gone" in proof.sentence for proof in found.proof) == 2


@pytest.mark.second_way("the circuit solved with the fault and without")
@pytest.mark.parametrize(
    ("name", "fault"),
    [
        ("fan.toml", "G7:high=0.5"),
        ("headlamps.toml", "G1:high=0.5"),
        ("headlamps.toml", "W4:open"),
        ("starting.toml", "C2:high=0.02"),
    ],
)
def test_what_proves_a_repair_reads_otherwise_with_the_fault(name, fault):
    sheet = circuit(name)
    found, _ = followed(sheet, fault)
    assert found.stop.kind == "cause"
    assert 1 <= len(found.proof) <= 3
    healthy, broken = solve(sheet), solve(sheet, [(parse_fault(fault, sheet),)])
    for proof in found.proof:
        assert proof.low_v <= healthy.voltage(proof.point, proof.state) <= proof.high_v
        assert not proof.low_v <= broken.voltage(proof.point, proof.state) <= proof.high_v


def test_a_reading_that_showed_the_fault_is_the_first_that_proves_the_repair():
    """Without it F is the first, which is nearer the ground and reads farther off."""
    book, taken = fan_book(), [read("D", "12.2"), read("E", "2.9")]
    weighed = weigh(book, [SLOW], taken)
    order = [
        [one.point for one in proofs(book, weighed, [SLOW], "run", had)] for had in ((), taken)
    ]
    assert order == [["F", "E"], ["E", "F"]]


def test_the_healthy_volts_of_every_point_stand_beside_the_proof():
    sheet = circuit("fan.toml")
    found, _ = followed(sheet, "G7:high=0.5")
    shown = {point.letter: point.healthy_v for point in found.points}

    assert set(shown) == {point.letter for point in sheet.lettered}
    assert set(found.node_v) == {point.key for point in sheet.points}


def test_twins_come_with_the_point_that_would_part_them():
    sheet = circuit("fan.toml")
    # Volts only: the wire and its connector lie between C and D, with no letter between.
    readings = [read("C", "12.6", present=True), read("D", "0.0", present=True)]
    dead = Observation(complaint="dead", source="here")
    found = find_run(sheet, [dead], readings)

    assert [twins.parts for twins in found.twins] == [("C4", "W1")]
    assert found.twins[0].point == "loom side of C4"
    assert "A reading at “loom side of C4” would" in found.twins[0].sentence
    assert "give it a letter on the sheet" in found.twins[0].sentence
    assert "no point lies between them" in between_words("C4 and W1", "")


def test_an_odd_reading_says_what_to_check_first():
    sheet = circuit("fan.toml")
    readings = [
        read("A", "12.5", present=True),
        read("B", "3.1", present=True),
        read("D", "12.2", present=True),
        read("E", "2.9", present=True),
        read("F", "2.9", present=True),
    ]
    found = find_run(sheet, [SLOW], readings)
    (odd,) = [view for view in found.readings if view.questioned]

    assert odd.text == "3.1"
    assert odd.note.startswith("Fits no suspect. Take it again; if it stays, check the sheet's")
    assert odd.note.endswith("lines of F12 and K3.")
    assert found.next_test.key == "volts B state=run"
    assert found.stop.kind == "keep on"


def test_undoing_a_reading_is_as_if_it_had_never_been():
    sheet = circuit("headlamps.toml")
    said = [Observation(complaint="dim", source="here")]
    first = [read("K", "4.0", state="head", present=True)]
    slip = read("L", "9.0", state="head", present=True)

    before = find_run(sheet, said, first)
    find_run(sheet, said, [*first, slip])
    after = find_run(sheet, said, first)
    assert before.as_json() == after.as_json()


@pytest.mark.parametrize("name", SHEETS)
def test_every_advice_says_what_why_and_what_each_outcome_would_mean(name):
    sheet = circuit(name)
    for complaint in sheet.complaints:
        seen = [Observation(complaint=complaint.key, source="here")]
        advice = find_run(sheet, seen, means=EVERYTHING).next_test
        assert advice.sentence.endswith((".", "?"))
        assert advice.why.startswith("Why: ") and advice.why.count("\n") == 0
        assert len(advice.meanings) >= 1
        assert all(meaning.outcome and meaning.points_to for meaning in advice.meanings)
        assert advice.unit or advice.choices


def test_the_odds_are_said_either_way_round():
    assert "is 4 times as likely as two causes at once" in common_words(0.8, 0.2, "G1", 2)
    assert common_words(0.2, 0.8, "G1", 2).startswith("Two causes at once are 4 times as likely")
    assert "as likely as two causes at once" in common_words(0.5, 0.5, "G1", 2)
    assert "No single fault on the sheet explains" in common_words(0.0, 0.5, "", 3)
    assert "nearly certain" in common_words(0.99, 0.0, "G1", 2)


def test_two_causes_on_one_path_lead_once_a_reading_is_confirmed():
    """A bad joint on either side of the motor: naming one alone would leave the fan slow."""
    sheet = circuit("fan.toml")
    faults = tuple(parse_fault(text, sheet) for text in ("G7:high=0.4", "C4:high=0.4"))
    solved = solve(sheet, [faults])
    readings = [
        read(point, f"{solved.voltage(point, 'run'):.2f}", present=True)
        for point in ("E", "F", "C", "D")
    ]
    seen = [Observation(complaint="slow", source="here")]
    once = find_run(sheet, seen, readings)
    found = find_run(sheet, seen, [*readings, readings[-1]])

    # A slip at D is as likely as a second fault, until D has been read twice.
    assert once.stop.kind == "keep on"
    assert set(found.belief[0].parts) == {"G7", "C4"}
    assert found.common.two > 10 * found.common.one
    # The wire before the plug reads like the plug: one more look parts them.
    assert "Two causes at once are " in found.stop.sentence


def test_something_else_names_no_part():
    strange = [read("A", "7.0"), read("B", "3.0"), read("C", "9.0"), read("D", "2.0")]
    result = run(fan_book(), [SLOW], strange, SIDES)

    assert result.stop.kind == "keep on"
    assert result.stop.parts == ()
    assert "Compare the sheet with the vehicle" in result.stop.sentence
