"""Two runs on one page: one after the other, side by side, and their difference."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.browser import numbers
from tests.browser.player import Player
from tests.browser.runs import run

pytestmark = pytest.mark.needs("browser")

PAIR = ("separation", "break")
BOTH = "[data-id='c-trailer.axle1_left']"


def test_one_run_offers_no_choice(replayed: Callable[..., Player]) -> None:
    assert not replayed("separation").choice("Show").is_visible()


def test_each_and_both_and_the_difference(replayed: Callable[..., Player]) -> None:
    player = replayed(*PAIR)
    show = player.choice("Show")
    options = show.locator("option").evaluate_all("all => all.map(one => one.value)")
    assert options == ["A", "B", "side", "difference"]
    drawings = {}
    for option in options:
        show.select_option(option)
        player.seek(5.0)
        drawings[option] = player.drawn()
        assert player.page.locator(f"#hosts svg {BOTH}:visible").count() == (2 if option == "side" else 1)
    assert len(set(drawings.values())) == 4


def test_both_are_named_and_told_apart(replayed: Callable[..., Player]) -> None:
    player = replayed(*PAIR, fragment="show=side&t=5")
    text = player.text()
    for name in PAIR:
        assert run(name).scenario.title in text
    assert "solid" in player.text("#plots")
    assert "dashed" in player.text("#plots")
    dashes = player.page.locator("#plots figure").first.locator("path.curve").evaluate_all(
        "all => all.map(one => getComputedStyle(one).strokeDasharray)"
    )
    assert len(set(dashes)) >= 2


def test_the_table_has_a_column_for_each(replayed: Callable[..., Player]) -> None:
    player = replayed(*PAIR, fragment="show=side&t=5")
    channel = "tractor.wet.pressure"
    quantity = player.document["quantities"]["pressure"]
    for name, short in zip(PAIR, "AB", strict=True):
        (text,) = player.page.locator(f"#table [data-channel='{channel}'][data-run='{short}']").all_inner_texts()
        value, digits, _ = numbers.read(text)
        shift = player.document["runs"]["AB".index(short)]["shift"]
        low, high = numbers.allowed(run(name), channel, 5.0 - shift, quantity, digits)
        assert low <= value <= high


def test_the_difference_of_a_run_with_itself_is_nothing(replayed: Callable[..., Player]) -> None:
    looks = []
    for other in ("brake", "lesson"):  # full and part application of one vehicle
        player = replayed("brake", other, fragment="show=difference&t=1.5")
        cores = player.page.locator("#hosts .core:visible")
        look = "all => all.map(one => [getComputedStyle(one).stroke, getComputedStyle(one).strokeWidth].join())"
        looks.append(set(cores.evaluate_all(look)))
    same, part = looks
    assert len(same) == 1
    assert len(part) > 1
    assert not part <= same


def test_a_run_that_has_ended_has_no_values(replayed: Callable[..., Player]) -> None:
    """The lesson goes on for seven seconds after the other run."""
    player = replayed("lesson", "brake", fragment="show=side&predict=0&t=4")
    end = run("brake").span[1] + player.document["runs"][1]["shift"]
    cells = player.page.locator("#table td[data-run='B'][data-channel$='pressure']")
    assert numbers.DASH not in cells.all_inner_texts()
    assert "ended" not in player.text("#status")
    player.seek(end + 1.0)
    assert set(cells.all_inner_texts()) == {numbers.DASH}
    words = f"run B ended at {end:.2f}\u00a0s"
    assert words in player.text("#hosts")
    assert words[1:] in player.text("#status")
    second = player.page.locator("#hosts svg").nth(1)
    assert second.locator(".line .core:visible").count() == second.locator(".line .core.nodata:visible").count() > 0
    assert second.locator(".word:visible").count() == 0
    first = player.page.locator("#hosts svg").first
    assert first.locator(".line .core:not(.nodata):visible").count() > 0


def test_the_scale_of_a_difference_is_told(replayed: Callable[..., Player]) -> None:
    player = replayed(*PAIR, fragment="show=difference&t=3")
    most = [float(text) for text in player.page.locator("#scale text.mark").all_text_contents()]
    assert most == sorted(most)
    assert f"up to {most[-1]:.0f}\u00a0kPa" in player.text("#told")
    assert player.page.locator("#hosts .sign[visibility='visible']").count() == 3
    player.choice("Show").select_option("A")
    assert player.text("#told") == ""


def test_pictures_beside_each_other_have_one_scale(replayed: Callable[..., Player]) -> None:
    player = replayed("separation", "brake", fragment="show=side&t=0.2")
    scales = player.page.locator("#hosts svg").evaluate_all("all => all.map(one => one.getScreenCTM().a)")
    assert len(scales) == 2
    assert scales[0] == pytest.approx(scales[1], rel=1e-3)


def test_events_of_both_are_listed(replayed: Callable[..., Player]) -> None:
    player = replayed(*PAIR, fragment="show=side")
    events = player.events()
    assert any("the supply line and the control line part" in event for event in events)
    assert any("the supply line breaks" in event for event in events)
