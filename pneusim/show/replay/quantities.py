"""How a page writes numbers, and the scale of its colours."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from pneusim.quantities import DIMENSIONS, unit_of
from pneusim.results.run import Channel
from pneusim.show.replay.pack import RESOLUTION

FULL_SCALE = {"si": 100e3, "us": 20.0 * DIMENSIONS["pressure"].units["psi"]}
"""The highest pressure of the colours is a whole number of these [Pa]."""


def quantities(dimensions: Iterable[str], units: str) -> dict[str, dict[str, Any]]:
    """How the page writes numbers of every dimension in use."""
    return {dimension: _quantity(dimension, units) for dimension in sorted({*dimensions, "time"})}


def pressure_top(channels: Iterable[Channel], units: str) -> float:
    """Full scale of the colours, the same for all runs [Pa]."""
    pressures = (float(channel.values.max()) for channel in channels if channel.dimension == "pressure")
    return FULL_SCALE[units] * max(math.ceil(max(pressures, default=0.0) / FULL_SCALE[units] - 1e-3), 1)


def _quantity(dimension: str, units: str) -> dict[str, Any]:
    unit = unit_of(dimension if dimension in DIMENSIONS else "number", units)
    step = 3.0 * RESOLUTION[dimension] / unit.factor if dimension in RESOLUTION else 0.01
    digits = max(math.floor(-math.log10(step)), 0)
    return {"symbol": unit.symbol, "factor": unit.factor, "offset": unit.offset, "digits": digits}
