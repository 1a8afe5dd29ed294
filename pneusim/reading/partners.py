"""Parameters that name other components, and partners that a part finds by itself.

A parameter of dimension ``name`` that is called like a part type (``compressor``) wants a component of that type; if
the file does not give it, the unit must have exactly one.  Another one tells the type it wants and may be left out.
"""

from __future__ import annotations

from typing import Any

from pneusim.circuit.circuit import Component
from pneusim.parts.base import Part
from pneusim.parts.registry import part_types
from pneusim.reading.context import Context
from pneusim.reading.faults import listed
from pneusim.reading.parameters import dimension_of
from pneusim.reading.references import component


def check_partners(context: Context) -> None:
    """Report parameters that name nothing, or a component of the wrong type, and partners that are not found."""
    draft = context.draft
    for owner, parameter, scalar in draft.name_parameters:
        unit = draft.components[owner].unit
        named = component(scalar.text, scalar, f"{unit}." if unit else "", context)
        kind = draft.parts[named].type if named in draft.parts else None
        wanted = _wanted(draft.parts[owner], parameter) if owner in draft.parts else None
        if kind and wanted and kind != wanted:
            context.faults.report(
                "P05",
                scalar.place,
                scalar.path,
                f"{scalar.text!r} is a {kind}, wanted is a {wanted}",
                f"name a component of type {wanted}",
            )
    for name, model in draft.parts.items():
        for parameter, info in model.model_fields.items():
            if dimension_of(info) == "name" and parameter in part_types():
                _partner(draft.components[name], parameter, context)


def _wanted(model: type[Part], parameter: str) -> str | None:
    """Part type of the component that a parameter names, None if any will do."""
    extra: Any = model.model_fields[parameter].json_schema_extra
    return extra["names"] or (parameter if parameter in part_types() else None)


def _partner(owner: Component, kind: str, context: Context) -> None:
    if kind in owner.parameters:
        return
    found = [c.name for c in context.draft.components.values() if c.type == kind and c.unit == owner.unit]
    if len(found) == 1:
        return
    seen = f"there are {len(found)}: {listed(found)}" if found else "there is none"
    context.faults.report(
        "P04",
        owner.place,
        f"components.{owner.name}",
        f"this {owner.type} needs one {kind} in its vehicle; {seen}",
        f"add '{kind}: <name>'" if found else f"add a component of type {kind}",
    )
