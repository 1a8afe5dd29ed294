"""JSON Schema of the circuit file for editors, made from the part models.

Editors complete and check with it as one types; the reader itself knows more (names, ports, the network).
"""

from __future__ import annotations

from pneusim.parts.base import Part
from pneusim.parts.registry import part, part_types
from pneusim.reading.components import COMMON
from pneusim.reading.lines import MODELS
from pneusim.reading.questions import MOST_CHOICES
from pneusim.reading.schema_pieces import LIKE, NAME, NUMERIC, TEXT, Schema, named, parameter, quantity, record
from pneusim.reading.schema_road import axle_schema, road_schema, vehicle_schema
from pneusim.reading.steps import ACTIONS
from pneusim.reading.vehicles import BRAKES


def json_schema() -> Schema:
    """Schema (draft 2020-12) of a circuit file."""
    types = [name for name in part_types() if name not in BRAKES]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "pneusim circuit file",
        **record(_sections(types), required=["pneusim"]),
        "$defs": {name: _part(part(name)) for name in types},
    }


def _sections(types: list[str]) -> Schema:
    return {
        "pneusim": {"const": 1, "description": "Version of the format."},
        "title": TEXT,
        "about": TEXT,
        "ambient": record({"pressure": quantity("pressure"), "temperature": quantity("temperature")}),
        "heat": _heat(),
        "vehicle": vehicle_schema(),
        "vehicles": named(record({"circuit": TEXT, "like": LIKE})),
        "axles": {"type": "object", "additionalProperties": axle_schema()},
        "components": named(_component(types)),
        "couplings": named(_line({"stays_with": TEXT})),
        "lines": named(_line({})),
        "joints": {"type": "array", "items": {"type": "array", "items": TEXT, "minItems": 2}},
        "scenarios": named(_scenario()),
        "scenarios_from": TEXT,
        "variants": named({"type": "object"}),
        "layout": {"type": "object"},
    }


def _part(model: type[Part]) -> Schema:
    """A component of one type; its required parameters may also come by ``like``."""
    parameters = {name: parameter(model, name) for name in model.model_fields}
    required = [name for name, info in model.model_fields.items() if info.is_required()]
    found = record({"type": {"const": model.type}, "like": LIKE, **_common(), **parameters})
    found["description"] = model.title
    if required:
        found |= {"if": {"not": {"required": ["like"]}}, "then": {"required": required}}
    return found


def _component(types: list[str]) -> Schema:
    cases = [
        {"if": {"properties": {"type": {"const": name}}, "required": ["type"]}, "then": {"$ref": f"#/$defs/{name}"}}
        for name in types
    ]
    kinds = {"type": {"enum": types}, "like": LIKE}
    return {
        "type": "object",
        "properties": kinds,
        "anyOf": [{"required": ["type"]}, {"required": ["like"]}],
        "allOf": cases,
    }


def _common() -> Schema:
    kinds: Schema = {
        "label": TEXT,
        "axle": {"type": "integer", "minimum": 1},
        "side": {"enum": ["left", "right"]},
        "pos": {"type": "array", "items": NUMERIC, "minItems": 2, "maxItems": 2},
        "heat": _heat(),
    }
    assert set(kinds) == set(COMMON)
    return kinds


def _line(more: Schema) -> Schema:
    size = {"anyOf": [TEXT, NUMERIC]}
    return record(
        {
            "from": TEXT,
            "to": TEXT,
            "length": quantity("length"),
            "bore": quantity("length"),
            "tube": {**size, "description": "12x1.5 (ISO 7628 style) or 1/2 in (SAE J844)"},
            "hose": size,
            "label": TEXT,
            "roughness": quantity("length"),
            "bends": {"type": "integer", "minimum": 0},
            "loss": {"type": "number", "minimum": 0, "description": "Loss coefficient K."},
            "model": {"enum": list(MODELS)},
            "cells": {"type": "integer", "minimum": 2},
            "heat": _heat(),
            "friction_factor": {"type": "number", "exclusiveMinimum": 0, "description": "Darcy's."},
            "like": LIKE,
            **more,
        }
    )


def _scenario() -> Schema:
    name = {"type": "string", "pattern": NAME}
    measure = {"type": "object", "required": ["name"], "properties": {"name": name, "title": TEXT}}
    source = {**TEXT, "description": "Where the limit is from: a clause, a practice, a thought."}
    expectation = {"type": "object", "required": ["measure"], "properties": {"measure": TEXT, "source": source}}
    step = {
        "type": "object", "properties": {"ask": _question()}, "anyOf": [{"required": [action]} for action in ACTIONS]
    }  # fmt: skip
    return record(
        {
            "title": TEXT,
            "lasts": quantity("time"),
            "road": road_schema(),
            "begin": {"type": "object"},
            "steps": {"type": "array", "items": step},
            "measure": {"type": "array", "items": measure},
            "expect": {"type": "array", "items": expectation},
            "like": LIKE,
        }
    )


def _question() -> Schema:
    """A question: its words, or a map with choices and the answer among them."""
    some = {"type": ["string", "number", "boolean"], "minLength": 1}
    choices = {"type": "array", "items": some, "minItems": 2, "maxItems": MOST_CHOICES, "uniqueItems": True}
    answer = {**some, "description": "One of the choices, or its number from 1."}
    full = record(
        {"text": some, "choices": choices, "answer": answer, "explanation": some}, required=["text"]
    ) | {"dependentRequired": {"choices": ["answer"], "answer": ["choices"]}}  # fmt: skip
    return {"anyOf": [some, full]}


def _heat() -> Schema:
    return {"anyOf": [{"enum": ["isothermal", "adiabatic"]}, quantity("film")]}
