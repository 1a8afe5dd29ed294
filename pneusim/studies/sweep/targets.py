"""What a sweep can change: parameters of components and lines, steps of the scenario, the ambient temperature."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from typing import Any, get_args

from pneusim.circuit.circuit import NOWHERE, Circuit, Component, Line
from pneusim.circuit.scenario import Scenario, Step
from pneusim.errors import Place, UsageError
from pneusim.parts.base import FaultSpec, InputSpec
from pneusim.parts.catalogue import default_of
from pneusim.parts.registry import part
from pneusim.reading import apply_changes
from pneusim.reading.lines import LINE_PARAMETERS
from pneusim.reading.parameters import choices_of, dimension_of

AMBIENT = "ambient.temperature"
_AMBIENT_BOUNDS = (223.15, 333.15)  # [K], as a circuit file may give it
_STEP = "step_"
_LINE_DIMENSIONS = {"length": "length", "bore": "length", "roughness": "length", "model": "word"}
_LONGEST_HOLE = 0.05  # [m]


@dataclass(frozen=True)
class Target:
    """Something that can be changed.

    Attributes
    ----------
    path : str
        ``component.parameter``, ``line.length``, ``step_2.over`` or ``ambient.temperature``.
    dimension : str
        Of ``pneusim.quantities``, or ``flag``, ``word`` or ``name``.
    nominal : Any
        Its value in the circuit and scenario [SI]; None if there is none.
    low, high, above : float or None
        Bounds [SI].
    whole : bool
        Whether it takes whole numbers only.
    place : Place
        Where the circuit or the scenario gives what it belongs to.
    """

    path: str
    dimension: str
    nominal: Any
    low: float | None = None
    high: float | None = None
    above: float | None = None
    whole: bool = False
    place: Place = NOWHERE


def paths(circuit: Circuit, scenario: Scenario) -> list[str]:
    """Everything that can be changed."""
    found = [f"{c.name}.{name}" for c in circuit.components.values() for name in part(c.type).model_fields]
    found += [f"{line}.{name}" for line in circuit.lines for name in LINE_PARAMETERS]
    found += [f"{_STEP}{k}.{word}" for k, step in enumerate(scenario.steps, 1) for word in _words_of(step)]
    return [*found, AMBIENT]


def matching(pattern: str, known: list[str]) -> list[str]:
    """Paths that a pattern with ``*`` names; the word behind the last point is never a pattern."""
    return [path for path in known if fnmatchcase(path, pattern) and _word(path) == _word(pattern)]


def target(path: str, circuit: Circuit, scenario: Scenario) -> Target:
    """What a path names.

    Raises
    ------
    KeyError
        If there is nothing of that name.
    """
    owner, _, word = path.rpartition(".")
    if path == AMBIENT:
        low, high = _AMBIENT_BOUNDS
        return Target(path, "temperature", circuit.ambient.temperature, low, high)
    if owner in circuit.components and word in part(circuit.components[owner].type).model_fields:
        found = _of_component(path, circuit.components[owner], word)
    elif owner in circuit.lines and word in LINE_PARAMETERS:
        found = _of_line(path, circuit.lines[owner], word)
    else:
        step = scenario.steps[_number(owner, scenario)]
        if word not in _words_of(step):
            raise KeyError(path)
        return _of_step(path, step, word, circuit, scenario)
    return replace(found, nominal=scenario.begin.get(path, found.nominal))


def changed(circuit: Circuit, scenario: Scenario, changes: Mapping[str, Any]) -> tuple[Circuit, Scenario]:
    """Circuit and scenario with changes [SI]; what the scenario begins with is changed there, where it counts.

    Raises
    ------
    UsageError
        If a value is not allowed.
    """
    steps, begin, parameters = list(scenario.steps), dict(scenario.begin), dict[str, Any]()
    for path, value in changes.items():
        owner, _, word = path.rpartition(".")
        if path == AMBIENT:
            circuit = replace(circuit, ambient=replace(circuit.ambient, temperature=value))
        elif owner not in circuit.components and owner not in circuit.lines:
            k = _number(owner, scenario)
            new: dict[str, Any] = {word: value}
            steps[k] = replace(steps[k], **new)
        else:
            parameters[path] = value
            if path in begin:
                begin[path] = value
    return apply_changes(circuit, parameters), replace(scenario, steps=tuple(steps), begin=begin)


def _of_component(path: str, component: Component, word: str) -> Target:
    model = part(component.type)
    info = model.model_fields[word]
    dimension = dimension_of(info)
    nominal = component.parameters.get(word, info.default if not info.is_required() else None)
    if nominal is None:
        made = model.model_validate(dict(component.parameters))
        key = made.catalogue_key(word)
        nominal = getattr(made, word) if key is None else default_of(key, dimension)
    bounds: dict[str, Any] = {}
    for rule in info.metadata:
        for name, word_ in (("ge", "low"), ("le", "high"), ("gt", "above")):
            if getattr(rule, name, None) is not None:
                bounds[word_] = getattr(rule, name)
    kinds = {info.annotation, *get_args(info.annotation)}
    if choices_of(info):
        dimension = "word"
    return Target(path, dimension, nominal, **bounds, whole=int in kinds and float not in kinds, place=component.place)


def _of_line(path: str, line: Line, word: str) -> Target:
    value = getattr(line, word)
    if word == "loss":
        value -= line.bend_loss
    low, high = {
        "length": (0.01, 200.0), "roughness": (0.0, 1e-3), "loss": (0.0, 1000.0), "cells": (2, 500)
    }.get(word, (None, None))  # fmt: skip
    dimension = _LINE_DIMENSIONS.get(word, "number")
    return Target(path, dimension, value, low, high, whole=word == "cells", place=line.place)


def _words_of(step: Step) -> Iterator[str]:
    """What of a step can be changed."""
    if step.at is not None:
        yield "at"
    if step.action in ("set", "fault", "leak"):
        yield "to"
    if step.action in ("set", "separate"):
        yield "over"
    if step.action in ("break", "leak"):
        yield "where"


def _of_step(path: str, step: Step, word: str, circuit: Circuit, scenario: Scenario) -> Target:
    value = getattr(step, word)
    if word in ("at", "over"):
        return Target(path, "time", value, 0.0, scenario.lasts, place=step.place)
    if word == "where":
        return Target(path, "fraction", value, 0.0, 1.0, place=step.place)
    if step.action == "leak":
        return Target(path, "length", value, above=0.0, high=_LONGEST_HOLE, place=step.place)
    owner, _, name = step.target.rpartition(".")
    model = part(circuit.components[owner].type)
    specs: tuple[InputSpec | FaultSpec, ...] = model.inputs if step.action == "set" else model.faults
    spec = next(spec for spec in specs if spec.name == name)
    dimension = "number" if spec.dimension == "flag" else spec.dimension
    return Target(path, dimension, value, spec.low, spec.high, place=step.place)


def _number(owner: str, scenario: Scenario) -> int:
    number = owner.removeprefix(_STEP)
    if not owner.startswith(_STEP) or not number.isdigit() or not 1 <= int(number) <= len(scenario.steps):
        raise KeyError(owner)
    return int(number) - 1


def _word(path: str) -> str:
    return path.rpartition(".")[2]


def refused(circuit: Circuit, scenario: Scenario, changes: Mapping[str, Any]) -> str:
    """Why changes are not allowed, "" if they are."""
    try:
        changed(circuit, scenario, changes)
    except UsageError as error:
        return str(error)
    return ""
