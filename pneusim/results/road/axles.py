"""Axles: the adhesion that they used, their lowest load, and which of the combination locked first."""

from __future__ import annotations

from collections.abc import Sequence

from pneusim.quantities import express
from pneusim.results.road.locking import locks
from pneusim.results.road.rolling import FAST, RollingAxle, Unit, units
from pneusim.results.run import MeasureResult, Run

SAME = 1e-3
"""Axles that lock within this time lock together [s]."""


def measure(run: Run) -> list[MeasureResult]:
    """``<axle>.highest_adhesion_used`` [-], ``.lowest_load`` [N] and ``.lock_rank``: 1 locked first."""
    found = units(run)
    axles = [(axle, _first_lock(unit, axle)) for unit in found for axle in unit.axles]
    times = [time for _, time in axles if time is not None]
    results = []
    for axle, time in axles:
        name = axle.site.name
        results += [
            MeasureResult(f"{name}.highest_adhesion_used", float(axle.used.values.max()), "fraction"),
            MeasureResult(f"{name}.lowest_load", float(axle.load.values.min()), "force"),
            _rank(f"{name}.lock_rank", time, times),
        ]
    return results


def _rank(name: str, time: float | None, times: Sequence[float]) -> MeasureResult:
    if time is None:
        return MeasureResult(name, None, "number", f"no wheel of it locked above {express(FAST, 'speed')}")
    return MeasureResult(name, 1.0 + sum(other < time - SAME for other in times), "number")


def _first_lock(unit: Unit, axle: RollingAxle) -> float | None:
    return min((lock.spell.start for wheel in axle.wheels for lock in locks(unit, wheel)), default=None)
