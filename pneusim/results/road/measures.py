"""The automatic measures of a run on a road, one kind a file."""

from __future__ import annotations

from pneusim.results.road import (
    agreement,
    anti_lock,
    axles,
    hitches,
    parked,
    separation,
    stability,
    stopping,
    wheels,
)
from pneusim.results.run import MeasureResult, Run


def measure(run: Run) -> list[MeasureResult]:
    """All of them: of units, wheels, axles, the combination, anti-lock controls; none without a road."""
    return [
        *stopping.measure(run),
        *separation.measure(run),
        *parked.measure(run),
        *hitches.measure(run),
        *wheels.measure(run),
        *axles.measure(run),
        *agreement.measure(run),
        *stability.measure(run),
        *anti_lock.measure(run),
    ]
