"""Friction of tyres on surfaces, the slip of their treads, and the force that a wheel takes from the road."""

from __future__ import annotations

from pneusim.engine.families.family import Family
from pneusim.physics.adhesion import (
    burckhardt,
    burckhardt_gradient,
    grip,
    grip_gradient,
    magic,
)
from pneusim.physics.tread import creep_rate, creep_rate_gradient, tread_slip, tread_slip_gradient

SPEED = 20.0
SLIP = 0.1
LOAD = 3e4
FRICTION = 1.0

_FRICTION = {"slip": SLIP, "k": SLIP, "V": SPEED}
_DEPENDS = {"friction": ("slip", "V"), "slope": ("k",)}

BURCKHARDT = Family(
    "burckhardt",
    burckhardt,
    _FRICTION,
    ("c1", "c2", "c3", "fading"),
    ("friction", "slope"),
    gradient=burckhardt_gradient,
    depends=_DEPENDS,
)

MAGIC = Family("magic", magic, _FRICTION, ("B", "C", "D", "E", "fading"), ("friction", "slope"), depends=_DEPENDS)

TREAD = Family(
    "tread", tread_slip, {"V": SPEED, "v": SPEED, "k": SLIP}, ("damping", "resting"), ("slip",),
    gradient=tread_slip_gradient,
)

CREEP = Family(
    "creep",
    creep_rate,
    {"V": SPEED, "v": SPEED, "k": SLIP, "slope": 1.0},
    ("s0", "s_min"),
    ("rate",),
    gradient=creep_rate_gradient,
)

GRIP = Family(
    "grip",
    grip,
    {"load": LOAD, "friction": FRICTION},
    ("sensitivity", "rated_load"),
    ("force",),
    gradient=grip_gradient,
)
