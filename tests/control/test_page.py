"""The page on anti-lock control names the constants of the control, and its results are those of the program.

Results are regression values. A stop is not smooth in its inputs, so that they are held to what a band of neighbouring
speeds comes to, not to their digits.
"""

from __future__ import annotations

import importlib
from dataclasses import replace
from pathlib import Path

import pytest

import pneusim as ps
from pneusim.circuit.road import Stretch
from pneusim.circuit.surfaces import shipped_surfaces
from pneusim.physics.adhesion import burckhardt
from pneusim.physics.surface_fit import peak
from pneusim.quantities import parse
from tests.circuits.rolling import braking_rate

PAGE = (Path(__file__).parents[2] / "docs" / "physics" / "anti-lock.md").read_text(encoding="utf-8")
TRUCK = ps.load("anti-lock-truck")
BRIEF = 0.2  # so long a wheel may stand [s]; UN R13 Annex 13 has "brief" and 0.75 of the friction, from memory


def rows(head: str) -> list[list[str]]:
    """Cells of the table whose head begins so."""
    table = PAGE[PAGE.index(head) :].split("\n\n")[0].splitlines()[2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table]


def test_constants():
    found = rows("| constant |")
    for cells in found:
        module, name = cells[0].strip("`").split(".")
        assert getattr(importlib.import_module(f"pneusim.control.{module}"), name) == float(cells[1]), name
    assert len(found) == 16


def stopped(road: str, load: str):
    surface, speed = road.split(", ")
    scenario = TRUCK.scenarios["stop_low"]
    way = replace(
        scenario.road, speed=parse(speed, "speed"), stretches=(Stretch(-1e6, surface, surface),),
        surfaces=shipped_surfaces(), loading={"": load},
    )  # fmt: skip
    return ps.run(TRUCK, replace(scenario, lasts=30.0, road=way, measures=(), expectations=()))


@pytest.mark.parametrize("cells", rows("| road |")[:-2], ids=lambda cells: f"{cells[0]} {cells[1]}")
def test_results(cells: list[str]) -> None:
    """All but those of ice, which take long and are held by the tests of the shipped circuit."""
    road, load, way, _, share, lock, rate, air = cells
    run = stopped(road, load)
    found = {measure.name: measure.value for measure in run.measures}
    assert found["vehicle.stopping_distance"] == pytest.approx(float(way), rel=0.05)
    assert found["anti_lock.air_used"] == pytest.approx(1e-3 * float(air), rel=0.4)
    assert used(run, road) == pytest.approx(float(share), abs=0.08)
    assert used(run, road) > 0.75
    longest = max(found[f"axle_{n}_{side}.longest_lock"] for n in (1, 2) for side in ("left", "right"))
    assert longest == pytest.approx(float(lock), abs=0.05)
    assert longest < BRIEF
    busiest = max(releases(run, f"modulator_{wheel}") for wheel in ("fl", "fr", "rl", "rr"))
    assert busiest / found["vehicle.stopping_time"] == pytest.approx(float(rate), abs=1.0)
    assert busiest / found["vehicle.stopping_time"] < 5.5


def used(run, road: str) -> float:
    """Braking rate without rolling resistance over the peak of friction at 8 m/s."""
    surface = shipped_surfaces()[road.split(", ")[0]]
    return (braking_rate(run) - 0.007) / peak(burckhardt, (*surface.coefficients, surface.fading), 8.0)[1]


def releases(run, modulator: str) -> int:
    command = run[f"{modulator}.command"].values
    return int(((command[1:] == -1.0) & (command[:-1] != -1.0)).sum())
