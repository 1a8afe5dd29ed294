"""Parameters of a part: text to SI, then the part's own model with its bounds and rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args

from pydantic import ValidationError
from pydantic.fields import FieldInfo

from pneusim import quantities
from pneusim.errors import Place
from pneusim.parts.base import Part
from pneusim.reading.context import Context
from pneusim.reading.faults import Faults
from pneusim.reading.fields import Fields, check_word, quantity_of, within
from pneusim.reading.tree import Node, Scalar, kind_in_words

_BOUNDS = {"greater_than": ("above", "gt"), "greater_than_equal": ("low", "ge"), "less_than_equal": ("high", "le")}


@dataclass(frozen=True)
class Given:
    """A parameter as the file gives it: its SI value and the scalar it comes from."""

    value: Any
    scalar: Scalar


def read_parameters(model: type[Part], fields: Fields, place: Place, context: Context) -> dict[str, Any]:
    """Parameters that a map gives, in SI; those at fault are left out.

    ``place`` is where a rule over several parameters is reported.
    """
    given: dict[str, Given] = {}
    for name, info in model.model_fields.items():
        node = fields.get(name)
        found = convert(node, dimension_of(info), context) if node is not None else None
        if found:
            given[name] = found
    values = {name: found.value for name, found in given.items()}
    whole = all(name in values for name, info in model.model_fields.items() if info.is_required() or name in fields)
    check(model, values, given, place, fields.node.path, context.faults, whole=whole)
    return values


def dimension_of(info: FieldInfo) -> str:
    """Dimension that a part declares for a parameter."""
    extra = info.json_schema_extra
    assert isinstance(extra, dict)
    return str(extra["dimension"])


def convert(node: Node, dimension: str, context: Context) -> Given | None:
    """SI value of a parameter's node; None if it is at fault."""
    if not isinstance(node, Scalar) or node.value is None:
        problem = f"here stands {kind_in_words(node)}"
        context.faults.report("S05", node.place, node.path, problem, f"write {wanted(dimension)}")
        return None
    if dimension in quantities.DIMENSIONS:
        value: Any = quantity_of(node, dimension, context.faults, context.ambient.pressure)
        if dimension == "number" and value is not None and isinstance(node.value, int):
            value = int(node.value)
    elif dimension == "flag":
        value = node.value if isinstance(node.value, bool) else None
        if value is None:
            context.faults.report(
                "S08",
                node.place,
                node.path,
                f"{node.text!r} is neither true nor false",
                "write true or false, without quotes",
            )
    else:
        value = node.text
    return None if value is None else Given(value, node)


def wanted(dimension: str) -> str:
    """What a parameter of a dimension is written as."""
    words = {"flag": "true or false", "word": "a word", "name": "the name of a component"}
    return words.get(dimension) or quantities.allowed(dimension)


def check(
    model: type[Part],
    values: Mapping[str, Any],
    given: Mapping[str, Given],
    place: Place,
    path: str,
    faults: Faults,
    *,
    whole: bool = True,
) -> bool:
    """Validate parameters by the part's model; its errors become faults with places.

    ``whole`` is False where some parameters could not be read, so that only single values can be judged.
    """
    try:
        model.model_validate(dict(values))
    except ValidationError as errors:
        for error in errors.errors(include_url=False):
            found = given.get(str(error["loc"][0])) if error["loc"] else None
            if found:
                name = str(error["loc"][0])
                _single(dict(error), found, model.model_fields[name], faults)
            elif whole and error["type"] != "missing":
                words = str(error["msg"]).removeprefix("Value error, ").removeprefix("Assertion failed, ")
                faults.report("P02", place, path, words, "change the parameters so that they fit together")
        return False
    return True


def choices_of(info: FieldInfo) -> list[str]:
    """Words that a parameter may have, empty if any word will do."""
    return [word for word in get_args(info.annotation) if isinstance(word, str)]


def _single(error: dict[str, Any], found: Given, info: FieldInfo, faults: Faults) -> None:
    scalar, dimension, choices = found.scalar, dimension_of(info), choices_of(info)
    if error["type"] in _BOUNDS:
        bound, key = _BOUNDS[error["type"]]
        within(scalar, found.value, dimension, faults, **{bound: error["ctx"][key]})
    elif error["type"] == "literal_error":
        check_word(scalar, choices, faults)
    else:
        problem = f"{scalar.text!r} does not fit: {error['msg'][:1].lower()}{error['msg'][1:]}"
        faults.report("P01", scalar.place, scalar.path, problem, f"write {wanted(dimension)}")
