"""What official manuals say in words that happens when something fails, on the circuits that show it.

Sources: Driving Commercial Vehicles, province of British Columbia (pages beside); Air Brake Manual, province of
Saskatchewan, "Spring-brake trailer system" and the pre-trip procedure of combinations; Air Brake Manual, Newfoundland
and Labrador, "Manually operated trailer supply valves".
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from pneusim import simulate
from pneusim.circuit.scenario import Scenario, Step
from pneusim.results.run import Run
from tests.circuits.shipped import circuit, run

KPA = 1e3
PSI = 6894.757
DRIVING = {"tractor.park.lever": 1.0, "tractor.trailer_supply.knob": 1.0, "tractor.engine_air.running": 0.0}


def event(result: Run, kind: str) -> float:
    return next(e.time for e in result.events if e.kind == kind)


def driven(*steps: Step, lasts: float, name: str = "tractor-semitrailer", **parameters: object) -> Run:
    scenario = Scenario("driven", "While driving", lasts, DRIVING | parameters, steps)
    return simulate.run(circuit(name), scenario)


def test_supply_line_of_an_old_trailer_broken_gives_its_brakes_the_reservoir_s_pressure_at_once() -> None:
    """British Columbia p. 181; Newfoundland and Labrador."""
    result = run("tractor-old-semitrailer", "supply_line_breaks")
    brake, tank = result["trailer.axle1_left.service_pressure"], result["trailer.reservoir.pressure"]
    assert brake(3.0) == pytest.approx(tank(3.0), abs=5 * KPA)
    assert brake(3.0) > 0.85 * tank(0.5)


def test_that_pressure_stays_as_long_as_the_trailer_s_reservoir_holds() -> None:
    """British Columbia p. 181: stays while the trailer reservoir holds."""
    result = run("tractor-old-semitrailer", "supply_line_breaks")
    brake, tank = result["trailer.axle1_left.service_pressure"], result["trailer.reservoir.pressure"]
    assert brake(15.0) == pytest.approx(tank(15.0), abs=5 * KPA)


def test_a_broken_control_line_does_nothing_until_the_brakes_are_applied_then_the_trailer_locks_up() -> None:
    """Newfoundland and Labrador: then tractor pressure falls, and at 45 to 20 psi the trailer dynamites."""
    result = run("tractor-old-semitrailer", "control_line_breaks")
    assert result["tractor.primary.pressure"](4.9) > 0.98 * result["tractor.primary.pressure"](0.0)
    assert result["trailer.axle1_left.service_pressure"](4.9) < 1 * KPA
    locked = event(result, "applied_by_itself")
    assert locked > 5.0
    assert 20 * PSI < result["trailer.supply_head.pressure"](locked) < 50 * PSI


def test_slow_loss_of_reservoir_air_locks_the_old_trailer_up_at_45_to_20_psi() -> None:
    """Newfoundland and Labrador: the trailer dynamites when the supply line reaches 45 to 20 psi."""
    result = run("tractor-old-semitrailer", "slow_leak")
    brake, supply = result["trailer.axle1_left.service_pressure"], result["trailer.supply_head.pressure"]
    full = next(t for t, p in zip(brake.times, brake.values, strict=True) if p > 60 * PSI)
    assert 20 * PSI < supply(full) < 45 * PSI


def test_slow_leak_of_the_supply_is_kept_from_the_springs_where_the_valve_is_made_so() -> None:
    """Saskatchewan: the trailer spring brake valve prevents automatic application from a slow supply leak."""
    cock = Step("set", at=0.5, target="tractor.supply_head.cock", to=0.0)
    slow = Step("leak", at=1.0, target="trailer.supply_pipe", to=0.5e-3)
    force = {}
    for rule in ("apply", "apply_if_rapid"):
        result = driven(cock, slow, lasts=120.0, **{"trailer.spring_valve.on_supply_loss": rule})
        assert result["trailer.spring_valve.supply_pressure"](120.0) < 100 * KPA
        force[rule] = max(result["trailer.axle1_left.pushrod_force"].values)
    assert force["apply_if_rapid"] < 50.0
    assert force["apply"] > 4e3


def test_rapid_loss_of_the_supply_applies_the_springs() -> None:
    """Saskatchewan: rapid supply loss applies the springs automatically, with either rule of the valve."""
    broken = Step("break", at=1.0, target="supply_line")
    for rule in ("apply", "apply_if_rapid"):
        result = driven(broken, lasts=15.0, **{"trailer.spring_valve.on_supply_loss": rule})
        assert result["trailer.axle1_left.pushrod_force"](15.0) > 4.5e3


def test_a_lost_service_reservoir_is_isolated_and_the_springs_do_not_apply() -> None:
    """Saskatchewan: service reservoir lost: isolated; springs do not apply."""
    result = run("tractor-semitrailer", "trailer_reservoir_lost")
    assert max(result["trailer.axle1_left.pushrod_force"].values) < 50.0
    assert min(result["trailer.supply_head.pressure"].values) > 400 * KPA


@pytest.mark.parametrize("order", ["reservoir_first", "springs_first"])
def test_two_types_of_trailer_fill_in_different_order(order: str) -> None:
    """British Columbia p. 182: (a) reservoir fills before springs release; (b) springs first, then the reservoir."""
    empty = {"trailer.spring_valve.order": order, "trailer.reservoir.pressure": 0.0, "tractor.trailer_supply.knob": 0.0}
    engine = {"tractor.engine_air.running": 1.0, "tractor.engine_air.speed": 35.0}
    knob = Step("set", at=1.0, target="tractor.trailer_supply.knob", to=1.0)
    result = driven(knob, lasts=150.0, **(empty | engine))
    tank, push = result["trailer.reservoir.pressure"], result["trailer.axle1_left.pushrod_force"]
    freed = next(t for t, f in zip(push.times, push.values, strict=True) if t > 1.0 and f < 50.0)
    charged = next(t for t, p in zip(tank.times, tank.values, strict=True) if p > 100 * KPA)
    assert (charged < freed) == (order == "reservoir_first")


def test_primary_lost_leaves_front_axle_and_trailer() -> None:
    """British Columbia p. 187."""
    result = run("tractor-semitrailer", "primary_line_breaks")
    assert result["tractor.front_left.service_pressure"](9.0) > 300 * KPA
    assert result["trailer.axle1_left.service_pressure"](9.0) > 300 * KPA
    assert result["tractor.drive1_left.service_pressure"](9.0) < 5 * KPA


def test_secondary_lost_leaves_rear_axles_and_trailer() -> None:
    """British Columbia p. 187."""
    scenario = replace(
        circuit("tractor-semitrailer").scenarios["primary_line_breaks"],
        steps=(
            Step("fault", at=1.0, target="tractor.secondary.lost", to=0.02),
            Step("set", at=5.0, target="tractor.foot.travel", to=0.6, over=0.2),
        ),
        measures=(),
        expectations=(),
        lasts=10.0,
    )
    result = simulate.run(circuit("tractor-semitrailer"), scenario)
    assert result["tractor.drive1_left.service_pressure"](9.0) > 300 * KPA
    assert result["trailer.axle1_left.service_pressure"](9.0) > 300 * KPA
    assert result["tractor.front_left.service_pressure"](9.0) < 5 * KPA


def test_the_supply_line_of_a_charged_rig_is_broken() -> None:
    """Saskatchewan, pre-trip: trailer brakes at once, no loss from the trailer, the tractor's loss stops at 20 psi."""
    result = run("tractor-semitrailer", "supply_line_breaks")
    assert result["trailer.axle1_left.pushrod_force"](4.0) > 4.5e3
    kept = result["trailer.reservoir.pressure"]
    assert kept(20.0) > 0.99 * kept(0.0)
    assert min(result["tractor.primary.pressure"].values) > 20 * PSI
    assert min(result["tractor.secondary.pressure"].values) > 20 * PSI
