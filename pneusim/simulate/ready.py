"""Whether vehicles and a road made in Python can be put together; files have been held to more by the reader."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from pneusim.circuit.circuit import Circuit, Vehicle
from pneusim.circuit.road import Road
from pneusim.circuit.statics import groups, is_carried, is_known
from pneusim.errors import UsageError
from pneusim.reading.road import FASTEST, STATES, STEEPEST
from pneusim.simulate.asked import number_fault


def refuse_unready(circuit: Circuit, road: Road) -> None:
    """Refuse vehicles that cannot roll, and a road on which none can.

    Raises
    ------
    UsageError
        With a line for every fault.
    """
    faults = list(_of_road(road))
    for place, vehicle in enumerate(circuit.vehicles):
        lacks = list(_of_vehicle(vehicle, first=place == 0))
        if lacks:
            who = vehicle.name or circuit.title
            faults.append(f"{who} cannot roll: it lacks {', '.join(lacks)}; docs/road.md tells how these are given")
    if not faults and not is_known(circuit.vehicles, road.loading):
        faults.append("the place of a centre of mass is not known: give 'centre_at', or axle loads that fit the mass")
    if faults:
        raise UsageError("\n".join(faults))


def _of_vehicle(vehicle: Vehicle, *, first: bool) -> Iterator[str]:
    """What a unit lacks."""
    motion, rolling = vehicle.motion, [axle.rolling for axle in vehicle.axles if axle.rolling]
    front, rear = groups(vehicle)
    for word, there in (
        ("a mass ('laden:')", motion),
        ("axles", vehicle.axles),
        ("places of all axles ('at:')", len(rolling) == len(vehicle.axles)),
        ("axles on both supports ('group:')", not rolling or (rear and (front or is_carried(vehicle)))),
        ("tyre radii of all axles", all(axle.tyre_radius for axle in vehicle.axles)),
        ("inertias of all wheels", all(one.inertia for one in rolling)),
        ("rated loads of all tyres", all(one.tyre.rated_load for one in rolling)),
        ("a front hitch", first or (motion and motion.front_hitch)),
    ):
        if not there:
            yield word


def _of_road(road: Road) -> Iterator[str]:
    """What is wrong with a road."""
    for key, value, most, dimension in (
        ("speed", road.speed, FASTEST, "speed"), ("grade", road.grade, STEEPEST, "fraction"),
    ):  # fmt: skip
        if fault := number_fault(value, -most, most, dimension):
            yield f"road: {key}: {fault}"
    if not road.stretches:
        yield "road: it has no stretch on which wheels could roll"
    used = [name for stretch in road.stretches for name in (stretch.left, stretch.right)]
    for name in dict.fromkeys(used):
        if name not in road.surfaces:
            yield f"road: there is no surface {name!r} (there are: {', '.join(road.surfaces) or 'none'})"
    for before, after in pairwise(road.stretches):
        if not before.start < after.start:
            yield f"road: the stretch from {after.start:g} m does not begin behind that from {before.start:g} m"
    for unit, state in road.loading.items():
        if state not in STATES:
            yield f"road: loading of {unit or 'the vehicle'}: {state!r} is unknown (allowed: {', '.join(STATES)})"
