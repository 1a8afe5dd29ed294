"""Stops with closed forms: even deceleration, a lag that rises evenly, and what a stop is measured from."""

import numpy as np
import pytest

from pneusim.circuit.circuit import Component
from pneusim.circuit.road import Road
from pneusim.circuit.scenario import Expectation
from pneusim.physics.stopping import stopping_distance
from pneusim.results import finish
from pneusim.results.run import Event
from tests.results.road.made import TRAIN, braking, pedal, reasons, road_run, times, values

T = times()


def stopped(t, V, start, **others):
    foot, travel = pedal(t, start)
    return finish(road_run(t, {"vehicle": V}, components=[foot], more=travel, **others))


def test_an_even_deceleration():
    found = values(stopped(T, braking(T, 20.0, 1.0, 5.0), 1.0))
    assert found["vehicle.stopping_distance"] == pytest.approx(40.0, abs=1e-3)
    assert found["vehicle.stopping_time"] == pytest.approx(4.0 - 0.05 / 5.0, abs=1e-6)
    assert found["vehicle.mean_deceleration"] == pytest.approx(5.0, rel=1e-6)
    assert found["vehicle.distance_lost_to_lag"] == pytest.approx(0.0, abs=1e-3)


def test_a_lag_of_dead_time_and_even_rise():
    """s = v (t1 + t2/2) - a t2^2/24 + v^2/(2 a); what is lost is all but the last term."""
    v, dead, rise, a, start = 60.0 / 3.6, 0.36, 0.36, 5.0, 1.0
    t = times(step=1e-3)
    deceleration = a * np.clip((t - start - dead) / rise, 0.0, 1.0)
    slower = np.concatenate(([0.0], np.cumsum(0.5 * (deceleration[1:] + deceleration[:-1]) * 1e-3)))
    found = values(stopped(t, np.maximum(v - slower, 0.0), start))
    s = stopping_distance(v, dead, rise, a)
    assert s == pytest.approx(36.75, abs=0.005)
    assert found["vehicle.stopping_distance"] == pytest.approx(s, abs=2e-3)
    assert found["vehicle.mean_deceleration"] == pytest.approx(a, rel=1e-6)
    assert found["vehicle.distance_lost_to_lag"] == pytest.approx(s - v**2 / (2.0 * a), abs=2e-3)
    assert found["vehicle.lag_share"] == pytest.approx((s - v**2 / (2.0 * a)) / s, abs=1e-4)


def test_the_mean_of_two_decelerations_is_that_over_the_way():
    """From 20 to 10 m/s at 2 m/s2, then at 8: from 16 to 2 m/s it goes 39 m and 6 m."""
    V = np.where(T < 6.0, 20.0 - 2.0 * np.maximum(T - 1.0, 0.0), np.maximum(10.0 - 8.0 * (T - 6.0), 0.0))
    mean = (16.0**2 - 2.0**2) / (2.0 * (39.0 + 6.0))
    assert values(stopped(T, V, 1.0))["vehicle.mean_deceleration"] == pytest.approx(mean, rel=1e-4)


def test_a_vehicle_that_does_not_stop_says_how_fast_it_still_is():
    run = stopped(T, braking(T, 20.0, 1.0, 1.0), 1.0)
    found = values(run)
    for name in ("stopping_distance", "stopping_time", "mean_deceleration", "distance_lost_to_lag", "lag_share"):
        assert found[f"vehicle.{name}"] is None
    told = reasons(run)
    assert told["vehicle.stopping_distance"] == "it does not come to rest: still 32.4 km/h at 12 s"
    assert told["vehicle.mean_deceleration"] == "it does not slow to 7.2 km/h; 32.4 km/h at 12 s"
    assert "At the end (12.00 s) the vehicle still moves, at 32.4 km/h." in run.narrative


def test_a_mean_is_known_before_rest():
    found = values(stopped(T, np.maximum(braking(T, 20.0, 1.0, 5.0), 1.0), 1.0))
    assert found["vehicle.mean_deceleration"] == pytest.approx(5.0, rel=1e-6)
    assert found["vehicle.stopping_distance"] is None


