"""A sheet's mistakes name their line, whatever the text looks like."""

import contextlib
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.errors import SheetError
from witnessmark.sheets.toml_text import read_toml

TEXT = '''# a fan
[circuit]
name = "fan \\" # not a comment"
note = """
two
lines"""

[[parts]]
name = "F12"
sizes = [
  1, # one
  { a = 1, b = "x" },
]

[[parts]]
name = 'K3'
coil.pull = "7 V"

[points]
"A" = "battery +"
[[parts.pins]]
n = 30
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("circuit",), 2),
        (("circuit", "name"), 3),
        (("circuit", "note"), 4),
        (("parts", 0), 8),
        (("parts", 0, "sizes", 0), 11),
        (("parts", 0, "sizes", 1, "b"), 12),
        (("parts", 1, "name"), 16),
        (("parts", 1, "coil", "pull"), 17),
        (("points", "A"), 20),
        (("parts", 1, "pins", 0, "n"), 22),
        (("parts", 1, "not there"), 15),
        (("nowhere",), 0),
    ],
)
def test_every_entry_knows_its_line(path, line):
    assert read_toml(TEXT, "fan.toml").line(*path) == line


def test_a_text_that_is_no_toml_names_the_line():
    with pytest.raises(SheetError, match=r"fan.toml, line 2: .*cannot be read as TOML.*quotes"):
        read_toml('a = 1\nb = "open\nc = 2\n', "fan.toml")


def test_an_empty_text_says_where_to_start():
    with pytest.raises(SheetError, match=r"empty.*examples in the Library"):
        read_toml(" \n", "fan.toml")


def test_all_mistakes_are_told_in_the_order_of_their_lines():
    sheet = read_toml(TEXT, "fan.toml")
    sheet.unknown_keys(("points",), sheet.data["points"], ("B",))
    sheet.mistake(("parts", 0, "name"), "F12 is twice there.", "One is enough.", "Rename one.")

    with pytest.raises(SheetError, match=r"fan.toml, line 9: F12 is twice there") as caught:
        sheet.finish()

    assert [mistake.line for mistake in caught.value.mistakes] == [9, 20]


def test_a_misspelt_key_is_met_with_the_nearest_one():
    sheet = read_toml('lenght = "3 m"', "x.toml")
    sheet.unknown_keys((), sheet.data, ("length", "size"))

    assert sheet.mistakes[0].do == "Did you mean 'length'?"


toml_like = st.text(alphabet="ab\"'[]{}=.,# \n\t\\1-", max_size=40)


@given(toml_like)
def test_no_text_ends_in_anything_but_data_or_a_line(text):
    """Whatever tomllib accepts, the walk over its lines accepts too, and knows every table."""
    with contextlib.suppress(SheetError):
        sheet = read_toml(text, "wild.toml")
        assert sheet.data == tomllib.loads(text)
        assert all(sheet.line(key) > 0 for key in sheet.data)


@pytest.mark.parametrize("sign", ["\\u0000", "\\u0007", "\\u001B", "\\u007F", "\\u0085"])
def test_a_sign_that_nobody_sees_is_refused_on_its_line(sign):
    read = read_toml(f'[circuit]\nname = "fan"\n[[parts]]\nname = "F{sign}12"\n', "fan.toml")
    with pytest.raises(SheetError, match=r"'F�12' holds a sign that nobody sees") as refused:
        read.finish()
    (mistake,) = refused.value.mistakes
    assert mistake.line == 4
    assert "type them again" in mistake.do


@pytest.mark.parametrize(
    "name", ["ανεμιστήρας", "вентилятор", "مروحة\u200c۲", "风扇", "ファン", "पंखा"]
)
def test_names_in_any_script_are_read(name):
    read = read_toml(f'[circuit]\nname = "{name}"\nnote = """two\n\tlines"""\n', "fan.toml")
    read.finish()
    assert read.data["circuit"]["name"] == name
