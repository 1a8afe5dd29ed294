"""Whether a braked combination comes back when it is nudged: a linear indicator of jackknife and trailer swing."""

from __future__ import annotations

import numpy as np

from pneusim.circuit.braking import COMBINATION, vehicle_name
from pneusim.circuit.statics import Standing, stand
from pneusim.physics.divergence import YawAxle, YawUnit, divergence_rate
from pneusim.quantities import express
from pneusim.results.road.locking import LOCKED
from pneusim.results.road.rolling import RollingAxle, Unit, units
from pneusim.results.run import MeasureResult, Run

SLOWEST = 8.0
"""Speed below which a swing has no time to grow and a rate tells nothing [m/s]."""

APART = 0.05
"""Time between looks [s]."""


def measure(run: Run) -> list[MeasureResult]:
    """``combination.divergence_rate`` or ``vehicle.divergence_rate`` [1/s]: the highest while an axle is locked.

    Linear, at frozen speed and load, an indicator of how fast a swing would grow and no path.
    """
    found = units(run)
    if not found or any(vehicle.motion is None for vehicle in run.circuit.vehicles):
        return []
    owner = COMBINATION if len(found) > 1 else vehicle_name(run.circuit.vehicles[0].name)
    name = f"{owner}.divergence_rate"
    times = [float(time) for time in np.arange(run.span[0], run.span[1], APART) if _counts(found, float(time))]
    if not times:
        reason = f"of the vehicles that hang together no axle had both wheels locked above {express(SLOWEST, 'speed')}"
        return [MeasureResult(name, None, "rate", reason)]
    return [MeasureResult(name, max(divergence(run, time) for time in times), "rate")]


def divergence(run: Run, time: float) -> float:
    """Growth rate of the fastest swing of the foremost units that are hitched together, at a time [1/s].

    Parameters
    ----------
    run : Run
        On a road.
    time : float
        [s]; the foremost unit faster than 8 m/s.

    Notes
    -----
    Loads, forces and which axles are locked are those of the moment; the moment of inertia of a unit is its mass times
    the distances of its supports from its centre of mass (common practice, no source).  See `divergence_rate`.
    """
    found = units(run)
    assert run.scenario.road is not None
    standing = stand(run.circuit.vehicles, run.scenario.road)
    chain = [
        _yaw_unit(unit, one, time)
        for unit, one in zip(found[: _hitched(found, time)], standing, strict=False)
    ]
    return divergence_rate(chain, found[0].speed(time))


def _counts(found: tuple[Unit, ...], time: float) -> bool:
    return found[0].speed(time) > SLOWEST and any(
        _locked(unit, axle, time) for unit in found[: _hitched(found, time)] for axle in unit.axles
    )


def _hitched(found: tuple[Unit, ...], time: float) -> int:
    """How many units hang together, from the front."""
    free = [n for n, unit in enumerate(found) if unit.hitched is not None and unit.hitched(time) < 0.5]
    return free[0] if free else len(found)


def _locked(unit: Unit, axle: RollingAxle, time: float) -> bool:
    return all(wheel.speed(time) < LOCKED * unit.speed(time) for wheel in axle.wheels)


def _yaw_unit(unit: Unit, one: Standing, time: float) -> YawUnit:
    motion = one.vehicle.motion
    datum = motion.front_hitch.at if motion and motion.front_hitch and unit.hitched is not None else 0.0
    front, rear = one.supports
    inertia = one.mass * abs((one.centre - front) * (rear - one.centre))
    axles = tuple(
        YawAxle(stood.axle.rolling.at - datum, axle.load(time), axle.used(time), _locked(unit, axle, time))
        for stood, axle in zip(one.axles, unit.axles, strict=True)
        if stood.axle.rolling is not None
    )
    hitch = motion.rear_hitch.at - datum if motion and motion.rear_hitch else None
    return YawUnit(one.mass, inertia, one.centre - datum, axles, hitch)
