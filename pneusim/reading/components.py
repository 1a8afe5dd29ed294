"""The components of a file."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace

from pneusim.circuit.circuit import Component
from pneusim.parts.base import Part
from pneusim.parts.registry import part, part_types
from pneusim.reading.context import Context, UnitFile
from pneusim.reading.faults import listed, nearest
from pneusim.reading.fields import Fields, check_name, with_misspelt
from pneusim.reading.likes import Merged, entries
from pneusim.reading.parameters import dimension_of, read_parameters
from pneusim.reading.surroundings import read_heat
from pneusim.reading.tree import Entry, ListNode, Scalar
from pneusim.reading.vehicles import BRAKES

COMMON = ("label", "axle", "side", "pos", "heat")
MOST_COMPONENTS = 2000


def read_components(unit: UnitFile, axles: int, context: Context) -> None:
    """Add the components of a unit's file to the draft; ``axles`` is the number of its axles, 0 = not given."""
    section = unit.fields.mapping("components")
    if section is None:
        return
    if len(context.draft.parts) + len(section.entries) > MOST_COMPONENTS:
        problem = f"the circuit has more than {MOST_COMPONENTS} components"
        context.faults.report("S10", section.place, section.path, problem, "split it into circuits of their own")
        _keep_names_of_unread(unit, section, {}, context)
        return
    found = entries(section, context.faults)
    _keep_names_of_unread(unit, section, found, context)
    for entry in found.values():
        if not check_name(entry.name, entry.key_place, entry.node.path, context.faults):
            _keep_names_of_unread(unit, [section.entries[entry.name]], {}, context)
            continue
        full = unit.prefix + entry.name
        if not context.claim(full, "component", entry.key_place, entry.node.path):
            continue
        entry = replace(entry, node=with_misspelt(entry.node, ["type"], (), context.faults))
        model = _model(entry, context)
        if model is None:
            context.draft.doubtful.add(full)
            continue
        context.draft.parts[full] = model
        context.draft.components[full] = _component(entry, full, model, unit, axles, context)


def _keep_names_of_unread(unit: UnitFile, section: Iterable[Entry], found: Collection[str], context: Context) -> None:
    """Names of entries that could not be read stay known, so that what refers to them is not a fault too."""
    for entry in section:
        if entry.key not in found:
            context.draft.names.setdefault(unit.prefix + entry.key, ("component", entry.place))
            context.draft.doubtful.add(unit.prefix + entry.key)


def _model(entry: Merged, context: Context) -> type[Part] | None:
    kind = entry.node.get("type")
    types = [name for name in part_types() if name not in BRAKES]
    if isinstance(kind, Scalar) and kind.text in types:
        return part(kind.text)
    if isinstance(kind, Scalar) and kind.value is not None:
        _unknown_type(kind, types, context)
    elif kind is not None or entry.place:
        keys = [key for key in entry.node.entries if key != "type"]
        Fields(entry.node, context.faults, ["type"], keys, missing_at=entry.place).text("type")
    return None


def _unknown_type(kind: Scalar, types: list[str], context: Context) -> None:
    near = nearest(kind.text, types)
    fix = f"write {near!r}" if near else "use one of those that 'pneusim parts' lists"
    if kind.text in BRAKES:
        fix = f"foundation brakes stand under 'axles:', as 'brake: {{type: {kind.text}}}'"
    context.faults.report("P03", kind.place, kind.path, f"there is no part type {kind.text!r}", fix)


def _component(entry: Merged, full: str, model: type[Part], unit: UnitFile, axles: int, context: Context) -> Component:
    required = ["type", *(name for name, info in model.model_fields.items() if info.is_required())]
    optional = [*(name for name in model.model_fields if name not in required), *COMMON]
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
        known = listed(str(known) for known in range(1, axles + 1))
        problem = f"this vehicle has no axle {number}; its axles: {known}"
        fields.report("V04", "axle", problem, "add it under 'axles:', or name another")
        return None
    return number


def _pos(fields: Fields, context: Context) -> tuple[float, float] | None:
    node = fields.sequence("pos")
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
