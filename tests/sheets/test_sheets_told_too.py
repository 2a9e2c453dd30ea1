"""What a fault does to loads for which the sheet has no complaint is told all the same."""

import pytest

from networks.made_circuits import SHEETS
from witnessmark.diagnosis.practice import noticed
from witnessmark.networks import parse_fault, solve
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.told_too import with_told_too

TEXTS = {path.stem: path.read_text("utf-8") for path in SHEETS}


def added(name, fault, text=""):
    text = text or TEXTS[name]
    circuit = read_circuit(text, name)
    longer = read_circuit(with_told_too(text, circuit, parse_fault(fault, circuit)), name)
    assert longer.complaints[: len(circuit.complaints)] == circuit.complaints
    assert longer.parts == circuit.parts and longer.points == circuit.points
    return longer.complaints[len(circuit.complaints) :]


@pytest.mark.second_way("the current through each load, solved with the fault and without")
def test_a_shared_splice_makes_every_lamp_dim():
    """The sheet has a complaint for the right lamp only; the left one is as dim, by the solve."""
    found = added("brake-lamps", "X1:high=1.34")

    assert [one.words for one in found][:1] == ["Also dim: left brake lamp"]
    assert {one.looks.value for one in found} == {"weak"}
    circuit = read_circuit(TEXTS["brake-lamps"], "the sheet")
    fault = parse_fault("X1:high=1.34", circuit)
    healthy, bad = solve(circuit), solve(circuit, [(fault,)])
    for one in found:
        share = bad.current(one.load, one.state) / healthy.current(one.load, one.state)
        assert 0.3 < share < 0.95


@pytest.mark.parametrize(
    ("name", "fault"),
    [("brake-lamps", "W7:high=3.19"), ("brake-lamps", "S1:stuck-open"), ("fan", "G7:high=0.5")],
)
def test_nothing_is_added_where_the_sheet_says_it_all_or_three_are_told(name, fault):
    assert added(name, fault) == ()


@pytest.mark.parametrize(
    ("name", "fault", "told", "again"),
    [
        ("headlamps", "G1:high=0.3", "Both headlamps are dim", "right headlamp"),
        ("headlamps", "S1:stuck-open", "The headlamps do not come on", "left headlamp"),
        ("body-front", "K1:coil-open", "No low beam", "low beam"),
        ("charging", "ALT:no-output", "The charge lamp stays on with the engine running", "lamp"),
        ("brake-lamps", "S1:stuck-open", "The trailer has no brake lamps", "of the trailer"),
    ],
)
def test_what_the_sheet_says_of_all_is_not_told_again_of_one(name, fault, told, again):
    circuit = read_circuit(TEXTS[name], name)
    assert told in {
        one.words
        for one in circuit.complaints
        if one.key in noticed(circuit, (parse_fault(fault, circuit),))
    }
    assert not [one.words for one in added(name, fault) if again in one.words]


def test_another_load_is_told_all_the_same():
    """One stud carries both headlamps and the side lamp, which is a lamp of its own."""
    text = TEXTS["headlamps"]
    found = added("headlamps", "G1:high=0.3", text.replace("Both headlamps are", "A headlamp is"))
    assert "Also dim: right headlamp" in [one.words for one in found]


def test_a_sheet_with_its_complaints_in_one_list_is_added_to_as_well():
    head, *complaints = TEXTS["brake-lamps"].split("[[complaints]]\n")
    tables = [", ".join(part.strip().splitlines()) for part in complaints]
    text = f"complaints = [{', '.join(f'{{{table}}}' for table in tables)}]\n{head}"

    text = f"# Chock the wheels.\n{text}"
    circuit = read_circuit(text, "the sheet")
    longer = with_told_too(text, circuit, parse_fault("X1:high=1.34", circuit))
    assert longer.startswith("# Chock the wheels.\n")  # the caution of a case

    found = added("brake-lamps", "X1:high=1.34", text)
    assert "Also dim: left brake lamp" in [one.words for one in found]
