"""Ports that a symbol shows in fixed places: at which side of it each is, and how far along that side."""

from __future__ import annotations

from collections.abc import Mapping

from pneusim.show.schematic.sheet import Node
from pneusim.show.schematic.symbols import is_fixed

Aims = Mapping[str, tuple[float, float]]
"""Where the lines of ports want to go."""

_LANES = {"11": 1, "21": 1, "12": 3, "22": 3}
"""Cells from above at which the passages of a tractor protection valve lie."""


def sides_of(node: Node, port: str, aims: Aims) -> str:
    """Sides at which a port may be, "" where the symbol does not tell.

    The seats of a double check valve are at its ends, its outlet is between them.  A tractor protection valve passes
    from one end to the other.
    """
    if not is_fixed(node):
        return ""
    if node.symbol == "shuttle":
        first = min(("11", "12"), key=lambda inlet: (aims.get(inlet, (0.0, 0.0))[0], inlet))
        return "NS" if port == "2" else "W" if port == first else "E"
    inlets, outlets = (_mean([aims[port][0] for port in aims if port.startswith(first)]) for first in "12")
    return "W" if port.startswith("1") == (inlets <= outlets) else "E"


def lane_of(node: Node, port: str) -> int | None:
    """Cells from above at which a port lies, None where the symbol does not tell."""
    return _LANES.get(port) if node.symbol == "tractor_protection" else None


def _mean(values: list[float]) -> float:
    return sum(values) / max(len(values), 1)
