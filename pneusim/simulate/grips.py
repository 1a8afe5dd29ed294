"""Friction law of a tyre on a surface: the surface's figures in the form that the tyre's law takes."""

from __future__ import annotations

from pneusim.circuit.motion import Tyre
from pneusim.circuit.road import Surface
from pneusim.engine.road import GripSpec


def grip_of(surface: Surface, tyre: Tyre) -> GripSpec:
    """Law and numbers; the tyre's adhesion multiplies the heights of the curve."""
    assert surface.coefficients is not None
    c1, c2, c3 = surface.coefficients
    return GripSpec("burckhardt", (tyre.adhesion * c1, c2, tyre.adhesion * c3, surface.fading))
