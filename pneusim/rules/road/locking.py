"""Wheels that lock in a stop, counted above a speed."""

from __future__ import annotations

import numpy as np

from pneusim.results.road.locking import LOCKED
from pneusim.results.road.rolling import Unit, Wheel
from pneusim.results.road.spells import both, spells, steady


def longest_lock(unit: Unit, wheel: Wheel, above: float, since: float = 0.0) -> float:
    """Longest time for which a wheel is locked while its unit is faster than a speed [m/s], after a moment [s]."""
    times, speed = unit.speed.times, np.abs(unit.speed.values)
    fast = spells(times, np.where(times >= since, speed - above, -1.0))
    found = both(steady(spells(times, LOCKED * speed - np.abs(wheel.speed.values))), fast)
    return max((spell.lasts for spell in found), default=0.0)


def locked_wheels(unit: Unit, above: float, longer: float, since: float = 0.0) -> dict[str, float]:
    """Wheels that lock for longer than a time [s] above a speed [m/s], with their longest time [s], by title."""
    lasted = {wheel.site.title: longest_lock(unit, wheel, above, since) for wheel in unit.wheels}
    return {name: time for name, time in lasted.items() if time > longer}
