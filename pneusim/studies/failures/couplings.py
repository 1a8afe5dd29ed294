"""Failures between vehicles: couplings that separate, were left off or crossed, cocks left shut, vehicles lost."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from pneusim.circuit.circuit import Circuit, Line
from pneusim.circuit.scenario import Step
from pneusim.results.words import listed, unit_title
from pneusim.studies.failures.failure import Failure, line_words

APART_BY = 0.05
"""The lines of a vehicle that separates part one after the other [s]."""


def of_couplings(circuit: Circuit) -> Iterator[Failure]:
    """All failures of couplings and vehicles beside what the lines and heads declare themselves."""
    for name, line in circuit.couplings.items():
        title = line_words(circuit, line)
        step = Step("separate", targets=(name,))
        yield Failure(f"{name}.separated", "coupling", (name,), f"{title} separates", (step,))
        yield Failure(f"{name}.left_off", "coupling", (name,), f"{title} was not coupled", left_off=(name,))
    for pair in combinations(circuit.couplings.values(), 2):
        if _units(circuit, pair[0]) == _units(circuit, pair[1]) and pair[0].stays_with == pair[1].stays_with:
            names = tuple(line.name for line in pair)
            words = f"{listed([line_words(circuit, line) for line in pair])} were coupled crosswise"
            yield Failure(f"{'+'.join(names)}.crossed", "coupling", names, words, crossed=names)
    for component in circuit.components.values():
        if component.type == "coupling_head" and _is_coupled(circuit, component.name):
            words = f"{circuit.title_of(component)}: its cock was left shut before setting out"
            begin = {f"{component.name}.cock": 0.0}
            yield Failure(f"{component.name}.cock_left_shut", "coupling", (component.name,), words, begin=begin)
    yield from _vehicles(circuit)


def _vehicles(circuit: Circuit) -> Iterator[Failure]:
    """Each vehicle behind the first comes away, with all that it tows."""
    units = [vehicle.name for vehicle in circuit.vehicles]
    for count, unit in enumerate(units[1:], 1):
        ahead = set(units[:count])
        between = [n for n, line in circuit.couplings.items() if len(_units(circuit, line) & ahead) == 1]
        own = [name for name in between if unit in _units(circuit, circuit.lines[name])]
        if own:
            step = Step("separate", targets=tuple(own), over=APART_BY)
            words = f"the {unit_title(unit)} separates"
            yield Failure(f"{unit}.separated", "vehicle", (unit,), words, (step,), parted=_towed(circuit, unit, own))


def _towed(circuit: Circuit, unit: str, parted: list[str]) -> tuple[str, ...]:
    """A vehicle and those that hang on it when some couplings have parted, in the order of the file."""
    pairs = [_units(circuit, line) for name, line in circuit.couplings.items() if name not in parted]
    found = {unit}
    while more := {other for pair in pairs if pair & found for other in pair} - found:
        found |= more
    return tuple(vehicle.name for vehicle in circuit.vehicles if vehicle.name in found)


def _units(circuit: Circuit, line: Line) -> frozenset[str]:
    return frozenset(circuit.components[port.component].unit for port in (line.start, line.end))


def _is_coupled(circuit: Circuit, head: str) -> bool:
    return any(head in (line.start.component, line.end.component) for line in circuit.couplings.values())
