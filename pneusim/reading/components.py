"""The components of a file."""

from __future__ import annotations

from pneusim.circuit.circuit import Component
from pneusim.parts.base import Part
from pneusim.parts.registry import part, part_types
from pneusim.reading.context import Context, UnitFile
from pneusim.reading.faults import listed, nearest
from pneusim.reading.fields import Fields, check_name
from pneusim.reading.likes import Merged, entries
from pneusim.reading.parameters import dimension_of, read_parameters
from pneusim.reading.surroundings import read_heat
from pneusim.reading.tree import ListNode, Scalar

COMMON = ("label", "axle", "side", "pos", "heat")
MOST_COMPONENTS = 2000


def read_components(unit: UnitFile, axles: int, context: Context) -> None:
    """Add the components of a unit's file to the draft; ``axles`` is the number of its axles, 0 = not given."""
    section = unit.fields.map("components")
    if section is None:
        return
    if len(context.draft.parts) + len(section.entries) > MOST_COMPONENTS:
        context.faults.report(
            "S10", section.place, section.path, f"the circuit has more than {MOST_COMPONENTS} components",
            "split it into circuits of their own",
        )  # fmt: skip
        return
    for entry in entries(section, context.faults).values():
        if not check_name(entry.name, entry.key_place, entry.node.path, context.faults):
            continue
        full = unit.prefix + entry.name
        if not context.claim(full, "component", entry.key_place, entry.node.path):
            continue
        model = _model(entry, context)
        if model is None:
            context.draft.doubtful.add(full)
            continue
        context.draft.parts[full] = model
        context.draft.components[full] = _component(entry, full, model, unit, axles, context)


def _model(entry: Merged, context: Context) -> type[Part] | None:
    kind = entry.node.get("type")
    types = [name for name in part_types() if part_is_component(name)]
    if isinstance(kind, Scalar) and kind.text in types:
        return part(kind.text)
    if kind is None:
        near = next((key for key in entry.node.entries if nearest(key, ["type"])), None)
        if near:
            node = entry.node.entries[near]
            context.faults.report(
                "S01", node.place, f"{entry.node.path}.{near}", f"the key {near!r} is not known here", "write 'type'"
            )
        elif entry.place:
            context.faults.report(
                "S02", entry.place, entry.node.path, "the key 'type' is missing", "add 'type: ...'; 'pneusim parts' "
                "lists the types",
            )  # fmt: skip
        return None
    if not isinstance(kind, Scalar):
        Fields(entry.node, context.faults, (), entry.node.entries, missing_at=None).text("type")
        return None
    near = nearest(kind.text, types)
    context.faults.report(
        "P03", kind.place, kind.path, f"there is no part type {kind.text!r}",
        f"write {near!r}" if near else f"use one of {listed(types, 80)}",
    )  # fmt: skip
    return None


def part_is_component(name: str) -> bool:
    """Whether a registered type may stand under ``components``; foundation brakes stand under ``axles``."""
    return name not in ("s_cam", "air_disc")


def _component(
    entry: Merged, full: str, model: type[Part], unit: UnitFile, axles: int, context: Context
) -> Component:
    required = [name for name, info in model.model_fields.items() if info.is_required()]
    optional = ["type", *(name for name in model.model_fields if name not in required), *COMMON]
    fields = Fields(
        entry.node, context.faults, required, optional, ambient=context.ambient.pressure, missing_at=entry.place
    )
    parameters = read_parameters(model, fields, entry.key_place, context)
    for name, info in model.model_fields.items():
        scalar = fields.get(name)
        if dimension_of(info) == "name" and name in parameters and isinstance(scalar, Scalar):
            parameters[name] = unit.prefix + parameters[name]
            context.draft.name_parameters.append((full, name, scalar))
    return Component(
        name=full,
        type=model.type,
        parameters=parameters,
        label=fields.text("label"),
        unit=unit.unit,
        axle=_axle(fields, axles),
        side=fields.word("side", ("left", "right")),
        pos=_pos(fields, context),
        heat=read_heat(fields),
        place=entry.key_place,
    )


def _axle(fields: Fields, axles: int) -> int | None:
    number = fields.integer("axle", 1, 99)
    if number is not None and axles and number > axles:
        fields.report(
            "V04", "axle", f"axle {number} is not one of the {axles} axles of this vehicle", "add it under 'axles:', or "
            "name another",
        )  # fmt: skip
        return None
    return number


def _pos(fields: Fields, context: Context) -> tuple[float, float] | None:
    node = fields.list("pos")
    if not isinstance(node, ListNode):
        return None
    numbers = [
        float(item.value)
        for item in node.items
        if isinstance(item, Scalar) and isinstance(item.value, (int, float)) and not isinstance(item.value, bool)
    ]
    if len(numbers) == len(node.items) == 2:
        return numbers[0], numbers[1]
    fields.report("S11", "pos", "'pos' does not hold two numbers", "write [station, row], for example [3, 1]")
    return None
