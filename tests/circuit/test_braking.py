"""What follows from torques, as plain data."""

from dataclasses import replace

import pytest

from pneusim.circuit.braking import brake_channels, braked_axles, load_of
from pneusim.circuit.circuit import Axle, Component, Vehicle

CAM = {"type": "s_cam"}


def unit(name, *axles):
    return Vehicle(name, axles=axles)


def chamber(unit, number, side=None):
    name = f"{unit}.b{number}{side or ''}"
    return name, Component(name, "brake_chamber", unit=unit, axle=number, side=side)


FRONT = unit("front", Axle(1, 50e3, tyre_radius=0.5, brake=CAM))
REAR = unit("rear", Axle(1, 80e3, tyre_radius=0.4, brake=CAM), Axle(2, 70e3))
PARTS = dict([chamber("front", 1, "left"), chamber("front", 1, "right"), chamber("rear", 1)])


def names(*vehicles):
    return [channel.name for channel in brake_channels(vehicles, PARTS)]


def test_axles_with_a_brake_and_an_actuator_are_found():
    found = braked_axles([FRONT, REAR], PARTS)
    assert [(axle.name, axle.actuators) for axle in found] == [
        ("front.axle_1", ("front.b1left", "front.b1right")),
        ("rear.axle_1", ("rear.b1",)),
    ]


def test_every_sum_comes_after_its_terms():
    channels = brake_channels([FRONT, REAR], PARTS)
    known = {f"{name}.brake_torque" for name in PARTS}
    for channel in channels:
        assert {name for _, name in channel.terms} <= known
        known.add(channel.name)
    assert [channel.name for channel in channels][-2:] == ["combination.brake_force", "combination.braking_ratio"]


def test_weights_are_radii_and_loads():
    found = {channel.name: channel.terms for channel in brake_channels([FRONT, REAR], PARTS)}
    assert found["rear.b1.brake_force"] == ((2.5, "rear.b1.brake_torque"),)
    assert found["front.axle_1.brake_force"] == ((1.0, "front.b1left.brake_force"), (1.0, "front.b1right.brake_force"))
    assert found["rear.vehicle.braking_ratio"] == ((1.0 / 150e3, "rear.vehicle.brake_force"),)
    assert found["combination.braking_ratio"] == ((1.0 / 200e3, "combination.brake_force"),)


def test_an_unbraked_vehicle_counts_with_its_load():
    loose = unit("loose", Axle(1, 40e3))
    found = {channel.name: channel for channel in brake_channels([FRONT, loose], PARTS)}
    assert "loose.vehicle.brake_force" not in found
    assert found["combination.braking_ratio"].terms == ((1.0 / 90e3, "combination.brake_force"),)


def test_a_vehicle_with_a_brake_unknown_spoils_the_combination():
    unknown = replace(REAR, axles=(replace(REAR.axles[0], tyre_radius=None), REAR.axles[1]))
    assert "front.vehicle.braking_ratio" in names(FRONT, unknown)
    assert not [name for name in names(FRONT, unknown) if name.startswith(("rear", "combination"))]


@pytest.mark.parametrize(
    ("vehicles", "load"),
    [([FRONT], 50e3), ([FRONT, REAR], 200e3), ([unit("bare")], None), ([FRONT, unit("bare")], None),
     ([unit("part", Axle(1, 1e3), Axle(2))], None)],
)  # fmt: skip
def test_loads_add_up_where_all_are_known(vehicles, load):
    assert load_of(vehicles) == load
