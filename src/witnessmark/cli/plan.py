"""`witnessmark plan`: a week sheet in, the timetable with bound and gap out."""

import argparse
import json
from datetime import datetime, timedelta
from itertools import groupby
from pathlib import Path
from typing import Any

from witnessmark.errors import BenchError
from witnessmark.papers.timetable import Timetable, day_words, make_timetable
from witnessmark.planning import PlanResult, Sitting, Status, WeekProblem, solve_week
from witnessmark.sheets.week import read_week

ENDINGS = {
    Status.PROVEN_BEST: "Proven best: no plan keeps the promises better.",
    Status.FOUND: "A plan that holds; the time did not last to prove that none is better.",
    Status.NONE_EXISTS: "There is no plan.",
    Status.OUT_OF_TIME: "No plan was found in this time.",
}


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "plan",
        help="plan the weeks of a shop from a week sheet",
        description="Plans who works on what, when and where, and when the teacher looks. "
        "Promises come first, then learners busy and practising what they need, fairness, few "
        "changes and few bay moves. Ends with 0 if all promises are kept, 1 if not, 2 if the "
        "sheet needs mending.",
        epilog="Example: witnessmark plan skerry-point-two-weeks.toml --seconds 5",
    )
    parser.add_argument("week", type=Path, help="the week sheet, a TOML file")
    parser.add_argument(
        "--seconds", type=float, default=5.0, help="limit of the search, about seconds (5)"
    )
    parser.add_argument("--seed", type=int, default=0, help="start of all random choices (0)")
    parser.add_argument("--json", action="store_true", help="print the plan for programs")
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Plan the weeks and print the plan; 0 if every promise is kept."""
    if not 0 < asked.seconds < float("inf"):
        raise BenchError(
            f"--seconds is {asked.seconds:g}.",
            "The search needs more than 0 s, and an end.",
            "Write --seconds 5.",
        )
    problem = read_week(asked.week.read_text(encoding="utf-8"), asked.week.name)
    result = solve_week(problem, seconds=asked.seconds, seed=asked.seed)
    if asked.json:
        print(json.dumps(as_data(problem, result), indent=2))
    elif result.has_plan:
        print("\n".join(as_lines(problem, result)))
    else:
        print(f"{ENDINGS[result.status]} {result.reason}")
    return 0 if result.has_plan and result.late == 0 else 1


def as_lines(problem: WeekProblem, result: PlanResult) -> list[str]:
    """Return the plan as lines to read."""
    timetable = make_timetable(problem, result.sittings)
    lines = [problem.name, ""]
    lines += _by_period(problem, timetable)
    lines += [f"{problem.teacher} looks"]
    for seat in timetable.holds:
        ends = f"{seat.period.clock(seat.sitting.end_min):%H:%M}"
        lines.append(
            f"  {day_words(seat.period.day):<10}  {seat.looks} to {ends}  "
            f"{seat.job.name}: {seat.step.title}"
        )
    lines += ["", "Promises"]
    width = max((len(one.job.name) for one in timetable.promises), default=0)
    for one in timetable.promises:
        promised = f"promised {one.flag}" if one.flag else "no promise"
        stands = f", {one.words}" if one.flag else ""
        lines.append(
            f"  {one.job.name:<{width}}  {promised}; planned finish {one.finish_words}{stands}"
        )
    lines += ["", f"How good it is: {ENDINGS[result.status]}"]
    for aim in result.aims:
        bound = "no bound looked for" if aim.bound is None else f"bound {aim.bound}, gap {aim.gap}"
        lines.append(f"  {aim.name:<10}  {aim.reached} {aim.unit} ({bound})")
    return lines


def _by_period(problem: WeekProblem, timetable: Timetable) -> list[str]:
    lines = []
    rows = timetable.table()
    step_width = max((len(row.step) for row in rows), default=0)
    job_width = max((len(row.job) for row in rows), default=0)
    place_width = max((len(row.place) for row in rows), default=0)
    periods = {(day_words(one.day), f"Period {one.number}"): one for one in problem.periods}
    for key, of_period in groupby(rows, key=lambda row: (row.day, row.period)):
        period = periods[key]
        down = period.clock(period.usable_min)
        lines.append(
            f"{period.name}, {period.start:%H:%M} to {period.end:%H:%M}, tools down {down:%H:%M}"
        )
        working: set[str] = set()
        for row in of_period:
            looks = f"; teacher {row.looks}" if row.looks else ""
            lines.append(
                f"  {row.clock}  {row.place:<{place_width}}  {row.job:<{job_width}}  "
                f"{row.step:<{step_width}}  {row.crew}{looks}"
            )
            working.update(row.crew.split(", "))
        free = [
            one.name
            for one in problem.learners
            if one.section == period.section
            and period.key not in one.absences
            and one.name not in working
        ]
        if free:
            lines.append(f"  without work: {', '.join(free)}")
        lines.append("")
    return lines


def as_data(problem: WeekProblem, result: PlanResult) -> dict[str, Any]:
    """Return the plan for programs."""
    found: dict[str, Any] = {
        "week": problem.name,
        "status": str(result.status),
        "reason": result.reason,
        "aims": [
            {
                "name": aim.name,
                "reached": aim.reached,
                "bound": aim.bound,
                "gap": aim.gap,
                "unit": aim.unit,
            }
            for aim in result.aims
        ],
        "sittings": [_sitting(problem, one) for one in result.sittings],
        "left_over": [{"job": job, "step": step} for job, step in result.left_over],
        "promises": [],
    }
    if result.has_plan:
        found |= {"late": result.late, "bound": result.bound, "gap": result.gap}
        found["promises"] = [
            {
                "job": one.job.key,
                "promised": one.job.promised.isoformat() if one.job.promised else None,
                "finish": _moment(one.finish.period.starts_at, one.finish.sitting.end_min)
                if one.finish
                else None,
                "periods_late": one.periods_late,
            }
            for one in make_timetable(problem, result.sittings).promises
        ]
    return found


def _moment(start: datetime, minutes: int) -> str:
    return (start + timedelta(minutes=minutes)).isoformat(timespec="minutes")


def _sitting(problem: WeekProblem, one: Sitting) -> dict[str, Any]:
    start = next(p for p in problem.periods if p.key == one.period).starts_at
    return {
        "job": one.job,
        "step": one.step,
        "period": one.number,
        "start": _moment(start, one.start_min),
        "end": _moment(start, one.end_min),
        "hold_start": _moment(start, one.hold_start_min) if one.hold_min else None,
        "hold_end": _moment(start, one.end_min) if one.hold_min else None,
        "bay": one.bay,
        "crew": list(one.crew),
    }
