"""`witnessmark circuit`: what a program and a person get from a sheet, and what bad input gets."""

import json
import subprocess
from pathlib import Path

import pytest

import witnessmark
from witnessmark.cli.main import main

FAN = Path(witnessmark.__file__).parent / "examples/circuits/fan.toml"


def _json(capsys, *arguments):
    assert main(["circuit", *map(str, arguments), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_solve_gives_every_state_with_its_points_pieces_and_contacts(capsys):
    answer = _json(capsys, "solve", FAN)
    assert answer["circuit"] == "Brae 12, fan and heater"
    assert answer["faults"] == []
    assert list(answer["states"]) == ["off", "run"]
    run = answer["states"]["run"]
    assert set("0ABCDEFG") <= set(run["nodes"])
    assert run["nodes"]["0"] == 0
    assert round(run["currents"]["Fan"], 2) == 7.97
    assert answer["states"]["off"]["contacts"] == {"K3.contact": False}
    assert run["contacts"] == {"K3.contact": True}
    assert run["chatter"] is False
    assert run["floating"] == []


def test_one_state_and_several_faults(capsys):
    answer = _json(capsys, "solve", FAN, "--state", "run", "--fault", "G7:open", "F12:blown")
    assert list(answer["states"]) == ["run"]
    assert answer["faults"] == ["G7:open", "F12:blown"]
    assert {"B", "C", "D", "E", "F"} <= set(answer["states"]["run"]["floating"])
    again = _json(
        capsys, "solve", FAN, "--state", "run", "--fault", "G7:open", "--fault", "F12:blown"
    )
    assert again == answer


def test_the_table_has_units_and_says_what_floats(capsys):
    assert main(["circuit", "solve", str(FAN), "--state", "run", "--fault", "F12:blown"]) == 0
    said = capsys.readouterr().out
    assert "Faults: F12:blown" in said
    assert "K3.contact is closed." in said
    assert "nothing ties this point to the battery" not in said
    assert any(line.startswith("A   battery +") and " V" in line for line in said.splitlines())
    assert main(["circuit", "solve", str(FAN), "--fault", "G7:open"]) == 0
    assert "nothing ties this point to the battery" in capsys.readouterr().out


def test_faults_lists_what_solve_takes(capsys):
    answer = _json(capsys, "faults", FAN)
    texts = [text for mode in answer["faults"] for text in mode["faults"]]
    assert "F12:blown" in texts
    assert any(text.startswith("G7:high=") for text in texts)
    for text in texts:
        assert main(["circuit", "solve", str(FAN), "--state", "run", "--fault", text]) == 0
    assert main(["circuit", "faults", str(FAN)]) == 0
    assert "clean ground joint G7" in capsys.readouterr().out


def test_the_netlist_runs_as_it_is_and_prints_every_point(capsys, tmp_path):
    fault = ["--state", "run", "--fault", "G7:high=0.8"]
    answer = _json(capsys, "solve", FAN, *fault)
    assert main(["circuit", "spice", str(FAN), *fault]) == 0
    sheet = tmp_path / "fan.cir"
    sheet.write_text(capsys.readouterr().out)
    done = subprocess.run(["ngspice", "-b", str(sheet)], capture_output=True, text=True, check=True)
    printed = [
        float(line.split(" = ")[1]) for line in done.stdout.splitlines() if line.startswith("v(")
    ]
    ours = list(answer["states"]["run"]["nodes"].values())[1:]
    assert printed == pytest.approx(ours, abs=1e-6)


def test_the_netlist_is_of_the_first_state_unless_another_is_named(capsys):
    assert main(["circuit", "spice", str(FAN)]) == 0
    assert "state off" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["solve", "no-such.toml"], "There is no file no-such.toml."),
        (["solve", str(FAN.parent)], "circuits is not a text."),
        (["solve", str(FAN), "--state", "fast"], "has no state 'fast'"),
        (["solve", str(FAN), "--fault", "G9:open"], "has no part 'G9'"),
        (["solve", str(FAN), "--fault", "G7:bent"], "G7 cannot be 'bent'."),
        (["solve", str(FAN), "--fault", "G7:high"], "does not say how much"),
        (["spice", str(FAN), "--fault", "G7:high=-1"], "must be more than 0"),
    ],
)
def test_bad_input_ends_with_two(arguments, said, capsys):
    assert main(["circuit", *arguments]) == 2
    assert said in capsys.readouterr().err


def test_a_sheet_with_mistakes_gets_each_with_its_line(tmp_path, capsys):
    sheet = tmp_path / "bad.toml"
    text = FAN.read_text(encoding="utf-8")
    sheet.write_text(text.replace('kind = "fuse"', 'kind = "fuze"').replace("1.50 ohm", "-1 ohm"))
    assert main(["circuit", "solve", str(sheet)]) == 2
    lines = capsys.readouterr().err.splitlines()
    fuse = text[: text.index('kind = "fuse"')].count("\n") + 1
    assert any(line.startswith(f"bad.toml, line {fuse}: F12") for line in lines)
    assert any("Fan" in line for line in lines)


def test_check_says_what_each_load_gets_and_that_nothing_looks_wrong(capsys):
    assert main(["circuit", "check", str(FAN)]) == 0
    said = capsys.readouterr().out
    assert "run (the fan running):\n  Fan motor gets 12.0 V of 12.4 V and draws 8.0 A; " in said
    assert "Relay K3 pulls in." in said
    assert "Nothing looks wrong. The check can only tell what is impossible. Compare" in said
    answer = _json(capsys, "check", FAN)
    assert [state["state"] for state in answer["states"]] == ["off", "run"]
    assert answer["notices"] == []


def test_check_ends_with_one_where_something_looks_wrong(capsys, tmp_path):
    thin = tmp_path / "thin.toml"
    text = FAN.read_text("utf-8").replace('ohms = "0.018 ohm"', 'size = "0.1 mm2"\nlength = "6 m"')
    thin.write_text(text, "utf-8")
    assert main(["circuit", "check", str(thin)]) == 1
    said = capsys.readouterr().out
    assert "Look at this: Fan motor gets only" in said
    assert "Look at this: W1 feed wire carries" in said


def test_kinds_names_every_kind_with_what_it_needs(capsys):
    assert main(["circuit", "kinds"]) == 0
    said = capsys.readouterr().out
    answer = _json(capsys, "kinds")
    assert len(answer["kinds"]) == 23
    for kind in answer["kinds"]:
        assert f"{kind['kind']}: {kind['words']}\n" in said
    assert "Told by size and length or by ohms." in said


def test_schema_prints_a_json_schema(capsys):
    assert main(["circuit", "schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert set(schema["required"]) == {"circuit", "parts", "states"}
