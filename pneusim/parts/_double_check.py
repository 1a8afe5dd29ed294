"""A double check valve, by itself or built into another: the higher of two inlets feeds one outlet."""

from __future__ import annotations

from collections.abc import Mapping

from pneusim.parts.base import FaultSpec
from pneusim.parts.builder import Builder, Node, Signal


def stuck_sides(first: str, second: str) -> tuple[FaultSpec, FaultSpec]:
    """Faults of a shuttle between two ports: it stays on the seat of one."""
    return (
        FaultSpec(f"stuck_at_{first}", f"the shuttle is stuck on the seat of port {first}; port {second} stays open"),
        FaultSpec(f"stuck_at_{second}", f"the shuttle is stuck on the seat of port {second}; port {first} stays open"),
    )


def shuttle(
    b: Builder, inlets: Mapping[str, Node], middle: Node, width: float, conductance: float, critical_ratio: float
) -> tuple[Signal, Signal]:
    """Openings of two inlets, given by their port numbers: the exclusive law; stuck, one is shut and the other open."""
    first, second = inlets.values()
    openings = list(b.exclusive(first, second, middle, width))
    for shut, port in enumerate(inlets):
        stuck = b.fault(f"stuck_at_{port}")
        openings = [b.forced(opening, stuck, float(side != shut)) for side, opening in enumerate(openings)]
    for inlet, opening in zip(inlets.values(), openings, strict=True):
        b.restriction(inlet, middle, conductance, critical_ratio, opening)
    return openings[0], openings[1]
