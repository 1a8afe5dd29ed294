"""Layouts of circuits, each searched for and routed once: the scenarios of a circuit share its drawing.

A layout is kept in this process and, because routing a road train takes seconds, in the cache folder.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import tempfile
from pathlib import Path

from pneusim.circuit.circuit import Circuit
from pneusim.show.schematic.cache import program
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.picture import draw
from pneusim.show.schematic.sheet import Sheet, sheet

KEPT = 4
"""So many layouts are remembered in this process."""

_layouts: list[Layout] = []


def laid_out(circuit: Circuit) -> Layout:
    """The layout of a circuit.

    Raises
    ------
    UsageError
        If a line cannot be drawn.
    """
    shown = sheet(circuit)
    layout = next((layout for layout in _layouts if layout.sheet == shown), None)
    if layout is None:
        layout = _found(shown) or _made(circuit)
        _layouts.insert(0, layout)
        del _layouts[KEPT:]
    return layout


def _made(circuit: Circuit) -> Layout:
    layout = draw(circuit).layout
    path = _file(layout.sheet)
    try:
        with tempfile.NamedTemporaryFile("wb", dir=path.parent, delete=False) as file:
            pickle.dump(layout, file)
        os.replace(file.name, path)
    except OSError:
        pass  # a folder that cannot be written to is no fault
    return layout


def _found(shown: Sheet) -> Layout | None:
    """A layout kept earlier, None if there is none or it cannot be read."""
    try:
        layout = pickle.loads(_file(shown).read_bytes())
    except (OSError, ValueError, TypeError, AttributeError, ImportError, LookupError, EOFError, pickle.PickleError):
        return None
    return layout if isinstance(layout, Layout) and layout.sheet == shown else None


def _file(shown: Sheet) -> Path:
    from pneusim.engine.kernel import cache_folder

    name = hashlib.sha256(f"{program()} {shown!r}".encode()).hexdigest()[:32]
    return cache_folder() / f"layout_{name}.pickle"
