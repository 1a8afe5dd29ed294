"""How far the units of a combination agree in braking."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from pneusim.circuit.braking import COMBINATION
from pneusim.quantities import express
from pneusim.results.road.rolling import FAST, Unit, units
from pneusim.results.run import MeasureResult, Run

Array = npt.NDArray[np.float64]


def measure(run: Run) -> list[MeasureResult]:
    """``combination.highest_ratio_difference`` [-]: largest difference of braking ratios among units that are hitched
    together, above 15 km/h, lag and all."""
    found = units(run)
    if len(found) < 2:
        return []
    name = f"{COMBINATION}.highest_ratio_difference"
    counts = (np.abs(found[0].speed.values) > FAST) & np.all(
        [unit.hitched.values > 0.5 for unit in found if unit.hitched is not None], axis=0
    )
    if not counts.any():
        reason = f"the units were never hitched together and faster than {express(FAST, 'speed')}"
        return [MeasureResult(name, None, "fraction", reason)]
    ratios = np.array([braking_ratio(unit)[counts] for unit in found])
    return [MeasureResult(name, float(np.ptp(ratios, axis=0).max()), "fraction")]


def braking_ratio(unit: Unit) -> Array:
    """Force of the road on all axles of a unit over their load [-], 0 where they have none."""
    force: Array = np.sum([axle.force.values for axle in unit.axles], axis=0)
    load: Array = np.sum([axle.load.values for axle in unit.axles], axis=0)
    return np.divide(force, load, out=np.zeros_like(force), where=load > 0.0)
