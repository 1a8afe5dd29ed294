"""Braking ratio over the pressure at the coupling head, corridors, adhesion used by axles, how much control uses."""

from dataclasses import replace

import numpy as np
import pytest

from pneusim.circuit.circuit import Axle, Component, Vehicle
from pneusim.circuit.motion import Hitch, Loading, Motion, Rolling
from pneusim.errors import UsageError
from pneusim.results.road.adhesion import AxleCurve, lock_order, used, used_by_brakes, used_on_the_road
from pneusim.results.road.compatibility import UnitCurve, compatibility
from pneusim.results.road.corridor import corridor, leaving
from pneusim.results.road.utilised import mean_ratio, utilised
from tests.results.road.made import LOAD, TRAIN, braking, road_run, times
from tests.results.synthetic import run_of

T = times(10.0)
P = 70e3 * np.minimum(T, 9.0)
"""A ramp of 9 s to 630 kPa, then held."""

HEADS = [Component("trailer.head", "coupling_head", {"role": "control", "end": "front"}, unit="trailer"),
         Component("tractor.supply", "coupling_head", {"role": "supply"}, unit="tractor"),
         Component("tractor.head", "coupling_head", {"role": "control"}, unit="tractor")]  # fmt: skip


def ramp(tractor, trailer, **more):
    """Both units' braking ratios over time."""
    channels = {"tractor.head.pressure": P, "trailer.head.pressure": 0.9 * P, "tractor.supply.pressure": 0.0 * P,
                "tractor.vehicle.braking_ratio": tractor, "trailer.vehicle.braking_ratio": trailer, **more}  # fmt: skip
    kinds = {name: "pressure" if name.endswith("pressure") else "fraction" for name in channels}
    return run_of({name: (T, values, kinds[name]) for name, values in channels.items()}, HEADS, vehicles=TRAIN)


def proportional(onset, slope):
    """Ratio that rises by ``slope`` per 100 kPa from a pressure on."""
    return slope * np.maximum(P - onset, 0.0) / 100e3


def test_two_units_over_the_pressure_at_the_head_of_the_first():
    found = compatibility(ramp(proportional(40e3, 0.08), proportional(60e3, 0.10)))
    assert found.head == "tractor.head"
    assert [curve.unit for curve in found.curves] == ["tractor.vehicle", "trailer.vehicle"]
    tractor, trailer = found.curves
    assert tractor.onset == pytest.approx(40e3 + 2.5e3, abs=100.0)
    assert trailer.onset == pytest.approx(60e3 + 2e3, abs=100.0)
    assert np.interp(450e3, tractor.pressure, tractor.ratio) == pytest.approx(0.328, rel=1e-6)
    assert (np.diff(tractor.pressure) > 0).all()
    assert found.at == pytest.approx(630e3)
    assert found.largest_difference == pytest.approx(0.1 * 5.7 - 0.08 * 5.9)


def test_another_head_may_be_asked_for():
    curves = compatibility(ramp(proportional(0.0, 0.1), proportional(0.0, 0.1)), "trailer.head").curves
    assert curves[0].pressure[-1] == pytest.approx(567e3)


def test_a_head_of_a_rig_that_is_no_unit_comes_last():
    run = ramp(proportional(0.0, 0.1), proportional(0.0, 0.1), **{"rig.pressure": P})
    rig = {"rig": Component("rig", "coupling_head", {"role": "control"})}
    beside = replace(run, circuit=replace(run.circuit, components=rig | dict(run.circuit.components)))
    assert compatibility(beside).head == "tractor.head"
    alone = replace(beside, circuit=replace(beside.circuit, components=rig))
    assert compatibility(alone).head == "rig"


def test_a_unit_that_never_brakes_has_no_onset():
    assert compatibility(ramp(proportional(0.0, 0.1), 0.0 * P)).curves[1].onset is None


