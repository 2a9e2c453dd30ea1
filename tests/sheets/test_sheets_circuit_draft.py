"""A sheet as it was typed: written and read again it is the same, down to the author's texts."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from networks.made_circuits import SHEETS
from sheets.typed_sheets import typed_sheets
from witnessmark.errors import SheetError
from witnessmark.quantities import parse
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, read_draft, write_draft


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_an_example_written_again_is_the_same_circuit_with_the_same_texts(path):
    text = path.read_text("utf-8")
    draft = read_draft(text, path.name)
    again = write_draft(draft)
    assert read_draft(again, path.name) == draft
    assert read_circuit(again, path.name) == read_circuit(text, path.name)
    assert write_draft(read_draft(again, path.name)) == again


@given(typed_sheets(), st.lists(st.sampled_from(["page 7", "# twice", "ä"])))
def test_a_sheet_of_any_kinds_reads_back_as_typed_and_as_the_circuit_it_says(data, comments):
    text = write_draft(Draft(data=data, comments=tuple(comments)))
    assert tomllib.loads(text) == data
    circuit = read_circuit(text, "typed")
    assert circuit == read_circuit(write_draft(read_draft(text, "typed")), "typed")
    for part, typed in zip(circuit.parts, data["parts"], strict=True):
        assert part.name == typed["name"].strip()
        assert part.kind == typed["kind"]
        for key, value in part.sizes:
            if isinstance(typed.get(key), str) and key != "size":
                unit = {"length": "m", "temperature": "°C"}.get(key)
                quantity = parse(typed[key], unit)
                assert value == quantity.value
            elif key in typed and key != "size":
                assert value == typed[key]


def test_the_author_s_own_texts_stand_in_the_file():
    data = {"parts": [{"name": "W1", "kind": "wire", "size": "2,5 mm2", "length": "3 1/2 ft"}]}
    text = write_draft(Draft(data=data))
    assert 'size = "2,5 mm2"\nlength = "3 1/2 ft"\n' in text


def test_keys_stand_in_the_order_of_the_examples_whatever_order_they_were_typed_in():
    part = {"ohms": "1 ohm", "to": "B", "coil_to": "0", "kind": "relay", "from": "A", "name": "K1"}
    lines = write_draft(Draft(data={"parts": [part], "circuit": {}})).splitlines()
    assert lines[0] == "[circuit]"
    assert [line.partition(" ")[0] for line in lines[3:]] == [
        "name",
        "kind",
        "from",
        "to",
        "coil_to",
        "ohms",
    ]


def test_comments_of_a_text_are_kept_before_everything_else():
    text = '# page 7\n[circuit] # the fan\nname = "fan" # as printed\n'
    assert write_draft(read_draft(text, "fan")) == (
        '# page 7\n# the fan\n# as printed\n\n[circuit]\nname = "fan"\n'
    )


def test_what_is_no_toml_says_on_which_line():
    with pytest.raises(SheetError, match="line 2"):
        read_draft('[circuit]\nname = "fan\n', "fan.toml")


@given(st.dictionaries(st.sampled_from(["circuit", "parts", "states", "points"]), st.integers()))
def test_a_table_of_the_wrong_sort_is_kept_too(data):
    assert read_draft(write_draft(Draft(data=data)), "x").data == data
