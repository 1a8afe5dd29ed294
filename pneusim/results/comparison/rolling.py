"""Vehicles that roll and roads as tables of figures, to be laid beside each other."""

from __future__ import annotations

from typing import Any

from pneusim.circuit.motion import Hitch, Loading, Motion, Rolling
from pneusim.circuit.road import Road, Surface
from pneusim.quantities import express

MOTION = {
    **{f"{state}.{name}": dimension for state in ("laden", "empty") for name, dimension in (
        ("mass", "mass"), ("centre_height", "distance"), ("centre_at", "distance"))},
    **{f"{end}_hitch.{name}": "distance" for end in ("front", "rear") for name in ("at", "height")},
    "drag_area": "area", "skid": "number",
}  # fmt: skip
ROLLING = {
    "at": "distance", "group": "word", "wheel_inertia": "inertia", "tyre.law": "word", "tyre.adhesion": "number",
    "tyre.rated_load": "force", "tyre.load_sensitivity": "number", "tyre.relaxation": "length",
}  # fmt: skip
ROAD = {"road.speed": "speed", "road.grade": "fraction"}


def motion_figures(motion: Motion | None) -> dict[str, Any]:
    """What a vehicle's file says about rolling, by the words of the file."""
    if motion is None:
        return {}
    return {
        **_loading("laden", motion.laden),
        **_loading("empty", motion.empty),
        **_hitch("front_hitch", motion.front_hitch),
        **_hitch("rear_hitch", motion.rear_hitch),
        "drag_area": motion.drag_area,
        "skid": motion.skid,
    }


def rolling_figures(rolling: Rolling | None) -> dict[str, Any]:
    """What an axle's entry says about rolling, by the words of the file."""
    if rolling is None:
        return {}
    tyre = {f"tyre.{name}": value for name, value in vars(rolling.tyre).items()}
    return {"at": rolling.at, "group": rolling.group, "wheel_inertia": rolling.inertia, **tyre}


def road_figures(road: Road | None) -> dict[str, Any]:
    """A scenario's road: speed and grade, its stretches, its surfaces and loadings in words."""
    if road is None:
        return {}
    return {
        "road.speed": road.speed,
        "road.grade": road.grade,
        **({"road.surface": road.stretches[0].left} if road.stretches else {}),
        **{f"road.from {express(one.start, 'distance')}": _sides(one.left, one.right) for one in road.stretches[1:]},
        **{f"road.surfaces.{name}": _surface_in_words(surface) for name, surface in road.surfaces.items()},
        **{f"road.loading.{unit}".rstrip("."): state for unit, state in road.loading.items()},
    }


def _loading(state: str, loading: Loading | None) -> dict[str, Any]:
    if loading is None:
        return {}
    figures = {"mass": loading.mass, "centre_height": loading.centre_height, "centre_at": loading.centre_at}
    return {f"{state}.{name}": value for name, value in figures.items()}


def _hitch(name: str, hitch: Hitch | None) -> dict[str, Any]:
    return {f"{name}.at": hitch.at, f"{name}.height": hitch.height} if hitch else {}


def _sides(left: str, right: str) -> str:
    return left if left == right else f"{left} left, {right} right"


def _surface_in_words(surface: Surface) -> str:
    """``c1 0.686, c2 33.8, c3 0.278, fading 0.02 s/m``."""
    names = {"coefficients": ("c1", "c2", "c3"), "shape": ("peak", "peak_slip", "locked", "slope")}
    words = []
    for kind, keys in names.items():
        values = getattr(surface, kind)
        words += [f"{key} {express(value, 'number')}" for key, value in zip(keys, values)] if values else []
    for slip, friction in surface.points or ():
        words.append(f"{express(friction, 'number')} at {express(slip, 'fraction')}")
    return ", ".join([*words, f"fading {express(surface.fading, 'fading')}"])
