"""`witnessmark check`: look through the steps of a procedure before anybody works by it."""

import argparse
import json
from dataclasses import asdict
from pathlib import Path

from witnessmark.sheets.procedure import read_procedure
from witnessmark.work.check import Problem, Shop, check_procedure
from witnessmark.work.steps import Hold, Procedure


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "check",
        help="check a procedure: what never goes back, what is covered before it is seen",
        description=(
            "Check the steps of a procedure: things off and never back, evidence covered before "
            "it is seen, steps that wait for each other, measurements without limit or source, "
            "one-use parts without a new one, hazards without their caution; with --period, "
            "steps too long for a period; with --skill and --permit, what nobody has."
        ),
        epilog=(
            "Example: witnessmark check water-pump-inline-engine.toml --period 70\n"
            "Ends with 0 if nothing is to mend, 1 if something is, 2 if the file cannot be read."
        ),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("procedure", type=Path, metavar="PROCEDURE", help="a TOML file")
    parser.add_argument(
        "--period", type=int, metavar="MIN", help="minutes to work in, in the longest period"
    )
    parser.add_argument(
        "--skill", action="append", metavar="SKILL", help="a skill that somebody has; repeat it"
    )
    parser.add_argument(
        "--permit", action="append", metavar="PERMIT", help="a permit that somebody holds"
    )
    parser.add_argument("--json", action="store_true", help="print the answer for a program")
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Print what is to mend, step by step."""
    procedure = read_procedure(asked.procedure.read_text(encoding="utf-8"), asked.procedure.name)
    shop = Shop(longest_period_min=asked.period, skills=asked.skill, permits=asked.permit)
    problems = check_procedure(procedure, shop)
    print(_as_json(procedure, problems) if asked.json else _as_text(procedure, problems))
    return 1 if problems else 0


def _as_json(procedure: Procedure, problems: tuple[Problem, ...]) -> str:
    answer = {
        "procedure": procedure.title,
        "minutes": procedure.minutes,
        "steps": len(procedure.steps),
        "holds": sum(step.is_hold for step in procedure.steps),
        "problems": [asdict(one) for one in problems],
    }
    return json.dumps(answer, ensure_ascii=False, indent=2)


def _as_text(procedure: Procedure, problems: tuple[Problem, ...]) -> str:
    holds = sum(step.is_hold for step in procedure.steps)
    lines = [
        f"{procedure.title}: {_counted(len(procedure.steps), 'step')}, {procedure.minutes} min, "
        f"{_counted(holds, 'hold point')}. {procedure.source[:1].upper()}{procedure.source[1:]}."
    ]
    for number, step in enumerate(procedure.steps, 1):
        word = "" if step.hold is Hold.NONE else f", {step.hold}"
        lines.append(f"{number:3d}  {step.title} ({step.minutes} min{word})")
        lines += [f"     - {one.sentence}" for one in problems if one.step == step.key]
    lines.append(f"{_counted(len(problems), 'thing')} to mend." if problems else "Nothing to mend.")
    return "\n".join(lines)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
