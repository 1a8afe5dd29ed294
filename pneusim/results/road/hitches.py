"""Forces between units: how hard each pushed the unit before it, and pulled at it."""

from __future__ import annotations

import numpy as np

from pneusim.results.road.moving import at_rest
from pneusim.results.road.rolling import units
from pneusim.results.run import MeasureResult, Run


def measure(run: Run) -> list[MeasureResult]:
    """``<unit>.highest_hitch_push`` and ``.highest_hitch_pull`` [N] of every towed unit, zero if it never did.

    How units rock against each other once they have come to rest does not count.
    """
    found = []
    for unit in units(run):
        if unit.pull is None:
            continue
        times, counts = unit.pull.times, np.ones(len(unit.pull.times), bool)
        for spell in at_rest(unit):
            counts &= (times <= spell.start) | (times > spell.end)
        force = unit.pull.values[counts]
        found += [
            MeasureResult(f"{unit.name}.highest_hitch_push", max(-float(force.min()), 0.0), "force"),
            MeasureResult(f"{unit.name}.highest_hitch_pull", max(float(force.max()), 0.0), "force"),
        ]
    return found
