"""Parked units: how far they have moved."""

from __future__ import annotations

import numpy as np

from pneusim.results.road.rolling import REST, units
from pneusim.results.run import MeasureResult, Run


def measure(run: Run) -> list[MeasureResult]:
    """``<unit>.rolled`` [m], the largest distance from where it stood, of units that stand as the run begins."""
    return [
        MeasureResult(
            f"{unit.name}.rolled", float(np.abs(unit.distance.values - unit.distance.values[0]).max()), "distance"
        )
        for unit in units(run)
        if abs(unit.speed.values[0]) <= REST
    ]
