"""What a fault does to loads for which the sheet has no complaint is told all the same."""

import pytest

from networks.made_circuits import SHEETS
from witnessmark.diagnosis.practice import noticed
from witnessmark.networks import parse_fault, solve
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.told_too import _is_of_several, _noun, with_told_too

TEXTS = {path.stem: path.read_text("utf-8") for path in SHEETS}


# What a sheet of one's own may say of all of them at once.
OF_ALL = {
    "The left headlamp is dim": "Both headlamps are dim",
    "The left headlamp stays dark": "The headlamps do not come on",
    "The left low beam stays dark": "No low beam",
    "The left brake lamp of the trailer stays dark": "The trailer has no brake lamps",
}


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
    text = TEXTS[name]
    for of_one, of_all in OF_ALL.items():
        text = text.replace(f'"{of_one}"', f'"{of_all}"')
    circuit = read_circuit(text, name)
    assert told in {
        one.words
        for one in circuit.complaints
        if one.key in noticed(circuit, (parse_fault(fault, circuit),))
    }
    assert not [one.words for one in added(name, fault, text) if again in one.words]


@pytest.mark.parametrize("name", TEXTS)
def test_a_complaint_of_a_general_circuit_speaks_of_the_one_load_that_it_names(name):
    circuit = read_circuit(TEXTS[name], name)
    for one in circuit.complaints:
        words = one.words.casefold()
        assert not _is_of_several(words, _noun(circuit.part(one.load))), one.words
        assert not words.startswith(("both ", "all ")), one.words
        part = circuit.part(one.load).words
        for side in ("left", "right", "front", "rear"):
            if side in part.split() and part.split()[-1] in words:
                assert side in words.split(), one.words


@pytest.mark.second_way("the power of each lamp, solved with the fault and without")
def test_what_two_lamps_do_is_told_of_each():
    """The shared stud dims both headlamps: the sheet tells it of one, the case of the other too."""
    circuit = read_circuit(TEXTS["headlamps"], "the sheet")
    fault = parse_fault("G1:high=0.3", circuit)
    told = [one.words for one in circuit.complaints if one.key in noticed(circuit, (fault,))]
    told += [one.words for one in added("headlamps", "G1:high=0.3")]
    assert told[:2] == ["The left headlamp is dim", "Also dim: right headlamp"]
    healthy, bad = solve(circuit), solve(circuit, [(fault,)])
    for lamp in ("L1", "L2"):
        assert 0.3 < bad.current(lamp, "head") / healthy.current(lamp, "head") < 0.95


def test_another_load_is_told_all_the_same():
    """One stud carries both headlamps and the side lamp, which is a lamp of its own."""
    text = TEXTS["headlamps"]
    found = added("headlamps", "G1:high=0.3", text)
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
