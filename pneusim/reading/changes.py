"""Changes of inputs and parameters: ``begin``, variants, and `apply_changes` for Python."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from pneusim import quantities
from pneusim.circuit.circuit import Circuit, Component
from pneusim.circuit.scenario import Scenario
from pneusim.errors import UsageError
from pneusim.parts.base import Part
from pneusim.parts.registry import part
from pneusim.reading.context import Context
from pneusim.reading.faults import Faults, listed, nearest
from pneusim.reading.fields import Fields
from pneusim.reading.lines import LINE_PARAMETERS, line_values
from pneusim.reading.parameters import Given, check, convert, dimension_of
from pneusim.reading.references import component, split
from pneusim.reading.targets import is_line
from pneusim.reading.tree import Entry, MapNode, Scalar
from pneusim.reading.values import input_value


def read_changes(section: MapNode, context: Context, *, begin: bool) -> dict[str, Any]:
    """Changes ``{component.parameter: value}`` in SI; with ``begin`` inputs too, which count before parameters."""
    found: dict[str, Any] = {}
    given: dict[str, dict[str, Given]] = {}
    for entry in section:
        key = Scalar(entry.place, f"{section.path}.{entry.key}", entry.key, entry.key)
        owner, word = split(key, "component.input or component.parameter", context)
        if owner is None:
            continue
        if is_line(owner, context):
            found |= _line_change(owner, word, key, entry, context)
            continue
        name = component(owner, key, "", context)
        if name is None or name not in context.draft.parts:
            continue
        value = _change(name, word, key, entry, context, begin=begin)
        if isinstance(value, Given):
            given.setdefault(name, {})[word] = value
            found[entry.key] = value.value
        elif value is not None:
            found[entry.key] = value
    for name, changes in given.items():
        _check(name, changes, section, context)
    return found


def _change(name: str, word: str, key: Scalar, entry: Entry, context: Context, *, begin: bool) -> Given | float | None:
    model = context.draft.parts[name]
    spec = next((spec for spec in model.inputs if spec.name == word), None)
    if begin and spec:
        return input_value(entry.node, spec, context)
    if word in model.model_fields:
        dimension = dimension_of(model.model_fields[word])
        found = convert(entry.node, dimension, context)
        if found and dimension == "name":
            unit = context.draft.components[name].unit
            return Given(f"{unit}.{found.value}" if unit else found.value, found.scalar)
        return found
    inputs = [spec.name for spec in model.inputs] if begin else []
    _unknown(name, word, inputs, model, key, context)
    return None


def _unknown(name: str, word: str, inputs: list[str], model: type[Part], key: Scalar, context: Context) -> None:
    known = [*inputs, *model.model_fields]
    near = nearest(word, known)
    kinds = "input or parameter" if inputs else "parameter"
    problem = f"{name!r} is a {model.type} and has no {kinds} {word!r}; it has {listed(known, 40)}"
    fix = f"write '{name}.{near}'" if near else "use one of these" if known else "leave it out"
    if any(spec.name == word for spec in model.faults):
        problem, fix = f"{key.text!r} is a fault", f"write a step {{at: 0 s, fault: {key.text}}}"
    context.faults.report("T16", key.place, key.path, problem, fix)


def _line_change(owner: str, word: str, key: Scalar, entry: Entry, context: Context) -> dict[str, Any]:
    if word not in LINE_PARAMETERS:
        near = nearest(word, LINE_PARAMETERS)
        context.faults.report(
            "T16",
            key.place,
            key.path,
            f"{owner!r} is a line; what can be changed: {listed(LINE_PARAMETERS)}",
            f"write '{owner}.{near}'" if near else "use one of these",
        )
        return {}
    single = MapNode(entry.place, key.path, {word: Entry(word, entry.place, entry.node)})
    fields = Fields(single, context.faults, (), (word,), ambient=context.ambient.pressure, missing_at=None)
    return {f"{owner}.{name}": value for name, value in line_values(fields).items()}


def _check(name: str, given: dict[str, Given], section: MapNode, context: Context) -> None:
    values = {**context.draft.components[name].parameters, **{word: found.value for word, found in given.items()}}
    model = context.draft.parts[name]
    whole = all(field in values for field, info in model.model_fields.items() if info.is_required())
    place = next(iter(given.values())).scalar.place
    check(model, values, given, place, section.path, context.faults, whole=whole)


def apply_changes(circuit: Circuit, changes: Mapping[str, Any]) -> Circuit:
    """A circuit with parameters of components and lines changed.

    Parameters
    ----------
    circuit : Circuit
    changes : Mapping[str, Any]
        ``component.parameter`` or ``line.length`` (bore, roughness, loss, friction_factor, model, cells) to a value in
        SI, or to text with a unit.  ``loss`` is that of the file, beside its ``bends``.

    Raises
    ------
    UsageError
        If there is no such component, line or parameter, or the value is not allowed; it says what is.
    """
    components, lines = dict(circuit.components), dict(circuit.lines)
    touched: list[str] = []
    for key, value in changes.items():
        owner, _, word = key.rpartition(".")
        if owner in components:
            old = components[owner]
            new = _parsed(key, word, value, part(old.type), circuit.ambient.pressure)
            components[owner] = replace(old, parameters={**old.parameters, word: new})
            touched.append(owner)
        elif owner in lines:
            lines[owner] = replace(lines[owner], **_line_value(key, word, value, circuit))
        else:
            raise UsageError(_no_owner(key, owner, [*components, *lines]))
    faults = [fault for name in dict.fromkeys(touched) for fault in _faults(components[name])]
    if faults:
        raise UsageError("; ".join(faults))
    return replace(circuit, components=components, lines=lines)


def begin_parameters(circuit: Circuit, scenario: Scenario) -> dict[str, Any]:
    """Those entries of a scenario's ``begin`` that change parameters of components and lines, not inputs."""
    return {key: value for key, value in scenario.begin.items() if not _is_input(circuit, key)}


