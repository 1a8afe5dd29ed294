"""The road of a scenario: surfaces, stretches, slope, and how the vehicles come along, as plain data (SI)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pneusim.errors import Place

BEHIND = -1e6
"""Where a road begins, behind every vehicle [m]."""

_NOWHERE = Place("", 0, 0)


@dataclass(frozen=True)
class Surface:
    """Friction against slip of a tyre at its rated load, in one of three ways, and how it falls with speed.

    Attributes
    ----------
    name : str
    coefficients : tuple of float or None
        Burckhardt's c1, c2, c3 [-].
    shape : tuple of float or None
        Peak friction, slip at the peak, friction of a locked wheel [-], and slope at no slip [-], 0 = that of the law.
    points : tuple of (slip, friction) or None
        A measured table; laws are fitted to it.
    fading : float
        Loss with speed: friction is multiplied by exp(-fading |slip| (V - 17.8 m/s)) [s/m].
    """

    name: str
    coefficients: tuple[float, float, float] | None = None
    shape: tuple[float, float, float, float] | None = None
    points: tuple[tuple[float, float], ...] | None = None
    fading: float = 0.0
    place: Place = _NOWHERE


@dataclass(frozen=True)
class Stretch:
    """From a place on [m, from where the first vehicle's datum stands at 0 s] the wheels roll on these surfaces."""

    start: float
    left: str
    right: str


@dataclass(frozen=True)
class Road:
    """The road: speed at 0 s [m/s], slope (uphill positive) [-], stretches from the rear on, surfaces by name.

    ``loading`` maps units to ``laden`` or ``empty``; units that it lacks are laden.
    """

    speed: float = 0.0
    grade: float = 0.0
    stretches: tuple[Stretch, ...] = ()
    surfaces: Mapping[str, Surface] = field(default_factory=dict)
    loading: Mapping[str, str] = field(default_factory=dict)
    place: Place = _NOWHERE
