"""Two faults at once: found together, weighed against one common cause, bounded in size."""

import numpy as np
import pytest

from diagnosis.bench_play import Vehicle, every_complaint
from diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.observations import Observation, parse_test_key, reading_of
from witnessmark.diagnosis.pair_tables import ADDED_V
from witnessmark.diagnosis.pairs import pairs_of
from witnessmark.networks.faults import parse_fault
from witnessmark.networks.solver import solve

MOST_TESTS = 15


def played(sheet, faults, seed=1):
    """The runs from complaints to the end, following the advice."""
    complaints = every_complaint(sheet, faults)
    vehicle = Vehicle(sheet, faults, seed)
    runs, readings = [], []
    for _ in range(MOST_TESTS):
        runs.append(find_run(sheet, complaints, readings))
        if runs[-1].stop.kind == "cause" or runs[-1].next_test is None:
            break
        readings.append(vehicle.answer(parse_test_key(runs[-1].next_test.key)))
    return runs


@pytest.mark.second_way("vehicles with two known faults answer through the solver, with noise")
@pytest.mark.parametrize(
    ("name", "first", "second", "repairs"),
    [
        (
            "headlamps.toml",
            "C2:open",
            "G1:high=0.52",
            {"mend connector C2", "clean ground joint G1"},
        ),
        ("headlamps.toml", "C2:open", "K5:stuck-closed", {"mend connector C2", "replace K5"}),
        ("horn.toml", "H2:open", "K2:stuck-closed", {"replace H2", "replace K2"}),
        ("horn.toml", "G4:open", "K2:stuck-closed", {"clean ground joint G4", "replace K2"}),
    ],
)
def test_two_faults_are_named_together_and_never_one_alone(name, first, second, repairs):
    sheet = circuit(name)
    runs = played(sheet, tuple(parse_fault(text, sheet) for text in (first, second)))

    assert runs[-1].stop.kind == "cause"
    assert set(runs[-1].stop.repair.split(" and ")) == repairs
    assert len(runs[-1].stop.parts) == 2
    assert "both at once" in runs[-1].stop.headline
    for run in runs[:-1]:
        assert run.stop.kind != "cause"
    assert any("Two causes at once are " in run.stop.sentence for run in runs)


def test_one_common_cause_of_two_complaints_is_said_with_its_odds():
    sheet = circuit("headlamps.toml")
    said = [Observation(complaint="dim"), Observation(complaint="right-dark", look="weak")]
    found = find_run(sheet, said, [])

    assert found.common.one > found.common.two
    assert "One common cause (" in found.common.sentence
    assert "times as likely as two causes at once" in found.common.sentence


def test_one_complaint_needs_no_odds():
    assert find_run(circuit("fan.toml"), [Observation(complaint="slow")]).common.sentence == ""


@pytest.mark.second_way("a vehicle with two known faults")
def test_both_parts_of_a_pair_carry_the_belief():
    sheet = circuit("horn.toml")
    last = played(sheet, (parse_fault("H2:open", sheet), parse_fault("K2:stuck-closed", sheet)))[-1]

    assert last.parts["H2"] > 0.9
    assert last.parts["K2"] > 0.9


@pytest.mark.second_way("pairs whose changes are added, solved one by one")
@pytest.mark.parametrize("name", ["headlamps.toml", "horn.toml", "starting.toml"])
def test_pairs_that_do_not_meet_are_what_the_solver_says(name):
    sheet = circuit(name)
    pairs = pairs_of(sheet)
    added = np.flatnonzero((pairs.solved < 0).any(axis=1))[::3]
    letters = [point.letter for point in sheet.lettered]
    faults = {}
    first = 1
    for mode in pairs.modes:
        for fault in mode.faults:
            faults[first] = fault
            first += 1
    scenarios = [
        (faults[int(pairs.first[at])], faults[int(pairs.second[at])]) for at in added.tolist()
    ]
    found = solve(sheet, scenarios)
    volts = found.volts[:, :, [found.point_place[letter] for letter in letters]]
    apart = []
    for state in range(len(sheet.states)):
        own = pairs.solved[added, state] < 0
        own &= ~(found.chatter[:, state] | pairs.unsteady(state)[added])
        added_v = np.stack([pairs.volts(state, at)[added] for at in range(len(letters))], axis=1)
        apart.append(np.abs(volts[:, state] - added_v).max(axis=1)[own])

    assert len(added) > 3
    # A third part may be moved by both in turn; then the sum is off, and rarely.
    assert (np.concatenate(apart) > 2 * ADDED_V).mean() < 0.03


@pytest.mark.parametrize("name", SHEETS)
def test_the_table_of_pairs_is_small(name):
    assert pairs_of(circuit(name)).nbytes < 20_000_000


def test_a_fault_that_is_nothing_to_the_complaint_makes_no_pair():
    sheet = circuit("headlamps.toml")
    found = find_run(sheet, [Observation(complaint="dark", source="here")], [])

    for share in found.belief:
        if len(share.parts) == 2 and "L3" in share.parts:
            # The side lamp has its own bulb: it is nothing to dark headlamps, but for the current
            # that it sends through the grounds it shares with them.
            assert share.parts[1 - share.parts.index("L3")] in {"G1", "G2"}


def test_a_second_fault_stays_a_suspect_when_the_first_one_is_read():
    """A stud that is bad explains the dim lamp and not the horn, however plainly it reads."""
    sheet = circuit("body-front.toml")
    told = [
        Observation(complaint="left-dim"),
        Observation(complaint="silent", comes_and_goes=True),
    ]
    (stud,) = [one.letter for one in sheet.points if one.words == "ground stud G1, left"]
    clamp, volts = (parse_test_key(f"{one} state=low") for one in ("clamp W1", f"volts {stud}"))
    for ohm in (1.2, 1.5, 1.8):
        bad = solve(sheet, [(parse_fault(f"G1:high={ohm}", sheet),)])
        amps, shown = bad.current("W1", "low"), bad.voltage(stud, "low")
        taken = [
            reading_of(clamp, "1", f"{amps:.1f}", present=True),
            reading_of(volts, "2", f"{shown:.1f}", present=True),
        ]
        found = find_run(sheet, told, taken)
        pairs = [share.parts for share in found.belief[:12] if len(share.parts) == 2]

        assert found.belief[0].key == "G1:high"
        assert any({"G1", "G3"} == set(parts) for parts in pairs), ohm  # G3: the horn's ground
