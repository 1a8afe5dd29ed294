"""Roads and vehicles made in Python that cannot be put together are told, all faults at once."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pneusim.circuit.circuit import Axle, Circuit
from pneusim.circuit.motion import Rolling, Tyre
from pneusim.circuit.road import Road, Stretch
from pneusim.circuit.scenario import Scenario
from pneusim.circuit.surfaces import plain_road, shipped_surfaces
from pneusim.errors import UsageError
from pneusim.reading import load
from pneusim.simulate.compiled import compile_circuit

DRY = plain_road("dry", 10.0)


def refused(road: Road, *told: str, circuit: Circuit | None = None) -> None:
    with pytest.raises(UsageError) as caught:
        compile_circuit(circuit or load("rigid-truck"), Scenario("roll", road=road))
    lines = str(caught.value).splitlines()
    assert len(lines) == len(told)
    for line, words in zip(lines, told, strict=True):
        assert words in line


def test_a_road_made_in_python_is_held_to_what_a_file_is_held_to() -> None:
    refused(Road(10.0), "no stretch")
    refused(Road(10.0, stretches=(Stretch(-1e6, "dry", "wet"),)), "no surface 'dry'", "no surface 'wet'")
    backwards = (Stretch(5.0, "dry", "dry"), Stretch(0.0, "wet", "wet"))
    refused(Road(10.0, stretches=backwards, surfaces=shipped_surfaces()), "from 0 m does not begin behind")
    refused(replace(DRY, speed=math.nan, grade=2.0), "speed: nan", "grade: 200 % is out of range")
    refused(replace(DRY, loading={"": "full"}), "'full' is unknown (allowed: laden, empty)")


def rolling(**changes: object) -> Circuit:
    """A truck whose first axle is another."""
    circuit = load("rigid-truck")
    (truck,) = circuit.vehicles
    first = replace(truck.axles[0], **changes)  # type: ignore[arg-type]
    return replace(circuit, vehicles=(replace(truck, axles=(first, *truck.axles[1:])),))


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"rolling": None}, "lacks places of all axles ('at:'), axles on both supports"),
        ({"rolling": Rolling(0.0, "rear", 7.0, Tyre(rated_load=3e4))}, "lacks axles on both supports"),
        ({"rolling": Rolling(0.0, "front", None, Tyre(rated_load=3e4))}, "lacks inertias of all wheels"),
        ({"rolling": Rolling(0.0, "front", 7.0, Tyre())}, "lacks rated loads of all tyres"),
        ({"tyre_radius": None}, "lacks tyre radii"),
        ({"load": None}, "the place of a centre of mass is not known"),
    ],
)
def test_a_vehicle_made_in_python_is_told_what_it_lacks(changes: dict[str, object], told: str) -> None:
    refused(DRY, told, circuit=rolling(**changes))


def test_a_vehicle_without_axles_cannot_roll() -> None:
    circuit = load("rigid-truck")
    (truck,) = circuit.vehicles
    no_axles: tuple[Axle, ...] = ()
    refused(DRY, "lacks axles", circuit=replace(circuit, vehicles=(replace(truck, axles=no_axles),)))
