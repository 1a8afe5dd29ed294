"""The vehicle of a file and its axles."""

from __future__ import annotations

from typing import Any

from pneusim import quantities
from pneusim.circuit.braking import COMBINATION
from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.errors import Place
from pneusim.parts.registry import part, part_types
from pneusim.reading.braking import claim_names
from pneusim.reading.context import Context, UnitFile
from pneusim.reading.fields import Fields
from pneusim.reading.likes import Merged, entries
from pneusim.reading.parameters import read_parameters
from pneusim.reading.tree import Scalar

KINDS = ("truck", "tractor", "semitrailer", "full_trailer", "centre_axle_trailer", "dolly", "bus", "rig")
PRACTICES = ("un13", "us")
BRAKES = ("s_cam", "air_disc")


def read_vehicle(unit: UnitFile, context: Context) -> Vehicle | None:
    """Vehicle of a unit's file; None for a file that only couples others."""
    if "vehicles" in unit.fields:
        if not unit.prefix:
            context.claim(COMBINATION, COMBINATION, unit.fields.place("vehicles"), "vehicles")
        return None
    axles = _axles(unit, context)
    claim_names(unit, axles, context)
    node = unit.fields.mapping("vehicle")
    if node is None:
        return Vehicle(name=unit.unit, axles=axles)
    fields = Fields(node, context.faults, (), ("kind", "tows", "practice"), missing_at=None)
    kind = fields.word("kind", KINDS) or "rig"
    practice = fields.word("practice", PRACTICES) or "un13"
    return Vehicle(unit.unit, kind, bool(fields.flag("tows")), practice, axles, node.place)


def _axles(unit: UnitFile, context: Context) -> tuple[Axle, ...]:
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
    axles = [_axle(axle, context) for axle in found.values() if axle.name in numbers]
    return tuple(sorted(axles, key=lambda axle: axle.number))


def _axle(axle: Merged, context: Context) -> Axle:
    optional = ("load", "load_empty", "tyre_radius", "brake")
    fields = Fields(axle.node, context.faults, (), optional, missing_at=None)
    load, empty = _load(fields, "load"), _load(fields, "load_empty")
    if load is not None and empty is not None and empty > load:
        fields.report("V03", "load_empty", "the empty load is larger than the laden 'load'", "exchange them")
    radius = fields.quantity("tyre_radius", "length", low=0.1, high=1.5)
    return Axle(int(axle.name), load, empty, radius, _brake(fields, context, axle.key_place), axle.key_place)


def _load(fields: Fields, key: str) -> float | None:
    """Static load of an axle [N], given as a mass or as a force."""
    scalar = fields.get(key)
    if isinstance(scalar, Scalar) and quantities.symbol_in(scalar.text) in quantities.DIMENSIONS["force"].units:
        return fields.quantity(key, "force", low=0.0, high=300e3)
    mass = fields.quantity(key, "mass", low=0.0, high=30e3)
    return None if mass is None else mass * quantities.STANDARD_GRAVITY


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
