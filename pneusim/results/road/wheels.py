"""Wheels: how long they were locked, and their slip, both above 15 km/h."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pneusim.quantities import express
from pneusim.results.road.locking import locks
from pneusim.results.road.rolling import FAST, Unit, Wheel, units
from pneusim.results.run import MeasureResult, Run


def measure(run: Run) -> list[MeasureResult]:
    """``<wheel>.locked_time``, ``.longest_lock``, ``.first_lock`` (time of the run) [s] and ``.highest_slip`` [-]."""
    return [result for unit in units(run) for wheel in unit.wheels for result in _one(unit, wheel)]


def _one(unit: Unit, wheel: Wheel) -> Iterator[MeasureResult]:
    name, found = wheel.site.name, locks(unit, wheel)
    lasted = [lock.spell.lasts for lock in found]
    fast = np.abs(unit.speed.values) > FAST
    yield MeasureResult(f"{name}.locked_time", sum(lasted, 0.0), "time")
    yield MeasureResult(f"{name}.longest_lock", max(lasted, default=0.0), "time")
    if found:
        yield MeasureResult(f"{name}.first_lock", found[0].spell.start, "time")
    else:
        yield MeasureResult(f"{name}.first_lock", None, "time", f"it never locked above {express(FAST, 'speed')}")
    if fast.any():
        yield MeasureResult(f"{name}.highest_slip", float(wheel.slip.values[fast].max()), "fraction")
    else:
        reason = f"the vehicle was never faster than {express(FAST, 'speed')}"
        yield MeasureResult(f"{name}.highest_slip", None, "fraction", reason)
