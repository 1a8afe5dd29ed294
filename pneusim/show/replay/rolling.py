"""What rolls in the drawing of a page on a road: which wheel is which, which unit, and what loads are drawn full."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from pneusim.circuit.braking import ACTUATORS, vehicle_name
from pneusim.circuit.circuit import Component
from pneusim.circuit.rolling import wheel_name
from pneusim.results.run import Run
from pneusim.show.schematic.layout import Layout

BESIDE_SENSOR = 30
"""Room that a sensor on the rim of a wheel takes, in drawing units."""

FULL, ROUND = 1.6, 10e3
"""Load that is drawn full over the highest rated one [-], and what it is a multiple of [N]."""


def rolling(run: Run, layout: Layout) -> dict[str, Any]:
    """``road`` of a run on one, nothing of any other.

    Returns
    -------
    dict
        ``road``: ``full``, the load of a wheel that is drawn full [N]; ``wheels``, each with its ``element`` of the
        drawing, the ``owner`` of its channels, that of its ``vehicle``, whether it lies ``up`` in the drawing, and what
        is beside it, ``out``; ``units``, each with its name in the drawing, the ``owner`` of its channels, and
        that of the unit ``before`` it, None for the first.
    """
    if run.scenario.road is None:
        return {}
    before: list[str | None] = [None, *(vehicle_name(vehicle.name) for vehicle in run.circuit.vehicles)]
    units = [
        {"unit": vehicle.name, "owner": vehicle_name(vehicle.name), "before": one}
        for vehicle, one in zip(run.circuit.vehicles, before)
    ]
    return {"road": {"full": _full(run), "wheels": list(_wheels(run, layout)), "units": units}}


def braked_wheels(run: Run) -> dict[str, Component]:
    """Wheels of a run on a road that are drawn, by the owners of their channels, and the brake that each is beside.

    Of several brakes at a wheel it is the last, as in the drawing.
    """
    brakes = [component for component in run.circuit.components.values() if component.type in ACTUATORS]
    found = {wheel_name(c.unit, c.axle, c.side): c for c in brakes if c.axle is not None and c.side is not None}
    return {owner: brake for owner, brake in found.items() if f"{owner}.speed" in run.channels}


def _wheels(run: Run, layout: Layout) -> Iterator[dict[str, Any]]:
    occupied = set(layout.sheet.mounted.values())
    for owner, brake in braked_wheels(run).items():
        here = {node.name for node in layout.sheet.nodes.values() if _same(node, brake)}
        yield {
            "element": f"w-{brake.name}", "owner": owner, "vehicle": vehicle_name(brake.unit),
            "up": brake.side == "right", "out": BESIDE_SENSOR if occupied & here else 0,
        }  # fmt: skip


def _same(one: Any, other: Any) -> bool:
    return bool((one.unit, one.axle, one.side) == (other.unit, other.axle, other.side))


def _full(run: Run) -> float:
    axles = [axle for vehicle in run.circuit.vehicles for axle in vehicle.axles]
    rated = [axle.rolling.tyre.rated_load or 0.0 for axle in axles if axle.rolling]
    return ROUND * max(math.ceil(FULL * max(rated, default=0.0) / ROUND), 1)
