"""The same week gives the same plan, whatever order Python keeps its sets in."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import witnessmark

WEEK = "examples/weeks/skerry-point-two-weeks.toml"
MODEL = f"""
from pathlib import Path
import witnessmark
from witnessmark.planning.axis import Axis
from witnessmark.planning.solver import WeekModel
from witnessmark.sheets.week import read_week
path = Path(witnessmark.__file__).parent / "{WEEK}"
axis = Axis(read_week(path.read_text(encoding="utf-8"), path.name))
named = frozenset(range(len(axis.windows)))
print(WeekModel(axis, named, {{}}).model.proto)
"""


@pytest.mark.second_way("another start of Python, with another order of its sets")
def test_another_start_asks_the_solver_the_same_in_the_same_order():
    answers = set()
    for seed in ("0", "1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", MODEL],
            capture_output=True,
            text=True,
            check=True,
            env=os.environ
            | {"PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(witnessmark.__file__).parent.parent)},
        )
        answers.add(done.stdout)
        assert len(done.stdout) > 10_000
    assert len(answers) == 1
