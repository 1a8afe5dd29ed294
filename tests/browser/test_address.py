"""The part of the address after #: it restores what was seen, and nonsense in it does nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.player import Player
from tests.browser.watched import until

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.needs("browser")

NONSENSE = [
    "t=1e999", "t=-5", "t=NaN", "t=", "t=abc&show=C&speed=0&zoom=moon&window=-1&ground=pink",
    "plots=constructor,__proto__,<img src=x onerror=alert(1)>,tractor.nothing", "%", "%E0%A4%A", "&&&==&=#?#",
    "__proto__=1&constructor=2&toString=3", "show=difference", "t=" + "9" * 5000, "plots=" + "," * 5000,
    "'\"><script>alert(1)</script>",
]  # fmt: skip


def test_it_restores_what_was_seen(
    replayed: Callable[..., Player], opened: Callable[..., Page], written: Callable[..., Path]
) -> None:
    player = replayed("separation", "break")
    player.toggle("Stop at every event").uncheck()
    player.choice("Speed").select_option(label="1/4")
    player.choice("Zoom").select_option(index=1)
    player.page.locator("#dark").check()
    player.page.locator("#large").check()
    player.page.locator("#table").get_by_role("button", name="supply reservoir").first.click()
    player.choice("Show").select_option("side")
    player.seek(1.75)
    until(lambda: "t=1.75" in player.address, "the address tells the time")
    again = Player(opened(written("separation", "break"), player.address[1:]))
    assert again.time == pytest.approx(1.75, abs=1e-3)
    assert not again.toggle("Stop at every event").is_checked()
    for name in ("Speed", "Zoom", "Show"):
        assert again.choice(name).input_value() == player.choice(name).input_value()
    assert again.page.locator("#dark").is_checked()
    assert again.page.locator("#large").is_checked()
    assert again.page.locator("#plots figure").count() == player.page.locator("#plots figure").count()
    assert again.text("#table") == player.text("#table")
    assert not again.playing


@pytest.mark.parametrize("fragment", NONSENSE, ids=range(len(NONSENSE)))
def test_nonsense_is_survived(fragment: str, replayed: Callable[..., Player]) -> None:
    player = replayed("brake", fragment=fragment)
    assert 0.0 <= player.time <= 5.0
    player.button("Next event").click()
    assert player.time > 0.0
    assert player.page.locator("#hosts svg:visible").count() == 1


def test_a_new_fragment_moves_an_open_page(replayed: Callable[..., Player]) -> None:
    player = replayed("brake")
    player.page.evaluate("location.hash = 't=2.5'")
    until(lambda: player.time == pytest.approx(2.5, abs=1e-3), "the page follows its address")


def test_a_slider_that_is_dragged_floods_nothing(replayed: Callable[..., Player]) -> None:
    """Browsers refuse more than some hundred changes of an address in half a minute, and say so in the console."""
    player = replayed("long")
    player.slider.evaluate("""async slider => {
        for (let step = 0; step < 1000; step++) {
            slider.value = 0.5 * step;
            slider.dispatchEvent(new Event("input", {bubbles: true}));
            if (step % 50 === 0) await new Promise(requestAnimationFrame);
        }
    }""")
    until(lambda: "t=499.5" in player.address, "the address tells the time")


def test_going_through_time_leaves_no_trail_of_pages(replayed: Callable[..., Player]) -> None:
    player = replayed("brake")
    before = player.page.evaluate("history.length")
    for time in (0.5, 1.0, 1.5, 2.0):
        player.seek(time)
    until(lambda: "t=2" in player.address, "the address tells the time")
    assert player.page.evaluate("history.length") == before
