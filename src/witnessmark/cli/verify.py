"""`witnessmark verify`: is the record as it was written?"""

import argparse
import json
from pathlib import Path

from witnessmark.cli.serve import is_of_this_version, open_folder
from witnessmark.errors import BenchError


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "verify",
        help="recompute the log's chain, the marks and the photos of a shop",
        description=(
            "Recompute the chain of the log and play it again: every column of every row is as "
            "the last entry says it, every text and photo is the one that was kept, every mark "
            "fits its form. Exit code 0: the record is whole. 1: something was changed "
            "outside the program; each finding names the job, the step and what. "
            "2: there is no record to verify."
        ),
        epilog="Example: witnessmark verify --folder ~/garage --json",
    )
    parser.add_argument(
        "--folder", type=Path, help="the shop's data folder (default ~/.witnessmark)"
    )
    parser.add_argument("--json", action="store_true", help="the findings for a program")
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Verify one shop's record; nothing is changed."""
    if asked.folder is not None and not asked.folder.expanduser().is_dir():
        raise BenchError(
            f"There is no folder {asked.folder}.",
            "A shop's data folder is needed.",
            "Check the name.",
        )
    open_folder(asked.folder)
    import django
    from django.db import connection

    django.setup()
    if "log_entry" not in connection.introspection.table_names():
        raise BenchError(
            "This folder holds no shop yet.",
            "A record begins with the first start of a shop.",
            "Open the shop once with: witnessmark serve",
        )
    if not is_of_this_version():
        raise BenchError(
            "This folder was kept by another version of the program.",
            "A record is verified with the tables of its own version.",
            "Open the shop once with: witnessmark serve",
        )
    from witnessmark.log.models import Entry
    from witnessmark.record.models import Mark, Photo
    from witnessmark.record.verify import verify_record

    findings = verify_record()
    counts = {
        "entries": Entry.objects.count(),
        "marks": Mark.objects.count(),
        "photos": Photo.objects.count(),
    }
    if asked.json:
        report = {
            "whole": not findings,
            **counts,
            "findings": [
                {
                    "what": finding.what,
                    "entry": finding.entry,
                    "job": None if finding.job_id is None else str(finding.job_id),
                    "subject": finding.subject_kind or None,
                    "id": None if finding.subject_id is None else str(finding.subject_id),
                }
                for finding in findings
            ],
        }
        print(json.dumps(report, ensure_ascii=False, indent=2))
        return 1 if findings else 0
    for finding in findings:
        print(finding.what)
    counted = ", ".join(f"{count} {what}" for what, count in counts.items())
    print(
        f"{len(findings)} findings in {counted}."
        if findings
        else f"The record is whole: {counted}."
    )
    return 1 if findings else 0
