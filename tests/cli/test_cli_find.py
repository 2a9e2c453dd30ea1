"""`witnessmark find`: a file of readings, questions at a terminal, answers for a program."""

import json
from importlib import resources

import pytest

from witnessmark.cli.main import main

EXAMPLES = resources.files("witnessmark.examples")
FAN = str(EXAMPLES / "circuits" / "fan.toml")
READINGS = str(EXAMPLES / "readings" / "fan_slow.csv")


def answering(monkeypatch, *said: str) -> list[str]:
    """Answer in turn at the terminal, then leave; return what is asked."""
    answers, asked = iter(said), []

    def answer(question):
        asked.append(question)
        try:
            return next(answers)
        except StopIteration:
            raise EOFError from None

    monkeypatch.setattr("builtins.input", answer)
    return asked


def test_the_example_ends_at_the_ground_joint(capsys):
    assert main(["find", FAN, "--readings", READINGS]) == 0

    told = capsys.readouterr().out
    assert "Cause: G7, high resistance." in told
    assert "can be named as the cause" in told
    assert "After the repair, F, stud G7, must read" in told


def test_json_holds_the_whole_run(capsys):
    assert main(["find", FAN, "--readings", READINGS, "--json"]) == 0

    found = json.loads(capsys.readouterr().out)
    assert found["stop"]["kind"] == "cause"
    assert found["stop"]["repair"] == "clean ground joint G7"
    assert found["belief"][0]["key"] == "G7:high"
    assert found["next_test"] is None


def test_complaints_alone_give_a_next_test_and_no_cause(capsys):
    assert main(["find", FAN, "--complaints", "slow", "--json"]) == 1

    found = json.loads(capsys.readouterr().out)
    assert found["next_test"]["key"].startswith("volts ")
    assert found["stop"]["kind"] == "keep on"


def test_answers_at_the_terminal_lead_to_the_cause(capsys, monkeypatch):
    volts = {"A": "12.5", "B": "12.5", "C": "12.4", "D": "12.2", "E": "2,9 V", "F": "2.9"}
    asked = []

    def answer(question):
        asked.append(question)
        if question.startswith("Number"):
            return "7" if len(asked) == 1 else "1"
        if len(asked) == 3:
            return "some"
        if question.startswith("Test lamp at E"):
            return "dim"  # 2.9 V
        point, _, rest = question.removeprefix("Reading at ").partition(",")
        across = rest.partition("black probe on ")[2][:1]
        return "0.1" if across in volts else volts[point]

    monkeypatch.setattr("builtins.input", answer)

    assert main(["find", FAN]) == 0
    told = capsys.readouterr().out
    assert "There are the numbers 1 to" in told
    assert "Caution: Fan runs in this state" in told
    assert "Enter the number as you read it" in told
    assert "Cause: G7, high resistance." in told


def test_an_odd_reading_is_asked_about_and_kept_when_entered_again(capsys, monkeypatch):
    answering(monkeypatch, "1", "-3", "-3", "-4")
    assert main(["find", FAN]) == 1
    told = capsys.readouterr().out
    assert told.count("would mean the probes are swapped.") == 2  # of -3 once, and of -4
    assert "motor − read -3." in told  # it was kept and is questioned, and -4 was not
    assert "read -4" not in told


def test_out_of_reach_undo_and_a_lamp_are_taken(capsys, monkeypatch):
    asked = answering(monkeypatch, "1", "x", "lit", "u")

    assert main(["find", FAN]) == 1
    first, second, third, fourth = (question.split()[2] for question in asked[1:5])
    assert first != second  # x: another point
    assert third != second or third != first
    assert fourth == second  # u: as before the lamp


def test_a_complaint_may_be_said_to_be_away_where_one_is_told(monkeypatch):
    for number, is_told in (("1", True), ("", False)):
        asked = answering(monkeypatch, number)
        main(["find", FAN])
        assert ("a before it: complaint away" in asked[1]) == is_told


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ("what,where,state,value\ncomplaint,loud,,customer\n", "line 2: The complaint is"),
        ("what,where,state,value\nvolts,Q,run,12\n", "line 2: The reading is at point Q"),
        ("what,where,state,value\nvolts,A,run,1200\n", "Check the scale of the meter"),
        ("what,where,state,value\nvolts,A,run,abc\n", "line 2: “abc” is not one number"),
        ("what,where,state,value\nvolts,A,fast,12\n", "The sheet has the states"),
        ("what,where,state,value\nloud,A,run,12\n", "It must be one of volts, lamp"),
        ("what,where,state,value\nlamp,A,run,bright\n", "It must be lit, dim or dark"),
        ("what,where,value,present\nvolts,A,12,maybe\n", "It must be yes, no, unsure or empty"),
        ("where,value\nA,12\n", "line 1: The heading has"),
        ("", "line 1: The heading has"),
    ],
)
def test_bad_input_is_told_with_its_line(lines, words, tmp_path, capsys):
    file = tmp_path / "readings.csv"
    file.write_text(lines)

    assert main(["find", FAN, "--readings", str(file)]) == 2
    assert words in capsys.readouterr().err


