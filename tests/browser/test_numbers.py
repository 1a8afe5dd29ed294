"""Numbers on the page are the run's: the table, the readouts of plots, the measures, and what a click brings up."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from pneusim.results.run import Run
from tests.browser import numbers
from tests.browser.player import Player
from tests.browser.runs import run

pytestmark = pytest.mark.needs("browser")

TIMES = (0.0, 1.0, 1.2, 1.5155342800141052, 2.6, 40.0)


def compare(player: Player, shown: Run, values: list[tuple[str, str]], time: float) -> int:
    """Hold texts to the channels they tell; returns how many had a number."""
    samples, quantities = player.document["runs"][0]["samples"], player.document["quantities"]
    dimensions = dict(zip(samples["channels"], samples["dimensions"], strict=True))
    cells = [cell for row in player.document["runs"][0]["table"] for cell in row["cells"]]
    states = {cell["channel"]: cell for cell in cells if "states" in cell}
    wrong, count = [], 0
    for channel, text in values:
        if text == numbers.DASH:
            continue
        if channel in states and told_in_words(shown, channel, time, text, states[channel]):
            continue
        value, digits, unit = numbers.read(text)
        quantity = quantities[dimensions[channel]]
        unit = unit.removesuffix(f" {states[channel]['between']}") if channel in states else unit
        low, high = numbers.allowed(shown, channel, time, quantity, digits)
        count += 1
        if not low <= value <= high or unit != quantity["symbol"]:
            wrong.append(f"{channel} at {time} s: {text}, not {low:g} to {high:g} {quantity['symbol']}")
    assert wrong == []
    return count


def told_in_words(shown: Run, channel: str, time: float, text: str, cell: dict[str, Any]) -> bool:
    """Whether it is one of the channel's states; then the run must be in it."""
    found = [value for value, word in cell["states"] if word == text]
    low, high = numbers.allowed(shown, channel, time, {"factor": 1.0, "offset": 0.0}, 2)
    assert all(low - 0.005 <= value <= high + 0.005 for value in found), f"{channel} at {time} s: {text}"
    return bool(found)


def table(player: Player) -> list[tuple[str, str]]:
    """Channels and texts of the table of state."""
    cells = "cells => cells.map(cell => [cell.dataset.channel, cell.textContent])"  # some may be folded away
    return [(channel, text) for channel, text in player.page.locator("#table td.value").evaluate_all(cells)]


@pytest.mark.parametrize("time", TIMES)
def test_the_table_is_the_run(time: float, replayed: Callable[..., Player]) -> None:
    player, shown = replayed("separation", fragment=f"t={time:.9f}"), run("separation")
    cells = table(player)
    assert compare(player, shown, cells, player.time) > 60
    assert {channel.rpartition(".")[0] for channel, _ in cells} >= {"trailer.axle1_left", "tractor.trailer_supply"}


def test_the_table_follows_the_time(replayed: Callable[..., Player]) -> None:
    player, shown = replayed("separation"), run("separation")
    before = table(player)
    player.seek(5.0)
    after = table(player)
    assert compare(player, shown, after, 5.0) > 60
    assert sum(one != other for one, other in zip(before, after, strict=True)) > 20


def test_the_table_knows_other_units(replayed: Callable[..., Player]) -> None:
    player, shown = replayed("separation", units="us", fragment="t=5"), run("separation")
    cells = table(player)
    assert compare(player, shown, cells, 5.0) > 60
    assert any(text.endswith("psi") for _, text in cells)


def test_units_are_those_of_the_quantities() -> None:
    """1 psi = 6894.757 Pa (NIST SP 811, 2008, appendix B.8)."""
    assert numbers.read("12.5\u00a0kPa") == (12.5, 1, "kPa")
    assert numbers.read("\u22123 N") == (-3.0, 0, "N")
    low, high = numbers.allowed(run("long"), "tank.pressure", 0.0, {"factor": 6894.757, "offset": 0.0}, 1)
    assert low < 116.03 < high  # 8 bar
    assert high - low < 0.21


@pytest.mark.parametrize("time", [0.5, 1.5, 5.0])
def test_readouts_of_plots_are_the_run(time: float, replayed: Callable[..., Player]) -> None:
    player, shown = replayed("separation", fragment=f"t={time}"), run("separation")
    assert player.page.locator("#plots figure").count() >= 1
    cells = "cells => cells.map(cell => [cell.dataset.channel, cell.innerText])"
    values = player.page.locator("#plots figure [data-channel]").evaluate_all(cells)
    assert compare(player, shown, [(channel, text) for channel, text in values], time) >= 4


def test_a_click_on_a_component_plots_it_and_its_plot_can_be_closed(replayed: Callable[..., Player]) -> None:
    player = replayed("separation", fragment="t=5")
    plots = player.page.locator("#plots figure")
    before = plots.count()
    player.page.locator('#hosts [data-id="c-trailer.axle1_left"]').click()
    channels = plots.first.locator("[data-channel]").evaluate_all("all => all.map(one => one.dataset.channel)")
    assert plots.count() > before
    assert channels
    assert all(channel.startswith("trailer.axle1_left.") for channel in channels)
    assert "trailer.axle1_left" in player.text("#selected")
    while player.page.get_by_role("button", name=re.compile("^Close the plot")).count():
        player.page.get_by_role("button", name=re.compile("^Close the plot")).first.click()
    assert plots.count() == before


def test_a_component_is_plotted_from_the_table_too(replayed: Callable[..., Player]) -> None:
    player = replayed("brake")
    before = player.page.locator("#plots figure").count()
    player.page.locator("#table").get_by_role("button", name="relay valve").click()
    assert player.page.locator("#plots figure").count() > before


def test_measures_are_those_of_the_run(replayed: Callable[..., Player]) -> None:
    player, shown = replayed("brake"), run("brake")
    player.page.locator("#outcome summary").click()
    text = player.text("#outcome")
    for measure in shown.measures:
        assert measure.name in text
    judged = [measure for measure in shown.measures if measure.met is not None]
    assert judged
    rows = player.page.locator("#outcome tbody tr").all_inner_texts()
    for measure in judged:
        row = next(row for row in rows if measure.name in row.split())
        assert ("missed" in row, "met" in row) == (not measure.met, bool(measure.met))


def test_a_curve_goes_where_its_channel_goes(replayed: Callable[..., Player]) -> None:
    """The first plot's cursor dots stand on their curves, at the heights of their values."""
    player = replayed("long", fragment="t=300")
    plot = player.page.locator("#plots figure").first
    boxes = {part: plot.locator(part).first.bounding_box() for part in ("circle.dot", "path.curve", "path.axis")}
    dot, curve, axis = (boxes[part] for part in ("circle.dot", "path.curve", "path.axis"))
    assert dot is not None
    assert curve is not None
    assert axis is not None
    shown = run("long")["tank.pressure"]
    share = shown(300.0) / shown.values.max()
    height = axis["y"] - curve["y"]
    middle = dot["y"] + dot["height"] / 2
    assert (axis["y"] - middle) / height == pytest.approx(share, abs=0.03)
    assert dot["x"] + dot["width"] / 2 == pytest.approx(curve["x"] + curve["width"] / 2, abs=0.02 * curve["width"])
