"""Run the benchmarks: `python -m benchmarks`, `python -m benchmarks find --json`."""

import argparse
import importlib
import json
import os
import pkgutil
import sys
from dataclasses import asdict

import benchmarks
from benchmarks import Row

ONE_THREAD = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}  # set before numpy is loaded


def main() -> int:
    """Print a table (or JSON) of every row; falling short is shown and is no failure."""
    parser = argparse.ArgumentParser(prog="benchmarks", description=__doc__)
    parser.add_argument("only", nargs="?", help="one room: find, plan, start ...")
    parser.add_argument("--json", action="store_true", help="a list of objects")
    asked = parser.parse_args()
    names = [m.name for m in pkgutil.iter_modules(benchmarks.__path__) if m.name != "__main__"]
    chosen = [n for n in sorted(names) if not asked.only or n.split("_")[0] == asked.only]
    if not chosen:
        rooms = sorted({name.split("_")[0] for name in names})
        print(f"There is no benchmark '{asked.only}'. Choose one of: {', '.join(rooms)}.")
        return 2
    os.environ.update(ONE_THREAD)
    rows: list[Row] = []
    for name in chosen:
        rows += importlib.import_module(f"benchmarks.{name}").rows()
    if asked.json:
        print(json.dumps([asdict(row) for row in rows], indent=2))
        return 0
    table = [("what", "measured", "against, in the same run", "bar", "")]
    for row in rows:
        verdict = {None: "", True: "holds", False: "falls short"}[row.holds]
        table.append((row.name, f"{row.value:.3g} {row.unit}", row.against, row.bar, verdict))
    widths = [max(len(line[i]) for line in table) for i in range(5)]
    for line in table:
        print(
            "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        )
    return 0


sys.exit(main())
