import json
from importlib import resources

import pytest

from witnessmark.cli.main import main

PUMP = resources.files("witnessmark.examples") / "procedures" / "water-pump-inline-engine.toml"


@pytest.fixture
def pump(tmp_path):
    file = tmp_path / "pump.toml"
    file.write_text(PUMP.read_text(), encoding="utf-8")
    return file


def test_a_procedure_with_nothing_to_mend_ends_with_0(pump, capsys):
    assert main(["check", str(pump), "--period", "70"]) == 0
    assert capsys.readouterr().out.endswith("Nothing to mend.\n")


def test_a_lead_that_never_goes_back_is_named_with_its_step_and_ends_with_1(pump, capsys):
    text = pump.read_text()
    mended = text.replace('[[steps.on]]\nkey = "lead"\n', "", 1)
    assert mended != text
    pump.write_text(mended)

    assert main(["check", str(pump)]) == 1
    out = capsys.readouterr().out
    assert "- Battery negative lead is disconnected in step 1 and never put back." in out
    assert out.endswith("1 thing to mend.\n")


def test_programs_get_the_problems_as_json(pump, capsys):
    asks = pump.read_text().replace('key = "road-test"', 'key = "road-test"\npermits = ["drives"]')
    pump.write_text(asks)

    assert main(["check", str(pump), "--period", "40", "--permit", "press", "--json"]) == 1

    answer = json.loads(capsys.readouterr().out)
    assert answer["steps"] == 7
    assert {one["rule"] for one in answer["problems"]} == {
        "longer than a period",
        "permit nobody has",
    }
    assert {one["number"] for one in answer["problems"]} == {6, 7}


def test_a_file_that_is_no_procedure_ends_with_2_and_its_lines(pump, capsys):
    pump.write_text(pump.read_text().replace("minutes = 20", 'minutes = "long"', 1))

    assert main(["check", str(pump)]) == 2
    error = capsys.readouterr().err
    line = pump.read_text().splitlines().index('minutes = "long"') + 1
    assert error.startswith(f"pump.toml, line {line}: 'minutes'")
