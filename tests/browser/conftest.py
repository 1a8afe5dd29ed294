"""One browser for all pages, every page written once, and every page that is opened is quiet."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """The browser; it is gone before tests elsewhere begin, whose event loops it would be in the way of."""
    from tests.browser.watched import launched

    with launched() as browser:
        yield browser


@pytest.fixture
def opened(browser: Browser) -> Iterator[Callable[..., Page]]:
    """Opens a file from disk; at the end nothing may have been heard from it, nor asked for."""
    from tests.browser.watched import Watched

    watched: list[Watched] = []

    def open_page(path: Path, fragment: str = "", **options: Any) -> Page:
        watched.append(Watched(browser, **options))
        return watched[-1].open(path, fragment)

    yield open_page
    heard = [line for one in watched for line in one.heard]
    for one in watched:
        one.close()
    assert heard == []
