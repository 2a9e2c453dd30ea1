"""The real shop as a person meets it: the server as its own process, and headless Chromium."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from fcntl import LOCK_EX, flock
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

FIRST_PAGE_S = 40
SCREENS = Path(__file__).parents[2] / "screens"
FAILED = pytest.StashKey[bool]()


@dataclass
class Shop:
    """A running shop: its address, its folder, its process."""

    folder: Path
    arguments: tuple[str, ...]
    port: int = 0
    process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start the server and wait for its first page."""
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        command = [sys.executable, "-m", "witnessmark", *self.arguments]
        command += ["--folder", str(self.folder), "--port", str(self.port)]
        log = (self.folder.parent / f"{self.folder.name}.log").open("ab")
        self.process = subprocess.Popen(
            command, stdout=log, stderr=log, env=clean_environment(), start_new_session=True
        )
        until = time.monotonic() + FIRST_PAGE_S
        while time.monotonic() < until:
            assert self.process.poll() is None, self.said()
            with suppress(OSError):
                urllib.request.urlopen(f"{self.address}/signin", timeout=5).close()
                return
            time.sleep(0.05)
        raise AssertionError(f"no first page in {FIRST_PAGE_S} s: {self.said()}")

    def stop(self, by: int = signal.SIGTERM) -> None:
        """Stop the server, or kill it."""
        if self.process is not None and self.process.poll() is None:
            os.kill(self.process.pid, by)
            self.process.wait(timeout=20)

    def said(self) -> str:
        """Return the end of what the server printed."""
        log = self.folder.parent / f"{self.folder.name}.log"
        return log.read_text()[-3000:] if log.exists() else ""

    def command(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """Run a witnessmark command."""
        return subprocess.run(
            [sys.executable, "-m", "witnessmark", *arguments],
            capture_output=True,
            text=True,
            env=clean_environment(),
        )

    def verify(self) -> subprocess.CompletedProcess[str]:
        """Let the shop verify its own record."""
        return self.command("verify", "--folder", str(self.folder))


def clean_environment() -> dict[str, str]:
    """Return this environment without the test run's own shop and settings."""
    ours = {"WITNESSMARK_HOME", "DJANGO_SETTINGS_MODULE", "WITNESSMARK_CLOCK_OFFSET"}
    return {key: value for key, value in os.environ.items() if key not in ours}


@pytest.fixture(scope="session")
def filled_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop's folder, filled once for all workers of this test run."""
    base = tmp_path_factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    folder = shared / "filled-demo"
    with (shared / "filled-demo.lock").open("w") as lock:
        flock(lock, LOCK_EX)
        if not (folder / "demo-shop.json").exists():
            done = subprocess.run(
                [
                    sys.executable,
                    "-m",
                    "witnessmark",
                    "demo",
                    "--folder",
                    str(folder),
                    "--fill-only",
                ],
                capture_output=True,
                text=True,
                env=clean_environment(),
            )
            assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture
def demo(filled_demo: Path, tmp_path: Path) -> Iterator[Shop]:
    """A demo shop of this test's own, running."""
    folder = tmp_path / "demo"
    shutil.copytree(filled_demo, folder)
    shop = Shop(folder, ("demo",))
    shop.start()
    yield shop
    shop.stop()


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Shop]:
    """An empty real shop, running."""
    shop = Shop(tmp_path / "shop", ("serve",))
    shop.start()
    yield shop
    shop.stop()


@dataclass
class Visitors:
    """Browsers of the people in a journey; what they asked for and complained of."""

    browser: Browser
    origin: str
    outside: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    pages: list[Page] = field(default_factory=list)
    expected: tuple[str, ...] = ()

    def open(self, **device: object) -> Page:
        """Open a device of its own."""
        context: BrowserContext = self.browser.new_context(**device)
        context.set_default_timeout(10_000)
        context.on("request", lambda request: self._asked(request.url))
        page = context.new_page()
        self.pages.append(page)
        page.on("console", lambda message: self._heard(message.type, message.text))
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.goto(self.origin)
        return page

    def _asked(self, url: str) -> None:
        parts = urlsplit(url)
        if parts.scheme not in {"blob", "data"} and not url.startswith(self.origin):
            self.outside.append(url)

    def _heard(self, kind: str, text: str) -> None:
        if kind in {"error", "warning"} and not any(words in text for words in self.expected):
            self.complaints.append(text)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    """Let a fixture know at its end whether the test failed."""
    report = yield
    item.stash[FAILED] = item.stash.get(FAILED, False) or report.failed
    return report


@pytest.fixture
def visit(request: pytest.FixtureRequest) -> Iterator[Callable[..., Visitors]]:
    """Open Chromium for a shop; at the end no request has left it and the console was quiet."""
    path = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))))
    opened: list[Visitors] = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])

        def begin(shop: Shop, *, expected: tuple[str, ...] = ()) -> Visitors:
            visitors = Visitors(browser, shop.address, expected=expected)
            opened.append(visitors)
            return visitors

        yield begin
        if request.node.stash.get(FAILED, False):
            SCREENS.mkdir(exist_ok=True)
            for number, page in enumerate(page for people in opened for page in people.pages):
                page.screenshot(
                    path=SCREENS / f"failed-{request.node.name}-{number}.png", full_page=True
                )
        browser.close()
    for visitors in opened:
        assert visitors.outside == []
        assert visitors.complaints == []
