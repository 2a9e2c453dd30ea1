"""From the command to the first page of the demo shop, beside a bare Python that only starts."""

import os
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from benchmarks import Row

WITHIN_S = 5.0


def rows() -> list[Row]:
    """Return the second start of a filled demo shop against an interpreter's own start."""
    with tempfile.TemporaryDirectory(prefix="witnessmark-bench-") as folder:
        _first_page_s(Path(folder))  # fills the shop
        second_s = min(_first_page_s(Path(folder)) for _ in range(3))
    bare_s = min(_bare_start_s() for _ in range(3))
    return [
        Row(
            name="second start of the demo shop to its first page",
            value=second_s,
            unit="s",
            against=f"{second_s / bare_s:.0f} x the start of an empty Python ({bare_s:.2f} s)",
            bar=f"under {WITHIN_S:g} s",
            holds=second_s < WITHIN_S,
        )
    ]


def _bare_start_s() -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", "pass"], check=True)
    return time.perf_counter() - began


def _first_page_s(folder: Path) -> float:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    began = time.perf_counter()
    server = subprocess.Popen(
        [sys.executable, "-m", "witnessmark", "demo", "--folder", str(folder), "--port", str(port)],
        stdout=subprocess.DEVNULL,
        env={**os.environ},
    )
    try:
        while True:
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=5) as page:
                    page.read()
                return time.perf_counter() - began
            except OSError:
                assert server.poll() is None, "the demo shop stopped before its first page"
                assert time.perf_counter() - began < 300, "no first page in five minutes"
                time.sleep(0.02)
    finally:
        server.terminate()
        server.wait(timeout=15)
