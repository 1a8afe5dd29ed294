"""Which figures of the road a run takes from the files beside this one, and where these are from.

The data of a circuit do not say who gave a figure: one that equals the default counts as the default.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.circuit.figures import file, usual
from pneusim.circuit.road import Road
from pneusim.circuit.surfaces import shipped_surfaces

DIMENSIONS = {"wheel_inertia": "inertia", "drag_area": "area", "tyre.relaxation": "length"}
"""Dimension of the default of a key that begins so; the others are numbers."""


@dataclass(frozen=True)
class Default:
    """A default in use: its key in ``motion.yaml``, value as written, source word, note, and where it is used."""

    key: str
    value: str
    source: str
    note: str
    owners: tuple[str, ...]


def motion_defaults(vehicles: Sequence[Vehicle]) -> list[Default]:
    """The defaults about rolling that vehicles use; ``owners`` are names such as ``trailer`` or ``trailer axle 2``.

    Examples
    --------
    >>> from pneusim.circuit.motion import Loading, Motion
    >>> [default.key for default in motion_defaults([Vehicle("truck", motion=Motion(Loading(7e3, 1.0), skid=0.3))])]
    ['rolling_resistance']
    """
    owners: dict[str, list[str]] = {}
    for key, given, owner in (item for vehicle in vehicles for item in _given(vehicle)):
        if given is None or given == usual(key, _dimension(key)):
            owners.setdefault(key, []).append(owner)
    return [_default(key, found) for key, found in owners.items()]


def surface_sources(road: Road) -> list[str]:
    """Sentences on where the figures of the shipped surfaces on a road are from.

    Examples
    --------
    >>> from pneusim.circuit.surfaces import plain_road
    >>> surface_sources(plain_road("wet", 20.0))
    ['memory: surfaces wet (c1, c2, c3, truck)', 'assumption: surfaces wet (fading)']
    """
    names: dict[tuple[str, str], list[str]] = {}
    for name in shipped_in_use(road):
        keys: dict[str, list[str]] = {}
        for key, figure in surface_figures(name).items():
            keys.setdefault(figure["source"], []).append(key)
        for source, found in keys.items():
            names.setdefault((source, ", ".join(found)), []).append(name)
    return [f"{source}: surfaces {', '.join(found)} ({figures})" for (source, figures), found in names.items()]


def surfaces_in_use(road: Road) -> list[str]:
    """Names of the surfaces that lie on a road, from the rear on."""
    return list(dict.fromkeys(name for stretch in road.stretches for name in (stretch.left, stretch.right)))


def shipped_in_use(road: Road) -> list[str]:
    """Those of them that are shipped."""
    return [name for name in surfaces_in_use(road) if road.surfaces[name] == shipped_surfaces().get(name)]


def surface_figures(name: str) -> dict[str, Any]:
    """The figures of a shipped surface, each with ``value``, ``source`` and ``note``."""
    return {key: figure for key, figure in file("surfaces")[name].items() if isinstance(figure, dict)}


def _given(vehicle: Vehicle) -> Iterator[tuple[str, float | None, str]]:
    """Key, figure and owner of everything that has a default; None where no file can give it."""
    if vehicle.motion is None:
        return
    owner = vehicle.name or "vehicle"
    powered = "towed" if vehicle.motion.drag_area == usual("drag_area.towed", "area") else "powered"
    yield f"drag_area.{powered}", vehicle.motion.drag_area or 0.0, owner
    yield "skid", vehicle.motion.skid, owner
    yield "rolling_resistance", None, owner
    for axle in vehicle.axles:
        yield from _of_axle(axle, f"{vehicle.name} axle {axle.number}".strip())


def _of_axle(axle: Axle, owner: str) -> Iterator[tuple[str, float | None, str]]:
    if axle.rolling is None:
        return
    tyre, inertia = axle.rolling.tyre, axle.rolling.inertia
    end = "steer" if inertia == usual("wheel_inertia.steer", "inertia") else "others"
    yield f"wheel_inertia.{end}", inertia or 0.0, owner
    yield "tyre.adhesion", tyre.adhesion, owner
    yield "tyre.load_sensitivity", tyre.load_sensitivity, owner
    yield "tyre.relaxation", tyre.relaxation, owner


def _dimension(key: str) -> str:
    return next((dimension for start, dimension in DIMENSIONS.items() if key.startswith(start)), "number")


def _default(key: str, owners: Sequence[str]) -> Default:
    node: Mapping[str, Any] = file("motion")
    for step in key.split("."):
        node = node[step]
    return Default(key, str(node["value"]), str(node["source"]), str(node["note"]), tuple(owners))
