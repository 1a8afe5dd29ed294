"""Braking ratios and parking: when the springs hold last, without service air, and the grade that they hold."""

import math

import numpy as np
import pytest

from pneusim.circuit.circuit import Axle, Component, Vehicle
from pneusim.results.measures import measure
from tests.results.synthetic import run_of

TIMES = np.linspace(0.0, 20.0, 2001)
LOADS = (60e3, 100e3)
PER_TRAVEL = 2e6
"""Braking force of a rear brake by its spring's travel [N/m]."""


def parked(travel, *, service=0.0, front=0.0, loads=LOADS, practice="un13"):
    """A chamber on axle 1 and a spring brake on axle 2; service pressures [Pa] and the front's force [N] are held."""
    held = np.ones_like(TIMES)
    rear = PER_TRAVEL * travel
    channels = {
        "front.service_pressure": (service * held, "pressure"),
        "front.pushrod_force": (front * held, "force"),
        "front.stroke": (0.0 * held, "length"),
        "rear.service_pressure": (service * held, "pressure"),
        "rear.spring_pressure": (800e3 - 20e6 * travel, "pressure"),
        "rear.pushrod_force": (rear, "force"),
        "rear.stroke": (travel, "length"),
        "rear.spring_travel": (travel, "length"),
        "axle_1.brake_force": (front * held, "force"),
        "axle_2.brake_force": (rear, "force"),
        "vehicle.brake_force": (rear + front, "force"),
    }
    if all(loads):
        channels["vehicle.braking_ratio"] = ((rear + front) / sum(loads), "fraction")
    axles = tuple(Axle(n, load, tyre_radius=0.5, brake={"type": "s_cam"}) for n, load in enumerate(loads, 1))
    return run_of(
        {name: (TIMES, values, dimension) for name, (values, dimension) in channels.items()},
        [Component("front", "brake_chamber", axle=1), Component("rear", "spring_brake_actuator", axle=2)],
        vehicles=(Vehicle(kind="truck", practice=practice, axles=axles),),
    )


def results(run):
    return {result.name: result for result in measure(run)}


def path(*corners):
    """Travel [m] through corners (time [s], travel [mm])."""
    times, travel = zip(*corners, strict=True)
    return np.interp(TIMES, times, np.array(travel) * 1e-3)


STAYS = path((5, 0), (6, 20))
LIFTED = path((5, 0), (6, 20), (12, 20), (13, 0))


def test_the_end_of_the_run_counts_where_the_springs_hold_then():
    found = results(parked(STAYS))
    assert found["vehicle.parking_force"].value == pytest.approx(40e3)
    assert found["vehicle.parking_ratio"].value == pytest.approx(0.25)
    assert found["vehicle.grade_held"].value == pytest.approx(0.25 / math.sqrt(1 - 0.25**2))
    assert found["axle_2.parking_force"].value == pytest.approx(40e3)
    assert found["axle_2.parking_ratio"].value == pytest.approx(0.40)


def test_springs_that_are_lifted_count_as_they_held_before():
    found = results(parked(LIFTED))
    assert found["vehicle.parking_force"].value == pytest.approx(40e3, rel=1e-3)


def test_the_last_time_counts():
    twice = path((1, 0), (2, 30), (6, 30), (7, 0), (9, 0), (10, 20), (15, 20), (16, 0))
    assert results(parked(twice))["vehicle.parking_force"].value == pytest.approx(40e3, rel=1e-3)


def test_a_vehicle_parked_from_the_start_counts_too():
    assert results(parked(path((4, 20), (5, 0))))["vehicle.parking_force"].value == pytest.approx(40e3, rel=1e-3)


def test_springs_that_never_hold_have_a_reason():
    found = results(parked(0.0 * TIMES))
    for name in ("axle_2.parking_force", "vehicle.parking_force", "vehicle.parking_ratio", "vehicle.grade_held"):
        assert (found[name].value, found[name].reason) == (None, "the springs never hold in this run")


def test_service_air_that_presses_too_is_no_parking():
    found = results(parked(STAYS, service=200e3, front=5e3))
    assert found["vehicle.parking_force"].value is None
    assert found["vehicle.parking_force"].reason == "front has 200 kPa of service air while the springs hold"
    assert found["axle_2.parking_force"].reason == "rear has 200 kPa of service air while the springs hold"


def test_a_trace_of_air_that_moves_no_pushrod_is_none():
    found = results(parked(LIFTED, service=4e3))
    assert found["vehicle.parking_force"].value == pytest.approx(40e3, rel=1e-3)


def test_axles_without_springs_have_no_parking_measure():
    assert not [name for name in results(parked(STAYS)) if name.startswith("axle_1.parking")]


def test_without_loads_there_is_a_force_alone():
    found = results(parked(STAYS, loads=(None, 100e3)))
    assert found["vehicle.parking_force"].value == pytest.approx(40e3)
    assert "vehicle.parking_ratio" not in found
    assert "vehicle.grade_held" not in found
    assert found["axle_2.parking_ratio"].value == pytest.approx(0.4)


@pytest.mark.parametrize(("practice", "asked"), [("us", "20 %"), ("un13", "18 %")])
def test_the_grade_says_what_it_leaves_aside_and_what_is_asked(practice, asked):
    reason = results(parked(STAYS, practice=practice))["vehicle.grade_held"].reason
    assert reason.startswith("tyre adhesion aside; ")
    assert asked in reason
    assert "from memory" in reason


def test_brakes_stronger_than_the_weight_hold_on_a_wall():
    grade = results(parked(STAYS, loads=(10e3, 20e3)))["vehicle.grade_held"].value
    assert 20.0 < grade < 25.0


def test_the_highest_braking_ratio_is_that_of_the_whole_run():
    found = results(parked(LIFTED))
    assert found["vehicle.highest_braking_ratio"].value == pytest.approx(0.25)
    assert found["vehicle.highest_braking_ratio"].dimension == "fraction"
