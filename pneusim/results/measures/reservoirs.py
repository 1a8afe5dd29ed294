"""Reservoirs: the lowest pressure, and the share of its pressure that each kept."""

from __future__ import annotations

from pneusim.circuit.circuit import Component
from pneusim.results.measures.brakes import vehicle_order
from pneusim.results.run import MeasureResult, Run

EMPTY = 1e3
"""A reservoir with less than this at the start was empty: no share of it tells anything [Pa gauge]."""


def reservoirs(run: Run) -> list[Component]:
    """The reservoirs whose pressure the run has, from the front."""
    found = [
        component
        for component in run.circuit.components.values()
        if component.type == "reservoir" and f"{component.name}.pressure" in run.channels
    ]
    return sorted(found, key=lambda component: vehicle_order(run, component)[0])


def measure(run: Run) -> list[MeasureResult]:
    """``<reservoir>.lowest`` [Pa gauge] and ``.kept``, the final gauge pressure over the initial one [-]."""
    results = []
    for component in reservoirs(run):
        values = run.channels[f"{component.name}.pressure"].values
        first, last = float(values[0]), float(values[-1])
        results.append(MeasureResult(f"{component.name}.lowest", float(values.min()), "pressure"))
        if first > EMPTY:
            results.append(MeasureResult(f"{component.name}.kept", last / first, "fraction"))
        else:
            reason = "the reservoir was empty at the start"
            results.append(MeasureResult(f"{component.name}.kept", None, "fraction", reason))
    return results
