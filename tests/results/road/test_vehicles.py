"""Loads, hitches, agreement of units, standing and rolling away, and that without a road there is nothing of it."""

from dataclasses import replace

import numpy as np
import pytest

from pneusim.circuit.automatic import AUTOMATIC
from pneusim.circuit.road import Road
from pneusim.results import finish
from pneusim.results.narrative import tell
from pneusim.results.words import measure_words
from tests.results.road.made import LOAD, TRAIN, braking, pedal, reasons, road_run, times, values
from tests.results.synthetic import separation

T = times()
V = braking(T, 20.0, 1.0, 5.0)
HAPPENS = ("locks", "turns_again", "lifts", "stops", "rolls_away")


def events_of(run):
    return [(e.kind, e.component, round(e.time, 3)) for e in run.events if e.kind in HAPPENS]


def test_an_axle_that_lifts():
    """Its load falls from 50 kN by 100 kN/s from 1 s on: 1 % is left at 1.495 s."""
    load = np.clip(LOAD - 1e5 * (T - 1.0), 0.0, LOAD)
    run = finish(road_run(T, {"vehicle": 20.0 + 0.0 * T}, more={"axle_2.load": load}))
    assert events_of(run) == [("lifts", "axle_2", 1.495)]
    assert values(run)["axle_2.lowest_load"] == 0.0
    assert values(run)["axle_1.lowest_load"] == LOAD
    assert run.narrative[0] == "1.50 s: axle 2 lifted off the road."


def test_an_axle_without_load_from_the_start_does_not_lift():
    assert events_of(finish(road_run(T, {"vehicle": 20.0 + 0.0 * T}, more={"axle_2.load": 0.0 * T}))) == []


def test_adhesion_used():
    run = finish(road_run(T, {"vehicle": V}, more={"axle_1.road_force": np.where(V > 0.0, 0.3 * LOAD, 0.0)}))
    assert values(run)["axle_1.highest_adhesion_used"] == pytest.approx(0.3)


def test_units_that_push_and_pull():
    """What they do to each other while they rock at rest does not count."""
    rests = 1.0 + (20.0 - 0.05) / 5.0
    push = np.where(T < 2.0, 8e3, np.where(rests + 1e-6 > T, -30e3, 70e3))
    more = {"trailer.vehicle.hitch_force": push}
    found = values(finish(road_run(T, {"tractor.vehicle": V}, vehicles=TRAIN, more=more)))
    assert found["trailer.vehicle.highest_hitch_push"] == 30e3
    assert found["trailer.vehicle.highest_hitch_pull"] == 8e3
    assert "tractor.vehicle.highest_hitch_push" not in found


def forces(tractor, trailer):
    owners = {"tractor.axle_1": tractor, "tractor.axle_2": tractor, "trailer.axle_1": trailer, "trailer.axle_2": 0.0}
    return {f"{axle}.road_force": LOAD * share + 0.0 * T for axle, share in owners.items()}


def test_how_far_units_differ_in_braking():
    run = finish(road_run(T, {"tractor.vehicle": V}, vehicles=TRAIN, more=forces(0.5, 0.4)))
    assert values(run)["combination.highest_ratio_difference"] == pytest.approx(0.3)


def test_units_that_came_apart_do_not_differ():
    more = {**forces(0.5, 0.4), "trailer.vehicle.hitched": 0.0 * T}
    run = finish(road_run(T, {"tractor.vehicle": V}, vehicles=TRAIN, more=more))
    assert values(run)["combination.highest_ratio_difference"] is None
    assert "never hitched together" in reasons(run)["combination.highest_ratio_difference"]
    assert "combination.highest_ratio_difference" not in values(finish(road_run(T, {"vehicle": V})))


def test_a_parked_vehicle_that_rolls_away():
    run = finish(road_run(T, {"vehicle": np.maximum(0.1 * (T - 5.0), 0.0)}, road=Road()))
    assert events_of(run) == [("rolls_away", "vehicle", 5.5)]
    assert run.narrative == (
        "5.50 s: the vehicle moved away.",
        "At the end (12.00 s) the vehicle still moves, at 2.52 km/h.",
    )


def test_one_that_rolls_backwards_rolls_away_too():
    run = finish(road_run(T, {"vehicle": -np.maximum(0.1 * (T - 5.0), 0.0)}, road=Road()))
    assert events_of(run) == [("rolls_away", "vehicle", 5.5)]
    assert values(run)["vehicle.rolled"] == pytest.approx(2.45, rel=1e-3)


def test_a_vehicle_that_rocks_on_its_tyres_has_come_to_rest_and_does_not_roll_away():
    """2 Hz and 1 cm: 0.13 m/s, more than what counts as standing."""
    rocking = np.where(T > 5.0, -0.13 * np.sin(4.0 * np.pi * (T - 5.0)) * np.exp(-(T - 5.0)), 0.0)
    run = finish(road_run(T, {"vehicle": V + rocking}))
    assert events_of(run) == [("stops", "vehicle", 4.99)]
    parked = finish(road_run(T, {"vehicle": rocking}, road=Road()))
    assert events_of(parked) == []


def test_a_vehicle_that_is_at_rest_for_less_than_a_dwell_when_the_run_ends_is_not_known_to_rest():
    t = times(5.0)
    run = finish(road_run(t, {"vehicle": braking(t, 20.0, 1.0, 5.0)}))
    assert events_of(run) == []
    t = times(5.02)
    assert events_of(finish(road_run(t, {"vehicle": braking(t, 20.0, 1.0, 5.0)}))) == [("stops", "vehicle", 4.99)]


def test_units_that_stop_apart_are_told_apart_and_in_the_units_asked_for():
    foot, travel = pedal(T, 1.0)
    own = {"tractor.vehicle": V, "trailer.vehicle": braking(T, 20.0, 1.0, 4.0)}
    run = finish(road_run(T, own, vehicles=TRAIN, components=[foot], more=travel))
    assert run.narrative[0] == (
        "4.99 s: the tractor came to rest after 40 m; the trailer came to rest after 50 m at 5.99 s."
    )
    assert tell(run, "us")[0].startswith("4.99 s: the tractor came to rest after 131 ft;")


def test_every_measure_is_known_and_has_words():
    more = {**forces(0.5, 0.4), "trailer.vehicle.hitched": np.where(T < 2.0, 1.0, 0.0)}
    run = finish(road_run(T, {"tractor.vehicle": V}, vehicles=TRAIN, more=more))
    assert len(run.measures) > 40
    for result in run.measures:
        assert AUTOMATIC[result.name.rpartition(".")[2]] == result.dimension
        assert "_" not in measure_words(run, result.name)
        assert "(time of the run)" not in measure_words(run, result.name) or result.name.endswith("first_lock")
        assert (result.value is None) <= bool(result.reason)
    assert measure_words(run, "trailer.axle_2_left.highest_slip", "us").endswith("above 9.32 mph")


def test_a_run_without_a_road_has_nothing_of_it():
    run = finish(separation())
    train = finish(road_run(T, {"tractor.vehicle": V}, vehicles=TRAIN))
    road = {result.name.rpartition(".")[2] for result in train.measures}
    assert not {result.name.rpartition(".")[2] for result in run.measures} & road
    assert not {event.kind for event in run.events} & set(HAPPENS)
    on_road = road_run(T, {"vehicle": V})
    off = finish(replace(on_road, scenario=replace(on_road.scenario, road=None)))
    assert off.measures == ()
    assert off.events == ()
