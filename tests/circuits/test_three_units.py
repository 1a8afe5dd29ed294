"""A unit with heads at both ends: fed by the vehicle ahead, feeding the vehicle behind."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pneusim import simulate
from pneusim.reading import load
from pneusim.results.run import Run

FILE = Path(__file__).parent / "units" / "three.yaml"
EMPTY, CHARGED = 5e3, 650e3  # [Pa]
HELD = 5e3  # force of the springs [N]


@cache
def run(scenario: str) -> Run:
    return simulate.run(load(FILE), scenario)


def test_the_last_unit_is_fed_and_braked_through_the_dolly():
    result = run("apply")
    for unit in ("dolly", "last"):
        assert result[f"{unit}.springs.supply_pressure"](4.0) > CHARGED
        assert result[f"{unit}.left.service_pressure"](4.0) > 300e3
    reach = {unit: next(t for t, p in zip(c.times, c.values, strict=True) if p > 200e3)
             for unit, c in ((u, result[f"{u}.left.service_pressure"]) for u in ("dolly", "last"))}  # fmt: skip
    assert reach["dolly"] < reach["last"]


def test_when_the_second_coupling_parts_both_units_behind_the_truck_are_held():
    """The dolly's rear heads are open then, so its own supply line is lost too; the truck keeps its air."""
    result = run("second_coupling_parts")
    force = {unit: result[f"{unit}.left.pushrod_force"] for unit in ("dolly", "last")}
    assert all(f(0.4) == 0.0 and f(6.0) > HELD for f in force.values())
    (tripped,) = [e.time for e in result.events if (e.component, e.kind) == ("truck.trailer_supply", "tripped")]
    assert tripped < 5.0
    assert result["truck.tank.pressure"](6.0) > 700e3


def test_behind_shut_cocks_only_the_unit_that_parts_is_held():
    result = run("parts_with_rear_cocks_shut")
    assert result["last.left.pushrod_force"](2.9) > HELD
    assert max(result["dolly.left.pushrod_force"].values[result["dolly.left.pushrod_force"].times < 2.9]) == 0.0
    assert result["dolly.springs.supply_pressure"](2.9) > CHARGED
    assert result["dolly.left.service_pressure"](5.9) > 300e3
    assert result["last.left.service_pressure"](5.9) < EMPTY


def test_coupled_again_and_charged_all_is_as_before():
    result = run("parts_and_coupled_again")
    for unit in ("dolly", "last"):
        assert result[f"{unit}.left.pushrod_force"](4.9) > HELD
        assert result[f"{unit}.left.pushrod_force"](45.0) == 0.0
        assert result[f"{unit}.left.service_pressure"](59.0) > 300e3
