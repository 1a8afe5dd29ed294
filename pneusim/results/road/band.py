"""Bands: the lowest and the highest of every measure over neighbouring runs.

A stop under anti-lock control is not smooth in its inputs: a speed 1 mm/s higher shifts commands, and with them the
distance.  What can be told is a band over neighbouring initial speeds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pneusim.circuit.scenario import Scenario
from pneusim.errors import UsageError
from pneusim.results.run import MeasureResult, Run

APART = 0.01
"""How far neighbouring initial speeds are apart [m/s]."""


@dataclass(frozen=True)
class Band:
    """Lowest and highest value of a measure [SI]; None where a run has no value, with the reason."""

    name: str
    dimension: str
    lowest: float | None
    highest: float | None
    reason: str = ""


def neighbours(scenario: Scenario, apart: float = APART) -> tuple[Scenario, Scenario, Scenario]:
    """The scenario with its initial speed, one a little slower and one a little faster: slower, as it is, faster.

    Raises
    ------
    UsageError
        If the scenario has no road, or the vehicle would not move forward.
    """
    road = scenario.road
    if road is None or road.speed <= apart:
        raise UsageError(
            f"scenario {scenario.name!r} has no initial speed above {apart:g} m/s to be varied; a band is of a "
            f"scenario with a road on which the vehicle drives, for example 'road: {{speed: 60 km/h}}'"
        )
    slower, faster = (replace(scenario, road=replace(road, speed=road.speed + by)) for by in (-apart, apart))
    return slower, scenario, faster


def bands(runs: Sequence[Run]) -> tuple[Band, ...]:
    """Bands of the measures of the first run, in its order; one that another run lacks has no band."""
    values = [{result.name: result for result in run.measures} for run in runs]
    return tuple(
        _band(first, [measures.get(first.name) for measures in values]) for first in (runs[0].measures if runs else ())
    )


def _band(first: MeasureResult, same: Sequence[MeasureResult | None]) -> Band:
    known = [one.value for one in same if one is not None and one.value is not None]
    if len(known) == len(same):
        return Band(first.name, first.dimension, min(known), max(known))
    lacks = next(one for one in same if one is None or one.value is None)
    return Band(first.name, first.dimension, None, None, lacks.reason if lacks else "one of the runs does not have it")