def test_a_control_that_was_applied_before():
    run = finish(road_run(T, {"vehicle": braking(T, 20.0, 0.0, 5.0)}, components=[Component("foot", "foot_valve")],
                          more={"foot.travel": np.ones_like(T)}))  # fmt: skip
    assert values(run)["vehicle.stopping_distance"] == pytest.approx(40.0, abs=1e-3)
    assert reasons(run)["vehicle.stopping_distance"] == "the control was already applied when the run began"


@pytest.mark.parametrize(
    ("kind", "component", "starts"),
    [("break", "feed", 2.0), ("separate", "supply_line", 2.0), ("set", "park", 2.0), ("set", "engine", None)],
)
def test_without_a_foot_valve_what_was_moved_or_failed_counts(kind, component, starts):
    parts = [Component("park", "park_control"), Component("engine", "compressor")]
    run = finish(road_run(T, {"vehicle": braking(T, 20.0, 3.0, 5.0)}, components=parts,
                          events=[Event(2.0, kind, component, "it happens")]))  # fmt: skip
    distance = values(run)["vehicle.stopping_distance"]
    assert distance == (None if starts is None else pytest.approx(60.0, abs=1e-3))
    if starts is None:
        assert reasons(run)["vehicle.stopping_distance"] == "no control is moved and nothing fails"


def test_a_parking_control_counts_before_what_failed_earlier():
    events = [Event(1.0, "leak", "feed", "feed leaks"), Event(2.0, "set", "park", "park: lever goes to parked")]
    parts = [Component("park", "park_control")]
    run = finish(road_run(T, {"vehicle": braking(T, 20.0, 3.0, 5.0)}, components=parts, events=events))
    assert values(run)["vehicle.stopping_distance"] == pytest.approx(60.0, abs=1e-3)


def test_a_vehicle_that_stands_before_its_control_is_moved():
    run = stopped(T, braking(T, 20.0, 0.0, 10.0), 5.0)
    assert values(run)["vehicle.stopping_distance"] is None
    assert reasons(run)["vehicle.stopping_distance"] == "it stood when its stop would begin"


def parted(slows):
    """The trailer comes off at 2 s and slows by springs; the tractor brakes by foot at 4 s."""
    foot, travel = pedal(T, 4.0)
    own = {"tractor.vehicle": braking(T, 20.0, 4.0, 5.0), "trailer.vehicle": braking(T, 20.0, 2.5, slows)}
    more = {**travel, "trailer.vehicle.hitched": np.where(T < 2.0, 1.0, 0.0)}
    return finish(road_run(T, own, vehicles=TRAIN, components=[foot], more=more))


def test_a_trailer_that_comes_off_begins_its_stop_there():
    found = values(parted(4.0))
    assert found["trailer.vehicle.rest_distance"] == pytest.approx(0.5 * 20.0 + 50.0, abs=0.01)
    assert found["trailer.vehicle.rest_time"] == pytest.approx(0.5 + 5.0 - 0.05 / 4.0, abs=1e-6)
    assert found["trailer.vehicle.stopping_distance"] == found["trailer.vehicle.rest_distance"]
    assert found["tractor.vehicle.stopping_distance"] == pytest.approx(40.0, abs=1e-3)
    assert "tractor.vehicle.rest_distance" not in found


def test_a_trailer_that_rolls_on_says_so():
    run = parted(1.0)
    assert values(run)["trailer.vehicle.rest_distance"] is None
    assert reasons(run)["trailer.vehicle.rest_time"] == "it does not come to rest: still 37.8 km/h at 12 s"


def test_limits_work_on_stops():
    limit = Expectation("vehicle.stopping_distance", high=36.7)
    run = stopped(T, braking(T, 20.0, 1.0, 5.0), 1.0, expectations=[limit])
    assert run.narrative[-1] == (
        "Not met: vehicle: stopping distance (from the first movement of the control, or from the failure) is expected "
        "to be at most 36.7 m, but is 40 m."
    )


def test_a_parked_vehicle_has_no_stop_but_what_it_rolled():
    V = np.where(T > 5.0, 0.1 * (T - 5.0), 0.0)
    found = values(stopped(T, V, 11.99, road=Road()))
    assert found["vehicle.rolled"] == pytest.approx(0.5 * 0.1 * 7.0**2, rel=1e-3)
    still = values(finish(road_run(T, {"vehicle": 0.0 * T}, road=Road())))
    assert still["vehicle.rolled"] == 0.0
    assert "vehicle.stopping_distance" not in still
