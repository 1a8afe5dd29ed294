"""Volumes of reservoirs and service chambers, as the clauses on air supply count them."""

from __future__ import annotations

import networkx

from pneusim.circuit.circuit import Component
from pneusim.circuit.network import graph
from pneusim.rules.bench import Bench
from pneusim.rules.subject import Subject

ROUNDING = 0.1e-3
"""By how much a stroke in mm may miss the inches of the table [m]."""


def supply_reservoirs(subject: Subject) -> list[Component]:
    """Reservoirs that are not marked ``service`` and through which all air to the service reservoirs must pass."""
    service = {tank.name for tank in subject.service_reservoirs}
    sources = [compressor.name for compressor in subject.all("compressor")]
    whole = networkx.Graph(graph(subject.circuit))
    found = []
    for tank in subject.reservoirs:
        rest = whole.copy()
        rest.remove_node(tank.name)
        reached = {node for source in sources for node in networkx.node_connected_component(rest, source)}
        if tank.name not in service and not service & reached:
            found.append(tank)
    return found


def volume(subject: Subject, tank: Component) -> float:
    """Volume of a reservoir [m3]."""
    return float(subject.figure(tank, "volume"))


def chamber_volume(bench: Bench) -> float:
    """Volume of all service chambers [m3].

    That is the lower of the rated and the actual volume at full travel where Table V has the chamber's size and stroke,
    and else the actual one.
    """
    return sum(_counts(bench, brake) for brake in bench.subject.brakes)


def _counts(bench: Bench, brake: Component) -> float:
    subject = bench.subject
    stroke = float(subject.figure(brake, "stroke"))
    actual = float(subject.figure(brake, "pre_fill")) + float(subject.figure(brake, "area")) * stroke
    size = str(subject.figure(brake, "size")).partition("/")[0]
    row = f"chamber.{size}"
    if f"{row}.volume" not in bench.limits:
        return actual
    within = bench.value(f"{row}.shortest") - ROUNDING <= stroke <= bench.value(f"{row}.longest") + ROUNDING
    return min(bench.value(f"{row}.volume"), actual) if within else actual
