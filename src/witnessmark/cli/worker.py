"""`witnessmark worker`: takes long work, such as a plan, from the queue beside the web process."""

import argparse
import os
import sys
import threading
import time

from witnessmark.cli.serve import open_folder


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "worker",
        help="take plans from the queue (serve starts one by itself)",
        description="A district with many schools starts more workers on one PostgreSQL database.",
        epilog="Example: DATABASE_URL=postgres://... witnessmark worker",
    )
    parser.set_defaults(run=lambda asked: work())


def work() -> int:
    """Run queued tasks until stopped."""
    open_folder(None)
    if hasattr(os, "nice"):
        os.nice(10)  # the class's pages come first
    import django
    from django.core.management import call_command

    django.setup()
    call_command("db_worker", verbosity=0, interval=1)
    return 0


def _end_with(parent: int) -> None:
    """A worker whose shop has gone, even by kill -9, goes too."""

    def watch() -> None:
        while os.getppid() == parent:
            time.sleep(1)
        os._exit(0)

    threading.Thread(target=watch, daemon=True).start()


if __name__ == "__main__":
    _end_with(os.getppid())
    sys.exit(work())
