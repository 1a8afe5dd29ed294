"""What official manuals say in words that happens when something fails, on the circuits that show it.

Sources: Driving Commercial Vehicles, province of British Columbia (pages beside); Air Brake Manual, province of
Saskatchewan, "Spring-brake trailer system" and the pre-trip procedure of combinations; Air Brake Manual, Newfoundland
and Labrador, "Manually operated trailer supply valves".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest

from pneusim import simulate
from pneusim.circuit.scenario import Scenario, Step
from pneusim.reading import apply_changes
from pneusim.results.run import Run
from pneusim.studies.failures.cycle import Cycle, drive_cycle
from pneusim.studies.failures.failure import Failure, together
from pneusim.studies.failures.single import single_failures
from pneusim.studies.failures.study import Study, study
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


# ---- the same, out of the study of failures: the driver's cycle, and what it costs against the intact vehicle

SPRING, OLD = "tractor-semitrailer", "tractor-old-semitrailer"


@cache
def failure(name: str, of: str) -> Failure:
    return next(f for f in single_failures(circuit(of))[0] if f.id == name)


@cache
def failures(of: str) -> Study:
    """Those that the manuals speak of, in the drive cycle."""
    names = {
        SPRING: ("supply_line.separated", "trailer.reservoir.lost", "tractor.primary.lost", "tractor.secondary.lost",
                 "control_line.broken_middle"),
        OLD: ("supply_line.broken_middle", "control_line.broken_middle"),
    }  # fmt: skip
    return study(circuit(of), drive_cycle(circuit(of)), [failure(name, of) for name in names[of]])


def parts_of(unit: str, wheels: Sequence[str]) -> set[str]:
    return {wheel for wheel in wheels if wheel.startswith(f"{unit}.")}


def test_failures_an_old_trailer_that_loses_its_supply_line_brakes_at_once_with_its_reservoir() -> None:
    """British Columbia p. 181: at once, and as long as the trailer reservoir holds; no springs are there to do it."""
    found = failures(OLD)["supply_line.broken_middle"].consequences
    assert set(found.by_itself) == parts_of("trailer", failures(OLD).owners.brakes)
    assert max(found.by_itself.values()) < 3.0  # it broke at 2 s
    assert found.springs == ()
    assert found.drives == {"tractor.vehicle": "free", "trailer.vehicle": "held", "combination": "held"}


def test_failures_a_broken_control_line_does_nothing_until_the_pedal_then_the_trailer_locks_up() -> None:
    """Newfoundland and Labrador: nothing until the brakes are applied; at 45 to 20 psi the trailer dynamites."""
    assert failures(OLD)["control_line.broken_middle"].consequences.by_itself == {}
    pedal = Step("set", at=5.0, target="tractor.foot.travel", to=0.6, over=0.2)
    cycle = Cycle(Scenario("held", "The pedal is held down", 90.0, DRIVING, (pedal,)), 2.0)
    row = study(circuit(OLD), cycle, [failure("control_line.broken_middle", OLD)]).rows[0]
    locked = next(e["time"] for e in row.outcome.events if e["kind"] == "applied_by_itself")
    assert locked > 5.0
    assert all(time > 20.0 for time in row.consequences.by_itself.values())  # springs, when the tractor's air has gone
    assert row.consequences.braking["trailer.vehicle"] > 0.9


def test_failures_slow_loss_of_both_reservoirs_warns_and_then_locks_the_old_trailer_up() -> None:
    """Newfoundland and Labrador: slow loss of reservoir air, and the trailer dynamites."""
    leaks = together(*(failure(f"tractor.{line}.leaking", OLD) for line in ("rear_feed", "foot_secondary")))
    row = study(circuit(OLD), Cycle(Scenario("driven", "Driving on", 200.0, DRIVING), 2.0), [leaks]).rows[0]
    wheels = parts_of("trailer", list(row.consequences.by_itself))
    assert wheels == parts_of("trailer", list(row.outcome.extra["acts"]))
    assert row.consequences.warning == "in time"
    assert any(event["kind"] == "applied_by_itself" for event in row.outcome.events)


@pytest.mark.parametrize(("rule", "on"), [("apply", True), ("apply_if_rapid", False)])
def test_failures_a_slow_supply_leak_applies_the_springs_unless_the_valve_prevents_it(rule: str, on: bool) -> None:
    """Saskatchewan: the trailer spring brake valve prevents automatic application from a slow supply leak."""
    subject = apply_changes(circuit(SPRING), {"trailer.spring_valve.on_supply_loss": rule})
    slow = Failure("supply.slow", "coupling", ("trailer.supply_pipe",), "slow supply leak", (
        Step("fault", target="tractor.supply_head.cock_forgotten_shut", to=1.0),
        Step("leak", target="trailer.supply_pipe", to=0.5e-3),
    ))  # fmt: skip
    [row] = study(subject, Cycle(Scenario("driven", "Driving on", 120.0, DRIVING), 2.0), [slow]).rows
    assert bool(row.consequences.springs) == on


def test_failures_rapid_loss_of_the_supply_applies_the_springs_and_costs_the_trailer_no_air() -> None:
    """Saskatchewan, spring-brake trailer and pre-trip: at once; no loss from the trailer, the tractor's at 20 psi."""
    row = failures(SPRING)["supply_line.separated"]
    assert set(row.consequences.springs) == parts_of("trailer", failures(SPRING).owners.brakes)
    assert max(row.consequences.by_itself.values()) < 4.0
    assert row.consequences.air["trailer.reservoir"] > 0.99
    for reservoir in ("tractor.primary", "tractor.secondary"):
        assert row.outcome.extra["air"][reservoir]["lowest"] > 20 * PSI


def test_failures_a_lost_service_reservoir_is_isolated_and_the_springs_do_not_apply() -> None:
    """Saskatchewan: service reservoir lost: isolated; springs do not apply."""
    found = failures(SPRING)["trailer.reservoir.lost"].consequences
    assert found.by_itself == {}
    assert found.braking["trailer.vehicle"] < 0.05
    assert found.braking["tractor.vehicle"] > 0.9


def test_failures_a_lost_circuit_leaves_one_axle_or_two_and_the_trailer() -> None:
    """British Columbia p. 187: primary lost: front axle and trailer; secondary lost: rear axles and trailer."""
    rear, front = ("tractor.axle_2", "tractor.axle_3"), ("tractor.axle_1",)
    for lost, gone, left in (("tractor.primary.lost", rear, front), ("tractor.secondary.lost", front, rear)):
        found = failures(SPRING)[lost].consequences
        assert all(found.braking[axle] < 0.05 for axle in gone)
        assert all(found.braking[axle] > 0.85 for axle in (*left, "trailer.axle_1", "trailer.axle_3"))
        assert found.warning == "in time"


def test_failures_a_broken_control_line_leaves_the_tractor_and_its_springs_alone() -> None:
    """Newfoundland and Labrador: nothing until the brakes are applied."""
    found = failures(SPRING)["control_line.broken_middle"].consequences
    assert found.by_itself == {}
    assert found.braking["trailer.vehicle"] < 0.5
    assert all(found.braking[f"tractor.axle_{n}"] > 0.5 for n in (1, 2, 3))
