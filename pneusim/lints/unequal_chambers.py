"""Left and right of an axle have different chambers."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Component
from pneusim.lints.base import FROM_MEMORY, PRACTICE, Lint, Seen, at
from pneusim.lints.unit import Unit
from pneusim.quantities import express

SOURCES = {"us": f"49 CFR 393.47(b) and (c), {FROM_MEMORY}", "un13": PRACTICE}


def find(unit: Unit) -> Iterator[Seen]:
    """Brakes that differ from the first of their axle in type, area or full stroke."""
    brakes = sorted((b for b in unit.all(*ACTUATORS) if b.axle is not None), key=lambda brake: brake.axle or 0)
    for axle, group in groupby(brakes, key=lambda brake: brake.axle):
        first, *others = group
        other = next((brake for brake in others if _figures(unit, brake) != _figures(unit, first)), None)
        if other:
            yield at(
                other,
                f"{other.name} is a {_words(unit, other)}, but {first.name} on the same axle {axle} a "
                f"{_words(unit, first)}; both must be of one type and size",
                "fit the same chamber on both sides",
            )


def _figures(unit: Unit, brake: Component) -> tuple[object, ...]:
    spring = unit.figure(brake, "spring_area") if brake.type == "spring_brake_actuator" else None
    return brake.type, unit.figure(brake, "area"), unit.figure(brake, "stroke"), spring


def _words(unit: Unit, brake: Component) -> str:
    area, stroke = unit.figure(brake, "area"), unit.figure(brake, "stroke")
    kind = brake.type.replace("_", " ")
    return f"{kind} {unit.figure(brake, 'size')} of {express(area, 'area')} and {express(stroke, 'length')} stroke"


LINT = Lint("W07", "The chambers of an axle are not the same.", SOURCES, find)
