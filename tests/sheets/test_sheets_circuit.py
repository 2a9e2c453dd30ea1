"""Circuit sheets: read whole, every mistake with its line, and no traceback whatever the text."""

import contextlib
import re
from importlib import resources

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.errors import SheetError
from witnessmark.networks import Kind, Look, fault_modes, solve, wire_resistance
from witnessmark.networks.pieces import wire_ohm
from witnessmark.sheets.circuit import MOST_PARTS, read_circuit

CIRCUITS = resources.files("witnessmark") / "examples" / "circuits"
SHEETS = {
    sheet.name: sheet.read_text("utf-8")
    for sheet in sorted(CIRCUITS.iterdir(), key=lambda sheet: sheet.name)
}
FAN = SHEETS["fan.toml"]
SMALL = """
[circuit]
name = "small"
source = "made for a test"

[[parts]]
name = "BAT"
kind = "battery"
plus = "battery +"
minus = "battery -"
emf = "12 V"
inside = "0.02 ohm"

[[parts]]
name = "W1"
kind = "wire"
from = "battery +"
to = "lamp +"
size = "1.5 mm2"
length = "10 m"

[[parts]]
name = "L1"
kind = "lamp"
from = "lamp +"
to = "battery -"
power = "21 W"
volts = "12 V"

[[states]]
name = "on"
"""


def mistakes(text):
    with pytest.raises(SheetError) as caught:
        read_circuit(text, "bad.toml")
    assert caught.value.mistakes
    return [(one.line, f"{one.found} {one.needed} {one.do}") for one in caught.value.mistakes]


def line_of(text, part):
    return text[: text.index(part)].count("\n") + 1


def test_the_fan_sheet_gives_parts_points_states_and_complaints():
    fan = read_circuit(FAN, "fan.toml")
    assert [part.name for part in fan.parts][:3] == ["BAT", "F12", "K3"]
    assert [point.letter for point in fan.points][:8] == list("0ABCDEFG")
    assert fan.point("A").words == "battery +"
    assert fan.point("stud G7").letter == "F"
    assert {point.words for point in fan.points if not point.letter} == {
        "loom side of C4",
        "after splice S9",
    }
    relay = fan.part("K3")
    assert relay.kind is Kind.RELAY
    assert [relay.end(key) for key in ("from", "to", "coil_from", "coil_to")] == list("BCG0")
    assert fan.state("run").closed == {"S2"}
    assert [one.looks for one in fan.complaints] == [Look.WEAK, Look.DEAD, Look.ON]


@pytest.mark.parametrize("name", SHEETS)
def test_every_example_reads_and_has_two_complaints(name):
    circuit = read_circuit(SHEETS[name], name)
    assert len(circuit.complaints) >= 2
    assert len(circuit.states) >= 2
    assert fault_modes(circuit)
    assert not solve(circuit).chatter.any()


def test_points_without_a_letter_get_the_next_free_one():
    assert [(p.letter, p.words) for p in read_circuit(SMALL, "small").points] == [
        ("0", "battery −"),  # as a keyboard types it: battery -
        ("A", "battery +"),
        ("B", "lamp +"),
    ]


def test_an_end_that_is_written_as_a_letter_keeps_it():
    text = SMALL.replace('"lamp +"', '"A"')
    assert read_circuit(text, "small").point("A").words == "A"
    assert read_circuit(text, "small").point("battery +").letter == "B"


def _ohm_of_w1(text):
    return wire_ohm(read_circuit(text, "small").part("W1"))


