"""A run on a road: wheels turn, lock and stand; units tell their speed, their way, and how far they are behind."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from tests.circuits.on_road import separated, stop

if TYPE_CHECKING:
    from playwright.sync_api import Locator

    from tests.browser.player import Player

pytestmark = pytest.mark.needs("browser")

FRONT, REAR = "w-front_left", "w-rear_left"


def wheel(player: Player, name: str) -> Locator:
    return player.page.locator(f'#hosts [data-id="{name}"]')


def does(player: Player, name: str) -> list[str]:
    """The word that tells what a wheel does."""
    return wheel(player, name).locator(".does:visible").all_text_contents()


def turned(player: Player, name: str) -> str | None:
    return wheel(player, name).locator(".spoke").get_attribute("transform")


def numbers(player: Player, unit: str) -> list[str]:
    """What stands below the name of a unit."""
    found = player.page.locator(f'#hosts .vehicles [data-unit="{unit}"] .rolled').all_text_contents()
    return [text.replace("\u00a0", " ") for text in found if text]


def test_wheels_turn_lock_and_stand(replayed: Callable[..., Player]) -> None:
    player = replayed("stop on wet", fragment="t=0.1")
    assert (does(player, FRONT), does(player, REAR)) == ([], [])
    before = turned(player, FRONT)
    player.seek(1.2)
    assert does(player, REAR) == ["LOCKED"]
    assert wheel(player, REAR).locator(".block").is_visible()
    assert not wheel(player, REAR).locator(".spoke").is_visible()
    assert does(player, FRONT) == []
    assert turned(player, FRONT) != before
    run = stop()
    speed, way = run["vehicle.speed"](1.2), run["vehicle.distance"](1.2)
    assert numbers(player, "") == [f"{3.6 * speed:.1f} km/h", f"{way:.2f} m"]
    player.seek(3.0)
    assert (does(player, FRONT), does(player, REAR)) == (["stands"], ["stands"])


def test_a_click_on_a_wheel_tells_its_slip(replayed: Callable[..., Player]) -> None:
    player = replayed("stop on wet", fragment="t=1.2")
    wheel(player, REAR).locator(".block").click()
    assert player.page.locator('#selected [data-channel="axle_2_left.slip"]').text_content() == "100\u00a0%"


def test_spokes_rest_where_less_motion_is_asked_for(replayed: Callable[..., Player]) -> None:
    player = replayed("stop on wet", fragment="t=0.1", reduced_motion="reduce")
    before = turned(player, FRONT)
    player.seek(1.2)
    assert turned(player, FRONT) == before
    assert does(player, REAR) == ["LOCKED"]


def test_a_trailer_that_came_off_tells_how_far_it_is_behind(replayed: Callable[..., Player]) -> None:
    player = replayed("trailer off", fragment="t=0.3")
    assert len(numbers(player, "trailer")) == 2
    player.seek(2.9)
    run = separated()
    behind = run["tractor.vehicle.distance"](2.9) - run["trailer.vehicle.distance"](2.9)
    assert behind > 1.0
    told = float(numbers(player, "trailer")[2].removesuffix(" m behind"))
    assert told == pytest.approx(behind, abs=0.02)
    assert len(numbers(player, "tractor")) == 2
