"""What differs in the description of two circuits: parts, parameters, lines, joints, axles, surroundings, variants."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any

from pneusim.circuit.circuit import Axle, Circuit, Component, Heat, Line, Vehicle
from pneusim.circuit.rolling import road_channels
from pneusim.quantities import DIMENSIONS, express, unit_of
from pneusim.results.comparison.figures import dimension_of, figures
from pneusim.results.comparison.rolling import MOTION, ROLLING, motion_figures, rolling_figures
from pneusim.results.restate import restate

_LINE = {
    "length": "length", "bore": "length", "roughness": "length", "loss": "number", "model": "word", "cells": "number",
    "friction_factor": "number", "coupling": "flag", "stays_with": "name",
}  # fmt: skip
_AXLE = {"load": "force", "load_empty": "force", "tyre_radius": "length"}
_VEHICLE = {"kind": "word", "tows": "flag", "practice": "word"}
_COMPONENT = {"axle": "number", "side": "word"}


@dataclass(frozen=True)
class Change:
    """One thing that differs.

    ``section`` is parts, parameters, lines, joints, vehicles, surroundings, variants or scenarios.  Of what only one of
    them has, the other is None.  Values are SI; what is no quantity is in words.
    """

    section: str
    what: str
    a: Any
    b: Any
    dimension: str = "word"

    def in_words(self, system: str = "si") -> tuple[str, str]:
        """Both values for people, with so many digits that they are told apart; ``-`` where there is none."""
        a, b = (value_in_words(value, self.dimension, system) for value in (self.a, self.b))
        if a != b:
            return a, b
        a, b = (_fine(value, self.dimension, system) for value in (self.a, self.b))
        return a, b


def value_in_words(value: Any, dimension: str, system: str = "si") -> str:
    """A value with its unit, a flag as yes or no, words as they are.

    Examples
    --------
    >>> value_in_words(0.012, "length"), value_in_words(True, "flag"), value_in_words(None, "word")
    ('12 mm', 'yes', '-')
    """
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return express(float(value), dimension if dimension in DIMENSIONS else "number", system)
    return restate(str(value), system)


def _fine(value: Any, dimension: str, system: str) -> str:
    if not isinstance(value, int | float):
        return value_in_words(value, dimension, system)
    unit = unit_of(dimension if dimension in DIMENSIONS else "number", system)
    return f"{(value - unit.offset) / unit.factor:.9g} {unit.symbol}".rstrip()


def description(a: Circuit, b: Circuit) -> tuple[Change, ...]:
    """What differs between two circuits, scenarios aside; titles, places in files and drawings do not count."""
    return (*_parts(a, b), *_lines(a, b), *_joints(a, b), *_vehicles(a, b), *_surroundings(a, b), *_variants(a, b))


def compared(
    section: str, prefix: str, a: Mapping[str, Any], b: Mapping[str, Any], dimensions: Mapping[str, str]
) -> Iterator[Change]:
    """Changes of a mapping's values; of a key that only one has, the other value is None."""
    for key in dict.fromkeys([*a, *b]):
        if a.get(key) != b.get(key):
            what = f"{prefix}.{key}" if prefix else key
            yield Change(section, what, a.get(key), b.get(key), dimensions.get(key, "word"))


def _parts(a: Circuit, b: Circuit) -> Iterator[Change]:
    ours, theirs = ({c.name: c.type for c in circuit.components.values()} for circuit in (a, b))
    yield from compared("parts", "", ours, theirs, {})
    for name, first in a.components.items():
        second = b.components.get(name)
        if second is not None and second.type == first.type:
            yield from _parameters(first, second)


def _parameters(a: Component, b: Component) -> Iterator[Change]:
    names = dict.fromkeys([*a.parameters, *b.parameters])
    if a.parameters != b.parameters:
        dimensions = {name: dimension_of(a.type, name) for name in figures(a) | dict.fromkeys(names)}
        yield from compared("parameters", a.name, figures(a), figures(b), dimensions)
    yield from compared("parts", a.name, _picked(a, _COMPONENT), _picked(b, _COMPONENT), _COMPONENT)
    yield from compared("parameters", a.name, {"heat": _heat(a.heat)}, {"heat": _heat(b.heat)}, {})


