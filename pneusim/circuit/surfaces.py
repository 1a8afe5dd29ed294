"""The shipped surfaces: friction against slip, each figure with its source word."""

from __future__ import annotations

from functools import cache
from typing import Any

from pneusim.circuit.figures import file
from pneusim.circuit.road import BEHIND, Road, Stretch, Surface
from pneusim.errors import UsageError
from pneusim.quantities import parse

COEFFICIENTS = ("c1", "c2", "c3")


@cache
def shipped_surfaces() -> dict[str, Surface]:
    """Shipped surfaces by name, for truck tyres.

    Examples
    --------
    >>> c1, c2, c3 = shipped_surfaces()["wet"].coefficients
    >>> round(c1, 4), c2, round(c3, 4)
    (0.6856, 33.822, 0.2776)
    """
    return {name: _surface(name, entry) for name, entry in file("surfaces").items()}


def plain_road(surface: str, speed: float) -> Road:
    """A level road of one shipped surface.

    Parameters
    ----------
    surface : str
        Name of a shipped surface.
    speed : float
        At 0 s [m/s].

    Raises
    ------
    UsageError
        If there is no such surface.
    """
    known = shipped_surfaces()
    if surface not in known:
        raise UsageError(f"there is no surface {surface!r} (there are: {', '.join(known)})")
    return Road(speed, stretches=(Stretch(BEHIND, surface, surface),), surfaces={surface: known[surface]})


def _surface(name: str, entry: dict[str, Any]) -> Surface:
    """c1 and c3 are heights of the curve, c2 is a slip: the factor of truck tyres is for the heights."""
    c1, c2, c3, factor = (float(entry[key]["value"]) for key in (*COEFFICIENTS, "truck"))
    fading = parse(str(entry["fading"]["value"]), "fading")
    return Surface(name, coefficients=(factor * c1, c2, factor * c3), fading=fading)
