"""Channels that foundation brakes add: of the actuators they are worked by, of axles, vehicles and all together."""

from __future__ import annotations

import re
from collections.abc import Iterable

from pneusim.circuit.braking import COMBINATION, BrakeChannel, axle_name, brake_channels, braked_axles, vehicle_name
from pneusim.circuit.circuit import Axle
from pneusim.circuit.rolling import SIDES, RoadChannel, road_channels, wheel_name
from pneusim.parts.base import ChannelSpec
from pneusim.parts.registry import part
from pneusim.reading.context import Context, UnitFile
from pneusim.reading.faults import nearest
from pneusim.reading.tree import Scalar

KINDS = ("braked axle", "braked vehicle", "rolling axle", "rolling vehicle", "wheel", COMBINATION)
WANTS = {
    "brake_torque": "an actuator wants 'axle', and its axle a 'brake'",
    "brake_force": "every actuator concerned wants 'axle', and its axle a 'brake' and 'tyre_radius'",
    "braking_ratio": "every axle concerned wants 'brake', 'tyre_radius' and 'load'",
}
"""What must be described for a channel."""
_OWNER = re.compile(rf"(.*\.)?(axle_\d+(_left|_right)?|vehicle)|{COMBINATION}")


def claim_names(unit: UnitFile, axles: Iterable[Axle], context: Context) -> None:
    """Take the names of the axles that have channels, of their ends and of their vehicle, from the one namespace."""
    owners = [axle for axle in axles if axle.brake or axle.rolling]
    for axle in owners:
        kind, path = "braked axle" if axle.brake else "rolling axle", f"axles.{axle.number}"
        context.claim(axle_name(unit.unit, axle.number), kind, axle.place, path)
        for side in SIDES if axle.rolling else ():
            context.claim(wheel_name(unit.unit, axle.number, side), "wheel", axle.place, path)
    if owners:
        kind = "braked vehicle" if any(axle.brake for axle in owners) else "rolling vehicle"
        context.claim(vehicle_name(unit.unit), kind, owners[0].place, "axles")


def specs_of(owner: str, context: Context) -> list[ChannelSpec]:
    """Channels that the brakes of the circuit add to an actuator, an axle, a vehicle or the combination."""
    draft = context.draft
    own = [
        spec
        for axle in braked_axles(draft.vehicles, draft.components)
        if owner in axle.actuators
        for spec in part(axle.axle.brake["type"]).channels
    ]
    derived: list[BrakeChannel | RoadChannel] = [*brake_channels(draft.vehicles, draft.components)]
    if context.on_road:
        derived += road_channels(draft.vehicles)
    return own + [ChannelSpec(c.quantity, c.dimension, c.words) for c in derived if c.owner == owner]


def owns_sums(owner: str, context: Context) -> bool:
    """Whether a name that no component has is that of an axle, a vehicle or the combination."""
    kind = context.draft.names.get(owner, ("",))[0]
    return kind in KINDS or (kind == "" and _OWNER.fullmatch(owner) is not None)


def report_missing(scalar: Scalar, owner: str, word: str, known: Iterable[str], context: Context) -> None:
    """Say what an actuator, an axle, a vehicle or the combination lacks for a channel of brakes."""
    road = [channel for channel in road_channels(context.draft.vehicles) if channel.owner == owner]
    if any(channel.quantity == word for channel in road):
        problem = f"{scalar.text!r} is there only where a scenario has a road"
        context.faults.report("T23", scalar.place, scalar.path, problem, "add 'road: {speed: ...}' to this scenario")
        return
    problem = f"{owner!r} has no channel {word!r}; its channels: {', '.join(known) or 'none'}"
    near = nearest(word, known)
    other = "use one of these" if context.on_road and road else "write brake_force or braking_ratio"
    fix = WANTS.get(word) or (f"write '{owner}.{near}'" if near else other)
    context.faults.report("T03", scalar.place, scalar.path, problem, fix)
