"""Which wheels lock, laden and empty, on which road; parking; stops by published limits.

Facts without a source are common practice.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from pneusim import simulate
from pneusim.circuit.road import Road, Stretch
from pneusim.circuit.scenario import Step
from tests.circuits.rolling import locked, varied, wheels
from tests.circuits.shipped import circuit, run, value

TRACTOR_TRAILER = "tractor-semitrailer"


def first_lock(name: str, scenario: str) -> float:
    """When the first wheel of a run locks [s]."""
    result = run(name, scenario)
    found = [m.value for m in result.measures if m.name.endswith(".first_lock") and m.value is not None]
    return min(found)


@pytest.mark.parametrize(
    ("name", "laden", "empty"),
    [(TRACTOR_TRAILER, "stop_laden", "stop_empty"), ("rigid-truck", "stop_wet", "stop_wet_empty")],
)
def test_empty_wheels_lock_before_laden_ones(name: str, laden: str, empty: str) -> None:
    assert first_lock(name, empty) < first_lock(name, laden) - 0.05


def test_laden_the_trailer_locks_first_empty_the_drive_axles() -> None:
    """As the load shifts forward; and empty, as the pressure comes. The second is the order of jackknifing."""
    laden, empty = run(TRACTOR_TRAILER, "stop_laden"), run(TRACTOR_TRAILER, "stop_empty")
    assert value(laden, "trailer.axle_3.lock_rank") == 1.0
    assert locked(laden, "tractor.axle_2_left") == 0.0
    assert value(empty, "tractor.axle_2_left.first_lock") < value(empty, "trailer.axle_3_left.first_lock")


@pytest.mark.parametrize("scenario", ["stop_wet", "stop_wet_empty"])
def test_without_load_sensing_a_truck_locks_its_rear_before_its_front(scenario: str) -> None:
    """UN R13 Annex 10 asks for the contrary order or for anti-lock brakes (from memory)."""
    result = run("rigid-truck", scenario)
    assert value(result, "axle_2.lock_rank") < value(result, "axle_1.lock_rank")


def test_an_empty_combination_stops_sooner_and_more_dangerously() -> None:
    laden, empty = run(TRACTOR_TRAILER, "stop_laden"), run(TRACTOR_TRAILER, "stop_empty")
    way = "tractor.vehicle.stopping_distance"
    assert value(empty, way) < value(laden, way)
    assert locked(empty, "tractor.axle_2_left") > 1.0


def test_braking_loads_the_front() -> None:
    """By z m h/L, less what the lag of the suspension has not brought yet: at an even deceleration to the newton."""
    result = run("rigid-truck", "stop_laden")
    at = 1.8
    z = -result["vehicle.acceleration"](at) / 9.80665
    shifted = result["axle_1.load"](at) - result["axle_1.load"](0.0)
    assert shifted == pytest.approx(16e3 * 9.80665 * z * 1.2 / 5.0, rel=0.02)


def test_a_patch_locks_what_held_on_dry() -> None:
    dry = {"stretches": (Stretch(-1e6, "dry", "dry"),)}
    held = varied("rigid-truck", "wet_patch", dry)
    assert [wheel for wheel in wheels(held) if locked(held, wheel) > 0.0] == []
    patch = run("rigid-truck", "wet_patch")
    assert [wheel for wheel in wheels(patch) if locked(patch, wheel) > 0.0] == ["axle_2_left"]
    assert value(patch, "vehicle.stopping_distance") > value(held, "vehicle.stopping_distance")


def test_behind_a_wet_patch_a_locked_wheel_stays_locked() -> None:
    """Its brake gives more than the friction of a locked wheel, less than that of one that turns."""
    result = run("rigid-truck", "wet_patch")
    at = 2.0
    assert result["vehicle.distance"](at) - 5.0 > 18.0 + 0.2  # the rear axle is behind the patch
    assert result["axle_2_left.slip"](at) == pytest.approx(1.0, abs=1e-3)
    right, left = (result[f"axle_2_{side}.road_force"](at) for side in ("right", "left"))
    assert result["rear_left.brake_force"](at) > left
    assert right > 1.1 * left


def test_a_lifted_axle_locks_at_a_touch_of_the_pedal() -> None:
    """A lift axle that is up bears next to nothing but is braked all the same."""
    combination = circuit(TRACTOR_TRAILER)
    tractor, trailer = combination.vehicles
    first, second, third = trailer.axles
    loads = zip((first, second, third), (118e3, 118e3, 200.0))
    lifted = replace(trailer, axles=tuple(replace(axle, load=load) for axle, load in loads))
    scenario = combination.scenarios["stop_laden"]
    touch = Step("set", at=0.2, target="tractor.foot.travel", to=0.2, over=0.1)
    made = replace(scenario, lasts=2.0, steps=(touch,), expectations=())
    result = simulate.run(replace(combination, vehicles=(tractor, lifted)), made)
    found = [wheel for wheel in wheels(result) if locked(result, wheel) > 0.0]
    assert found == ["trailer.axle_3_left", "trailer.axle_3_right"]
    assert result["trailer.axle3_left.service_pressure"].values.max() < 110e3


def test_a_stop_by_published_limits() -> None:
    """49 CFR 393.52(d): 40 ft from 20 mph; UN R13 Annex 4: 0.15 v + v^2/130 and 5 m/s2 from 60 km/h; from memory."""
    assert value(run(TRACTOR_TRAILER, "stop_from_20_mph"), "tractor.vehicle.stopping_distance") < 40.0 * 0.3048
    result = run("rigid-truck", "stop_laden")
    assert value(result, "vehicle.stopping_distance") < 0.15 * 60.0 + 60.0**2 / 130.0
    assert value(result, "vehicle.mean_deceleration") > 5.0


def test_a_parked_truck_holds_by_its_springs_and_by_the_road() -> None:
    held = run("rigid-truck", "parked_on_a_grade")
    assert abs(held["vehicle.speed"](60.0)) < 1e-9
    assert value(held, "vehicle.grade_held") > 0.18
    steep, ice = run("rigid-truck", "parked_too_steep"), run("rigid-truck", "parked_on_ice")
    assert value(steep, "vehicle.grade_held") < 0.30
    assert value(ice, "vehicle.grade_held") > 0.06
    assert value(ice, "vehicle.rolled") > 5.0


def test_parked_on_air_a_leak_lets_it_go_when_its_brakes_give_less_than_the_slope() -> None:
    result = run("tractor-old-semitrailer", "parked_on_air")
    road = result.scenario.road
    assert isinstance(road, Road)
    weight = sum(vehicle.motion.laden.mass for vehicle in result.circuit.vehicles if vehicle.motion) * 9.80665
    rolling = 0.007 * weight
    demand = weight * 0.08 / (1.0 + 0.08**2) ** 0.5 - rolling
    force = result["trailer.vehicle.brake_force"]
    lets_go = force.times[force.values > demand][-1]
    speed = result["tractor.vehicle.speed"]
    rolls = speed.times[abs(speed.values) > 0.05][0]
    assert 30.0 < lets_go < rolls < lets_go + 4.0
    assert speed.values[-1] < -1.0  # backward, down the hill


def test_brakes_out_of_adjustment_hold_nothing_where_adjusted_ones_stop() -> None:
    held, lost = run("rigid-truck", "downhill"), run("rigid-truck", "runaway")
    assert value(held, "speed_after_12_s") < 5.0 / 3.6
    assert value(lost, "speed_after_12_s") > 40.0 / 3.6
    force = "rear_left.highest_force"
    assert value(lost, force) < 0.25 * value(run("rigid-truck", "stop_laden"), force)