def test_on_a_road_what_rolling_takes_is_no_braking():
    axles = [f"{unit}.axle_{n}" for unit in ("tractor", "trailer") for n in (1, 2)]
    forces = {f"{axle}.road_force": LOAD * (0.007 + P / 1e6) for axle in axles}
    run = road_run(T, {"tractor.vehicle": 20.0 + 0.0 * T}, vehicles=TRAIN, components=HEADS,
                   more={**forces, "tractor.head.pressure": P})  # fmt: skip
    tractor = compatibility(run).curves[0]
    assert tractor.ratio == pytest.approx(tractor.pressure / 1e6)


@pytest.mark.parametrize(
    ("drop", "words"),
    [("head.pressure", "no coupling head of a control line"), ("braking_ratio", "ratio of tractor is not known")],
)
def test_what_is_not_known_is_told(drop, words):
    run = ramp(proportional(0.0, 0.1), proportional(0.0, 0.1))
    left = {name: channel for name, channel in run.channels.items() if not name.endswith(drop)}
    with pytest.raises(UsageError, match=words):
        compatibility(replace(run, channels=left))


CORNERS = corridor([(100e3, 0.0, 0.2), (500e3, 0.4, 0.6)])


@pytest.mark.parametrize(
    ("ratio", "by", "at"),
    [
        (lambda p: p / 1e6, None, None),
        (lambda p: 0.9 * p / 1e6 + 0.15, 0.04, 100e3),
        (lambda p: 0.7 * p / 1e6, -0.05, 500e3),
        (lambda p: np.where((p < 100e3) | (p > 500e3), 9.0, p / 1e6), None, None),
    ],
)
def test_where_a_curve_leaves_a_corridor(ratio, by, at):
    pressure = np.linspace(0.0, 600e3, 61)
    found = leaving(UnitCurve("vehicle", pressure, ratio(pressure), None), CORNERS)
    if by is None:
        assert found is None
    else:
        assert found is not None
        assert (found.by, found.at) == (pytest.approx(by), pytest.approx(at))


def test_a_corner_between_samples_counts():
    curve = UnitCurve("vehicle", np.array([0.0, 600e3]), np.array([0.3, 0.3]), None)
    found = leaving(curve, corridor([(0.0, 0.0, 1.0), (200e3, 0.0, 0.2), (400e3, 0.0, 1.0)]))
    assert found is not None
    assert (found.by, found.at) == (pytest.approx(0.1), 200e3)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(0.0, 0.0, 1.0)], "two points"),
        ([(2.0, 0.0, 1.0), (1.0, 0.0, 1.0)], "must rise"),
        ([(0.0, 0.5, 0.1), (1.0, 0.0, 1.0)], "below"),
    ],
)
def test_tables_that_are_no_corridor(points, words):
    with pytest.raises(UsageError, match=words):
        corridor(points)


def truck():
    axles = (Axle(1, rolling=Rolling(0.0, "front")), Axle(2, rolling=Rolling(5.0)))
    return Vehicle(kind="truck", axles=axles, motion=Motion(Loading(16e3, 1.2, 3.2), Loading(7e3, 1.0, 2.0)))


RATIOS = np.array([0.2, 0.4, 0.6])


def test_adhesion_used_by_a_truck():
    """Shares 0.36 and 0.64: f1 = 0.36 z L/(b + z h), f2 = 0.64 z L/(a - z h) by moments about the contacts."""
    force = RATIOS * 16e3 * 9.80665
    front, rear = used([truck()], {"axle_1": 0.36 * force, "axle_2": 0.64 * force})
    assert front.ratio == pytest.approx(RATIOS)
    assert front.used == pytest.approx(0.36 * RATIOS * 5.0 / (1.8 + RATIOS * 1.2))
    assert rear.used == pytest.approx(0.64 * RATIOS * 5.0 / (3.2 - RATIOS * 1.2))
    assert [round(f, 3) for f in (*front.used, *rear.used)] == [0.176, 0.316, 0.429, 0.216, 0.471, 0.774]


