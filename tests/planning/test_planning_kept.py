"""Problem and result as text: back again, the same values."""

from pathlib import Path

import witnessmark
from witnessmark.planning import (
    problem_from_text,
    problem_to_text,
    result_from_text,
    result_to_text,
    solve_week,
)
from witnessmark.sheets.week import read_week

EXAMPLE = Path(witnessmark.__file__).parent / "examples/weeks/skerry-point-two-weeks.toml"


def test_problem_and_result_come_back_as_they_were():
    problem = read_week(EXAMPLE.read_text(encoding="utf-8"), EXAMPLE.name)
    text = problem_to_text(problem)
    assert problem_from_text(text) == problem
    assert problem_to_text(problem_from_text(text)) == text
    result = solve_week(problem, seconds=0.5)
    assert result_from_text(result_to_text(result)) == result
