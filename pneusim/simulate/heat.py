"""What a heat setting of a file means for a wall."""

from __future__ import annotations

import math

from pneusim.circuit.circuit import Heat


def film_of(heat: Heat | None, default: float, isothermal: float = math.inf) -> float:
    """Film coefficient [W/(m2 K)] under a heat setting."""
    if heat is None or heat.mode == "default":
        return default
    return {"isothermal": isothermal, "adiabatic": 0.0}.get(heat.mode, heat.coefficient)
