"""JSON Schema of the circuit file for editors, made from the part models.

Editors complete and check with it as one types; the reader itself knows more (names, ports, the network).
"""

from __future__ import annotations

import re
from typing import Any

from pneusim import quantities
from pneusim.parts.base import Part
from pneusim.parts.registry import part, part_types
from pneusim.reading.components import COMMON
from pneusim.reading.lines import MODELS
from pneusim.reading.parameters import choices_of, dimension_of
from pneusim.reading.questions import MOST_CHOICES
from pneusim.reading.steps import ACTIONS
from pneusim.reading.vehicles import BRAKES, KINDS, PRACTICES

Schema = dict[str, Any]

_NAME = "^[a-z][a-z0-9_]*$"
_NUMBER = r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?"
_TEXT: Schema = {"type": "string"}
_NUMERIC: Schema = {"type": "number"}
_LIKE: Schema = {"type": "string", "description": "Entry of this section to repeat; other keys override."}


def json_schema() -> Schema:
    """Schema (draft 2020-12) of a circuit file."""
    types = [name for name in part_types() if name not in BRAKES]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "pneusim circuit file",
        **_object(_sections(types), required=["pneusim"]),
        "$defs": {name: _part(part(name)) for name in types},
    }


def _sections(types: list[str]) -> Schema:
    return {
        "pneusim": {"const": 1, "description": "Version of the format."},
        "title": _TEXT,
        "about": _TEXT,
        "ambient": _object({"pressure": quantity("pressure"), "temperature": quantity("temperature")}),
        "heat": _heat(),
        "vehicle": _object(
            {"kind": {"enum": list(KINDS)}, "tows": {"type": "boolean"}, "practice": {"enum": list(PRACTICES)}}
        ),
        "vehicles": _named(_object({"circuit": _TEXT, "like": _LIKE})),
        "axles": {"type": "object", "additionalProperties": _axle()},
        "components": _named(_component(types)),
        "couplings": _named(_line({"stays_with": _TEXT})),
        "lines": _named(_line({})),
        "joints": {"type": "array", "items": {"type": "array", "items": _TEXT, "minItems": 2}},
        "scenarios": _named(_scenario()),
        "scenarios_from": _TEXT,
        "variants": _named({"type": "object"}),
        "layout": {"type": "object"},
    }


def quantity(dimension: str) -> Schema:
    """Schema of a value of a dimension: text with one of its units, or a number where it has none."""
    table = quantities.DIMENSIONS[dimension]
    if not table.units:
        return _NUMERIC
    units = "|".join(re.escape(unit).replace(r"\ ", " ") for unit in table.units)
    suffix = "( abs)?" if table.absolute else ""
    text = {"type": "string", "pattern": f"^{_NUMBER} *({units}){suffix}$"}
    if dimension == "fraction":
        return {"anyOf": [text, {"type": "number", "minimum": 0, "maximum": 1}]}
    return text


def _part(model: type[Part]) -> Schema:
    """A component of one type; its required parameters may also come by ``like``."""
    parameters = {name: _parameter(model, name) for name in model.model_fields}
    required = [name for name, info in model.model_fields.items() if info.is_required()]
    found = _object({"type": {"const": model.type}, "like": _LIKE, **_common(), **parameters})
    found["description"] = model.title
    if required:
        found |= {"if": {"not": {"required": ["like"]}}, "then": {"required": required}}
    return found


def _parameter(model: type[Part], name: str) -> Schema:
    info = model.model_fields[name]
    dimension = dimension_of(info)
    if dimension == "flag":
        found: Schema = {"type": "boolean"}
    elif dimension in quantities.DIMENSIONS:
        found = dict(quantity(dimension))
    else:
        choices = choices_of(info)
        found = {"enum": [*choices, *(int(word) for word in choices if word.isdigit())]} if choices else dict(_TEXT)
    return {**found, "description": info.description or ""}


def _component(types: list[str]) -> Schema:
    cases = [
        {"if": {"properties": {"type": {"const": name}}, "required": ["type"]}, "then": {"$ref": f"#/$defs/{name}"}}
        for name in types
    ]
    kinds = {"type": {"enum": types}, "like": _LIKE}
    return {
        "type": "object",
        "properties": kinds,
        "anyOf": [{"required": ["type"]}, {"required": ["like"]}],
        "allOf": cases,
    }


