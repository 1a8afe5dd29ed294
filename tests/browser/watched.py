"""A page that is listened to: what it asks the network for, what it writes to the console, what it throws."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any

from tests.tools import chromium

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip

UNUSUAL = ["--disable-ipc-flooding-protection"]
"""What the driver would switch off and people have: a page that changes its address without end is told so."""

PROJECTOR = {"width": 1920, "height": 1080}
PATIENCE = 15.0
"""The longest that anything is waited for [s]."""


@contextmanager
def launched() -> Iterator[Browser]:
    """A browser; its processes end with it."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=chromium(), headless=True, args=FLAGS, ignore_default_args=UNUSUAL
        )
        try:
            yield browser
        finally:
            browser.close()


class Watched:
    """A page in a context of its own, and all that was heard from it."""

    def __init__(self, browser: Browser, **options: Any) -> None:
        context = browser.new_context(**{"viewport": PROJECTOR, "locale": "en-GB", **options})
        context.set_offline(True)
        context.set_default_timeout(1000 * PATIENCE)
        self.page: Page = context.new_page()
        self.heard: list[str] = []
        self.page.on("console", lambda message: self.heard.append(f"console {message.type}: {message.text}"))
        self.page.on("pageerror", lambda error: self.heard.append(f"thrown: {error}"))
        self.page.on("dialog", self._dialog)
        self.page.on("request", self._request)

    def _dialog(self, dialog: Any) -> None:
        self.heard.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def _request(self, request: Any) -> None:
        scheme = request.url.partition(":")[0]
        if scheme not in ("data", "blob") and not (scheme == "file" and request.is_navigation_request()):
            self.heard.append(f"request: {request.url}")

    def open(self, path: Path, fragment: str = "") -> Page:
        """Open a file from disk."""
        self.page.goto(path.as_uri() + (f"#{fragment}" if fragment else ""))
        return self.page

    def close(self) -> None:
        """Close the page and its context."""
        self.page.context.close()


def until(true: Callable[[], object], what: str) -> None:
    """Wait until something is true; the pages' policy forbids what the driver would wait with."""
    end = monotonic() + PATIENCE
    while not true():
        assert monotonic() < end, f"never: {what}"
