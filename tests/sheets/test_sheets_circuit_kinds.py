"""What each kind needs stands in the handbook as the reader's own table says it."""

import re
import tomllib
from pathlib import Path

from witnessmark.networks import FORMS
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, write_draft
from witnessmark.sheets.circuit_kinds import kinds_markdown, kinds_needed

HANDBOOK = (Path(__file__).parents[2] / "docs" / "circuit-sheets.md").read_text("utf-8")


def test_the_handbook_says_of_every_kind_what_the_reader_asks():
    assert HANDBOOK.endswith(kinds_markdown())


def test_every_entry_of_the_table_is_named_once_for_its_kind():
    for one, form in zip(kinds_needed(), FORMS.values(), strict=True):
        keys = [need.key for way in one.ways for need in way]
        assert set(keys) == {size.key for way in form.ways for size in way}
        assert len({need.key for need in one.more}) == len(one.more)
        assert {need.key for need in one.more} == {
            each.key for each in (*form.options, *form.choices)
        }


def test_the_text_in_the_handbook_is_read_as_it_stands():
    blocks = re.findall(r"(?:^    .*\n|^\n)+", HANDBOOK, re.MULTILINE)
    example, selector = (
        tomllib.loads(re.sub(r"^    ", "", block, flags=re.MULTILINE))
        for block in blocks
        if "[[parts]]" in block
    )
    parts = [
        {"name": "BAT", "kind": "battery", "plus": "A", "minus": "battery −", "emf": "12.6 V"}
        | {"inside": "0.02 ohm"},
        *example["parts"],
        {"name": "S2", "kind": "switch", "from": "after fuse F12", "to": "m", "ohms": "0.02 ohm"},
        {"name": "Fan", "kind": "motor", "from": "m", "to": "battery −", "ohms": "1.5 ohm"},
        *selector["parts"],
        {"name": "R1", "kind": "heater", "from": "low feed", "to": "inside the loom"}
        | {"ohms": "3 ohm"},
        {"name": "R2", "kind": "heater", "from": "high feed", "to": "inside the loom"}
        | {"ohms": "1 ohm"},
        {"name": "TEMP", "kind": "sender", "from": "inside the loom", "to": "battery −"}
        | {"ohms": "1 ohm"},
        {"name": "ALT", "kind": "alternator", "from": "battery −", "to": "A", "volts": "14 V"}
        | {"limit": "90 A"},
    ]
    states = [{"name": "off"}, *example["states"]]
    circuit = read_circuit(
        write_draft(Draft(data={**example, "parts": parts, "states": states})), "handbook"
    )
    assert circuit.state("run").positions == (("S5", "low"), ("ALT", "turning"))
    assert circuit.part("S5").stands == ("off", "low", "high")
