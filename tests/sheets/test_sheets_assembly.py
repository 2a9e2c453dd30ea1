"""Assembly sheets and their readings: every mistake at once, with its line."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import witnessmark
from witnessmark.errors import SheetError
from witnessmark.sheets.assembly import read_assembly
from witnessmark.sheets.readings import read_readings

EXAMPLES = Path(witnessmark.__file__).parent / "examples"
SHEET = (EXAMPLES / "assemblies/training-six.toml").read_text(encoding="utf-8")
TABLE = (EXAMPLES / "readings/training-six.csv").read_text(encoding="utf-8")
HEAD = TABLE.splitlines()[0]

BRAKE = """
[assembly]
name = "Rear drums"
source = "invented for training"
position_word = "Drum"
positions = ["left", "right"]

[[instruments]]
id = "caliper"
name = "inside caliper"
unit = "in"
resolution = "1 thou"
repeat = "2 thou"

[[characteristics]]
key = "drum"
title = "Drum diameter"
unit = "in"
limit = { upper = 9.060, unit = "in", source = "invented for training", text = "max 9.060 in" }
"""


def line_of(text, words):
    return next(n for n, line in enumerate(text.splitlines(), start=1) if words in line)


def mistakes(text):
    with pytest.raises(SheetError) as caught:
        read_assembly(text, "sheet.toml")
    return caught.value.mistakes


@pytest.mark.pinned("the shipped example, as it is written")
def test_the_training_six_reads_as_written():
    assembly = read_assembly(SHEET, "training-six.toml")
    assert assembly.positions == ("1", "2", "3", "4")
    assert [bearing.housing_mm for bearing in assembly.bearings] == [54.0, 53.75, 53.5, 53.25]
    assert assembly.bearings[1].feeds[1].clock_deg == 277
    assert assembly.characteristic("clearance").limit.source == "invented for training"
    assert assembly.oil_holes.share == 0.75


@pytest.mark.second_way("one thousandth of an inch, typed as such")
def test_an_assembly_needs_no_bearings():
    assembly = read_assembly(BRAKE, "drums.toml")
    assert assembly.positions == ("left", "right")
    assert assembly.instruments[0].resolution == 0.001
    assert str(assembly.characteristic("drum").limit) == "max 9.060 in"


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('housing = "54.00 mm"', 'housing = "54.00 V"', "is a voltage"),
        ('housing = "54.00 mm"', 'housng = "54.00 mm"', "Did you mean 'housing'"),
        ('journal = "50.00 mm"', 'journal = "51.00 mm"', "larger than the one before"),
        ('clock = "9:14"', 'clock = "13:00"', "clock time"),
        ('hole = "5.5 mm"', 'hole = "0 mm"', "more than 0 mm"),
        ('set_in = "micrometer" ', 'set_in = "ring" ', "“ring”, which is not known"),
        ('id = "protractor"', 'id = "micrometer"', "stands at line"),
        ('key = "cam-journal"', 'key = "Cam Journal"', "small letters"),
        ('minus = "cam-journal"', 'minus = "bush-turn"', "is read in °"),
        ('minus = "cam-journal"', 'minus = "clearance"', "is not read with an instrument"),
        ('plus = "bush-bore"\n', "", "one of plus and minus"),
        ("lower = 60, upper = 110", "lower = 110, upper = 60", "lower end must be below"),
        ("lower = 60, upper = 110", 'lower = "sixty"', "number without quotes"),
        ("lower = 60, upper = 110, ", "", "no end"),
        ('turn = "bush-turn"', 'turn = "bush-twist"', "not among the characteristics"),
        ('open_share = "75 %"', 'open_share = "175 %"', "between 0 and 1"),
        ('ends = ["Front", "Flywheel"]', 'ends = ["Front"]', "first end and a last end"),
        ('resolution = "1°"', 'resolution = "0°"', "above 0"),
        ('repeat = "0.5°"', 'repeat = "-0.5°"', "from 0 up"),
        ('unit = ""\nresolution', 'unit = "furlong"\nresolution', "not a unit"),
    ],
)
def test_a_mistake_is_found_with_its_line(old, new, words):
    assert old in SHEET
    broken = SHEET.replace(old, new, 1)
    found = mistakes(broken)
    assert any(words in str(mistake) for mistake in found), [str(m) for m in found]
    assert all(0 <= mistake.line <= len(broken.splitlines()) for mistake in found)


def test_all_mistakes_are_told_at_once():
    broken = SHEET.replace('clock = "9:14"', 'clock = "nine"').replace('"54.06 mm"', '"wide"')
    lines = {mistake.line for mistake in mistakes(broken)}
    assert {line_of(broken, '"nine"'), line_of(broken, '"wide"')} <= lines


def test_a_limit_without_a_source_is_refused():
    broken = SHEET.replace(', source = "invented for training" }', " }", 1)
    assert any("source" in str(mistake) for mistake in mistakes(broken))


@pytest.mark.parametrize("text", ["", "x = 1", "[assembly]", "[[bearings]]\nposition = [1]", "a ="])
def test_a_sheet_with_next_to_nothing_is_sent_back_and_does_not_crash(text):
    assert mistakes(text)


@given(st.integers(0, len(SHEET) - 1), st.sampled_from(['"', "[", "=", "0", "\n", "x", "-"]))
def test_one_wrong_key_stroke_never_crashes(place, stroke):
    try:
        read_assembly(SHEET[:place] + stroke + SHEET[place + 1 :], "sheet.toml")
    except SheetError as error:
        assert all(m.found and m.needed and m.do for m in error.mistakes)


@pytest.fixture
def assembly():
    return read_assembly(SHEET, "training-six.toml")


def test_readings_keep_what_was_typed_who_and_when(assembly):
    first = read_readings(TABLE, "r.csv", assembly)[0]
    assert (first.quantity.text, first.reader, first.id) == ("50.083 mm", "Esme", "line 2")
    assert first.when.isoformat() == "2026-11-24T10:31:00"


@pytest.mark.second_way("the same readings with decimal comma and semicolons")
def test_a_table_with_decimal_commas_reads_the_same(assembly):
    plain = [line.replace(",", ";").replace(".", ",") for line in TABLE.splitlines()]
    commas = read_readings("\ufeff" + "\n".join(plain), "r.csv", assembly)
    points = read_readings(TABLE, "r.csv", assembly)
    assert [r.quantity.value for r in commas] == [r.quantity.value for r in points]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("piston,1,80 mm,micrometer,,", "“piston” is not measured"),
        ("clearance,1,82 µm,micrometer,,", "is computed from bush-bore and cam-journal"),
        ("bush-bore,5,50.083 mm,bore-gauge,,", "no bearing 5"),
        ("bush-bore,1,50.083 mm,rule,,", "The instrument is “rule”"),
        ("bush-bore,1,50.083 V,bore-gauge,,", "is a voltage"),
        ("bush-bore,1,50.083.1,bore-gauge,,", "not one number"),
        ("bush-bore,1,50.083 mm,bore-gauge,Esme,yesterday", "not a date"),
        ("bush-bore,1,50,083 mm,bore-gauge,Esme,", "7 values under 6 headings"),
        ("bush-bore,1", "2 values under 6 headings"),
    ],
)
def test_a_reading_that_cannot_be_used_is_named_with_its_line(assembly, line, words):
    with pytest.raises(SheetError) as caught:
        read_readings(f"{HEAD}\n\n{line}\n", "r.csv", assembly)
    (mistake,) = caught.value.mistakes
    assert words in str(mistake)
    assert mistake.line == 3


@pytest.mark.parametrize(
    ("text", "words"),
    [("", "The head line is"), ("a,b\n1,2", "The head line is"), (f"{HEAD}\n", "no readings")],
)
def test_a_table_without_readings_is_sent_back(assembly, text, words):
    with pytest.raises(SheetError, match=words):
        read_readings(text, "r.csv", assembly)
