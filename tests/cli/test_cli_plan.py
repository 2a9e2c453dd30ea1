"""`witnessmark plan`: prints a plan to work by, and says how good it is."""

import json
from pathlib import Path

import pytest

import witnessmark
from witnessmark.cli.main import main

EXAMPLE = Path(witnessmark.__file__).parent / "examples/weeks/skerry-point-two-weeks.toml"


def test_the_example_keeps_every_promise(capsys):
    assert main(["plan", str(EXAMPLE), "--seconds", "1"]) == 0
    said = capsys.readouterr().out
    assert "Tue 24 Nov, period 3, 10:40 to 12:00, tools down 11:50" in said
    assert "R. Aldane looks" in said
    assert "Proven best: no plan keeps the promises better." in said
    assert "promises    0 periods late (bound 0, gap 0)" in said


def test_the_plan_for_programs_holds_the_same(capsys):
    assert main(["plan", str(EXAMPLE), "--seconds", "1", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["status"], data["late"], data["bound"], data["gap"]) == ("proven best", 0, 0, 0)
    assert len(data["sittings"]) == 18
    assert {one["job"] for one in data["promises"]} == {"J-114", "J-112", "J-117", "J-109"}
    assert all(one["start"] < one["end"] for one in data["sittings"])


def test_a_promise_that_cannot_be_kept_ends_with_one(tmp_path, capsys):
    sheet = tmp_path / "late.toml"
    text = EXAMPLE.read_text(encoding="utf-8")
    sheet.write_text(text.replace("promised = 2026-12-04", "promised = 2026-11-24"))
    assert main(["plan", str(sheet), "--seconds", "1"]) == 1
    assert "Library bus   promised Tue 24 Nov; planned finish" in capsys.readouterr().out


def test_no_plan_says_what_is_short(tmp_path, capsys):
    sheet = tmp_path / "short.toml"
    text = EXAMPLE.read_text(encoding="utf-8")
    sheet.write_text(text.replace("minutes = 60", "minutes = 90", 1))
    assert main(["plan", str(sheet), "--seconds", "1"]) == 1
    said = capsys.readouterr().out
    assert said.startswith("There is no plan. No period can hold 'Find: fan runs slow'")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["no-such-file.toml"], "There is no file no-such-file.toml."),
        ([str(EXAMPLE), "--seconds", "0"], "--seconds is 0."),
        ([str(EXAMPLE), "--seconds", "nan"], "--seconds is nan."),
    ],
)
def test_bad_input_ends_with_two(arguments, said, capsys):
    assert main(["plan", *arguments]) == 2
    assert said in capsys.readouterr().err


def test_a_mistake_in_the_sheet_is_printed_with_its_line(tmp_path, capsys):
    sheet = tmp_path / "week.toml"
    sheet.write_text(EXAMPLE.read_text(encoding="utf-8").replace("number = 3", "number = true", 1))
    assert main(["plan", str(sheet)]) == 2
    assert "week.toml, line 12: 'number' of period 1 is True." in capsys.readouterr().err
