"""`witnessmark demo`: the invented shop at Skerry Point, filled once, then served."""

import argparse
import json
import os
import shutil
import time
from datetime import datetime
from pathlib import Path

from witnessmark.cli.serve import open_folder, prepare_database, serve_forever
from witnessmark.errors import BenchError

MARKER = "demo-shop.json"  # written last: a folder without it was never filled to the end


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "demo",
        help="open the demo shop: invented school, people, vehicles",
        description=(
            "Fill the demo shop at Skerry Point Technical School once and serve it. "
            "Everything in it is invented. What is entered stays until --fresh."
        ),
        epilog="Example: witnessmark demo --folder demo-shop --port 8000",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--folder", type=Path, default=Path("demo-shop"))
    parser.add_argument("--port", type=int, default=8000)
    parser.add_argument("--fresh", action="store_true", help="throw the demo shop away, start over")
    parser.add_argument("--fill-only", action="store_true", help="fill the folder, do not serve")
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Fill the folder where it is empty, set the demo clock, serve."""
    folder = asked.folder.expanduser().resolve()
    marker = folder / MARKER
    if folder.exists() and any(folder.iterdir()) and not _is_demo(folder):
        raise BenchError(
            f"The folder {folder} holds something else than the demo shop.",
            "The demo keeps to a folder of its own.",
            "Name an empty folder with --folder.",
        )
    if folder.exists() and (asked.fresh or not marker.exists()):
        shutil.rmtree(folder)
    open_folder(folder)
    if not marker.exists():
        print("Filling the demo shop (once, some seconds) ...", flush=True)
        _fill(folder)
    if asked.fill_only:
        return 0
    facts = json.loads(marker.read_text())
    offset_s = _clock_offset_s(facts, folder)
    os.environ["WITNESSMARK_CLOCK_OFFSET"] = str(offset_s)  # for the worker
    prepare_database()
    from django.conf import settings

    settings.CLOCK_OFFSET_SECONDS = offset_s  # set up before, where the folder was just filled
    return serve_forever("127.0.0.1", asked.port, lines=["", *facts["who"], ""])


def _is_demo(folder: Path) -> bool:
    return (folder / MARKER).exists() or (folder / "filling-demo").exists()


def _fill(folder: Path) -> None:
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    (folder / "filling-demo").touch()
    prepare_database()
    from witnessmark.demo.school import play

    story = play()
    facts = {"now": story.now.isoformat(), "who": list(story.who)}
    (folder / MARKER).write_text(json.dumps(facts, indent=2))
    (folder / "filling-demo").unlink()


def _clock_offset_s(facts: dict[str, str], folder: Path) -> float:
    """Seconds from the wall clock to the demo's: it goes on from the last thing that was kept."""
    import sqlite3

    began = datetime.fromisoformat(facts["now"])
    with sqlite3.connect(f"file:{folder / 'shop.sqlite3'}?mode=ro", uri=True) as database:
        (last,) = database.execute("SELECT max(at) FROM log_entry").fetchone()
    kept = datetime.fromisoformat(f"{last}+00:00") if last else began
    return max(began, kept).timestamp() - time.time()
