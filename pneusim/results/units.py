"""The SI unit that files write a dimension in."""

from __future__ import annotations

from pneusim.quantities import DIMENSIONS

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
