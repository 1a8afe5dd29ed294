"""Channels that foundation brakes add: of the actuators they are worked by, of axles, vehicles and all together."""

from __future__ import annotations

import re
from collections.abc import Iterable

from pneusim.circuit.braking import COMBINATION, axle_name, brake_channels, braked_axles, vehicle_name
from pneusim.circuit.circuit import Axle
from pneusim.parts.base import ChannelSpec
from pneusim.parts.registry import part
from pneusim.reading.context import Context, UnitFile
from pneusim.reading.tree import Scalar

KINDS = ("braked axle", "braked vehicle", COMBINATION)
WANTS = {
    "brake_torque": "an actuator wants 'axle', and its axle a 'brake'",
    "brake_force": "every actuator concerned wants 'axle', and its axle a 'brake' and 'tyre_radius'",
    "braking_ratio": "every axle concerned wants 'brake', 'tyre_radius' and 'load'",
}
"""What must be described for a channel."""
_OWNER = re.compile(rf"(.*\.)?(axle_\d+|vehicle)|{COMBINATION}")


def claim_names(unit: UnitFile, axles: Iterable[Axle], context: Context) -> None:
    """Take the names of the axles with a brake, and of their vehicle, from the one namespace."""
    braked = [axle for axle in axles if axle.brake]
    for axle in braked:
        context.claim(axle_name(unit.unit, axle.number), "braked axle", axle.place, f"axles.{axle.number}")
    if braked:
        context.claim(vehicle_name(unit.unit), "braked vehicle", braked[0].place, "axles")


def specs_of(owner: str, context: Context) -> list[ChannelSpec]:
    """Channels that the brakes of the circuit add to an actuator, an axle, a vehicle or the combination."""
    draft = context.draft
    own = [
        spec
        for axle in braked_axles(draft.vehicles, draft.components)
        if owner in axle.actuators
        for spec in part(axle.axle.brake["type"]).channels
    ]
    derived = brake_channels(draft.vehicles, draft.components)
    return own + [ChannelSpec(c.quantity, c.dimension, c.words) for c in derived if c.owner == owner]


def owns_sums(owner: str, context: Context) -> bool:
    """Whether a name that no component has is that of an axle, a vehicle or the combination."""
    kind = context.draft.names.get(owner, ("",))[0]
    return kind in KINDS or (kind == "" and _OWNER.fullmatch(owner) is not None)


def report_missing(scalar: Scalar, owner: str, word: str, known: Iterable[str], context: Context) -> None:
    """Say what an actuator, an axle, a vehicle or the combination lacks for a channel of brakes."""
    problem = f"{owner!r} has no channel {word!r}; its channels: {', '.join(known) or 'none'}"
    fix = WANTS.get(word, "write brake_force or braking_ratio")
    context.faults.report("T03", scalar.place, scalar.path, problem, fix)
