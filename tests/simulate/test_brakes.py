"""Channels of foundation brakes: torques, forces of axles, vehicles and all together, over their loads."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pneusim.circuit.circuit import Axle, Component
from pneusim.errors import UsageError
from pneusim.quantities import STANDARD_GRAVITY
from pneusim.reading import find_shipped, load, load_text
from pneusim.simulate import Stepper, run

TRUCK = """\
pneusim: 1
axles:
  1: {load: 6 t, tyre_radius: 0.48 m, brake: {type: air_disc}}
  2: {load: 10 t, tyre_radius: 0.5 m, brake: {type: s_cam, arm: 165 mm}}
components:
  source: {type: supply}
  front:  {type: brake_chamber, size: 20, axle: 1}
  left:   {type: brake_chamber, size: 30, axle: 2, side: left}
  right:  {like: left, side: right}
  second: {type: brake_chamber, size: 16, axle: 2, side: right}
lines:
  line_1: {from: source.1, to: front.11, bore: 9 mm, length: 1 m}
  line_2: {from: source.2, to: left.11, bore: 9 mm, length: 2 m}
  line_3: {from: source.3, to: right.11, bore: 9 mm, length: 3 m}
  line_4: {from: source.4, to: second.11, bore: 9 mm, length: 4 m}
scenarios:
  apply:
    lasts: 2 s
    steps:
      - {at: 0.1 s, set: source.pressure, to: 6 bar, over: 0.2 s}
"""
REAR = 0.165 * 0.525 * 209.6 / 12.7
GAINS = {"front": 15.5 * 0.95 * 0.76 * 0.173, "left": REAR, "right": REAR, "second": REAR}
RADII = {"front": 0.48, "left": 0.5, "right": 0.5, "second": 0.5}


@pytest.fixture(scope="module")
def truck():
    return run(load_text(TRUCK), "apply").channels


def same(a, b):
    return np.allclose(a, b, rtol=1e-12, atol=1e-9)


@pytest.mark.parametrize("name", list(GAINS))
def test_an_actuator_brakes_by_its_pushrod(truck, name):
    push = truck[f"{name}.pushrod_force"].values
    assert push.max() > 5e3
    assert same(truck[f"{name}.brake_torque"].values, GAINS[name] * push)
    assert same(truck[f"{name}.brake_force"].values, GAINS[name] * push / RADII[name])


def test_all_actuators_of_an_axle_add_up_whatever_their_side(truck):
    forces = {name: truck[f"{name}.brake_force"].values for name in GAINS}
    rear = forces["left"] + forces["right"] + forces["second"]
    assert same(truck["axle_1.brake_force"].values, forces["front"])
    assert same(truck["axle_2.brake_force"].values, rear)
    assert same(truck["vehicle.brake_force"].values, forces["front"] + rear)


def test_ratios_are_over_static_loads(truck):
    for owner, mass in (("axle_1", 6e3), ("axle_2", 10e3), ("vehicle", 16e3)):
        force = truck[f"{owner}.brake_force"].values
        assert same(truck[f"{owner}.braking_ratio"].values, force / (mass * STANDARD_GRAVITY))


def test_one_vehicle_is_no_combination(truck):
    assert not [name for name in truck if name.startswith("combination")]


def test_channels_have_dimensions_and_words(truck):
    for name, dimension, label in (
        ("left.brake_torque", "torque", "left: torque of the foundation brake"),
        ("axle_2.brake_force", "force", "axle 2: braking force at the tyres"),
        ("vehicle.braking_ratio", "fraction", "vehicle: braking force over static axle load"),
    ):
        assert (truck[name].dimension, truck[name].label) == (dimension, label)


@pytest.mark.parametrize(
    ("old", "new", "lost"),
    [
        ("load: 6 t, ", "", ["axle_1.braking_ratio", "vehicle.braking_ratio"]),
        ("tyre_radius: 0.48 m, ", "", ["front.brake_force", "axle_1.brake_force", "axle_1.braking_ratio",
                                       "vehicle.brake_force", "vehicle.braking_ratio"]),
        (", brake: {type: air_disc}", "", ["front.brake_torque", "front.brake_force", "axle_1.brake_force",
                                           "axle_1.braking_ratio", "vehicle.brake_force", "vehicle.braking_ratio"]),
        ("size: 20, axle: 1", "size: 20", ["front.brake_torque", "front.brake_force", "axle_1.brake_force",
                                           "axle_1.braking_ratio", "vehicle.brake_force", "vehicle.braking_ratio"]),
    ],
)  # fmt: skip
def test_what_is_not_described_has_no_channel(truck, old, new, lost):
    """A vehicle's force is told only where all of it is known."""
    assert old in TRUCK
    channels = run(load_text(TRUCK.replace(old, new)), "apply").channels
    assert set(truck) - set(channels) == set(lost)


