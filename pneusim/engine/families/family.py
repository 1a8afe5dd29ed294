"""What a primitive family is: a local scalar law with its inputs, fields, outputs and derivatives."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

PRESSURE = 8e5
TEMPERATURE = 300.0
STROKE = 0.05
MASS_FLOW = 0.01
UNITY = 1.0


@dataclass(frozen=True)
class Family:
    """One primitive family of the tape.

    An element of the family reads some values, computes ``law(*inputs, *fields)`` and writes its outputs as
    new values.  The law is a numba-compiled scalar function; it returns a float for one output and a tuple for
    several.

    Attributes
    ----------
    name : str
    law : callable
    inputs : Mapping[str, float]
        Name of each input and the scale of its size [SI]; local differences step by 1e-8 of the scale.
    fields : tuple of str
        Names of the numbers that belong to one element.
    outputs : tuple of str
    gradient : callable or None
        ``gradient(*inputs, *fields)`` returns the outputs and then, output by output, the partial derivatives
        with respect to the inputs named in ``depends``.  None = differences inside the element.
    depends : Mapping[str, tuple of str]
        Inputs on which an output depends, where not on all.
    """

    name: str
    law: Callable[..., Any]
    inputs: Mapping[str, float]
    fields: tuple[str, ...]
    outputs: tuple[str, ...]
    gradient: Callable[..., Any] | None = None
    depends: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def inputs_of(self, output: str) -> tuple[int, ...]:
        """Positions of the inputs on which an output depends."""
        names = tuple(self.inputs)
        return tuple(names.index(name) for name in self.depends.get(output, names))

    def field(self, name: str) -> int:
        """Position of a field."""
        return self.fields.index(name)
