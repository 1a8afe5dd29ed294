"""Locked wheels: when, how long, which axle first; short moments and low speeds do not count."""

import numpy as np
import pytest

from pneusim.results import finish
from tests.results.road.made import TRAIN, braking, pedal, reasons, road_run, times, values

T = times(step=1e-3)
V = braking(T, 20.0, 1.0, 5.0)
FAST = 15.0 / 3.6


def locking(since, until=None, within=0.1):
    """A wheel that slows to nothing in a while, and is as fast as the vehicle again in another, over 20 m/s."""
    corners = [(0.0, 1.0), (since, 1.0), (since + within, 0.0)]
    if until is not None:
        corners += [(until, 0.0), (until + within, 1.0)]
    return np.interp(T, *zip(*corners, strict=True)) * V


def events_of(run, kinds=("locks", "turns_again")):
    return [(e.kind, e.component, round(e.time, 3)) for e in run.events if e.kind in kinds]


def test_a_wheel_that_locks_and_turns_again():
    """It is slower than a twentieth of the vehicle from 0.095 s after it began to slow to 0.005 s after it gathers."""
    run = finish(road_run(T, {"vehicle": V, "axle_2_left": locking(1.5, 2.5)}))
    assert events_of(run) == [("locks", "axle_2_left", 1.595), ("turns_again", "axle_2_left", 2.505)]
    found = values(run)
    assert found["axle_2_left.first_lock"] == pytest.approx(1.595, abs=1e-6)
    assert found["axle_2_left.locked_time"] == pytest.approx(0.91, abs=1e-6)
    assert found["axle_2_left.longest_lock"] == pytest.approx(0.91, abs=1e-6)
    assert found["axle_2_left.highest_slip"] == pytest.approx(1.0)
    assert found["axle_1_left.locked_time"] == 0.0
    assert found["axle_1_left.highest_slip"] == 0.0
    assert found["axle_1_left.first_lock"] is None
    assert reasons(run)["axle_1_left.first_lock"] == "it never locked above 15 km/h"


def test_a_wheel_that_is_locked_to_the_end_of_a_stop_counts_to_15_kmh_and_does_not_turn_again():
    run = finish(road_run(T, {"vehicle": V, "axle_1_right": locking(1.5)}))
    assert events_of(run) == [("locks", "axle_1_right", 1.595)]
    assert values(run)["axle_1_right.locked_time"] == pytest.approx(1.0 + (20.0 - FAST) / 5.0 - 1.595, abs=1e-6)


def test_a_wheel_that_locks_below_15_kmh_has_not_locked():
    run = finish(road_run(T, {"vehicle": V, "axle_1_right": locking(4.3)}))
    assert events_of(run) == []
    assert values(run)["axle_1_right.locked_time"] == 0.0


@pytest.mark.parametrize(("lasts", "counts"), [(0.005, False), (0.02, True)])
def test_a_dwell_of_20_ms(lasts, counts):
    """Beside what is given it is slow for 5 ms before and 5 ms after."""
    run = finish(road_run(T, {"vehicle": V, "axle_2_left": locking(1.5, 1.6 + lasts)}))
    assert bool(events_of(run)) == counts


def test_a_wheel_that_turns_for_a_moment_stays_locked():
    v = locking(1.5, 3.0)
    v[(T > 2.0) & (T < 2.01)] = 5.0
    found = values(finish(road_run(T, {"vehicle": V, "axle_2_left": v})))
    assert found["axle_2_left.longest_lock"] == pytest.approx(3.005 - 1.595, abs=1e-6)


def test_the_order_in_which_axles_lock():
    speeds = {"tractor.vehicle": V, "tractor.axle_2_left": locking(1.6), "trailer.axle_1_left": locking(1.5),
              "trailer.axle_2_right": locking(1.5), "trailer.axle_1_right": locking(1.7)}  # fmt: skip
    run = finish(road_run(T, speeds, vehicles=TRAIN))
    found = values(run)
    ranks = [found[f"{axle}.lock_rank"] for axle in
             ("tractor.axle_1", "tractor.axle_2", "trailer.axle_1", "trailer.axle_2")]  # fmt: skip
    assert ranks == [None, 3.0, 1.0, 1.0]
    assert reasons(run)["tractor.axle_1.lock_rank"] == "no wheel of it locked above 15 km/h"


def test_wheels_that_lock_together_are_one_sentence():
    foot, travel = pedal(T, 1.0)
    wheels = {f"trailer.axle_{axle}_{side}": locking(1.5 + 0.01 * axle, 3.0)
              for axle in (1, 2) for side in ("left", "right")}  # fmt: skip
    lone = {"tractor.axle_2_left": locking(1.7, 3.0)}
    run = finish(road_run(T, {"tractor.vehicle": V, **wheels, **lone}, vehicles=TRAIN, components=[foot], more=travel))
    assert run.narrative[0] == (
        "1.61 s: the wheels of trailer axles 1 and 2 locked at 60.9 km/h to 61.1 km/h between 1.61 s and "
        "1.62 s; the wheel of tractor axle 2 left locked at 57.7 km/h at 1.80 s; the wheels of tractor axle 2 left and "
        "trailer axles 1 and 2 turned again at 3.00 s; the tractor and trailer came to rest after 40 m at 4.99 s."
    )


def test_a_slow_vehicle_has_no_slip_to_tell():
    run = finish(road_run(T, {"vehicle": np.full_like(T, 3.0)}))
    assert values(run)["axle_1_left.highest_slip"] is None
    assert reasons(run)["axle_1_left.highest_slip"] == "the vehicle was never faster than 15 km/h"
