"""Units that come off: where and when they come to rest."""

from __future__ import annotations

from pneusim.results.road.beginning import separated
from pneusim.results.road.moving import rest_after
from pneusim.results.road.rolling import REST, units
from pneusim.results.road.stopping import goes_on, way
from pneusim.results.run import MeasureResult, Run


def measure(run: Run) -> list[MeasureResult]:
    """``<unit>.rest_distance`` [m] and ``.rest_time`` [s], from the moment at which it came off."""
    found = []
    for unit in units(run):
        off = separated(unit)
        if off is None:
            continue
        rest, why = rest_after(unit, off), ""
        if rest is None:
            why = "it stood when it came off" if abs(float(unit.speed.values[-1])) <= REST else goes_on(unit)
        distance = None if rest is None else way(unit, off, rest)
        time = None if rest is None else rest - off
        found += [
            MeasureResult(f"{unit.name}.rest_distance", distance, "distance", why),
            MeasureResult(f"{unit.name}.rest_time", time, "time", why),
        ]
    return found
