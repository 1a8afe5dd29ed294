"""Layouts of circuits, each searched for and routed once: the scenarios of a circuit share its drawing."""

from __future__ import annotations

from pneusim.circuit.circuit import Circuit
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.picture import draw

KEPT = 4
"""So many layouts are remembered."""

_layouts: list[tuple[Circuit, Layout]] = []


def laid_out(circuit: Circuit) -> Layout:
    """The layout of a circuit.

    Raises
    ------
    UsageError
        If a line cannot be drawn.
    """
    for known, layout in _layouts:
        if _drawn_alike(known, circuit):
            return layout
    layout = draw(circuit).layout
    _layouts.insert(0, (circuit, layout))
    del _layouts[KEPT:]
    return layout


def _drawn_alike(one: Circuit, other: Circuit) -> bool:
    """Whether two circuits have the same parts, lines and places."""
    return one is other or all(
        getattr(one, name) == getattr(other, name)
        for name in ("title", "components", "lines", "joints", "vehicles", "layout")
    )
