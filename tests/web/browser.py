"""Headless Chromium on a live server; every request is written down, none may leave the shop."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, Page, Playwright, Request, sync_playwright

SCREENS = Path(__file__).parents[2] / "screens"
WIDTHS = {"wide": (1440, 1000), "tablet": (820, 1100), "phone": (390, 844)}
CHROMIUM = "/usr/bin/chromium"
LOCAL = {"blob", "data"}


@dataclass
class Watched:
    """One open browser and what it asked for."""

    playwright: Playwright
    context: BrowserContext
    origin: str
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)  # of the console: policy, errors

    def page(self) -> Page:
        """Open a tab that is watched."""
        page = self.context.new_page()
        page.on("console", self._heard)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        return page

    def outside(self) -> list[str]:
        """Return every request that went to another host."""
        return [
            url
            for url in self.requests
            if urlsplit(url).scheme not in LOCAL and not url.startswith(self.origin)
        ]

    def shoot(self, page: Page, name: str) -> None:
        """Keep the page as a picture in each width, and see that none scrolls sideways."""
        SCREENS.mkdir(exist_ok=True)
        for width_name, (width, height) in WIDTHS.items():
            page.set_viewport_size({"width": width, "height": height})
            page.screenshot(path=SCREENS / f"{name}-{width_name}.png", full_page=True)
            across = page.evaluate("document.documentElement.scrollWidth")
            assert across <= width, f"{name} is {across} px wide on a {width_name}"

    def _asked(self, request: Request) -> None:
        self.requests.append(request.url)

    def _heard(self, message: object) -> None:
        if getattr(message, "type", "") in {"error", "warning"}:
            self.complaints.append(str(getattr(message, "text", "")))


@contextmanager
def watched(origin: str) -> Iterator[Watched]:
    """Drive Chromium; at the end no request left the shop and the console is quiet."""
    # the driver runs an event loop in this thread, and the tests look into the database from it
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        context = chromium.new_context(viewport={"width": 1440, "height": 1000})
        browser = Watched(playwright, context, origin)
        context.on("request", browser._asked)
        try:
            yield browser
        finally:
            context.close()
            chromium.close()
            del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]
    assert browser.outside() == []
    assert browser.complaints == [], browser.complaints