def _lines(a: Circuit, b: Circuit) -> Iterator[Change]:
    ours, theirs = ({name: _ends(line) for name, line in circuit.lines.items()} for circuit in (a, b))
    yield from compared("lines", "", ours, theirs, {})
    for name, first in a.lines.items():
        second = b.lines.get(name)
        if second is not None:
            yield from compared("lines", name, _picked(first, _LINE), _picked(second, _LINE), _LINE)
            yield from compared("lines", name, {"heat": _heat(first.heat)}, {"heat": _heat(second.heat)}, {})


def _ends(line: Line) -> str:
    return f"{line.start} to {line.end}"


def _joints(a: Circuit, b: Circuit) -> Iterator[Change]:
    ours, theirs = ({frozenset(joint.ports) for joint in circuit.joints} for circuit in (a, b))
    for joint in sorted(ours ^ theirs, key=sorted):
        words = " - ".join(map(str, sorted(joint)))
        yield Change("joints", words, *(("joined", None) if joint in ours else (None, "joined")))


def _vehicles(a: Circuit, b: Circuit) -> Iterator[Change]:
    ours, theirs = ({v.name: v for v in circuit.vehicles} for circuit in (a, b))
    first, second = ({name or "vehicle": v.kind for name, v in found.items()} for found in (ours, theirs))
    yield from (change for change in compared("vehicles", "", first, second, {}) if None in (change.a, change.b))
    for name, one in ours.items():
        other = theirs.get(name)
        if other is not None:
            kinds = _picked(one, _VEHICLE), _picked(other, _VEHICLE)
            yield from compared("vehicles", name or "vehicle", *kinds, _VEHICLE)
            motions = motion_figures(one.motion), motion_figures(other.motion)
            yield from compared("vehicles", name or "vehicle", *motions, MOTION)
            yield from _axles(name, one, other)


def _axles(unit: str, a: Vehicle, b: Vehicle) -> Iterator[Change]:
    ours, theirs = ({axle.number: axle for axle in vehicle.axles} for vehicle in (a, b))
    for number in sorted({*ours, *theirs}):
        first, second = ours.get(number), theirs.get(number)
        name = ".".join(filter(None, (unit, f"axle_{number}")))
        if first is None or second is None:
            yield Change("vehicles", name, "there" if first else None, "there" if second else None)
            continue
        yield from compared("vehicles", name, _picked(first, _AXLE), _picked(second, _AXLE), _AXLE)
        yield from _brake(f"{name}.brake", first, second)
        rolling = rolling_figures(first.rolling), rolling_figures(second.rolling)
        yield from compared("vehicles", name, *rolling, ROLLING)


def _brake(name: str, a: Axle, b: Axle) -> Iterator[Change]:
    if a.brake != b.brake:
        kind = str((a.brake or b.brake).get("type", ""))
        dimensions = {key: dimension_of(kind, key) for key in (*a.brake, *b.brake) if key != "type"}
        yield from compared("vehicles", name, a.brake, b.brake, dimensions)


def _surroundings(a: Circuit, b: Circuit) -> Iterator[Change]:
    dimensions = {"pressure": "pressure_difference", "temperature": "temperature"}
    yield from compared(
        "surroundings", "ambient", _picked(a.ambient, dimensions), _picked(b.ambient, dimensions), dimensions
    )
    yield from compared("surroundings", "", {"heat": _heat(a.heat)}, {"heat": _heat(b.heat)}, {})


def _variants(a: Circuit, b: Circuit) -> Iterator[Change]:
    ours, theirs = (dict.fromkeys(circuit.variants, "there") for circuit in (a, b))
    yield from compared("variants", "", ours, theirs, {})
    for name in a.variants:
        if name in b.variants:
            first, second = a.variants[name], b.variants[name]
            dimensions = {path: dimension_of_path(a, path) for path in (*first, *second)}
            yield from compared("variants", name, first, second, dimensions)


def dimension_of_path(circuit: Circuit, path: str) -> str:
    """Dimension of ``component.word``, ``line.word`` or a channel of the road; "word" for what is not known."""
    owner, _, word = path.rpartition(".")
    if owner in circuit.components:
        return dimension_of(circuit.components[owner].type, word)
    if owner in circuit.lines:
        return _LINE.get(word, "word")
    return next((c.dimension for c in road_channels(circuit.vehicles) if c.name == path), "word")


def _picked(value: Any, names: Mapping[str, str]) -> dict[str, Any]:
    return {field.name: getattr(value, field.name) for field in fields(value) if field.name in names}


def _heat(heat: Heat | None) -> str | None:
    if heat is None:
        return None
    return f"{heat.mode} {express(heat.coefficient, 'film')}" if heat.mode == "fixed" else heat.mode
