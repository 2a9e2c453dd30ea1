"""`witnessmark fit`: judge the readings of an assembly and say what to do next."""

import argparse
import json
from pathlib import Path
from typing import Any

from witnessmark.fitting.report import FitReport, FitRow, judge_fit, uncertainty_in_words
from witnessmark.fitting.turned_bushes import HoleRow, open_in_words
from witnessmark.papers.oil_clock import late_words
from witnessmark.sheets.assembly import read_assembly
from witnessmark.sheets.readings import read_readings

DONE, NOT_ALL_WITHIN = 0, 1


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "fit",
        help="judge the readings of an assembly",
        description=(
            "Judge clearances, oil holes and the order of bushes by readings, and say what to "
            "read again. Exit code 0: all within. 1: something is not. 2: the input needs "
            "mending. The limits come from the sheet; the maker's service information wins."
        ),
        epilog="Example: witnessmark fit training-six.toml training-six.csv",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("sheet", type=Path, metavar="SHEET", help="assembly sheet, TOML")
    parser.add_argument("readings", type=Path, metavar="READINGS", help="table of readings, CSV")
    parser.add_argument("--json", action="store_true", help="print the result for programs")
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Read both files, judge, print."""
    assembly = read_assembly(asked.sheet.read_text(encoding="utf-8"), asked.sheet.name)
    readings = read_readings(
        asked.readings.read_text(encoding="utf-8"), asked.readings.name, assembly
    )
    report = judge_fit(assembly, readings)
    if asked.json:
        print(json.dumps(_for_programs(report), ensure_ascii=False, indent=2))
    else:
        print("\n".join(_lines(report)))
    return DONE if report.is_all_within else NOT_ALL_WITHIN


def _lines(report: FitReport) -> list[str]:
    assembly = report.assembly
    lines = [assembly.name, f"Sheet: {assembly.source}."]
    lines += [*(f"Caution: {caution}" for caution in assembly.cautions), ""]
    for characteristic in assembly.judged():
        rows = [row for row in report.rows if row.characteristic.key == characteristic.key]
        if rows:
            limit = rows[0].limit
            lines += [f"{characteristic.title}, limit {limit} ({limit.source})", *_table(rows)]
            lines += ["", uncertainty_in_words(rows[0], assembly), ""]
    if report.holes:
        lines.append("Oil holes, seen from the front")
        lines += [f"  {_hole_line(hole)}" for hole in report.holes]
        lines += [
            "  The open share is a rule of workmanship, not of flow.",
            "",
        ]
    if report.along:
        lines += [*report.along, ""]
    for title, sentences in [
        ("Not read yet", report.unread),
        ("Look at these readings", report.remarks),
        ("Next", report.advice),
    ]:
        if sentences:
            lines += [title, *(f"  {sentence}" for sentence in sentences), ""]
    lines.append("All within." if report.is_all_within else "Not all within.")
    return lines


def _table(rows: list[FitRow]) -> list[str]:
    return [
        f"  {row.title:<12}{row.number():>8} ± {row.plus_minus()} {row.estimate.unit}"
        f"   {row.chance():>11}   {row.judgement.verdict}"
        for row in rows
    ]


def _hole_line(hole: HoleRow) -> str:
    return (
        f"{hole.title:<12}{late_words(hole.turn_deg):>9}, {open_in_words(hole.share):>8} open"
        f"   {hole.judgement.verdict}"
    )


def _for_programs(report: FitReport) -> dict[str, Any]:
    return {
        "assembly": report.assembly.name,
        "source": report.assembly.source,
        "all_within": report.is_all_within,
        "sizes": [
            {
                "characteristic": row.characteristic.key,
                "position": row.position,
                "value": row.estimate.value,
                "u": row.estimate.u,
                "unit": row.estimate.unit,
                "lower": row.limit.lower,
                "upper": row.limit.upper,
                "limit_source": row.limit.source,
                "chance": row.judgement.chance,
                "verdict": str(row.judgement.verdict),
                "readings": [reading.quantity.text for reading in row.readings],
            }
            for row in report.rows
        ],
        "oil_holes": [
            {
                "position": hole.position,
                "turn_deg": hole.turn_deg,
                "open_share": hole.share,
                "allowed_deg": hole.allowed,
                "verdict": str(hole.judgement.verdict),
            }
            for hole in report.holes
        ],
        "order": list(report.order),
        "not_read": list(report.unread),
        "remarks": list(report.remarks),
        "next": list(report.advice),
    }
