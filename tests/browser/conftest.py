"""One browser for all pages, every page written once, and every page that is opened is quiet."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from pneusim.show.replay.page import replay
from tests.browser.player import Player
from tests.browser.runs import run

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """The browser; it is gone before tests elsewhere begin, whose event loops it would be in the way of."""
    from tests.browser.watched import launched

    with launched() as browser:
        yield browser


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """The replay page of one or two runs by their short names; each is written once."""
    folder = tmp_path_factory.mktemp("pages")

    def write(name: str, other: str | None = None, units: str = "si") -> Path:
        path = folder / f"{name.replace('/', '-')}-{other}-{units}.html"
        return path if path.exists() else replay(run(name), run(other) if other else None, units).save(path)

    return write


@pytest.fixture
def replayed(written: Callable[..., Path], opened: Callable[..., Page]) -> Callable[..., Player]:
    """The replay page of one or two runs, open and ready."""

    def ready(name: str, other: str | None = None, fragment: str = "", units: str = "si", **options: Any) -> Player:
        return Player(opened(written(name, other, units), fragment, **options))

    return ready


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
