"""A replay page opens from disk, needs nothing, says what it is, and waits."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from pneusim.results.run import CAUTION
from pneusim.show.replay.page import replay
from tests.browser.player import Player
from tests.browser.runs import run
from tests.browser.watched import Watched, until

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.needs("browser")

FRAMES = """frames => new Promise(done => {
    const next = left => left ? requestAnimationFrame(() => next(left - 1)) : done();
    next(frames);
})"""


@pytest.mark.parametrize("name", ["separation", "break", "lesson", "long"])
def test_it_opens_and_waits_at_the_start(name: str, replayed: Callable[..., Player]) -> None:
    player = replayed(name)
    drawn = player.drawn()
    player.page.evaluate(FRAMES, 20)
    assert (player.playing, player.time) == (False, run(name).span[0])
    assert player.drawn() == drawn


def test_it_says_what_it_shows_and_what_it_does_not_replace(replayed: Callable[..., Player]) -> None:
    player = replayed("separation")
    shown = run("separation")
    assert shown.circuit.title in player.page.title()
    heading = player.page.get_by_role("heading", level=1).inner_text()
    assert shown.circuit.title in heading or shown.scenario.title in heading
    text = player.text()
    assert shown.circuit.title in text
    assert shown.scenario.title in text
    assert CAUTION in text


def test_it_lies_inside_one_file(written: Callable[..., Path], opened: Callable[..., Page], tmp_path: Path) -> None:
    alone = tmp_path / "somewhere else" / "a b.html"
    alone.parent.mkdir()
    alone.write_bytes(written("brake").read_bytes())
    Player(opened(alone))


def test_a_notebook_shows_it_in_a_frame(opened: Callable[..., Page], tmp_path: Path) -> None:
    notebook = tmp_path / "notebook.html"
    frame = replay(run("brake"))._repr_html_()
    notebook.write_text(f"<!doctype html><title>notebook</title>{frame}", encoding="utf-8")
    inside = opened(notebook).frame_locator("iframe")
    inside.locator("html[data-ready]").wait_for(state="attached")
    inside.get_by_role("button", name="Next event").click()
    assert float(inside.get_by_role("slider", name="Time").input_value()) == pytest.approx(0.5, abs=1e-3)


def test_its_policy_is_in_force(browser: Browser, written: Callable[..., Path]) -> None:
    watched = Watched(browser)
    page = Player(watched.open(written("brake"))).page
    assert watched.heard == []
    for script in ("{textContent: 'window.ran = 1'}", "{src: 'data:text/javascript,window.ran = 1'}"):
        page.evaluate(f"document.body.append(Object.assign(document.createElement('script'), {script}))")
    page.evaluate("document.body.insertAdjacentHTML('beforeend', `<img src=x onerror='window.ran = 2'>`)")
    page.evaluate("fetch('http://127.0.0.1:9/').catch(() => undefined)")
    until(lambda: page.evaluate("1") and len(watched.heard) >= 4, "four refusals")
    assert page.evaluate("window.ran") is None
    told = " ".join(watched.heard)
    assert "inline script" in told
    assert "Loading the script 'data:" in told
    assert "Loading the image" in told
    assert "Connecting to" in told
    watched.close()


def test_without_scripts_it_says_that_it_needs_them(written: Callable[..., Path], browser: Browser) -> None:
    watched = Watched(browser, java_script_enabled=False)
    page = watched.open(written("brake"))
    assert "scripts must be allowed" in page.locator("body").inner_text()
    watched.close()


def test_a_run_that_failed_says_so(replayed: Callable[..., Player]) -> None:
    player = replayed("failed")
    assert run("failed").message in player.page.get_by_role("status").inner_text()


def test_ten_minutes_end_where_the_run_ends(replayed: Callable[..., Player]) -> None:
    player = replayed("long")
    player.page.keyboard.press("End")
    assert player.time == pytest.approx(600.0, abs=1e-3)
    player.page.keyboard.press("PageUp")
    assert player.time == pytest.approx(590.0, abs=1e-3)
