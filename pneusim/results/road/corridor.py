"""A corridor of braking ratios over pressure, from a table of the user's, and how far a curve leaves it.

No corner points are shipped: take them from the regulation's own text.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pneusim.errors import UsageError
from pneusim.results.road.compatibility import UnitCurve


@dataclass(frozen=True)
class Corner:
    """Lowest and highest braking ratio at a pressure at the coupling head [Pa gauge, -, -]."""

    pressure: float
    lowest: float
    highest: float


@dataclass(frozen=True)
class Leaving:
    """By how much a curve is at most outside of a corridor [-], above positive and below negative, and where [Pa]."""

    by: float
    at: float


def corridor(points: Iterable[tuple[float, float, float]]) -> tuple[Corner, ...]:
    """The corridor of a table, with straight lines between its points.

    Parameters
    ----------
    points : iterable of (pressure [Pa gauge], lowest [-], highest [-])
        At least two, pressures rising.

    Raises
    ------
    UsageError
        If pressures do not rise, or a highest ratio is below the lowest.
    """
    corners = tuple(Corner(*point) for point in points)
    if len(corners) < 2:
        raise UsageError("a corridor needs at least two points")
    for before, after in pairwise(corners):
        if after.pressure <= before.pressure:
            raise UsageError(f"the pressures of a corridor must rise: {after.pressure:g} Pa comes too late")
    for corner in corners:
        if corner.highest < corner.lowest:
            raise UsageError(f"at {corner.pressure:g} Pa the highest braking ratio of the corridor is below the lowest")
    return corners


def leaving(curve: UnitCurve, corners: tuple[Corner, ...]) -> Leaving | None:
    """Where a curve is farthest outside of a corridor; None where it stays inside.

    Pressures beyond the corridor's ends do not count; between samples and corners lines are straight.
    """
    at = np.array([corner.pressure for corner in corners])
    grid = np.union1d(curve.pressure, at)
    low, high = max(at[0], curve.pressure[0]), min(at[-1], curve.pressure[-1])
    grid = grid[(grid >= low) & (grid <= high)]
    if not len(grid):
        return None
    ratio = np.interp(grid, curve.pressure, curve.ratio)
    above = ratio - np.interp(grid, at, [corner.highest for corner in corners])
    below = ratio - np.interp(grid, at, [corner.lowest for corner in corners])
    outside = np.where(above > 0.0, above, np.minimum(below, 0.0))
    worst = int(np.abs(outside).argmax())
    return Leaving(float(outside[worst]), float(grid[worst])) if outside[worst] else None
