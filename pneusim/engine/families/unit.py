"""A unit of a road train: what moves it, and what it weighs on."""

from __future__ import annotations

from pneusim.engine.families.family import UNITY, Family
from pneusim.physics.train import (
    air_drag,
    air_drag_gradient,
    pull,
    pull_gradient,
    skid,
    skid_gradient,
    supports,
    supports_gradient,
)

FORCE = 1e4
MASS = 1e4
SPEED = 20.0
LOAD = 3e4
ACCELERATION = 5.0

AIR_DRAG = Family("air_drag", air_drag, {"V": SPEED}, ("factor",), ("force",), gradient=air_drag_gradient)

PULL = Family(
    "pull",
    pull,
    {"force_sum": FORCE, "mass_sum": MASS, "a_front": ACCELERATION, "hitched": UNITY},
    (),
    ("a",),
    gradient=pull_gradient,
)

SKID = Family(
    "skid",
    skid,
    {"other_force": FORCE, "V": SPEED, "load": LOAD, "free": UNITY, "mass": MASS},
    ("friction", "tau"),
    ("force",),
    gradient=skid_gradient,
)

SUPPORT = Family(
    "support",
    supports,
    {"a": ACCELERATION, "hitch_force": FORCE, "rear_hitch_force": FORCE, "rear_load": LOAD},
    (
        "weight", "mass", "slope_force", "x1", "x2", "xg", "height", "front_height", "rear_height", "rear_at",
    ),
    ("front", "rear"),
    gradient=supports_gradient,
)  # fmt: skip
