"""When axles lift off the road."""

from __future__ import annotations

from pneusim.results.road.rolling import RollingAxle
from pneusim.results.road.spells import spells, steady

LIFTED = 0.01
"""Load of an axle that is off the road, over that at the start of the run, at most [-]."""


def lifts(axle: RollingAxle) -> list[float]:
    """When an axle lifted [s]; none for one without load from the start."""
    times, load = axle.load.times, axle.load.values
    found = steady(spells(times, LIFTED * load[0] - load))
    return [spell.start for spell in found if spell.start > float(times[0])]
