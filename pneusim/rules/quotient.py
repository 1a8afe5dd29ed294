"""Braking force of a vehicle over its static axle load, where the file describes the foundation brakes."""

from __future__ import annotations

import math

from pneusim.circuit.braking import vehicle_name
from pneusim.results.run import Channel, Run
from pneusim.rules.finding import NotJudged
from pneusim.rules.subject import Subject

STATIC = "a quotient of forces at rest, not a stop"
NO_ADHESION = "tyres that slide are not considered"


def braking_quotient(subject: Subject, run: Run) -> Channel:
    """Sum of braking forces over the static load of the vehicle's axles."""
    name = f"{vehicle_name(subject.name)}.braking_ratio"
    if name not in run.channels:
        raise NotJudged(_missing(subject))
    return run[name]


def gradient(quotient: float) -> float:
    """Gradient [-] on which a vehicle stands whose braking forces are a share of its weight.

    The weight along the road is its sine, the gradient its tangent.

    Examples
    --------
    >>> round(gradient(0.1771), 3)
    0.18
    """
    return math.tan(math.asin(quotient)) if quotient < 1.0 else math.inf


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