def test_which_axle_locks_first_laden_and_empty():
    force = np.linspace(0.0, 1.2, 400) * 16e3 * 9.80665
    forces = {"axle_1": 0.36 * force, "axle_2": 0.64 * force}
    laden = lock_order(used([truck()], forces), 0.3)
    assert [lock.axle for lock in laden] == ["axle_2", "axle_1"]
    assert laden[0].ratio == pytest.approx(0.3 * 3.2 / (0.64 * 5.0 + 0.3 * 1.2), abs=1e-3)
    empty = lock_order(used([truck()], forces, {"": "empty"}), 0.3)
    assert [lock.axle for lock in empty] == ["axle_2", "axle_1"]
    assert empty[0].ratio == pytest.approx(0.3 * 2.0 / (0.64 * 5.0 + 0.3 * 1.0), abs=1e-2)
    assert [lock.axle for lock in lock_order(used([truck()], {"axle_1": 0.5 * force}), 0.3)] == ["axle_1"]
    assert lock_order([AxleCurve("axle_1", RATIOS, RATIOS)], 0.7) == ()


def test_axles_of_a_train_that_brake_alike_use_what_they_brake():
    """Loads of a tractor and semitrailer braked at 0.3, to 0.1 kN; tests of statics hold them to the closed form."""
    trailer = Vehicle("trailer", "semitrailer", axles=(Axle(1, rolling=Rolling(7.7)),),
                      motion=Motion(Loading(30e3, 2.0, 5.0), front_hitch=Hitch(0.0, 1.2)))  # fmt: skip
    axles = (Axle(1, rolling=Rolling(0.0, "front")), Axle(2, rolling=Rolling(3.8)))
    tractor = Vehicle("tractor", "tractor", axles=axles,
                      motion=Motion(Loading(8e3, 1.0, 1.3), rear_hitch=Hitch(3.2, 1.2)))  # fmt: skip
    loads = {"tractor.axle_1": 88.2e3, "tractor.axle_2": 110.7e3, "trailer.axle_1": 173.7e3}
    curves = used([tractor, trailer], {name: 0.3 * load * np.ones(1) for name, load in loads.items()})
    assert [curve.used[0] for curve in curves] == pytest.approx([0.3] * 3, abs=1e-3)


def test_adhesion_used_from_the_brakes_of_a_run():
    force = P / 630e3 * 0.5 * 16e3 * 9.80665
    made = {"axle_1.brake_force": (T, 0.36 * force, "force"), "axle_2.brake_force": (T, 0.64 * force, "force")}
    front, rear = used_by_brakes(run_of(made, [], vehicles=(truck(),)))
    assert len(front.ratio) <= 200
    assert np.interp(0.4, rear.ratio, rear.used) == pytest.approx(0.471, abs=1e-3)
    assert np.interp(0.4, front.ratio, front.used) == pytest.approx(0.316, abs=1e-3)
    with pytest.raises(UsageError, match="no axle's braking force is known"):
        used_by_brakes(run_of({}, [], vehicles=(truck(),)))


def test_adhesion_used_on_the_road():
    run = road_run(T, {"vehicle": 20.0 + 0.0 * T}, more={"axle_1.road_force": 0.2 * LOAD * P / 630e3,
                                                        "axle_2.road_force": 0.4 * LOAD * P / 630e3})  # fmt: skip
    front, rear = used_on_the_road(run)
    assert front.ratio[-1] == pytest.approx(0.3)
    assert (front.used[-1], rear.used[-1]) == (pytest.approx(0.2), pytest.approx(0.4))


def test_how_much_of_the_road_control_uses():
    run = road_run(T, {"vehicle": braking(T, 20.0, 1.0, 2.815)})
    assert mean_ratio(run) == pytest.approx(2.815 / 9.80665, rel=1e-4)
    assert utilised(mean_ratio(run), 0.315) == pytest.approx((2.815 / 9.80665 - 0.007) / 0.315, rel=1e-4)
    t = (45.0 - 15.0) / 3.6 / 2.815
    assert mean_ratio(run) == pytest.approx(0.849 / t, abs=3e-4)
    with pytest.raises(UsageError, match="does not fall from 45 km/h to 15 km/h"):
        mean_ratio(road_run(T, {"vehicle": 20.0 + 0.0 * T}))
