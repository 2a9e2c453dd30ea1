"""`witnessmark fit`: three exit codes, words for people, numbers for programs."""

import json
from pathlib import Path

import pytest

import witnessmark
from witnessmark.cli.main import main

EXAMPLES = Path(witnessmark.__file__).parent / "examples"
SHEET = EXAMPLES / "assemblies/training-six.toml"
TABLE = EXAMPLES / "readings/training-six.csv"


def test_the_example_is_not_all_within(capsys):
    assert main(["fit", str(SHEET), str(TABLE)]) == 1
    out = capsys.readouterr().out
    assert "105 ± 8 µm           89%   too close to call" in out
    assert "Caution: " in out
    assert out.rstrip().endswith("Not all within.")


def test_good_readings_answer_yes(tmp_path, capsys):
    good = TABLE.read_text("utf-8").replace("49.604", "49.584").replace("49.376", "49.336")
    table = tmp_path / "good.csv"
    table.write_text(good.replace("8°", "0°"), "utf-8")
    assert main(["fit", str(SHEET), str(table)]) == 0
    assert capsys.readouterr().out.rstrip().endswith("All within.")


def test_programs_get_json(capsys):
    assert main(["fit", str(SHEET), str(TABLE), "--json"]) == 1
    result = json.loads(capsys.readouterr().out)
    assert [round(size["value"]) for size in result["sizes"]] == [82, 91, 105, 124]
    assert result["sizes"][2]["verdict"] == "too close to call"
    assert result["all_within"] is False


@pytest.mark.parametrize("which", ["sheet", "table"])
def test_bad_input_is_told_with_its_line(which, tmp_path, capsys):
    sheet, table = tmp_path / "s.toml", tmp_path / "r.csv"
    sheet.write_text(SHEET.read_text("utf-8").replace('"54.06 mm"', '"54.06 V"'), "utf-8")
    table.write_text(TABLE.read_text("utf-8").replace("50.083 mm", "fifty"), "utf-8")
    asked = [str(sheet), str(TABLE)] if which == "sheet" else [str(SHEET), str(table)]
    assert main(["fit", *asked]) == 2
    assert ", line " in capsys.readouterr().err


def test_a_file_that_is_not_there_is_named(capsys):
    assert main(["fit", "nowhere.toml", str(TABLE)]) == 2
    assert "There is no file nowhere.toml" in capsys.readouterr().err
