"""`witnessmark wire`: sizes, fuses, pairs; what it prints, and its exit codes."""

import json

import pytest

from witnessmark.cli.main import main

YES, NO, BAD_INPUT = 0, 1, 2


def told(capsys, *asked):
    code = main(["wire", *asked])
    return code, capsys.readouterr()


def asked_json(capsys, *asked):
    code, out = told(capsys, *asked, "--json")
    return code, json.loads(out.out)


SIZE = ("size", "10A", "21ft", "--limits", "boat-critical", "--insulation", "pvc-105")


def test_the_published_example_is_sized_with_its_reasons(capsys):
    code, out = told(capsys, *SIZE, "--system", "awg")
    assert code == YES
    assert out.out.startswith("12 AWG is the thinnest that passes every test.")
    assert "ABYC as quoted in a marine catalogue)" in out.out
    assert "14 AWG loses 0.56 V and may lose 0.36 V." in out.out
    assert "6271 circular mils" in out.out


def test_sae_wire_is_asked_for_by_its_name(capsys):
    code, out = asked_json(capsys, *SIZE, "--system", "sae")
    assert (code, out["answer"]) == (YES, "SAE 10")


def test_the_system_of_the_old_wire_is_taken(capsys):
    code, out = asked_json(capsys, "size", "8A", "2m", "--was", "SAE16")
    assert (code, out["answer"]) == (YES, "SAE 16")


def test_a_wire_that_was_too_thin_is_a_no(capsys):
    code, out = told(capsys, "size", "8A", "5m", "--air", "50C", "--bundle", "4", "--was", "1.5mm2")
    assert code == NO
    assert "Find out why" in out.out


def test_json_holds_every_size_with_its_tests_and_sources(capsys):
    code, out = asked_json(capsys, *SIZE, "--fuse", "15A")
    assert code == YES
    row = next(row for row in out["sizes"] if row["size"] == out["answer"])
    assert row["passes"] and {test["name"] for test in row["tests"]} == {"Drop", "Current", "Fuse"}
    assert all(test["source"] for test in row["tests"])


def test_the_shops_own_limit_takes_the_place_of_a_set(capsys):
    code, out = asked_json(capsys, "size", "10A", "6m", "--drop", "0.2V")
    assert code == YES
    assert out["limit_source"] == "the shop; the shop's own"


def test_a_fuse_is_chosen_and_named_by_its_number(capsys):
    code, out = told(capsys, "fuse", "8A", "--starting", "45A")
    assert code == YES
    assert "The 20 A standard blade fuse (yellow) is the smallest for 8 A" in out.out
    assert "Read the moulded number" in out.out
    code, answer = asked_json(capsys, "fuse", "8A")
    assert (code, answer["fuse_a"], answer["colour"]) == (YES, 10, "red")


def test_a_load_beyond_the_series_is_a_no(capsys):
    code, out = asked_json(capsys, "fuse", "70A")
    assert (code, out["fuse_a"]) == (NO, None)
    assert asked_json(capsys, "fuse", "60A", "--kind", "large")[1]["fuse_a"] == 80


def test_a_pair_that_protects_is_a_yes_and_one_that_does_not_a_no(capsys):
    code, out = told(capsys, "check", "10A", "18AWG", "--insulation", "pvc-80")
    assert code == YES
    assert "protects 18 AWG" in out.out and "1.35 times the rating" in out.out
    code, out = asked_json(capsys, "check", "30A", "14AWG", "--insulation", "pvc-80")
    assert code == NO
    assert out["answer"] == "does not protect" and out["not_protected_a"]


def test_a_held_motor_that_hurts_the_wire_is_a_no(capsys):
    asked = ("check", "25A", "14AWG", "--insulation", "pvc-105")
    assert asked_json(capsys, *asked)[0] == YES
    code, out = asked_json(
        capsys, "check", "20A", "18AWG", "--insulation", "pvc-105", "--stalled", "26.5A"
    )
    assert code == NO
    assert out["stall"]["wire_is_safe"] is False
    assert "does not save the motor" in out["stall"]["sentence"]


def test_a_link_is_four_numbers_smaller(capsys):
    code, out = told(capsys, "link", "10AWG", "--insulation", "pvc-105")
    assert code == YES
    assert out.out.startswith("14 AWG: four gauge numbers smaller than 10 AWG.")
    assert asked_json(capsys, "link", "SAE12")[1]["link"] == "SAE 16"


def test_sizes_are_listed_with_where_sources_disagree(capsys):
    code, out = told(capsys, "sizes", "--system", "sae", "--insulation", "pvc-105")
    assert code == YES
    assert "SAE 14" in out.out
    assert "Where sources disagree" in out.out and "Against:" in out.out
    code, answer = asked_json(capsys, "sizes")
    assert [one["size"] for one in answer["sizes"]][:2] == ["0.35 mm²", "0.5 mm²"]
    assert answer["disagreements"]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("size", "8A", "5m", "--was", "14"), "does not say whose size it is"),
        (("size", "8", "5m", "--bundle", "many"), "is not a number of wires"),
        (("size", "8V", "5m"), "is a voltage"),
        (("size", "0A", "5m"), "The current is 0 A"),
        (("size", "8A", "-5m"), None),
        (("size", "8A", "5m", "--limits", "strict"), "no set of limits"),
        (("size", "8A", "5m", "--drop", "90V"), "The allowed drop is"),
        (("size", "8A", "5m", "--air", "90C"), "The place has 90 °C"),
        (("size", "8A", "5m", "--insulation", "tape"), "no insulation"),
        (("check", "12A", "14AWG"), "There is no 12 A"),
        (("check", "10A", "99AWG"), "is no wire gauge"),
        (("fuse", "8A", "--share", "5%"), "of its rating"),
        (("link", "2.5mm2"), "has no gauge number"),
    ],
)
def test_bad_input_is_told_in_three_sentences_and_exits_2(capsys, asked, said):
    if said is None:  # argparse takes it for an option
        with pytest.raises(SystemExit) as ended:
            told(capsys, *asked)
        assert ended.value.code == BAD_INPUT
        return
    code, out = told(capsys, *asked)
    assert code == BAD_INPUT
    assert said in out.err
    assert "Traceback" not in out.err and not out.out