def test_brakes_change_nothing_else(truck):
    text = TRUCK.replace(", brake: {type: air_disc}", "").replace(", brake: {type: s_cam, arm: 165 mm}", "")
    bare = run(load_text(text), "apply").channels
    assert len(bare) < len(truck)
    for name, channel in bare.items():
        assert np.array_equal(channel.values, truck[name].values), name
        assert np.array_equal(channel.times, truck[name].times), name


def test_a_combination_sums_up_its_vehicles():
    channels = run(load(find_shipped("tractor-semitrailer")), "park_apply").channels
    force = channels["tractor.vehicle.brake_force"].values + channels["trailer.vehicle.brake_force"].values
    assert force.max() > 1e5
    assert same(channels["combination.brake_force"].values, force)
    weight = (5.4e3 + 2 * 7.7e3 + 3 * 8e3) * STANDARD_GRAVITY
    assert same(channels["combination.braking_ratio"].values, force / weight)


def test_a_scenario_waits_for_a_braking_ratio():
    text = TRUCK + """\
      - {when: {channel: axle_2.braking_ratio, rises_above: 30 %}, set: source.pressure, to: 0 bar}
    measure:
      - {name: built_up, since: source.pressure, reach: vehicle.brake_force, level: 20 kN}
    expect:
      - {measure: axle_2.highest_braking_ratio, between: [30 %, 60 %]}
      - {measure: built_up, at_most: 0.4 s}
"""
    result = run(load_text(text), "apply")
    (step,) = [event for event in result.events if event.kind == "set" and event.time > 0.1]
    ratio = result.channels["axle_2.braking_ratio"]
    assert ratio(step.time) == pytest.approx(0.30, abs=1e-4)
    assert ratio(2.0) < 0.01
    assert [measure.met for measure in result.measures if measure.limit] == [True, True]


def test_a_stepper_reads_them(truck):
    stepper = Stepper(load_text(TRUCK), {"source.pressure": 3e5})
    stepper.advance(2.0)
    assert stepper.value("axle_2.brake_force") == pytest.approx(
        sum(stepper.value(f"{name}.brake_force") for name in ("left", "right", "second"))
    )


def test_the_defaults_of_brakes_are_among_the_sources():
    told = " ".join(run(load_text(TRUCK), "apply").sources)
    assert "s_cam.shoe_factor" in told
    assert "air_disc.lever_ratio" in told
    assert "s_cam.arm" not in told, "the file gives it"


LOCKING = "lining_friction: 0.9, hinge: 80 mm, lining_start: 0 deg, lining_end: 126 deg, shoe_arm: 212 mm"


def test_a_shoe_that_locks_by_itself_is_refused_with_its_place():
    text = TRUCK.replace("arm: 165 mm", LOCKING)
    with pytest.raises(UsageError, match=r"circuit:4:3: axle_2: the leading shoe locks by itself at a friction of 0.9"):
        run(load_text(text), "apply")


def test_circuits_made_in_python_are_held_to_the_same():
    circuit = load_text(TRUCK)
    odd = {**circuit.components, "odd": Component("odd", "s_cam")}
    with pytest.raises(UsageError, match=r"odd: a foundation brake \(s_cam\) is no component"):
        run(replace(circuit, components=odd), "apply")
    vehicle = replace(circuit.vehicles[0], axles=(Axle(1, brake={"type": "tee"}), *circuit.vehicles[0].axles[1:]))
    with pytest.raises(UsageError, match="axle_1: a tee is no foundation brake"):
        run(replace(circuit, vehicles=(vehicle,)), "apply")
