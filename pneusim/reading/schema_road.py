"""JSON Schema of vehicles, of their axles, and of the road of a scenario."""

from __future__ import annotations

from pneusim.circuit.surfaces import COEFFICIENTS
from pneusim.parts.base import Part
from pneusim.parts.registry import part
from pneusim.reading.motion import GROUPS, TYRE_LAWS
from pneusim.reading.road import STATES
from pneusim.reading.schema_pieces import LIKE, TEXT, Schema, named, parameter, quantity, record
from pneusim.reading.surfaces import FEWEST, MOST
from pneusim.reading.vehicles import BRAKES, KINDS, PRACTICES


def vehicle_schema() -> Schema:
    """The section ``vehicle``."""
    length = quantity("length")
    loading = record(
        {
            "mass": {**quantity("mass"), "description": "Of this vehicle alone."},
            "centre_height": {**length, "description": "Height of the centre of mass."},
            "centre_at": {**length, "description": "Its place, rearward; else it follows from the axle loads."},
        },
        required=["mass", "centre_height"],
    )
    hitch = {"at": length, "height": length}
    return record(
        {
            "kind": {"enum": list(KINDS)},
            "tows": {"type": "boolean"},
            "practice": {"enum": list(PRACTICES)},
            "laden": loading,
            "empty": loading,
            "front_hitch": record(hitch, required=["height"]),
            "rear_hitch": record(hitch, required=["at", "height"]),
            "drag_area": {**quantity("area"), "description": "Drag coefficient times frontal area."},
            "skid": {**quantity("number"), "description": "Friction of a nose that skids."},
        }
    )


def axle_schema() -> Schema:
    """An entry of the section ``axles``."""
    load = {"anyOf": [quantity("mass"), quantity("force")]}
    cases = [
        {"if": {"properties": {"type": {"const": name}}, "required": ["type"]}, "then": _brake(part(name))}
        for name in BRAKES
    ]
    brake = {
        "type": "object", "properties": {"type": {"enum": list(BRAKES)}}, "required": ["type"], "allOf": cases
    }  # fmt: skip
    tyre = record(
        {
            "law": {"enum": list(TYRE_LAWS)},
            "adhesion": {**quantity("number"), "description": "Factor on the friction of every surface."},
            "rated_load": {**load, "description": "Of one end of the axle."},
            "load_sensitivity": {**quantity("number"), "description": "Share of friction lost as the load doubles."},
            "relaxation": {**quantity("length"), "description": "Relaxation length."},
        }
    )
    return record(
        {
            "load": load,
            "load_empty": load,
            "tyre_radius": quantity("length"),
            "brake": brake,
            "at": {**quantity("length"), "description": "Place, rearward from the first axle or the front hitch."},
            "group": {"enum": list(GROUPS)},
            "wheel_inertia": {**quantity("inertia"), "description": "Of one end of the axle."},
            "tyre": tyre,
            "like": LIKE,
        }
    )


def road_schema() -> Schema:
    """The key ``road`` of a scenario."""
    stretch = record(
        {"from": quantity("distance"), "surface": TEXT, "left": TEXT, "right": TEXT}, required=["from"]
    ) | {"oneOf": [{"required": ["surface"]}, {"required": ["left", "right"]}]}  # fmt: skip
    state = {"enum": list(STATES)}
    return record(
        {
            "speed": quantity("speed"),
            "grade": {"anyOf": [quantity("fraction"), quantity("angle")], "description": "Uphill positive."},
            "surface": {**TEXT, "description": "Where no stretch says otherwise; dry if it is left out."},
            "stretches": {"type": "array", "items": stretch},
            "surfaces": named(_surface()),
            "loading": {"anyOf": [state, {"type": "object", "additionalProperties": state}]},
        }
    )


def _surface() -> Schema:
    """A surface that a road describes itself."""
    point = {"type": "array", "prefixItems": [quantity("fraction"), quantity("number")], "minItems": 2, "maxItems": 2}
    return record(
        {
            **{name: quantity("number") for name in COEFFICIENTS},
            "peak": quantity("number"),
            "peak_slip": quantity("fraction"),
            "locked": quantity("number"),
            "slope": {**quantity("number"), "description": "Friction over slip at no slip."},
            "points": {"type": "array", "items": point, "minItems": FEWEST, "maxItems": MOST},
            "fading": {**quantity("fading"), "description": "Loss with speed, times slip."},
            "like": LIKE,
        }
    )


def _brake(model: type[Part]) -> Schema:
    """A foundation brake of one type."""
    return record({"type": {"const": model.type}, **{name: parameter(model, name) for name in model.model_fields}})
