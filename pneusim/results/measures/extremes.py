"""Over the whole run: largest pressure and force of every brake, and the force at its end."""

from __future__ import annotations

from pneusim.results.measures.brakes import brakes
from pneusim.results.run import MeasureResult, Run


def measure(run: Run) -> list[MeasureResult]:
    """``<brake>.highest_pressure``, ``.highest_force`` and ``.final_force``."""
    results = []
    for brake in brakes(run):
        results += [
            MeasureResult(f"{brake.name}.highest_pressure", float(brake.pressure.values.max()), "pressure"),
            MeasureResult(f"{brake.name}.highest_force", float(brake.force.values.max()), "force"),
            MeasureResult(f"{brake.name}.final_force", float(brake.force.values[-1]), "force"),
        ]
    return results