def test_every_mistake_of_a_file_is_told(tmp_path, capsys):
    file = tmp_path / "readings.csv"
    file.write_text("what,where,state,value\nvolts,Q,run,12\nvolts,A,run,abc\nvolts,A,run,12\n")

    assert main(["find", FAN, "--readings", str(file)]) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 2


def test_a_reading_while_the_complaint_was_away_is_told_as_such(tmp_path, capsys):
    file = tmp_path / "readings.csv"
    file.write_text(
        "what,where,state,value,reference,present\ncomplaint,slow,,here,,\nvolts,E,run,0.18,,no\n"
    )

    assert main(["find", FAN, "--readings", str(file)]) == 1
    assert "clears nobody" in capsys.readouterr().out


def test_a_complaint_that_comes_and_goes_is_said_in_both_ways(tmp_path, capsys):
    def shares(*arguments):
        main(["find", FAN, *arguments, "--json"])
        belief = json.loads(capsys.readouterr().out)["belief"]
        return {one["words"]: one["share"] for one in belief}

    read = tmp_path / "said.csv"
    read.write_text("what,where,value,present\ncomplaint,slow,customer,sometimes\n", "utf-8")
    sometimes = shares("--readings", str(read))
    assert sometimes == shares("--sometimes", "slow")
    always = shares("--complaints", "slow")
    joint, lasting = "G7, high resistance", "BAT, low charge"
    assert sometimes[joint] / sometimes[lasting] > always[joint] / always[lasting]


def test_how_often_a_complaint_is_there_is_one_of_two_words(tmp_path, capsys):
    read = tmp_path / "said.csv"
    read.write_text("what,where,value,present\ncomplaint,slow,customer,yes\n", "utf-8")
    assert main(["find", FAN, "--readings", str(read)]) == 2
    assert "It must be always, sometimes or empty." in capsys.readouterr().err


def test_every_kind_of_test_is_taken_from_a_file(tmp_path, capsys):
    file = tmp_path / "readings.csv"
    file.write_text(
        "what,where,state,value,reference,present\ncomplaint,slow,,here,,\n"
        "look,C4,,sound,,\nheat,S9,run,cool,,yes\nclamp,W1,run,6.2 A,,yes\n"
        "volts,E,run,2.9,F,no\nohms,F12,,0.1,,\nwiggle,G7,run,changes,,unsure\n"
    )

    assert main(["find", FAN, "--readings", str(file), "--json"]) in (0, 1)
    found = json.loads(capsys.readouterr().out)
    assert [r["text"] for r in found["readings"]][:3] == ["sound", "cool", "6.2 A"]
    assert found["belief"][0]["part"] == "G7"


def test_only_what_is_at_hand_is_asked_for(capsys):
    assert main(["find", FAN, "--complaints", "slow", "--json", "--tools", "test lamp"]) == 1
    assert json.loads(capsys.readouterr().out)["next_test"]["kind"] == "lamp"
    assert main(["find", FAN, "--complaints", "slow", "--tools", "hammer"]) == 2
    assert "Choose from these" in capsys.readouterr().err


def test_above_60_v_nothing_is_asked(tmp_path, capsys):
    sheet = tmp_path / "fan.toml"
    text = (EXAMPLES / "circuits" / "fan.toml").read_text(encoding="utf-8")
    sheet.write_text(text.replace('emf = "12.6 V"', 'emf = "96 V"'))

    assert main(["find", str(sheet), "--complaints", "slow"]) == 2
    assert "carries 96 V" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["fan", "body-front"])
@pytest.mark.parametrize(
    ("line", "told"),
    [("volts,QQ,{state},4.1", "point QQ"), ("clamp,W1,nowhere,3.7", 'state "nowhere"')],
)
def test_a_reading_of_a_place_or_state_not_on_the_sheet_is_told(name, line, told, tmp_path, capsys):
    complaint, state = {"fan": ("slow", "run"), "body-front": ("left-dim", "low")}[name]
    read = tmp_path / "read.csv"
    lines = ["what,where,state,value", f"complaint,{complaint},,customer", line.format(state=state)]
    read.write_text("\n".join(lines), "utf-8")

    assert main(["find", str(EXAMPLES / "circuits" / f"{name}.toml"), "--readings", str(read)]) == 2
    err = capsys.readouterr().err
    assert "line 3" in err
    assert told in err
    assert "Choose the" in err


def test_a_missing_sheet_is_told(capsys):
    assert main(["find", "nowhere.toml"]) == 2
    assert "There is no file nowhere.toml" in capsys.readouterr().err
