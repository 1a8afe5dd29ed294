"""Stops of units: distance and time, mean fully developed deceleration, and what was lost before it was reached."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.quantities import express
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.road.beginning import Beginning, beginning
from pneusim.results.road.moving import rest_after
from pneusim.results.road.rolling import REST, Unit, units
from pneusim.results.run import MeasureResult, Run

FROM, TO = 0.8, 0.1
"""Shares of the speed at the beginning between which the mean fully developed deceleration is taken [-]."""

DIMENSIONS = {
    "stopping_distance": "distance",
    "stopping_time": "time",
    "mean_deceleration": "acceleration",
    "distance_lost_to_lag": "distance",
    "lag_share": "fraction",
}


def measure(run: Run) -> list[MeasureResult]:
    """``<unit>.stopping_distance`` [m], ``.stopping_time`` [s], ``.mean_deceleration`` [m/s2],
    ``.distance_lost_to_lag`` [m] and ``.lag_share`` [-] of units that move as the run begins or as their stop does."""
    found: list[MeasureResult] = []
    for unit in units(run):
        begins = beginning(run, unit)
        moves = abs(unit.speed.values[0]) > REST
        stands = begins is None or abs(unit.speed(begins.time)) <= REST
        if begins is None or stands:
            reason = "no control is moved and nothing fails" if begins is None else "it stood when its stop would begin"
            found += [_without(unit, name, reason) for name in DIMENSIONS] if moves else []
        else:
            found += _stop(unit, begins)
    return found


def _stop(unit: Unit, begins: Beginning) -> Iterator[MeasureResult]:
    start, speed = begins.time, abs(unit.speed(begins.time))
    rest = rest_after(unit, start)
    mean, why = mean_deceleration(unit, start)
    values: dict[str, float] = {}
    if rest is not None:
        values = {"stopping_distance": way(unit, start, rest), "stopping_time": rest - start}
    if mean is not None:
        values["mean_deceleration"] = mean
    if rest is not None and mean is not None and mean > 0.0:
        lost = values["stopping_distance"] - speed**2 / (2.0 * mean)
        values |= {"distance_lost_to_lag": lost, "lag_share": lost / values["stopping_distance"]}
    for name in DIMENSIONS:
        reason = why if name == "mean_deceleration" or (rest is not None and why) else goes_on(unit)
        made = _without(unit, name, reason)
        yield replace(made, value=values[name], reason=begins.remark) if name in values else made


def mean_deceleration(unit: Unit, start: float) -> tuple[float | None, str]:
    """Mean fully developed deceleration [m/s2] of a stop that begins at a time [s], or why there is none.

    d = (vb^2 - ve^2)/(25.92 (se - sb)) with speeds in km/h; from 0.8 to 0.1 of the speed at the beginning. UN R13
    Annex 4 (formula from memory, to be read against the official text).
    """
    first, end = abs(unit.speed(start)), float(unit.speed.times[-1])
    begins = _slows_to(unit, FROM * first, start, end)
    ends = None if begins is None else _slows_to(unit, TO * first, begins, end)
    if begins is None or ends is None:
        level = express((FROM if begins is None else TO) * first, "speed")
        return None, f"it does not slow to {level}; {express(abs(unit.speed(end)), 'speed')} at {end:g} s"
    high, low = 3.6 * FROM * first, 3.6 * TO * first
    return (high**2 - low**2) / (25.92 * way(unit, begins, ends)), ""


def way(unit: Unit, start: float, end: float) -> float:
    """How far a unit goes in a time [m]."""
    return abs(unit.distance(end) - unit.distance(start))


def goes_on(unit: Unit) -> str:
    """Why a unit has not come to rest."""
    time, speed = float(unit.speed.times[-1]), abs(float(unit.speed.values[-1]))
    return f"it does not come to rest: still {express(speed, 'speed')} at {time:g} s"


def _slows_to(unit: Unit, level: float, start: float, end: float) -> float | None:
    direction = -1 if unit.speed(start) > 0.0 else +1
    return first_crossing(unit.speed, -direction * level, direction, start, end)


def _without(unit: Unit, name: str, reason: str) -> MeasureResult:
    return MeasureResult(f"{unit.name}.{name}", None, DIMENSIONS[name], reason)
