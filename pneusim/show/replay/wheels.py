"""What the wheel beside a brake chamber says: which of service air and spring brakes it, or that it only drags."""

from __future__ import annotations

from pneusim.circuit.circuit import Component
from pneusim.parts.registry import part
from pneusim.parts.spring_brake_actuator import SpringBrakeActuator
from pneusim.show.replay.poses import Pose

DRAGS = 0.5
"""A spring that presses with less than this share of its force drags its brake."""

_EDGE = 1e3
"""Width of the step at that share [Pa]."""

_WHEEL = (
    Pose("braked", "pushrod_force", 100.0, 200.0),
    Pose("service", "service_pressure", 50e3, 60e3),
    Pose("spring", "spring_travel", 0.002, 0.004),
    Pose("caged", "caged"),
)
"""Braked from 100 N of pushrod force; by the service diaphragm from 50 kPa, by the spring from 2 mm of its travel.

Small enough to be seen early, large enough that nothing at rest shows.
"""


def wheel(component: Component) -> tuple[Pose, ...]:
    """Poses of the wheel of a brake; what is braked neither by service air nor by a firm spring drags.

    How firmly a spring presses is told by the pressure that holds it off: on the pushrod service air may push as well.
    """
    made = part(component.type)(**component.parameters)
    if not isinstance(made, SpringBrakeActuator):
        return (*_WHEEL, Pose("firm", "spring_travel", 0.002, 0.004))
    half = half_pressure(made)
    return (*_WHEEL, Pose("firm", "spring_pressure", half + _EDGE, half))


def half_pressure(actuator: SpringBrakeActuator) -> float:
    """Hold-off pressure at which the spring presses on its brake with `DRAGS` of its force, without friction [Pa].

    Examples
    --------
    >>> f"{half_pressure(SpringBrakeActuator(size='30/30')) / 1e3:.0f} kPa"
    '180 kPa'
    """
    force = actuator.figure("spring_force") - actuator.figure("spring_rate") * actuator.free_stroke
    return (1.0 - DRAGS) * force / actuator.figure("spring_area")
