"""Whether the vehicles of a circuit can roll: all that a scenario with a road needs and their files do not say."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.circuit.road import Road
from pneusim.circuit.statics import centres, groups, is_carried, stand
from pneusim.errors import Place
from pneusim.reading.context import Context

_DERIVABLE = (
    "the place of its centre of mass, which does not follow from the loads of its axles ('centre_at' under '{state}', "
    "or 'load' of all axles that fit the mass)"
)


def check_rolling(road: Road, context: Context) -> None:
    """Report what each vehicle lacks, each in its place; if nothing, centres of mass that would tip a vehicle."""
    vehicles = context.draft.vehicles
    before = context.faults.errors
    for index, vehicle in enumerate(vehicles):
        lacking = list(_of_vehicle(index, vehicle, road, context))
        if lacking:
            place, fix = _place(vehicle, road, context), "write it under 'vehicle:'"
            _report(place, "vehicle", _who(vehicle), lacking, fix, context)
        for axle in vehicle.axles:
            lacking = list(_of_axle(axle))
            if lacking:
                who, fix = f"axle {axle.number} of {_who(vehicle)}", "write it at this axle under 'axles:'"
                _report(axle.place, f"axles.{axle.number}", who, lacking, fix, context)
    _check_sides(context)
    if vehicles and context.faults.errors == before:
        _check_balance(road, context)


def _of_vehicle(index: int, vehicle: Vehicle, road: Road, context: Context) -> Iterator[str]:
    """What a unit lacks beside its axles."""
    chain, motion = context.draft.vehicles, vehicle.motion
    if motion is None:
        yield "its mass and the height of its centre of mass ('laden: {mass: 16 t, centre_height: 1.2 m}')"
    if (index or is_carried(vehicle)) and not (motion and motion.front_hitch):
        yield "the hitch by which it is towed ('front_hitch: {height: 1.2 m}')"
    if chain[index + 1 :] and not (motion and motion.rear_hitch):
        yield "the hitch by which it tows ('rear_hitch: {at: 4 m, height: 1.2 m}')"
    if not vehicle.axles:
        yield "axles ('axles: {1: {at: 0 m, tyre_radius: 0.5 m, load: 6 t}, ...}', beside 'vehicle:')"
    elif motion and all(axle.rolling for axle in vehicle.axles):
        front, rear = groups(vehicle)
        if not rear or (not front and not is_carried(vehicle)):
            yield f"axles on its {'front' if rear else 'rear'} support ('group:' at the axles)"
        elif centres(chain[index:], road.loading).get(vehicle.name) is None and _all_roll(chain[index:]):
            yield _DERIVABLE.format(state=road.loading.get(vehicle.name, "laden"))


def _all_roll(chain: list[Vehicle]) -> bool:
    """Whether all that is behind a unit is described, so that its own centre of mass could follow."""
    return all(vehicle.motion and all(axle.rolling for axle in vehicle.axles) for vehicle in chain)


def _of_axle(axle: Axle) -> Iterator[str]:
    if axle.rolling is None:
        yield "its place, counted rearward ('at: 5 m')"
    if axle.tyre_radius is None:
        yield "the radius of its tyres ('tyre_radius: 0.5 m')"


def _check_sides(context: Context) -> None:
    """Report brakes that sit on an axle, but on neither end."""
    for component in context.draft.components.values():
        if component.type in ACTUATORS and component.axle is not None and component.side is None:
            who, fix = component.name, "write 'side: left' or 'side: right'"
            problem = f"a scenario has a road, and {who} brakes no wheel: axle {component.axle} is given, but no side"
            context.faults.report("R09", component.place, f"components.{who}", problem, fix)


def _check_balance(road: Road, context: Context) -> None:
    """Report centres of mass that do not lie between supports."""
    for standing in stand(context.draft.vehicles, road):
        if min(standing.loads) <= 0.0:
            vehicle, (first, last) = standing.vehicle, standing.supports
            problem = (
                f"a scenario has a road, and {_who(vehicle)} would tip over: its centre of mass is at "
                f"{standing.centre:.3g} m, its supports at {first:.3g} and {last:.3g} m"
            )
            fix = "correct 'centre_at', the loads of its axles, or what its hitch carries"
            context.faults.report("R07", _place(vehicle, road, context), "vehicle", problem, fix)


def _report(place: Place, path: str, who: str, lacking: list[str], fix: str, context: Context) -> None:
    problem = f"a scenario has a road, and {who} lacks {'; '.join(lacking)}"
    context.faults.report("R06", place, path, problem, fix)


def _who(vehicle: Vehicle) -> str:
    return vehicle.name or "the vehicle"


def _place(vehicle: Vehicle, road: Road, context: Context) -> Place:
    """Where a unit is described; else where it is named; else the road."""
    if vehicle.place.line:
        return vehicle.place
    return context.draft.names[vehicle.name][1] if vehicle.name in context.draft.names else road.place
