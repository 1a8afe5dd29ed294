"""Surfaces on which regulations test: the friction that the text asks for, in the shape of a truck tyre's curve."""

from __future__ import annotations

from collections.abc import Mapping

from pneusim.circuit.road import Road, Stretch, Surface
from pneusim.circuit.surfaces import shipped_surfaces

BEHIND = -1e6
"""Where a road begins, behind every vehicle [m]."""

REFERENCE = 0.90
"""Peak friction of a truck tyre over that of the reference test tyre, dry [-]: our assumption.

Where the reference tyre has 0.9, truck tyres have 0.75 to 0.85 (common practice, no source).
"""

DRY_SLIP, DRY_LOCKED = 0.17, 0.65
"""Slip at the peak, and friction of a locked truck tyre over its peak, dry [-]: those of the shipped dry asphalt."""

LOW_SLIP, LOW_LOCKED = 0.09, 0.77
"""The same on a low surface, as on the shipped one; peak over locked is 1.3, UN R13 Annex 13 allows 1 to 2."""

DRY_FADING, LOW_FADING = 0.006, 0.01
"""Loss with speed [s/m], of the shipped surfaces: an assumption."""


def high(peak: float, name: str = "high") -> Surface:
    """Dry pavement of a peak friction [-]."""
    return Surface(name, shape=(peak, DRY_SLIP, DRY_LOCKED * peak, 0.0), fading=DRY_FADING)


def low(peak: float, name: str = "low") -> Surface:
    """A slippery test surface of a peak friction [-]."""
    return Surface(name, shape=(peak, LOW_SLIP, LOW_LOCKED * peak, 0.0), fading=LOW_FADING)


def reference(peak: float) -> Surface:
    """Dry pavement on which the reference test tyre has a peak friction [-]."""
    return high(REFERENCE * peak, "test_pavement")


def dry() -> Surface:
    """The shipped dry asphalt."""
    return shipped_surfaces()["dry"]


def uniform(surface: Surface, speed: float, loading: Mapping[str, str], grade: float = 0.0) -> Road:
    """A road of one surface; speed at the start [m/s], grade uphill positive [-]."""
    return _road((Stretch(BEHIND, surface.name, surface.name),), (surface,), speed, loading, grade)


def split(left: Surface, right: Surface, speed: float, loading: Mapping[str, str]) -> Road:
    """A road with one surface under each side."""
    return _road((Stretch(BEHIND, left.name, right.name),), (left, right), speed, loading)


def jump(first: Surface, then: Surface, at: float, speed: float, loading: Mapping[str, str]) -> Road:
    """A road whose surface changes at a place [m]."""
    stretches = (Stretch(BEHIND, first.name, first.name), Stretch(at, then.name, then.name))
    return _road(stretches, (first, then), speed, loading)


def _road(
    stretches: tuple[Stretch, ...], surfaces: tuple[Surface, ...], speed: float, loading: Mapping[str, str],
    grade: float = 0.0,
) -> Road:  # fmt: skip
    return Road(speed, grade, stretches, {surface.name: surface for surface in surfaces}, dict(loading))
