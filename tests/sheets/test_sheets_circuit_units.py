"""A bare number is written with the unit that it is read in, and the sheet stays the same."""

from hypothesis import given, settings

from networks.made_circuits import SHEETS
from sheets.typed_sheets import typed_sheets
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, read_draft, write_draft
from witnessmark.sheets.circuit_units import with_units


def text(data):
    return write_draft(Draft(data=data))


@settings(max_examples=60, deadline=None)
@given(typed_sheets())
def test_whatever_sheet_is_written_with_units_reads_as_the_same_circuit(data):
    told = with_units(data)
    assert read_circuit(text(told), "told") == read_circuit(text(data), "bare")
    assert with_units(told) == told


def test_sheets_that_ship_have_every_unit_already():
    for path in SHEETS:
        data = read_draft(path.read_text("utf-8"), path.name).data
        assert with_units(data) == data


def test_each_size_has_its_own_unit_and_what_is_no_size_stays():
    parts = [
        {"name": "3", "kind": "battery", "charge": "50", "cca": 500, "temperature": -5},
        {"name": "W1", "kind": "wire", "size": "14 AWG", "length": " 2,5 ", "rate": 2, "from": "4"},
        {"name": "W2", "kind": "wire", "ohms": 1e-05, "size": "thick"},
        {"name": "X", "kind": "no such kind", "size": "3"},
        "no part",
    ]
    state = {"name": "7", "held": "60", "minutes": 1, "sizes": {"T": "180"}}
    told = with_units(
        {"circuit": {"name": "6", "temperature": 25}, "parts": parts, "states": [state]}
    )
    assert told["circuit"] == {"name": "6", "temperature": "25 °C"}
    assert told["parts"] == [
        parts[0] | {"charge": "50 %", "cca": "500 A", "temperature": "-5 °C"},
        parts[1] | {"length": "2,5 m"},
        parts[2] | {"ohms": "0.00001 ohm"},
        *parts[3:],
    ]
    assert told["states"] == [state | {"held": "60 s", "sizes": {"T": "180 ohm"}}]
