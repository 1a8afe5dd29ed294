"""What one step may ask of a circuit: its names, and numbers that are finite and within their range."""

from __future__ import annotations

import math
from collections.abc import Mapping
from numbers import Real
from typing import Any

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Step
from pneusim.parts.base import FaultSpec, InputSpec, Part
from pneusim.parts.registry import part
from pneusim.quantities import express
from pneusim.reading.steps import ACTIONS, LARGEST_HOLE, LONGEST, SHORTEST
from pneusim.simulate.ports import spec_of

ROUNDING = 1e-9  # what a number may pass its bound by, as a share of the range


def input_of(circuit: Circuit, name: str) -> InputSpec | None:
    """The input ``component.input`` of a circuit, None if it has none of that name."""
    owner, _, word = name.rpartition(".")
    component = circuit.components.get(owner)
    return _named(part(component.type).inputs, word) if component else None


def fault_of(circuit: Circuit, name: str) -> FaultSpec | None:
    """The fault ``component.fault`` of a circuit, None if it has none of that name."""
    owner, _, word = name.rpartition(".")
    component = circuit.components.get(owner)
    return _named(part(component.type).faults, word) if component else None


def _named(specs: tuple[Any, ...], word: str) -> Any:
    return next((spec for spec in specs if spec.name == word), None)


def position(spec: InputSpec | None, value: Any) -> Any:
    """The number that a word of an input's ``choices`` stands for; anything else as it is."""
    choices = (spec and spec.choices) or {}
    return choices.get(value, value) if isinstance(value, str) else value


def position_fault(spec: InputSpec, value: Any) -> str:
    """What is wrong with a number for an input, "" if nothing is."""
    words = spec.choices or {}
    allowed = f" (allowed: {', '.join(f'{word} = {number:g}' for word, number in words.items())})" if words else ""
    if not isinstance(value, Real):
        return f"{value!r} is no number{allowed}"
    if spec.latched and value not in words.values():
        return f"{value:g} is none of its positions{allowed}"
    return number_fault(value, spec.low, spec.high, spec.dimension)


def number_fault(value: Any, low: float, high: float, dimension: str) -> str:
    """What is wrong with a number that must lie within a range [SI], "" if nothing is."""
    if not isinstance(value, Real):
        return f"{value!r} is no number"
    number, slack = float(value), ROUNDING * (high - low)
    if low - slack <= number <= high + slack:
        return ""
    return (
        f"{express(number, dimension)} is out of range "
        f"(allowed: {express(low, dimension)} to {express(high, dimension)})"
    )


def step_faults(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    """Faults of one step, a sentence each."""
    what = f"step {step.action!r}"
    if step.action not in ACTIONS:
        return [f"{what} is unknown (there are: {', '.join(ACTIONS)})"]
    found = [*_time(step), *_FAULTS.get(step.action, _nothing)(step, circuit, parts)]
    return [f"{what} {fault}" if fault.startswith("needs") else f"{what}: {fault}" for fault in found]


def _nothing(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    return []


def _time(step: Step) -> list[str]:
    if (step.at is None) == (step.when is None):
        return ["needs either at or when"]
    if step.when is not None:
        level = step.when.level
        return [] if isinstance(level, Real) and math.isfinite(level) else [f"when: {level!r} is no level"]
    return _told("at", number_fault(step.at, 0.0, LONGEST, "time"))


def _told(name: str, fault: str) -> list[str]:
    return [f"{name}: {fault}"] if fault else []


def _set(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    spec = input_of(circuit, step.target)
    if spec is None:
        return _unknown(step.target, parts, "inputs")
    return [
        *_told(step.target, position_fault(spec, step.to)),
        *_told(f"{step.target}: over", number_fault(step.over, 0.0, LONGEST, "time")),
    ]


def _fault(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    spec = fault_of(circuit, step.target)
    if spec is None:
        return _unknown(step.target, parts, "faults")
    if spec.dimension == "flag":
        return [] if step.to in (0, 1) else [f"{step.target}: {step.to!r} is neither 0 nor 1"]
    return _told(step.target, number_fault(step.to, spec.low, spec.high, spec.dimension))


def _unknown(target: str, parts: Mapping[str, type[Part]], kind: str) -> list[str]:
    owner, _, name = target.rpartition(".")
    if owner not in parts:
        return [f"there is no component {owner!r}"]
    known = ", ".join(spec.name for spec in getattr(parts[owner], kind)) or "none"
    return [f"{owner} has no {name!r} (there are: {known})"]


def _break(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    return _block(step, circuit, parts) or _place(step, circuit)


def _block(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    return [] if step.target in circuit.lines else [f"there is no line {step.target!r}"]


def _leak(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    if step.target in circuit.lines:
        return [*_place(step, circuit), *_hole(step, min(LARGEST_HOLE, circuit.lines[step.target].bore))]
    return _port(step, parts) or _hole(step, LARGEST_HOLE)


def _hole(step: Step, most: float) -> list[str]:
    return _told(f"{step.target}: hole", number_fault(step.to, 0.0, most, "length"))


def _port(step: Step, parts: Mapping[str, type[Part]]) -> list[str]:
    component, _, number = step.target.rpartition(".")
    if component not in parts:
        return [f"there is no line or port {step.target!r}"]
    try:
        spec_of(parts[component], number)
    except KeyError:
        return [f"a {parts[component].type} has no port {number!r}"]
    return []


def _place(step: Step, circuit: Circuit) -> list[str]:
    line = circuit.lines[step.target]
    if line.length < SHORTEST * line.bore * (1.0 - ROUNDING):
        return [f"{line.name} is {express(line.length, 'length')} long, shorter than {SHORTEST} of its bores"]
    return _told(f"{line.name}: where", number_fault(step.where, 0.0, 1.0, "fraction"))


def _mend(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    known = step.target in circuit.lines or fault_of(circuit, step.target) is not None
    return [] if known else _port(step, parts)


def _couplings(step: Step, circuit: Circuit, parts: Mapping[str, type[Part]]) -> list[str]:
    unknown = [f"there is no coupling {name!r}" for name in step.targets if name not in circuit.couplings]
    if unknown:
        return unknown
    distinct = len(set(step.targets)) == len(step.targets)
    if not step.targets or not distinct or (step.action == "cross" and len(step.targets) != 2):
        return ["needs two different couplings" if step.action == "cross" else "needs couplings, each once"]
    return _told("over", number_fault(step.over, 0.0, LONGEST, "time"))


_FAULTS = {
    "set": _set,
    "fault": _fault,
    "break": _break,
    "block": _block,
    "leak": _leak,
    "mend": _mend,
    "separate": _couplings,
    "couple": _couplings,
    "cross": _couplings,
}
