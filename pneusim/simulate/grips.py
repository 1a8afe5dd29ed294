"""Friction law of a tyre on a surface: the surface's figures in the form that the tyre's law takes."""

from __future__ import annotations

from functools import cache

from pneusim.circuit.motion import Tyre
from pneusim.circuit.road import Surface
from pneusim.engine.road import GripSpec
from pneusim.errors import UsageError
from pneusim.physics.surface_fit import (
    burckhardt_of_shape,
    fit_burckhardt,
    fit_magic,
    magic_of_burckhardt,
    magic_of_shape,
)


def grip_of(surface: Surface, tyre: Tyre) -> GripSpec:
    """Law and numbers; the tyre's adhesion multiplies the heights of the curve.

    Raises
    ------
    UsageError
        If the law cannot have the surface's shape.
    """
    try:
        numbers = _numbers(surface, tyre.law)
    except ValueError as problem:
        at = f"{surface.place}: " if surface.place.line else ""
        raise UsageError(f"{at}the surface {surface.name!r} has no curve of the law {tyre.law!r}: {problem}") from None
    heights = (0, 2) if tyre.law == "burckhardt" else (2,)  # c1 and c3, or D
    scaled = tuple(tyre.adhesion * x if n in heights else x for n, x in enumerate(numbers))
    return GripSpec(tyre.law, (*scaled, surface.fading))


@cache
def _numbers(surface: Surface, law: str) -> tuple[float, ...]:
    """Burckhardt's c1, c2, c3 or B, C, D, E of a surface."""
    plain = law == "burckhardt"
    if surface.coefficients is not None:
        return surface.coefficients if plain else magic_of_burckhardt(*surface.coefficients)
    if surface.shape is not None:
        peak, slip, locked, slope = surface.shape
        return burckhardt_of_shape(peak, slip, locked) if plain else magic_of_shape(peak, slip, locked, slope)
    points = surface.points or ()
    return fit_burckhardt(points) if plain else fit_magic(points)