@pytest.mark.second_way("the wire function called by hand with the sheet's sizes")
def test_a_wire_is_as_long_thick_and_warm_as_the_sheet_says():
    assert _ohm_of_w1(SMALL) == pytest.approx(wire_resistance(10, 1.5), rel=1e-12)
    warm = SMALL.replace('name = "small"', 'name = "small"\ntemperature = "70 °C"')
    assert _ohm_of_w1(warm) == pytest.approx(wire_resistance(10, 1.5, 70))
    own = warm.replace('"10 m"', '"10 m"\ntemperature = "158 °F"')
    assert _ohm_of_w1(own) == pytest.approx(wire_resistance(10, 1.5, 70))
    gauge = SMALL.replace('"1.5 mm2"', '"14 AWG"')
    assert _ohm_of_w1(gauge) == pytest.approx(wire_resistance(10, 2.081), rel=3e-4)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('kind = "fuse"', 'kind = "fuze"', "F12 is of the kind 'fuze'"),
        ('rating = "20 A"', 'rating = "20 V"', "20 V"),
        ('ohms = "1.50 ohm"', 'ohms = "-1.50 ohm"', "'ohms' of 'Fan'"),
        ('ohms = "1.50 ohm"', "ohms = 1e300", "more digits than any instrument"),
        ('ohms = "1.50 ohm"', "ohms = nan", "NaN"),
        ('ohms = "1.50 ohm"', "ohms = true", "'ohms' of 'Fan' is True."),
        ('ohms = "1.50 ohm"', 'ohm = "1.50 ohm"', "Did you mean 'ohms'?"),
        ('name = "W1"', 'name = "K3"', "stands on line"),
        ('name = "K3"', 'name = "K3.coil"', "no dot, colon or equals sign"),
        ('coil_to = "battery −"', 'coil_to = "battry −"', "Nothing but K3 ends at 'battry −'"),
        ('to = "F"', 'to = "stud G8"', "Nothing but W2 ends at 'stud G8'"),
        ('drops_out = "1.5 V"', 'drops_out = "9 V"', "drops out at 9 V and pulls in at 8 V"),
        ('closed = ["S2"]', 'closed = ["S3"]', "closes 'S3', which is no switch"),
        ('closed = ["S2"]', 'closed = "S2"', "a list of words"),
        ('name = "run"', 'name = "run"\nafter = "rest"', "comes after 'rest'"),
        ('name = "run"', 'name = "off"', "stands on line"),
        ('looks = "dead"', 'looks = "dim"', "'looks' of 'dead' is 'dim'"),
        ('load = "Fan"', 'load = "F12"', "'load' of 'slow' is 'F12'"),
        ('key = "dead"', 'key = "slow"', "stands on line"),
        ('A = "battery +"', 'I = "battery +"', "I and O look like figures"),
        ('F = "stud G7"', 'F = "stud G7"\nH = "battery −"', "0 is the battery's negative post"),
        ('B = "after fuse F12"', 'B = "battery +"', "has two letters, A and B"),
        ('B = "after fuse F12"', 'B = "A"', "is called 'A', which is the letter of a point"),
        ('B = "after fuse F12"', 'B = "0"', "is called '0', which is the letter of a point"),
        ("A = 1", "A = -1", "It must be from 0 to 600 min."),
        ("A = 1", "Z = 1", "No part ends at 'Z'"),
        ("rate = 3", "rate = -3", "'rate' of 'G7'"),
        ("[access]", "[acces]", "Did you mean 'access'?"),
        ('source = "Invented', 'sauce = "Invented', "Did you mean 'source'?"),
    ],
)
def test_a_mistake_stands_on_its_line(old, new, said):
    text = FAN.replace(old, new, 1)
    line = line_of(FAN, old) + new.count("\n")
    found = mistakes(text)
    assert any(at == line and said in words for at, words in found), (line, found)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('emf = "12.6 V"', 'emf = "12.6 V"\ncharge = "80 %"\ncca = "500 A"', "has both 'charge'"),
        ('ohms = "0.019 ohm"', 'ohms = "0.019 ohm"\nsize = "2.5 mm2"', "has both 'ohms'"),
        ('ohms = "0.019 ohm"', 'size = "2.5 mm2"', "'W2' has no 'length'."),
        ('ohms = "0.019 ohm"', 'size = "thick"\nlength = "3 m"', "thick"),
        (
            'ohms = "0.019 ohm"',
            'size = "0 mm2"\nlength = "3 m"',
            "from 0.01 to 500 mm².",
        ),
        ('from = "F"', 'from = "battery −"', "Both ends of G7 are at 'battery −'."),
        ('kind = "motor"', 'kind = "resistor"\nname = "twice"', "cannot be read as TOML"),
        ('name = "Brae 12, fan and heater"', "", "circuit has no 'name'."),
        ('name = "Brae 12, fan and heater"', 'name = " "', "'name' of ' ' is empty."),
    ],
)
def test_what_does_not_go_together_is_said(old, new, said):
    assert old in FAN
    found = mistakes(FAN.replace(old, new, 1))
    assert any(line > 0 and said in words for line, words in found), found


