"""Builds a part of its parameters; what a part refuses is told in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import ValidationError

from pneusim.errors import UsageError
from pneusim.parts.base import Part
from pneusim.quantities import DIMENSIONS, express
from pneusim.reading.parameters import choices_of, dimension_of

Kind = TypeVar("Kind", bound=Part)
BOUNDS = {
    "greater_than": ("gt", "it must be more than"),
    "greater_than_equal": ("ge", "the least is"),
    "less_than_equal": ("le", "the most is"),
}


def made(kind: type[Kind], name: str, parameters: Mapping[str, Any]) -> Kind:
    """A part with parameters [SI].

    Raises
    ------
    UsageError
        With a line for every parameter that is unknown, missing or not allowed; it says what is.
    """
    try:
        return kind(**parameters)
    except ValidationError as errors:
        told = [_words(kind, name, dict(error)) for error in errors.errors(include_url=False)]
    raise UsageError("\n".join(told))


def _words(kind: type[Part], name: str, error: dict[str, Any]) -> str:
    """One fault of one parameter, or of several together."""
    word, value = ".".join(map(str, error["loc"])), error["input"]
    if error["type"] == "extra_forbidden":
        return f"{name}: a {kind.type} has no parameter {word!r} (there are: {', '.join(kind.model_fields)})"
    if not word:
        return f"{name}: {error['msg'].removeprefix('Value error, ')}"
    if error["type"] == "missing":
        return f"{name}.{word} is missing"
    info = kind.model_fields[word]
    dimension = dimension_of(info)
    if error["type"] in BOUNDS:
        key, allowed = BOUNDS[error["type"]]
        return f"{name}.{word} is {express(value, dimension)}; {allowed} {express(error['ctx'][key], dimension)}"
    if error["type"] == "literal_error":
        return f"{name}.{word} is {value!r} (allowed: {', '.join(choices_of(info))})"
    wanted = "a finite number in SI" if dimension in DIMENSIONS else f"a {dimension}"
    return f"{name}.{word} is {value!r}; it must be {wanted}"
