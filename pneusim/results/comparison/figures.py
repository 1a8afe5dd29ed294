"""The figures of a part with its defaults resolved, and the dimensions of what it has."""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import ValidationError

from pneusim.circuit.circuit import Component
from pneusim.errors import UsageError
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part
from pneusim.parts.catalogue import default_of
from pneusim.parts.registry import part


def figures(component: Component) -> dict[str, Any]:
    """All parameters of a component [SI]: as the file gives them, else the default for its size.

    Of a part that is not known here, or refuses its parameters, only those that are given.
    """
    kind = _kind(component.type)
    try:
        made = kind(**component.parameters) if kind is not None else None
    except ValidationError:
        made = None
    if kind is None or made is None:
        return dict(component.parameters)
    found = {}
    for name in kind.model_fields:
        value, key = getattr(made, name), made.catalogue_key(name)
        found[name] = default_of(key, dimension_of(component.type, name)) if value is None and key else value
    return found


@cache
def dimension_of(kind: str, word: str) -> str:
    """Dimension of a parameter, input, fault or channel of a part type; "word" for what is not known.

    Examples
    --------
    >>> dimension_of("reservoir", "volume"), dimension_of("foot_valve", "travel")
    ('volume', 'fraction')
    """
    known = _kind(kind)
    if known is None:
        return "word"
    if word in known.model_fields:
        extra: Any = known.model_fields[word].json_schema_extra
        return str(extra["dimension"])
    specs: tuple[InputSpec | FaultSpec | ChannelSpec, ...] = (*known.inputs, *known.faults, *known.channels)
    return next((spec.dimension for spec in specs if spec.name == word), "word")


def choices_of(kind: str, word: str) -> dict[str, float]:
    """The words for values of an input, none if it has none or is not known."""
    known = _kind(kind)
    specs = known.inputs if known is not None else ()
    return next((dict(spec.choices or {}) for spec in specs if spec.name == word), {})


def latches_of(kind: str) -> dict[str, dict[str, float]]:
    """The inputs that a part can change by itself, with the words for their values."""
    known = _kind(kind)
    specs = known.inputs if known is not None else ()
    return {spec.name: dict(spec.choices) for spec in specs if spec.latched and spec.choices}


def _kind(name: str) -> type[Part] | None:
    try:
        return part(name)
    except UsageError:  # a part of a package that is not added here
        return None