def _is_input(circuit: Circuit, key: str) -> bool:
    owner, _, word = key.rpartition(".")
    found = circuit.components.get(owner)
    return found is not None and any(spec.name == word for spec in part(found.type).inputs)


def _no_owner(key: str, owner: str, known: list[str]) -> str:
    near = nearest(owner, known)
    return f"{key!r}: there is no component or line {owner!r}" + (f"; {near!r} is meant?" if near else "")


def _parsed(key: str, word: str, value: Any, model: type[Part], ambient: float) -> Any:
    if word not in model.model_fields:
        raise UsageError(f"{key!r}: a {model.type} has no parameter {word!r}; it has {listed(model.model_fields, 40)}")
    dimension = dimension_of(model.model_fields[word])
    if not isinstance(value, str) or dimension not in quantities.DIMENSIONS:
        return value
    try:
        return quantities.parse(value, dimension, ambient)
    except quantities.QuantityError as error:
        raise UsageError(f"{key!r}: {error}") from None


def _line_value(key: str, word: str, value: Any, circuit: Circuit) -> dict[str, Any]:
    """Change of a line, by the reader of lines: text as a file would hold it, numbers in SI."""
    if word not in LINE_PARAMETERS:
        raise UsageError(f"{key!r}: of a line can be changed {listed(LINE_PARAMETERS)}")
    unit = " m" if word in ("length", "bore", "roughness") and not isinstance(value, str) else ""
    faults = Faults()
    line = circuit.lines[key.rpartition(".")[0]]
    node = MapNode(line.place, key, {word: Entry(word, line.place, Scalar(line.place, key, f"{value}{unit}", value))})
    found = line_values(Fields(node, faults, (), (word,), ambient=circuit.ambient.pressure, missing_at=None))
    if word not in found:
        raise UsageError("; ".join(f"{key!r}: {fault.problem}. Fix: {fault.fix}" for fault in faults.all()))
    if word == "loss":
        found["loss"] += line.bend_loss
    return found


def _faults(component: Component) -> list[str]:
    """What is not allowed about a component's parameters."""
    try:
        part(component.type).model_validate(dict(component.parameters))
    except ValidationError as errors:
        return [".".join(map(str, (component.name, *error["loc"]))) + f": {error['msg']}" for error in errors.errors()]
    return []
