"""Where parts may stand: stations in axle numbers from the front, rows from the centreline.

Row numbers grow to the vehicle's right.  Seen from above with the front at the left of the page, right is up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from pneusim.circuit.circuit import Vehicle
from pneusim.show.schematic.sheet import Node

Cell = tuple[float, float]

_ROWS: tuple[float, ...] = (2.0, 1.0, 0.0, -1.0, -2.0)
_FEW = 12
"""So few parts stand in three rows."""

OUTER = 3.0
"""Row of the brakes."""

_CABS = ("truck", "tractor", "bus")
_IN_CAB = (
    "anti_lock_control", "compressor", "foot_valve", "gauge", "graduated_park_control", "hand_valve", "park_control",
    "stop_lamp_switch", "trailer_supply_control",
)  # fmt: skip
_FILL = 0.8
"""Share of the cells between the wheels that hold a part."""


def axles_of(vehicle: Vehicle, nodes: Sequence[Node]) -> int:
    """Number of axles: those of the file, or the last that a part names."""
    return max([len(vehicle.axles), *(node.axle or 0 for node in nodes)])


def rows_for(free: int) -> tuple[float, ...]:
    """Rows between the wheels for a number of parts."""
    return _ROWS if free > _FEW else _ROWS[1:-1]


def has_cab(vehicle: Vehicle) -> bool:
    """Whether the driver sits in it."""
    return vehicle.kind in _CABS


def in_cab(vehicle: Vehicle, node: Node) -> bool:
    """Whether a part belongs before the first axle: what the driver moves or sees, and the engine's compressor."""
    return has_cab(vehicle) and node.type in _IN_CAB


def fixed_cell(node: Node, axles: int) -> Cell | None:
    """Cell that the facts alone give: brakes at their axle and side, heads and hose stubs at their end."""
    if node.is_brake:
        return float(node.axle or 0), OUTER if node.side == "right" else -OUTER
    row = -1.0 if node.role == "control" else 1.0
    stations = {"front": 0.0, "rear": axles + 1.0, "beyond_front": -0.5, "beyond_rear": axles + 1.5}
    return (stations[node.end], row) if node.end in stations else None


def stations(vehicle: Vehicle, nodes: Sequence[Node], axles: int) -> list[float]:
    """Stations for the parts that the facts leave free: at the axles, and as many between them as are needed."""
    free = [node for node in nodes if fixed_cell(node, axles) is None]
    rows = len(rows_for(len(free)))
    needed = math.ceil(len(free) / (rows * _FILL))
    if not axles:
        return [float(n) for n in range(1, max(needed, math.ceil(math.sqrt(len(free)))) + 1)]
    counts = [0] * (axles + 1)
    cab = sum(in_cab(vehicle, node) for node in free)
    counts[0] = math.ceil(cab / (rows - 1))
    weights = _weights(vehicle, axles)
    for _ in range(max(needed - axles - counts[0], 0)):
        gap = max(range(axles + 1), key=lambda n: weights[n] / (counts[n] + 1))
        counts[gap] += 1
    return sorted([float(n) for n in range(1, axles + 1)] + [s for n in range(axles + 1) for s in _between(n, counts)])


def beyond(end: str, count: int, axles: int) -> list[float]:
    """Stations before or behind a unit for parts that belong to none."""
    columns = range(1, math.ceil(count / 3) + 2)
    return [round(-0.4 * n, 2) if end == "front" else round(axles + 1.0 + 0.4 * n, 2) for n in columns]


def _weights(vehicle: Vehicle, axles: int) -> list[float]:
    """How much room there is before, between and behind the axles."""
    if has_cab(vehicle):
        return [0.7, 2.0, *([0.3] * (axles - 2)), 0.8][: axles + 1] if axles > 1 else [1.0, 1.0]
    return [2.0, *([0.5] * (axles - 1)), 0.8]


def _between(gap: int, counts: Sequence[int]) -> list[float]:
    return [round(gap + (n + 1) / (counts[gap] + 1), 2) for n in range(counts[gap])]
