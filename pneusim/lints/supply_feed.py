"""A trailer supply control that feeds its line too well to notice that it is lost."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from pneusim.circuit.circuit import Component
from pneusim.lints.base import CUSTOM, Lint, Seen, at
from pneusim.lints.network import Link
from pneusim.lints.unit import Unit
from pneusim.physics.plain import feed_ratio_limit, hole_conductance, series, tube_conductance
from pneusim.quantities import express

_HOLE_RATIO = 0.528  #: critical ratio of a hole


def find(unit: Unit) -> Iterator[Seen]:
    """Controls whose feed holds their delivery above the trip pressure with the rear supply head open."""
    supply = _supply_pressure(unit)
    for control in unit.all("trailer_supply_control"):
        way = _way_out(unit, control)
        if not way or supply <= 0.0:
            continue
        out, _ = reduce(lambda a, b: series(*a, *b), way)
        limit = feed_ratio_limit(unit.figure(control, "trip"), supply, unit.circuit.ambient.pressure)
        feed = unit.figure(control, "feed")
        if feed >= limit * out:
            yield at(
                control,
                f"its feed of {express(feed, 'conductance')} is {feed / out:.2f} times what flows out of its open line "
                f"({express(out, 'conductance')}); fed with {express(supply, 'pressure')} it trips by itself "
                f"only below {limit:.2f} times",
                f"make the feed less than {express(limit * out, 'conductance')}, or the line wider",
            )


def _supply_pressure(unit: Unit) -> float:
    """Highest pressure that the control is fed with [Pa]: the governor's cut-out, or what the reservoirs hold."""
    cut_outs = [float(unit.figure(governor, "cut_out")) for governor in unit.all("governor")]
    held = [float(unit.figure(store, "pressure")) for store in unit.all("reservoir", "supply")]
    return max(cut_outs or held, default=0.0)


def _way_out(unit: Unit, control: Component) -> list[tuple[float, float]]:
    """Conductances and critical ratios [m3/(s Pa), -] of what lies between a control and a rear supply head."""
    start = unit.network.place(control.name, "2")
    ends = {unit.network.place(head.name, "2") or unit.network.place(head.name, "1") for head in _heads(unit)}
    ways: dict[int, list[Link]] = {} if start is None else {start: []}
    waiting = list(ways)
    while waiting:
        here = waiting.pop(0)
        if here in ends:
            return [*_conductances(unit, ways[here]), *_head_itself(unit, here)]
        for link in unit.network.pipes:
            for place in link.outlets - ways.keys() if here in link.inlets else ():
                ways[place] = [*ways[here], link]
                waiting.append(place)
    return []


def _heads(unit: Unit) -> list[Component]:
    return unit.heads("supply", "rear")


def _head_itself(unit: Unit, place: int) -> list[tuple[float, float]]:
    """An uncoupled head's own passage, which is no link."""
    for head in _heads(unit):
        if unit.network.place(head.name, "1") == place and unit.network.place(head.name, "2") is None:
            return [(float(unit.figure(head, "conductance")), float(unit.figure(head, "critical_ratio")))]
    return []


def _conductances(unit: Unit, way: list[Link]) -> Iterator[tuple[float, float]]:
    for link in way:
        if link.kind == "line":
            line = unit.circuit.lines[link.owner]
            yield tube_conductance(line.bore, line.length)
        elif link.kind == "restriction":
            part = unit.circuit.components[link.owner]
            given, hole = unit.figure(part, "conductance"), unit.figure(part, "hole")
            yield (given or hole_conductance(hole, unit.figure(part, "cd"))), _HOLE_RATIO
        elif link.kind not in ("tee", "reservoir"):
            part = unit.circuit.components[link.owner]
            name = "supply_conductance" if link.kind == "tractor_protection_valve" else "conductance"
            yield float(unit.figure(part, name)), float(unit.figure(part, "critical_ratio"))


LINT = Lint("W09", "A trailer supply control feeds too much to trip on a lost line.", CUSTOM, find)
