"""The schematic at a time: wheels, valves, lines and damage show what the run says, and follow it back."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Locator

    from tests.browser.player import Player

pytestmark = pytest.mark.needs("browser")

WHEELS = [f"trailer.axle{n}_{side}" for n in (1, 2, 3) for side in ("left", "right")]


@pytest.fixture
def separation(replayed: Callable[..., Player]) -> Player:
    return replayed("separation", fragment="t=0.5")


def element(player: Player, name: str) -> Locator:
    return player.page.locator(f'#hosts [data-id="{name}"]')


def words(player: Player, wheel: str) -> list[str]:
    """What can be read on a wheel."""
    return element(player, f"w-{wheel}").locator(".word:visible").all_text_contents()


def style(player: Player, name: str, path: str, what: str) -> Any:
    return element(player, name).locator(path).evaluate(f"one => getComputedStyle(one).{what}")


def width(player: Player, name: str) -> float:
    return float(style(player, name, ".core.start", "strokeWidth").removesuffix("px"))


def test_wheels_say_what_their_brakes_do(separation: Player) -> None:
    assert {wheel: words(separation, wheel) for wheel in WHEELS} == {wheel: ["held off"] for wheel in WHEELS}
    separation.seek(6.0)
    assert {wheel: words(separation, wheel) for wheel in WHEELS} == {wheel: ["SPRING"] for wheel in WHEELS}
    assert words(separation, "tractor.drive1_left") == ["held off"]
    assert words(separation, "tractor.front_left") == []
    separation.seek(0.5)
    assert words(separation, WHEELS[0]) == ["held off"]


def test_a_spring_with_less_than_half_of_its_force_drags(separation: Player) -> None:
    """Its brake begins to be pressed at 1.70 s and has 5.3 kN in the end."""
    separation.seek(1.8)
    assert words(separation, WHEELS[0]) == ["drags"]
    separation.seek(2.4)
    assert words(separation, WHEELS[0]) == ["SPRING"]


def test_on_a_dark_ground_a_full_line_is_the_brighter_one(replayed: Callable[..., Player]) -> None:
    """The feed of a reservoir against the control line, which is empty until the pedal is pressed."""
    bright = {}
    for ground in ("light", "dark"):
        player = replayed("separation", fragment=f"t=0.5&ground={ground}")
        for name in ("l-supply_line", "l-control_line"):
            colour = style(player, name, ".core.start", "stroke")
            bright[ground, name] = sum(map(int, re.findall(r"\d+", colour)[:3]))
    assert bright["light", "l-supply_line"] < bright["light", "l-control_line"]
    assert bright["dark", "l-supply_line"] > bright["dark", "l-control_line"]


def test_lines_tell_pressure_by_colour_and_by_width(separation: Player) -> None:
    full, stays = width(separation, "l-supply_line"), width(separation, "l-tractor.foot_primary")
    colour = style(separation, "l-supply_line", ".core.start", "stroke")
    separation.seek(6.0)
    assert width(separation, "l-supply_line") < 0.5 * full
    assert style(separation, "l-supply_line", ".core.start", "stroke") != colour
    assert width(separation, "l-tractor.foot_primary") == pytest.approx(stays, rel=0.05)


def test_the_trailer_leaves_with_its_parts_and_the_tractor_keeps_the_hoses(separation: Player) -> None:
    def left(name: str) -> float:
        return element(separation, name).evaluate("one => one.getBoundingClientRect().left")

    names = ("c-tractor.foot", "c-trailer.reservoir", "w-trailer.axle1_left", "l-trailer.supply_pipe")
    before = {name: left(name) for name in names}
    hose = element(separation, "l-supply_line").locator(".core.end").get_attribute("d")
    separation.seek(6.0)
    moved = {name: left(name) - before[name] for name in names}
    assert moved["c-tractor.foot"] == pytest.approx(0.0, abs=0.5)
    assert moved["c-trailer.reservoir"] > 40.0
    assert moved["w-trailer.axle1_left"] == pytest.approx(moved["c-trailer.reservoir"], abs=0.5)
    assert moved["l-trailer.supply_pipe"] == pytest.approx(moved["c-trailer.reservoir"], abs=0.5)
    assert element(separation, "l-supply_line").locator(".core.end").get_attribute("d") != hose
    assert element(separation, "l-supply_line").locator(".sign").get_attribute("visibility") == "visible"
    separation.seek(0.5)
    assert {name: left(name) for name in names} == pytest.approx(before, abs=0.5)
    assert element(separation, "l-supply_line").locator(".core.end").get_attribute("d") == hose


def test_the_square_that_a_valve_is_in_is_inked(separation: Player) -> None:
    def inked(position: str) -> bool:
        group = element(separation, "c-tractor.trailer_supply").locator(f".position.{position}")
        return "on" in (group.get_attribute("class") or "").split()

    assert (inked("passing"), inked("venting")) == (True, False)
    separation.seek(6.0)
    assert (inked("passing"), inked("venting")) == (False, True)


def test_a_break_has_a_cross_at_its_place(replayed: Callable[..., Player]) -> None:
    player = replayed("break", fragment="t=0.5")
    (mark,) = [mark for mark in player.document["runs"][0]["marks"] if mark["kind"] == "broken"]
    sign = element(player, mark["element"]).locator(".sign.broken")
    assert sign.get_attribute("visibility") == "hidden"
    player.seek(mark["time"] + 0.5)
    assert sign.get_attribute("visibility") == "visible"
    assert mark["text"] == sign.locator("title").text_content()


def drawn(player: Player) -> str:
    """The whole picture; the order of classes is of no account."""
    return player.page.locator("#hosts").evaluate("""host => {
      const copy = host.cloneNode(true);
      for (const one of copy.querySelectorAll("[class]")) {
        one.setAttribute("class", [...one.classList].sort().join(" "));
      }
      return copy.innerHTML;
    }""")


def test_a_time_looks_the_same_whichever_way_it_was_come_to(separation: Player) -> None:
    separation.seek(3.0)
    before = drawn(separation)
    separation.seek(7.0)
    assert drawn(separation) != before
    separation.seek(3.0)
    assert drawn(separation) == before


def test_one_unit_fills_the_picture_and_the_others_are_pale(separation: Player) -> None:
    def seen(name: str) -> float:
        return float(element(separation, name).evaluate("one => getComputedStyle(one.closest('[data-unit]')).opacity"))

    svg = separation.page.locator("#hosts svg")
    whole = [float(value) for value in (svg.get_attribute("viewBox") or "").split()]
    assert (seen("c-tractor.foot"), seen("c-trailer.reservoir")) == (1.0, 1.0)
    separation.choice("Zoom").select_option("trailer")
    x, y, across, high = (float(value) for value in (svg.get_attribute("viewBox") or "").split())
    assert across < 0.5 * whole[2]
    assert 0.0 <= y < y + high <= whole[3]
    assert x > 0.5 * whole[2]
    assert seen("c-trailer.reservoir") == 1.0
    assert seen("c-tractor.foot") < 0.5


def test_picking_by_pointer_marks_the_part(separation: Player) -> None:
    element(separation, "c-tractor.wet").click()
    assert "selected" in (element(separation, "c-tractor.wet").get_attribute("class") or "")
    element(separation, f"w-{WHEELS[0]}").click()
    assert "selected" in (element(separation, f"c-{WHEELS[0]}").get_attribute("class") or "")
    assert "selected" not in (element(separation, "c-tractor.wet").get_attribute("class") or "")
