"""What the schemas of all sections are made of: texts, quantities, parameters of parts, keys with values."""

from __future__ import annotations

import re
from typing import Any

from pneusim import quantities
from pneusim.parts.base import Part
from pneusim.reading.parameters import choices_of, dimension_of

Schema = dict[str, Any]

NAME = "^[a-z][a-z0-9_]*$"
TEXT: Schema = {"type": "string"}
NUMERIC: Schema = {"type": "number"}
LIKE: Schema = {"type": "string", "description": "Entry of this section to repeat; other keys override."}
_NUMBER = r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?"


def quantity(dimension: str) -> Schema:
    """Schema of a value of a dimension: text with one of its units, or a number where it has none."""
    table = quantities.DIMENSIONS[dimension]
    if not table.units:
        return NUMERIC
    units = "|".join(re.escape(unit).replace(r"\ ", " ") for unit in table.units)
    suffix = "( abs)?" if table.absolute else ""
    text = {"type": "string", "pattern": f"^{_NUMBER} *({units}){suffix}$"}
    if dimension == "fraction":
        return {"anyOf": [text, {"type": "number", "minimum": 0, "maximum": 1}]}
    return text


def parameter(model: type[Part], name: str) -> Schema:
    """Schema of a parameter of a part, with its sentence."""
    info = model.model_fields[name]
    dimension = dimension_of(info)
    if dimension == "flag":
        found: Schema = {"type": "boolean"}
    elif dimension in quantities.DIMENSIONS:
        found = dict(quantity(dimension))
    else:
        choices = choices_of(info)
        found = {"enum": [*choices, *(int(word) for word in choices if word.isdigit())]} if choices else dict(TEXT)
    return {**found, "description": info.description or ""}


def record(properties: Schema, required: list[str] | None = None) -> Schema:
    """Schema of a map of these keys and no others."""
    found: Schema = {"type": "object", "properties": properties, "additionalProperties": False}
    return {**found, "required": required} if required else found


def named(entry: Schema) -> Schema:
    """Schema of a map from names to entries."""
    return {"type": "object", "propertyNames": {"pattern": NAME}, "additionalProperties": entry}