def test_all_mistakes_are_told_at_once_in_the_order_of_their_lines():
    text = FAN.replace('kind = "fuse"', 'kind = "fuze"').replace('"85 ohm"', '"85 m"')
    text = text.replace('looks = "dead"', 'looks = "dim"')
    lines = [line for line, _ in mistakes(text)]
    assert lines == [line_of(text, bad) for bad in ('"fuze"', '"85 m"', '"dim"')]


def test_a_sheet_needs_parts_a_battery_a_load_and_a_state():
    said = " ".join(words for _, words in mistakes('[circuit]\nname = "a"\nsource = "b"'))
    assert "There are no parts." in said
    assert "There are no states." in said
    no_load = SMALL.replace('kind = "lamp"', 'kind = "ground"\nohms = "1 ohm"')
    no_load = no_load.replace('power = "21 W"\nvolts = "12 V"\n', "")
    assert [words[:17] for _, words in mistakes(no_load)] == ["There is no load."]
    no_battery = re.sub(r'\[\[parts\]\]\nname = "BAT".*?\n\n', "", SMALL, flags=re.DOTALL)
    assert "There is no battery." in mistakes(no_battery)[0][1]


def test_a_sheet_of_thousands_of_parts_is_refused():
    more = "".join(
        f'[[parts]]\nname = "R{n}"\nkind = "resistor"\nfrom = "a{n}"\nto = "b{n}"\nohms = 1\n'
        for n in range(MOST_PARTS)
    )
    assert any(f"more than {MOST_PARTS} parts" in words for _, words in mistakes(SMALL + more))


def test_what_editors_add_and_numbers_without_end():
    assert read_circuit("\ufeff" + FAN.replace("\n", "\r\n"), "fan").point("A").letter == "A"
    ((line, words),) = mistakes(FAN.replace("rate = 3", f"rate = {'3' * 5000}"))
    assert line == line_of(FAN, "rate = 3")
    assert "thousands of digits" in words


SCRAPS = (
    '"" | "A" | "Z" | "0" | "battery −" | "K3" | "open" | "0 ohm" | "1e9" | "-1 V" | "14 AWG" | '
    '"½ in" | "12,6 V" | [] | [1] | ["S2"] | {} | { a = 1 } | [[]] | nan | inf | -0.0 | 1e400 | '
    '0x10 | true | 2026-11-24 | 07:30:00 | """\n"""'
)
VALUES = st.one_of(
    st.sampled_from(SCRAPS.split(" | ")),
    st.integers().map(str),
    st.floats(allow_nan=False, allow_infinity=False).map(repr),
    st.text(st.characters(exclude_characters='"\\', exclude_categories=["C"])).map('"{}"'.format),
)


@st.composite
def spoilt_sheets(draw):
    """An example with some lines changed, lost, twice or cut short."""
    lines = draw(st.sampled_from(list(SHEETS.values()))).split("\n")
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        match draw(st.sampled_from(["value", "value", "value", "key", "lose", "twice", "cut"])):
            case "value" if " = " in lines[at]:
                lines[at] = f"{lines[at].partition(' = ')[0]} = {draw(VALUES)}"
            case "key" if " = " in lines[at]:
                key = draw(st.sampled_from(["kind", "from", "charge", "size", "A", "O", "after"]))
                lines[at] = f"{key} = {lines[at].partition(' = ')[2]}"
            case "lose":
                del lines[at]
            case "twice":
                lines.insert(draw(st.integers(0, len(lines))), lines[at])
            case _:
                lines[at] = lines[at][: draw(st.integers(0, len(lines[at])))]
    return "\n".join(lines)


@settings(max_examples=300, deadline=None)
@given(spoilt_sheets())
def test_a_spoilt_sheet_is_a_circuit_that_solves_or_mistakes_with_lines(text):
    try:
        circuit = read_circuit(text, "spoilt.toml")
    except SheetError as error:
        assert error.mistakes
        for one in error.mistakes:
            assert 0 <= one.line <= text.count("\n") + 1
            assert one.found
            assert one.needed
            assert one.do
    else:
        assert np.isfinite(solve(circuit).volts).all()


@settings(max_examples=200, deadline=None)
@given(st.text(st.sampled_from("[]{}=.\"'#\n\\ ab1-,part\0é")))
def test_any_text_is_a_circuit_or_a_sheet_error(text):
    with contextlib.suppress(SheetError):
        read_circuit(text, "any.toml")
