"""Whether the vehicles of a circuit can roll: all that a scenario with a road needs and their files do not say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.circuit.road import Road
from pneusim.circuit.statics import FIT, centres, groups, is_carried, load_on_hitch, stand, state_of
from pneusim.errors import Place
from pneusim.quantities import express
from pneusim.reading.context import Context


def check_rolling(road: Road, context: Context) -> None:
    """Report what each vehicle lacks, each in its place; if nothing, centres of mass that would tip a vehicle.

    Of a vehicle whose description is at fault anyway nothing more is told.
    """
    vehicles = context.draft.vehicles
    complete = True
    for index, vehicle in enumerate(vehicles):
        if _is_at_fault(vehicle, context):
            complete = False
            continue
        lacking = list(_of_vehicle(index, vehicle, vehicles))
        if lacking:
            place, fix = _place(vehicle, road, context), "write it under 'vehicle:'"
            _report(place, "vehicle", _who(vehicle), lacking, fix, context)
        for axle in vehicle.axles:
            lacking_there = list(_of_axle(axle))
            if lacking_there:
                who, fix = f"axle {axle.number} of {_who(vehicle)}", "write it at this axle under 'axles:'"
                _report(axle.place, f"axles.{axle.number}", who, lacking_there, fix, context)
            lacking += lacking_there
        stands = not lacking and _has_supports(vehicle, road, context)
        complete = complete and stands
    _check_sides(context)
    if complete:
        _check_centres(road, context)


def _is_at_fault(vehicle: Vehicle, context: Context) -> bool:
    files = {vehicle.place.file, *(axle.place.file for axle in vehicle.axles)}
    return any(context.faults.found_in(file, ("vehicle", "axles"), but="R") for file in files)


def _of_vehicle(index: int, vehicle: Vehicle, chain: Sequence[Vehicle]) -> Iterator[str]:
    """What a unit lacks beside its axles' figures."""
    motion = vehicle.motion
    if motion is None:
        yield "its mass and the height of its centre of mass ('laden: {mass: 16 t, centre_height: 1.2 m}')"
    if (index or is_carried(vehicle)) and not (motion and motion.front_hitch):
        yield "the hitch by which it is towed ('front_hitch: {height: 1.2 m}')"
    if chain[index + 1 :] and not (motion and motion.rear_hitch):
        yield "the hitch by which it tows ('rear_hitch: {at: 4 m, height: 1.2 m}')"
    if not vehicle.axles:
        yield "axles ('axles: {1: {at: 0 m, tyre_radius: 0.5 m, load: 6 t}, ...}', beside 'vehicle:')"


def _has_supports(vehicle: Vehicle, road: Road, context: Context) -> bool:
    """Whether a unit has axles on its supports; if not, it is reported."""
    front, rear = groups(vehicle)
    if rear and (front or is_carried(vehicle)):
        return True
    side = "front" if rear else "rear"
    problem = f"a scenario has a road, and {_who(vehicle)} has no axle on its {side} support"
    fix = f"write 'group: {side}' at those axles that are"
    context.faults.report("R07", _place(vehicle, road, context), "vehicle", problem, fix)
    return False


def _check_centres(road: Road, context: Context) -> None:
    """Report units whose centre of mass is not known, though it is of all behind; else those that would tip."""
    chain = context.draft.vehicles
    found = centres(chain, road.loading)
    for index, vehicle in enumerate(chain):
        behind = load_on_hitch(chain[index + 1 :], state_of(vehicle, road.loading))
        if found[vehicle.name] is None and behind is not None:
            _no_centre(vehicle, road, context)
    for standing in () if None in found.values() else stand(chain, road):
        if min(standing.loads) <= 0.0:
            vehicle, (first, last) = standing.vehicle, standing.supports
            problem = (
                f"a scenario has a road, and {_who(vehicle)} would tip over: its centre of mass is at "
                f"{standing.centre:.3g} m, its supports at {first:.3g} and {last:.3g} m"
            )
            fix = "correct 'centre_at', the loads of its axles, or what its hitch carries"
            context.faults.report("R07", _place(vehicle, road, context), "vehicle", problem, fix)


def _no_centre(vehicle: Vehicle, road: Road, context: Context) -> None:
    assert vehicle.motion
    state = state_of(vehicle, road.loading)
    word = "load_empty" if state == "empty" else "load"
    problem = (
        f"a scenario has a road, and {_who(vehicle)} lacks the place of its centre of mass {state}; it does not follow "
        f"from the loads of the axles, which are not all given or miss the mass by more than {express(FIT, 'fraction')}"
    )
    fix = f"write 'centre_at' under '{state}:', or '{word}' of all axles that fit the mass"
    context.faults.report("R06", vehicle.motion.loading(state).place, f"vehicle.{state}", problem, fix)


def _of_axle(axle: Axle) -> Iterator[str]:
    if axle.rolling is None:
        yield "its place, counted rearward ('at: 5 m')"
    if axle.tyre_radius is None:
        yield "the radius of its tyres ('tyre_radius: 0.5 m')"
    if axle.rolling is not None and not axle.rolling.tyre.rated_load:
        yield "the load for which friction of its tyres is told ('load: 6 t', or 'tyre: {rated_load: 3 t}' of one end)"


def _check_sides(context: Context) -> None:
    """Report brakes that sit on an axle, but on neither end."""
    for component in context.draft.components.values():
        if component.type in ACTUATORS and component.axle is not None and component.side is None:
            who, fix = component.name, "write 'side: left' or 'side: right'"
            problem = f"a scenario has a road, and {who} brakes no wheel: axle {component.axle} is given, but no side"
            context.faults.report("R09", component.place, f"components.{who}", problem, fix)


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
