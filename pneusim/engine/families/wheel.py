"""A wheel under its brake."""

from __future__ import annotations

from pneusim.engine.families.family import Family
from pneusim.physics.wheel import wheel_brake, wheel_brake_gradient

FORCE = 1e4
TORQUE = 1e4
SPEED = 20.0
LOAD = 3e4

WHEEL_BRAKE = Family(
    "wheel_brake",
    wheel_brake,
    {"force": FORCE, "v": SPEED, "capacity": TORQUE, "load": LOAD},
    ("radius", "inertia", "tau", "rolling"),
    ("torque", "v_rate"),
    gradient=wheel_brake_gradient,
)
