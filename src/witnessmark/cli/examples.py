"""`witnessmark examples`: the sheets that ship with the tool, copied out to start from."""

import argparse
from importlib.resources import as_file, files
from pathlib import Path

from witnessmark.errors import BenchError


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "examples",
        help="copy the example sheets, to start your own from",
        description=(
            "Copy the example circuit sheets, assembly sheets, procedures, weeks and readings into "
            "a folder. Their values are invented: enter your own, with the book and the page."
        ),
        epilog="Example: witnessmark examples my-sheets",
    )
    parser.add_argument("folder", type=Path, help="a new folder")
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Copy every example; a folder that is there stays as it is."""
    target: Path = asked.folder
    if target.exists():
        raise BenchError(
            f"{target} is there already.",
            "The examples go into a new folder, so that nothing of yours is written over.",
            "Name another folder.",
        )
    with as_file(files("witnessmark.examples")) as source:
        for path in sorted(source.rglob("*")):
            if path.suffix in {".toml", ".csv"}:
                copy = target / path.relative_to(source)
                copy.parent.mkdir(parents=True, exist_ok=True)
                copy.write_bytes(path.read_bytes())
                print(copy)
    return 0
