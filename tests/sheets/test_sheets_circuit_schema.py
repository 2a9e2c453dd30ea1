"""The JSON Schema of a circuit sheet, held by an independent validator against the reader."""

import copy
import tomllib

import pytest
from hypothesis import given, settings
from jsonschema import Draft202012Validator

from networks.made_circuits import SHEETS
from sheets.typed_sheets import typed_sheets
from witnessmark.errors import SheetError
from witnessmark.networks import FORMS, Kind
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, write_draft
from witnessmark.sheets.circuit_schema import circuit_schema

VALIDATOR = Draft202012Validator(circuit_schema())
FAN = tomllib.loads(next(path for path in SHEETS if path.stem == "fan").read_text("utf-8"))


def test_the_schema_is_a_schema():
    Draft202012Validator.check_schema(circuit_schema())


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_example_validates(path):
    assert list(VALIDATOR.iter_errors(tomllib.loads(path.read_text("utf-8")))) == []


@settings(max_examples=60)
@given(typed_sheets())
def test_what_the_reader_takes_validates(data):
    read_circuit(write_draft(Draft(data=data)), "typed")
    assert [error.message for error in VALIDATOR.iter_errors(data)] == []


def part(called, /, **entries):
    """The fan's sheet with other entries in one part; None takes an entry out."""
    sheet = copy.deepcopy(FAN)
    (found,) = [one for one in sheet["parts"] if one["name"] == called]
    found |= entries
    for key in [key for key, value in found.items() if value is None]:
        del found[key]
    return sheet


BROKEN = {
    "an unknown kind": part("F12", kind="fuze"),
    "no kind": part("F12", kind=None),
    "no name": part("F12", name=None),
    "a dot in a name": part("F12", name="F.12"),
    "an entry of another kind": part("F12", length="2 m"),
    "a misspelt entry": part("F12", ratting="20 A"),
    "an end left out": part("K3", coil_to=None),
    "a size left out": part("F12", rating=None),
    "a size below what there is": part("F12", rating=-20),
    "a size above what there is": part("BAT", emf=1200),
    "a negative size in words": part("F12", rating="-20 A"),
    "a size that is no number": part("F12", rating="twenty"),
    "a yes for a size": part("F12", rating=True),
    "a wire told in both ways": part("W1", size="2.5 mm2", length="1 m"),
    "a wire told in neither way": part("W1", ohms=None),
    "a word that cannot be chosen": part("K3", rests="ajar"),
    "no battery": {**FAN, "parts": [one for one in FAN["parts"] if one["kind"] != "battery"]},
    "no states": {key: value for key, value in FAN.items() if key != "states"},
    "no source": {**FAN, "circuit": {"name": "fan"}},
    "a heading nobody reads": {**FAN, "part": []},
    "a letter that looks like a figure": {**FAN, "points": {"I": "stud"}},
    "a look nobody knows": {**FAN, "complaints": [{**FAN["complaints"][0], "looks": "odd"}]},
}


@pytest.mark.parametrize("what", BROKEN)
def test_a_broken_sheet_does_not_validate_and_is_not_read(what):
    assert list(VALIDATOR.iter_errors(BROKEN[what])) != []
    with pytest.raises(SheetError):
        read_circuit(write_draft(Draft(data=BROKEN[what])), "broken")


@pytest.mark.parametrize("kind", Kind)
def test_the_schema_knows_every_entry_of_every_kind(kind):
    clause = next(
        one["then"]
        for one in circuit_schema()["properties"]["parts"]["items"]["allOf"]
        if one["if"]["properties"]["kind"]["const"] == kind
    )
    form = FORMS[kind]
    keys = {one.key for one in (*form.terminals, *form.options, *form.choices)}
    keys |= {size.key for way in form.ways for size in way}
    assert keys <= set(clause["properties"])
    assert set(clause["properties"]) - keys <= {
        "name", "kind", "words", "rate", "terminals", "positions",
    }  # fmt: skip
