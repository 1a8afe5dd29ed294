"""Axles with unequal chambers: on one side the next smaller size was fitted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Circuit, Component
from pneusim.parts.base import Part
from pneusim.parts.registry import part
from pneusim.reading.parameters import choices_of
from pneusim.studies.failures.failure import Failure


def unequal(circuit: Circuit) -> Iterator[Failure | tuple[str, str]]:
    """Every actuator of an axle with two or more replaced by the next smaller size; else its id and why it is not."""
    actuators = [c for c in circuit.components.values() if c.type in ACTUATORS and c.axle is not None]
    for brake in actuators:
        if any((o.unit, o.axle) == (brake.unit, brake.axle) and o is not brake for o in actuators):
            yield _smaller(circuit, brake)


def _smaller(circuit: Circuit, brake: Component) -> Failure | tuple[str, str]:
    made, name = part(brake.type)(**brake.parameters), f"{brake.name}.unequal"
    if "area" in brake.parameters:
        return name, "the file gives the chamber's area itself, so that another size changes nothing"
    sizes = [size for size in choices_of(type(made).model_fields["size"]) if _fits(made, size)]
    if not sizes:
        return name, "there is no smaller size"
    size = max(sizes, key=lambda size: _area(made, size))
    title, fitted = circuit.title_of(brake), getattr(made, "size")  # noqa: B009
    words = f"{title}: a chamber of size {size} was fitted, on the other side one of {fitted}"
    return Failure(name, "adjustment", (brake.name,), words, begin={f"{brake.name}.size": size})


def _fits(made: Part, size: str) -> bool:
    """Whether a size has a smaller service side and the same spring side."""
    other = made.model_copy(update={"size": size})
    springs = [sizes.sizes().get("spring") for sizes in (made, other)]
    return springs[0] == springs[1] and _area(made, size) < _area(made, _size(made))


def _area(made: Part, size: str) -> float:
    other: Any = made.model_copy(update={"size": size})
    return float(other.figure("area"))


def _size(made: Part) -> str:
    return str(made.model_dump()["size"])
