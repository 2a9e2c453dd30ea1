"""What the documents say is there: every room, every command, and nothing of this machine."""

import re
import subprocess
from pathlib import Path

import pytest

from witnessmark.cli.main import build_parser

ROOT = Path(__file__).parents[1]
ROOMS = sorted(path.parent.name for path in (ROOT / "src" / "witnessmark").glob("*/__init__.py"))


def commands():
    return sorted(build_parser()._subparsers._group_actions[0].choices)


@pytest.mark.parametrize("room", [room for room in ROOMS if room != "examples"])
def test_every_room_stands_in_the_architecture(room):
    assert f"{room}/" in (ROOT / "ARCHITECTURE.md").read_text()


@pytest.mark.parametrize("command", commands())
def test_every_command_stands_in_the_commands_page(command):
    assert f"witnessmark {command}" in (ROOT / "docs" / "commands.md").read_text()


@pytest.mark.parametrize("command", commands())
def test_every_command_has_help_with_an_example(command, capsys):
    with pytest.raises(SystemExit) as ended:
        build_parser().parse_args([command, "--help"])

    assert ended.value.code == 0
    assert "example" in capsys.readouterr().out.lower()


def test_the_readme_names_the_make_targets_that_exist():
    targets = re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text(), re.MULTILINE)

    named = set(re.findall(r"`?make ([a-z-]+)", (ROOT / "README.md").read_text()))

    assert {"demo", "test", "demo-fresh", "bench"} <= named
    assert named <= set(targets)


def test_no_file_names_a_registry_or_a_path_of_one_machine():
    files = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split("\0")
    forbidden = re.compile(
        r"files\.pyth" + r"onhosted|py" + r"pi\.org|registry\.np" + r"mjs|/ro" + r"ot/"
    )

    wrong = [
        name
        for name in files
        if name
        and (ROOT / name).suffix in {".py", ".md", ".toml", ".txt", ".css", ".js", ".html"}
        and (ROOT / name).exists()
        and forbidden.search((ROOT / name).read_text(errors="ignore"))
    ]

    assert not wrong
