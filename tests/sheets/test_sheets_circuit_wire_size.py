"""The size of a wire says whose it is: a number alone is asked back, with its line."""

import pytest
from jsonschema import Draft202012Validator

from networks.made_circuits import SHEETS
from witnessmark.errors import SheetError
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, read_draft, tables_of
from witnessmark.sheets.circuit_look import look_through
from witnessmark.sheets.circuit_schema import circuit_schema

WIRE = 'size = "2.5 mm2"'
SHEET = next(text for path in SHEETS if WIRE in (text := path.read_text("utf-8")))


@pytest.mark.parametrize("size", ['"14"', "14"])
def test_a_number_alone_is_asked_back_with_its_line(size):
    text = SHEET.replace(WIRE, f"size = {size}", 1)
    with pytest.raises(SheetError) as raised:
        read_circuit(text, "the sheet")
    (mistake,) = raised.value.mistakes
    assert text.splitlines()[mistake.line - 1] == f"size = {size}"
    assert mistake.found == "“14” does not say whose size it is."
    assert mistake.needed.startswith("It may be 14 mm², or 14 AWG, which is 2.08 mm², or SAE 14, ")
    assert mistake.do == "Read the wire or its reel, and write 14 mm², 14 AWG or SAE 14."


def test_a_number_alone_is_asked_back_at_its_row_and_stays_as_typed():
    draft = read_draft(SHEET.replace(WIRE, 'size = "14"', 1), "the sheet")
    looked = look_through(draft)
    assert looked.circuit is None
    (note,) = looked.notes
    assert note.path[0] == "parts" and note.path[2] == "size"
    assert note.sentence.startswith("“14” does not say whose size it is. It may be 14 mm², ")
    parts = dict(tables_of(read_draft(looked.text, "kept").data, "parts"))
    assert parts[note.path[1]]["size"] == "14"


def test_the_schema_for_editors_wants_a_unit_too():
    checker = Draft202012Validator(circuit_schema())
    data = dict(read_draft(SHEET, "the sheet").data)
    assert checker.is_valid(data)
    for size in ("14", "2.5", "4/0", "2,5"):
        parts = [{**one, "size": size} if "size" in one else one for one in data["parts"]]
        assert not checker.is_valid({**data, "parts": parts})


def test_what_else_is_a_bare_number_is_taken_and_written_with_its_unit():
    wire = {"name": "W1", "kind": "wire", "size": "14 AWG", "length": "3"}
    text = look_through(Draft(data={"parts": [wire]})).text
    assert 'size = "14 AWG"' in text
    assert 'length = "3 m"' in text