def _common() -> Schema:
    kinds: Schema = {
        "label": _TEXT,
        "axle": {"type": "integer", "minimum": 1},
        "side": {"enum": ["left", "right"]},
        "pos": {"type": "array", "items": _NUMERIC, "minItems": 2, "maxItems": 2},
        "heat": _heat(),
    }
    assert set(kinds) == set(COMMON)
    return kinds


def _axle() -> Schema:
    load = {"anyOf": [quantity("mass"), quantity("force")]}
    cases = [
        {"if": {"properties": {"type": {"const": name}}, "required": ["type"]}, "then": _brake(part(name))}
        for name in BRAKES
    ]
    brake = {
        "type": "object", "properties": {"type": {"enum": list(BRAKES)}}, "required": ["type"], "allOf": cases
    }  # fmt: skip
    return _object({"load": load, "load_empty": load, "tyre_radius": quantity("length"), "brake": brake, "like": _LIKE})


def _brake(model: type[Part]) -> Schema:
    """A foundation brake of one type."""
    return _object({"type": {"const": model.type}, **{name: _parameter(model, name) for name in model.model_fields}})


def _line(more: Schema) -> Schema:
    size = {"anyOf": [_TEXT, _NUMERIC]}
    return _object(
        {
            "from": _TEXT,
            "to": _TEXT,
            "length": quantity("length"),
            "bore": quantity("length"),
            "tube": {**size, "description": "12x1.5 (ISO 7628 style) or 1/2 in (SAE J844)"},
            "hose": size,
            "label": _TEXT,
            "roughness": quantity("length"),
            "bends": {"type": "integer", "minimum": 0},
            "loss": {"type": "number", "minimum": 0, "description": "Loss coefficient K."},
            "model": {"enum": list(MODELS)},
            "cells": {"type": "integer", "minimum": 2},
            "heat": _heat(),
            "friction_factor": {"type": "number", "exclusiveMinimum": 0, "description": "Darcy's."},
            "like": _LIKE,
            **more,
        }
    )


def _scenario() -> Schema:
    name = {"type": "string", "pattern": _NAME}
    measure = {"type": "object", "required": ["name"], "properties": {"name": name, "title": _TEXT}}
    source = {**_TEXT, "description": "Where the limit is from: a clause, a practice, a thought."}
    expectation = {"type": "object", "required": ["measure"], "properties": {"measure": _TEXT, "source": source}}
    step = {
        "type": "object", "properties": {"ask": _question()}, "anyOf": [{"required": [action]} for action in ACTIONS]
    }  # fmt: skip
    return _object(
        {
            "title": _TEXT,
            "lasts": quantity("time"),
            "begin": {"type": "object"},
            "steps": {"type": "array", "items": step},
            "measure": {"type": "array", "items": measure},
            "expect": {"type": "array", "items": expectation},
            "like": _LIKE,
        }
    )


def _question() -> Schema:
    """A question: its words, or a map with choices and the answer among them."""
    some = {"type": ["string", "number", "boolean"], "minLength": 1}
    choices = {"type": "array", "items": some, "minItems": 2, "maxItems": MOST_CHOICES, "uniqueItems": True}
    answer = {**some, "description": "One of the choices, or its number from 1."}
    full = _object(
        {"text": some, "choices": choices, "answer": answer, "explanation": some}, required=["text"]
    ) | {"dependentRequired": {"choices": ["answer"], "answer": ["choices"]}}  # fmt: skip
    return {"anyOf": [some, full]}


def _heat() -> Schema:
    return {"anyOf": [{"enum": ["isothermal", "adiabatic"]}, quantity("film")]}


def _object(properties: Schema, required: list[str] | None = None) -> Schema:
    found: Schema = {"type": "object", "properties": properties, "additionalProperties": False}
    return {**found, "required": required} if required else found


def _named(entry: Schema) -> Schema:
    return {"type": "object", "propertyNames": {"pattern": _NAME}, "additionalProperties": entry}
