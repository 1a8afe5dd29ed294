"""The SI unit that files write a dimension in, and the unit systems that results are told in."""

from __future__ import annotations

from pneusim.errors import UsageError
from pneusim.quantities import DIMENSIONS

SYSTEMS = ("si", "us")
"""Unit systems in which results are told."""

_NO_UNIT_OF_THE_TABLE = {
    "pressure": "Pa",
    "pressure_difference": "Pa",
    "area": "m2",
    "stiffness": "N/m",
    "displacement": "m3/rev",
    "rotation": "rev/s",
    "energy": "J",
    "pressure_rate": "Pa/s",
    "angle": "rad",
}


def check_units(system: str) -> None:
    """Raise a UsageError if a unit system is none."""
    if system not in SYSTEMS:
        raise UsageError(f"unit system {system!r} is unknown (allowed: {', '.join(SYSTEMS)})")


def si_unit(dimension: str) -> str:
    """Symbol of the coherent unit, ``1`` for shares, numbers and flags.

    Examples
    --------
    >>> si_unit("pressure"), si_unit("time"), si_unit("temperature"), si_unit("fraction")
    ('Pa', 's', 'K', '1')
    """
    if dimension in _NO_UNIT_OF_THE_TABLE:
        return _NO_UNIT_OF_THE_TABLE[dimension]
    table = DIMENSIONS.get(dimension)
    offsets = (table.offsets or {}) if table else {}
    units = table.units.items() if table else ()
    return next((symbol for symbol, factor in units if factor == 1.0 and symbol not in offsets), "1")
