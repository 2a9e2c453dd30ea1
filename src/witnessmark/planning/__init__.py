"""Periods, crews, bays and the teacher's attention."""

from witnessmark.planning.checker import Breach, check_plan
from witnessmark.planning.kept import (
    problem_from_text,
    problem_to_text,
    result_from_text,
    result_to_text,
)
from witnessmark.planning.plan import (
    Aim,
    JobFinish,
    PlanResult,
    Sitting,
    Status,
    Tally,
    finishes,
    tally,
)
from witnessmark.planning.problem import (
    Bay,
    Job,
    Learner,
    Part,
    Period,
    PlaceKind,
    Presence,
    Step,
    Tool,
)
from witnessmark.planning.search import solve_week
from witnessmark.planning.week import LooseEnd, WeekProblem, loose_ends
from witnessmark.planning.whiteboard import write_on_whiteboard

__all__ = [
    "Aim",
    "Bay",
    "Breach",
    "Job",
    "JobFinish",
    "Learner",
    "LooseEnd",
    "Part",
    "Period",
    "PlaceKind",
    "PlanResult",
    "Presence",
    "Sitting",
    "Status",
    "Step",
    "Tally",
    "Tool",
    "WeekProblem",
    "check_plan",
    "finishes",
    "loose_ends",
    "problem_from_text",
    "problem_to_text",
    "result_from_text",
    "result_to_text",
    "solve_week",
    "tally",
    "write_on_whiteboard",
]
