"""Playing, stopping, going from event to event; by pointer and by keys."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pneusim.results.clauses import moments_of
from pneusim.results.mechanics import mechanics
from tests.browser.player import Player
from tests.browser.runs import run
from tests.browser.watched import until

pytestmark = pytest.mark.needs("browser")

TOGETHER = 1e-3
"""Events nearer than this are one moment [s], the last of them."""


def moments(name: str) -> list[float]:
    """Times of steps, trips, warnings, modes, and of what brakes did together, each once [s]."""
    shown = run(name)
    times = [event.time for event in shown.events if event.category != "mechanics" and not shown.settled(event)]
    times += [one.start for one in moments_of(shown, mechanics(shown, shown.measures), "si")]
    found: list[float] = []
    for time in sorted(times):
        if found and time - found[-1] < TOGETHER:
            found[-1] = time
        else:
            found.append(time)
    return found


def test_it_plays_and_pauses(replayed: Callable[..., Player]) -> None:
    player = replayed("brake")
    player.toggle("Stop at every event").uncheck()
    player.button("Play").click()
    until(lambda: player.time > 0.2, "it plays")
    player.button("Pause").click()
    paused = player.time
    player.page.evaluate("new Promise(done => setTimeout(done, 100))")
    assert player.time == paused
    player.button("Play").click()
    until(lambda: player.time > paused + 0.1, "it goes on")


def test_it_stops_at_every_event(replayed: Callable[..., Player]) -> None:
    player = replayed("brake")
    assert player.toggle("Stop at every event").is_checked()
    met = []
    for _ in moments("brake"):
        player.button("Play").click()
        met.append(player.rest())
    assert met == pytest.approx(moments("brake"), abs=1e-3)
    player.button("Play").click()
    assert player.rest() == pytest.approx(run("brake").span[1], abs=1e-3)


def test_without_stops_it_plays_to_the_end(replayed: Callable[..., Player]) -> None:
    player = replayed("brake")
    player.toggle("Stop at every event").uncheck()
    player.choice("Speed").select_option(label="10")
    player.button("Play").click()
    assert player.rest() == pytest.approx(run("brake").span[1], abs=1e-3)


@pytest.mark.parametrize(("speed", "factor"), [("1/10", 0.1), ("1", 1.0), ("4", 4.0)])
def test_speed_is_what_it_says(speed: str, factor: float, replayed: Callable[..., Player]) -> None:
    player = replayed("long")
    player.toggle("Stop at every event").uncheck()
    player.seek(10.0)
    player.choice("Speed").select_option(label=speed)
    clock = player.page.clock
    clock.install(time=0)
    clock.pause_at(10_000)
    player.button("Play").click()
    clock.run_for(2000)
    assert player.time - 10.0 == pytest.approx(2.0 * factor, rel=0.02)


def test_pausing_and_playing_at_once_does_not_double_the_speed(replayed: Callable[..., Player]) -> None:
    player = replayed("long", fragment="t=10&stops=0")
    clock = player.page.clock
    clock.install(time=0)
    clock.pause_at(10_000)
    player.button("Play").click()
    for _ in range(6):  # ends playing, within one frame
        player.page.evaluate("document.getElementById('play').click()")
    clock.run_for(1000)
    assert player.time - 10.0 == pytest.approx(1.0, rel=0.03)


def test_a_key_that_is_held_plays_once(replayed: Callable[..., Player]) -> None:
    player = replayed("long", fragment="speed=0.1&stops=0")
    player.page.locator("h1").click()
    for _ in range(4):  # all but the first are repeats
        player.page.keyboard.down("Space")
    assert player.playing
    assert player.page.evaluate("scrollY") == 0
    player.page.keyboard.up("Space")
    player.page.keyboard.press("Space")
    assert not player.playing


def test_buttons_go_from_event_to_event(replayed: Callable[..., Player]) -> None:
    player, times = replayed("separation"), moments("separation")
    forth = []
    for _ in times:
        player.button("Next event").click()
        forth.append(player.time)
    back = [player.time]
    for _ in times[1:]:
        player.button("Previous event").click()
        back.append(player.time)
    assert forth == pytest.approx(times, abs=1e-3)
    assert back[::-1] == pytest.approx(times, abs=1e-3)


def test_an_event_in_the_list_is_gone_to_and_told(replayed: Callable[..., Player]) -> None:
    player, shown = replayed("separation"), run("separation")
    tripped = next(event for event in shown.events if event.kind == "tripped")
    player.page.locator("#events").get_by_role("button").filter(has_text=tripped.text).click()
    assert player.time == pytest.approx(tripped.time, abs=1e-3)
    assert f"{tripped.time:.2f}" in player.text("#clock")
    assert tripped.text in player.page.get_by_role("status").inner_text()


def test_no_clause_of_a_sentence_is_told_before_its_time(replayed: Callable[..., Player]) -> None:
    """The springs begin to move at 1.52 s, press on their brakes at 1.70 s, and have 90 % of their force at 2.57 s."""
    player = replayed("separation", fragment="t=1.6")
    now = player.page.locator("#story p.now")
    clauses = ("began to move at 1.52 s", "pressed on their brakes between 1.70 s", "had 90 % of their final force")
    for time, told in ((1.3, 0), (1.6, 1), (1.8, 2), (2.6, 3), (1.6, 1)):
        player.seek(time)
        assert [clause in now.inner_text() for clause in clauses] == [k < told for k in range(3)], time


def test_the_slider_goes_anywhere_and_says_the_time(replayed: Callable[..., Player]) -> None:
    player = replayed("separation")
    player.seek(12.5)
    assert "12.50" in player.text("#clock")
    assert "12.5" in (player.slider.get_attribute("aria-valuetext") or "")
    box = player.slider.bounding_box()
    assert box is not None
    player.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    assert player.time == pytest.approx(20.0, abs=0.5)


def test_keys(replayed: Callable[..., Player]) -> None:
    player, times = replayed("separation"), moments("separation")
    press = player.page.keyboard.press
    for key, time in (
        ("ArrowRight", 0.1), ("ArrowRight", 0.2), ("ArrowLeft", 0.1), ("Shift+ArrowRight", 0.11),
        ("Shift+ArrowLeft", 0.1), ("PageDown", times[0]), ("PageDown", times[1]), ("PageUp", times[0]),
        ("End", 40.0), ("ArrowRight", 40.0), ("Home", 0.0), ("ArrowLeft", 0.0),
    ):  # fmt: skip
        press(key)
        assert player.time == pytest.approx(time, abs=1e-3), key
    player.toggle("Stop at every event").uncheck()
    player.page.locator("h1").click()
    press("Space")
    until(lambda: player.time > 0.05, "Space plays")
    press("Space")
    assert not player.playing


def test_keys_belong_to_what_has_the_focus(replayed: Callable[..., Player]) -> None:
    player = replayed("brake")
    speed = player.choice("Speed")
    before = speed.input_value()
    speed.focus()
    player.page.keyboard.press("ArrowDown")
    assert speed.input_value() != before
    assert player.time == 0.0
    player.button("Next event").focus()
    player.page.keyboard.press("Space")
    assert not player.playing
    assert player.time == pytest.approx(moments("brake")[0], abs=1e-3)
    stops = player.toggle("Stop at every event")
    stops.focus()
    player.page.keyboard.press("Space")
    assert (stops.is_checked(), player.playing) == (False, False)


def test_no_letter_does_anything(replayed: Callable[..., Player]) -> None:
    """WCAG 2.2, 2.1.4: a shortcut of one letter would need a switch."""
    player = replayed("brake")
    until(lambda: player.address == "#t=0", "the address tells the time")
    drawn, address = player.drawn(), player.address
    for key in "abcdefghijklmnopqrstuvwxyz0123456789":
        player.page.keyboard.press(key)
    assert (player.time, player.playing, player.drawn(), player.address) == (0.0, False, drawn, address)
