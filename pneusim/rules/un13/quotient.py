"""Braking force of a vehicle over its static axle load, where the file describes the foundation brakes."""

from __future__ import annotations

from pneusim.circuit.braking import vehicle_name
from pneusim.results.run import Channel, Run
from pneusim.rules.finding import NotJudged
from pneusim.rules.subject import Subject

GRAVITY = 9.80665
"""Standard gravity [m/s2]."""

STATIC = "a quotient of forces at rest, not a stop"


def braking_quotient(subject: Subject, run: Run) -> Channel:
    """Sum of braking forces over the static load of the vehicle's axles."""
    name = f"{vehicle_name(subject.name)}.braking_ratio"
    if name not in run.channels:
        raise NotJudged(_missing(subject))
    return run[name]


def _missing(subject: Subject) -> str:
    if not subject.vehicle.axles:
        return "the file describes no axles, so there is no braking force"
    for axle in subject.vehicle.axles:
        lacking = [word for word in _WANTED if not getattr(axle, word)]
        if lacking:
            words = " and no ".join(_WANTED[word] for word in lacking)
            return f"axle {axle.number} has no {words}, so there is no braking force of the vehicle"
    return "a brake actuator belongs to no axle, so there is no braking force of the vehicle"


_WANTED = {"brake": "foundation brake ('brake: {type: s_cam}')", "tyre_radius": "'tyre_radius'", "load": "'load'"}
