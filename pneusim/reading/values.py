"""Values that a scenario gives to inputs, faults and channels, and triggers."""

from __future__ import annotations

from pneusim.circuit.scenario import Trigger
from pneusim.errors import Place
from pneusim.parts.base import FaultSpec, InputSpec
from pneusim.reading.context import Context
from pneusim.reading.faults import listed, nearest
from pneusim.reading.fields import Fields, quantity_of, within
from pneusim.reading.targets import find_channel
from pneusim.reading.tree import MapNode, Node, Scalar, kind_in_words


def input_value(node: Node, spec: InputSpec, context: Context) -> float | None:
    """SI value of an input: one of its words, or a quantity within its range; None if it is at fault."""
    scalar = single(node, context)
    if scalar is None:
        return None
    choices = spec.choices or {}
    if scalar.text in choices:
        return choices[scalar.text]
    if choices and (spec.latched or scalar.text[:1].isalpha()):
        near = nearest(scalar.text, choices)
        context.faults.report(
            "T06",
            scalar.place,
            scalar.path,
            f"{scalar.text!r} is no position of '{spec.name}': {listed(choices)}",
            f"write {near!r}" if near else f"write one of {listed(choices)}",
        )
        return None
    return _bounded(scalar, spec.dimension, spec.low, spec.high, context)


def fault_value(node: Node, spec: FaultSpec, context: Context) -> float | None:
    """SI value of a fault: true or false of a flag, else a quantity within its range; None if it is at fault."""
    scalar = single(node, context)
    if scalar is None:
        return None
    if spec.dimension != "flag":
        return _bounded(scalar, spec.dimension, spec.low, spec.high, context)
    if scalar.value in (0, 1):
        return float(scalar.value)
    context.faults.report(
        "S08",
        scalar.place,
        scalar.path,
        f"{scalar.text!r} is neither true nor false",
        "write true, or false to take the fault away",
    )
    return None


def single(node: Node, context: Context) -> Scalar | None:
    """The node if it is a single value; else a fault and None."""
    if isinstance(node, Scalar) and node.value is not None:
        return node
    problem = f"here stands {kind_in_words(node)}, wanted is a single value"
    context.faults.report("S05", node.place, node.path, problem, "write a single value here")
    return None


def _bounded(scalar: Scalar, dimension: str, low: float, high: float, context: Context) -> float | None:
    value = quantity_of(scalar, dimension, context.faults, context.ambient.pressure)
    if value is None or not within(scalar, value, dimension, context.faults, low=low, high=high):
        return None
    return value


def read_trigger(node: MapNode, context: Context, missing_at: Place | None = None) -> Trigger | None:
    """``{channel, falls_below | rises_above}``; None if it is at fault."""
    faults = context.faults
    fields = Fields(
        node,
        faults,
        ["channel"],
        ["falls_below", "rises_above"],
        ambient=context.ambient.pressure,
        missing_at=missing_at or node.place,
    )
    keys = [key for key in ("falls_below", "rises_above") if key in fields]
    scalar = fields.get("channel")
    spec = find_channel(scalar, context) if isinstance(scalar, Scalar) and scalar.value is not None else None
    if spec is None and scalar is not None:
        fields.text("channel")
    if len(keys) != 1:
        seen = f"{' and '.join(keys)} are given together" if keys else "no level is given"
        problem = f"{seen}; a trigger has one level"
        faults.report("T07", node.place, node.path, problem, "write 'falls_below: ...' or 'rises_above: ...'")
        return None
    if spec is None or not isinstance(scalar, Scalar):
        return None
    level = fields.quantity(keys[0], spec.dimension)
    return None if level is None else Trigger(scalar.text, level, -1 if keys[0] == "falls_below" else 1)
