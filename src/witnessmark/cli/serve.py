"""`witnessmark serve`: the shop on this machine, one web process and one worker beside it."""

import argparse
import contextlib
import os
import signal
import socket
import sqlite3
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

from witnessmark.errors import BenchError

THREADS = 8  # more only lengthen the queue: the database has one writer
EVERY_ADDRESS = "0.0.0.0"  # noqa: S104 - asked for with --host, so that the class can come in


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command to the parser."""
    parser = subparsers.add_parser(
        "serve",
        help="open the shop for its browsers",
        description="Serve a real shop from its data folder. The first page asks its name.",
        epilog="Example: witnessmark serve --folder ~/garage --host 0.0.0.0 --port 8000",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--folder", type=Path, help="the shop's data folder (default ~/.witnessmark)"
    )
    parser.add_argument("--host", default="127.0.0.1", help="0.0.0.0 lets the class's devices in")
    parser.add_argument("--port", type=int, default=8000)
    parser.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Open a real shop; a demo folder is refused."""
    open_folder(asked.folder)
    prepare_database()
    from witnessmark.shop.models import Shop

    if Shop.objects.filter(is_demo=True).exists():
        raise BenchError(
            "This folder holds the demo shop, with invented people and vehicles.",
            "A real shop needs a folder of its own.",
            "Name another folder with --folder, or open the demo with: witnessmark demo",
        )
    return serve_forever(asked.host, asked.port, lines=[])


def open_folder(folder: Path | None) -> None:
    """Point the settings at a data folder, before Django is set up."""
    for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ.setdefault(threads, "1")  # small matrices: more threads only wait for each other
    if folder is not None:
        os.environ["WITNESSMARK_HOME"] = str(folder.expanduser().resolve())
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "witnessmark.web.settings")


def prepare_database() -> None:
    """Set Django up and bring the folder's database to this version's tables.

    What stood there before is copied first.
    """
    import django
    from django.core.management import call_command

    django.setup()
    if not is_of_this_version():
        kept = copy_before_change()
        if kept is not None:
            print(f"This version changes the database. A copy of it as it was: {kept}", flush=True)
        call_command("migrate", verbosity=0, interactive=False)


def copy_before_change() -> Path | None:
    """Copy a SQLite database into the folder's `copies`; a new or another one is left alone."""
    from django.db import connection

    if connection.vendor != "sqlite" or not connection.introspection.table_names():
        return None
    where = Path(connection.settings_dict["NAME"])
    copies = where.parent / "copies"
    copies.mkdir(mode=0o700, exist_ok=True)
    kept = copies / f"shop-{datetime.now(UTC):%Y-%m-%d-%H%M%S}.sqlite3"
    with contextlib.closing(sqlite3.connect(kept)) as copy:
        connection.ensure_connection()
        connection.connection.backup(copy)
    kept.chmod(0o600)
    return kept


def is_of_this_version() -> bool:
    """Return whether the folder's database has the tables of this version."""
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    return not executor.migration_plan(executor.loader.graph.leaf_nodes())


def serve_forever(host: str, port: int, lines: list[str]) -> int:
    """Start the worker, say where the shop is, serve until stopped."""
    if host not in {"127.0.0.1", "localhost"}:
        names = {host, socket.gethostname(), *_addresses()} - {EVERY_ADDRESS, "::"}
        hosts = ["127.0.0.1", "localhost", *sorted(names)]
        os.environ.setdefault("WITNESSMARK_HOSTS", ",".join(hosts))
        from django.conf import settings

        settings.ALLOWED_HOSTS = os.environ["WITNESSMARK_HOSTS"].split(",")
    import waitress

    from witnessmark.web.wsgi import application

    try:
        server = waitress.create_server(
            application,
            host=host,
            port=port,
            threads=THREADS,
            ident="",
            clear_untrusted_proxy_headers=True,
        )
    except OSError as error:
        raise BenchError(
            f"Port {port} on {host} cannot be opened: {error.strerror}.",
            "Another program may be using it, perhaps this shop in another window.",
            f"Stop the other one, or choose another port with --port {port + 1}.",
        ) from error
    worker = subprocess.Popen([sys.executable, "-m", "witnessmark.cli.worker"])
    print(*lines, sep="\n")
    print(
        f"Open http://{'127.0.0.1' if host == EVERY_ADDRESS else host}:{port}/  (Ctrl+C stops)",
        flush=True,
    )
    signal.signal(signal.SIGTERM, signal.default_int_handler)  # stopped by a service: as by Ctrl+C
    try:
        server.run()
    except KeyboardInterrupt:
        pass
    finally:
        worker.terminate()
        try:
            worker.wait(timeout=3)
        except subprocess.TimeoutExpired:  # a plan half computed; it is asked for again
            worker.kill()
    return 0


def _addresses() -> list[str]:
    try:
        found = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    except OSError:
        return []
    return [str(row[4][0]) for row in found]
