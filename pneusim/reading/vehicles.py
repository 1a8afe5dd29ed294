"""The vehicle of a file and its axles."""

from __future__ import annotations

from typing import Any

from pneusim.circuit.braking import COMBINATION
from pneusim.circuit.circuit import NOWHERE, Axle, Vehicle
from pneusim.errors import Place
from pneusim.parts.registry import part, part_types
from pneusim.reading.braking import claim_names
from pneusim.reading.context import Context, UnitFile
from pneusim.reading.fields import Fields
from pneusim.reading.likes import Merged, entries
from pneusim.reading.motion import AXLE_KEYS, VEHICLE_KEYS, check_order, read_load, read_motion, read_rolling
from pneusim.reading.parameters import read_parameters
from pneusim.reading.tree import MapNode, Scalar

KINDS = ("truck", "tractor", "semitrailer", "full_trailer", "centre_axle_trailer", "dolly", "bus", "rig")
PRACTICES = ("un13", "us")
BRAKES = ("s_cam", "air_disc")


def read_vehicle(unit: UnitFile, context: Context) -> Vehicle | None:
    """Vehicle of a unit's file; None for a file that only couples others."""
    if "vehicles" in unit.fields:
        if not unit.prefix:
            context.claim(COMBINATION, COMBINATION, unit.fields.place("vehicles"), "vehicles")
        return None
    node = unit.fields.mapping("vehicle") or MapNode(NOWHERE, "vehicle")
    fields = Fields(node, context.faults, (), ("kind", "tows", "practice", *VEHICLE_KEYS), missing_at=None)
    kind = fields.word("kind", KINDS) or "rig"
    practice = fields.word("practice", PRACTICES) or "un13"
    axles = _axles(unit, kind, context)
    claim_names(unit, axles, context)
    motion = read_motion(fields, kind, context)
    return Vehicle(unit.unit, kind, bool(fields.flag("tows")), practice, axles, node.place, motion)


def _axles(unit: UnitFile, kind: str, context: Context) -> tuple[Axle, ...]:
    section = unit.fields.mapping("axles")
    found = entries(section, context.faults) if section else {}
    numbers = [str(number) for number in range(1, len(found) + 1)]
    for axle in found.values():
        if axle.name not in numbers:
            context.faults.report(
                "V02",
                axle.key_place,
                axle.node.path,
                f"{axle.name!r} is no axle number; {len(found)} axles are numbered 1 to {len(found)} from the front",
                "number the axles from the front without gaps",
            )
    axles = [_axle(axle, kind, context) for axle in found.values() if axle.name in numbers]
    ordered = tuple(sorted(axles, key=lambda axle: axle.number))
    check_order(ordered, context)
    return ordered


def _axle(axle: Merged, kind: str, context: Context) -> Axle:
    optional = ("load", "load_empty", "tyre_radius", "brake", *AXLE_KEYS)
    fields = Fields(axle.node, context.faults, (), optional, missing_at=None)
    load, empty = read_load(fields, "load"), read_load(fields, "load_empty")
    if load is not None and empty is not None and empty > load:
        fields.report("V03", "load_empty", "the empty load is larger than the laden 'load'", "exchange them")
    radius = fields.quantity("tyre_radius", "length", low=0.1, high=1.5)
    brake, rolling = _brake(fields, context, axle.key_place), read_rolling(fields, int(axle.name), kind, load, context)
    return Axle(int(axle.name), load, empty, radius, brake, axle.key_place, rolling)


def _brake(fields: Fields, context: Context, place: Place) -> dict[str, Any]:
    """Foundation brake of an axle: its type, and the parameters of that type where it is a registered one."""
    node = fields.mapping("brake")
    if node is None:
        return {}
    kind = node.get("type")
    model = part(kind.text) if isinstance(kind, Scalar) and kind.text in BRAKES and kind.text in part_types() else None
    inner = Fields(node, context.faults, ["type"], list(model.model_fields) if model else (), missing_at=node.place)
    chosen = inner.word("type", BRAKES)
    if chosen is None:
        return {}
    return {"type": chosen, **(read_parameters(model, inner, place, context) if model else {})}
