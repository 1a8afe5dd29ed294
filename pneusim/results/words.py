"""Words for people: lists, and where on the vehicle a set of brakes sits."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from pneusim.circuit.circuit import Component
from pneusim.quantities import express
from pneusim.results.measures.brakes import brake_components, vehicle_order
from pneusim.results.run import Run


def listed(items: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return " and ".join(filter(None, (", ".join(items[:-1]), items[-1]))) if items else ""


def numbered(noun: str, numbers: Sequence[int]) -> str:
    """``axle 2``, ``axles 1 and 3``, ``axles 1 to 3``."""
    if len(numbers) == 1:
        return f"{noun} {numbers[0]}"
    consecutive = list(numbers) == list(range(numbers[0], numbers[0] + len(numbers)))
    if consecutive and len(numbers) > 2:
        return f"{noun}s {numbers[0]} to {numbers[-1]}"
    return f"{noun}s {listed([str(number) for number in numbers])}"


def places(run: Run, names: Collection[str]) -> str:
    """Where brakes sit: ``tractor axle 2 and trailer axles 1 to 3``, ``axle 1 left``.

    An axle is named without a side when all its brakes are meant; a brake without an axle by its title.
    """
    found = sorted((run.circuit.components[name] for name in names), key=lambda c: vehicle_order(run, c))
    words: list[str] = []
    for unit in dict.fromkeys(component.unit for component in found):
        words += _in_unit(run, unit, [component for component in found if component.unit == unit])
    return listed(words)


def title(run: Run, component: Component) -> str:
    """What people call a component; with its unit before it where another unit has one of the same title."""
    return run.circuit.title_of(component)


def _in_unit(run: Run, unit: str, components: Sequence[Component]) -> list[str]:
    names = {component.name for component in components}
    whole, single = [], []
    for axle in dict.fromkeys(component.axle for component in components):
        here = [component for component in components if component.axle == axle]
        everything = {c.name for c in brake_components(run) if c.unit == unit and c.axle == axle}
        if axle is not None and everything <= names:
            whole.append(axle)
        else:
            single += [component.title if axle is None else f"axle {axle} {_side(component)}" for component in here]
    words = [numbered("axle", whole)] if whole else []
    prefix = f"{unit_title(unit)} " if unit else ""
    return [f"{prefix}{word}" for word in words] + [_with_prefix(prefix, word) for word in single]


def _with_prefix(prefix: str, word: str) -> str:
    return word if word.startswith(prefix) else f"{prefix}{word}"


def _side(component: Component) -> str:
    return component.side or component.title


def unit_title(unit: str) -> str:
    """A unit's name in words."""
    return unit.replace(".", " ").replace("_", " ")


NOISE = {"pressure": 10.0, "pressure_difference": 10.0, "force": 1.0}
"""Values nearer to zero are what rounding leaves of nothing [SI]."""


def amount(value: float, dimension: str, system: str = "si") -> str:
    """A value with its unit; rounding noise is told as zero.

    Examples
    --------
    >>> amount(-1.5e-11, "pressure"), amount(612e3, "pressure")
    ('0 kPa', '612 kPa')
    """
    return express(0.0 if abs(value) < NOISE.get(dimension, 0.0) else value, dimension, system)


def span(values: Sequence[float], dimension: str, system: str = "si") -> str:
    """``605 kPa``, or ``597 kPa to 629 kPa`` when the values differ as printed."""
    low, high = amount(min(values), dimension, system), amount(max(values), dimension, system)
    return low if low == high else f"{low} to {high}"


def moment(time: float) -> str:
    """A time of the scenario as people say it: two decimals."""
    return f"{time:.2f} s"


def moments(times: Sequence[float]) -> str:
    """``at 5.37 s``, or ``between 5.37 s and 5.41 s``."""
    first, last = moment(min(times)), moment(max(times))
    return f"at {first}" if first == last else f"between {first} and {last}"
