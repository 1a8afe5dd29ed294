"""Keeps the cells that were found for a circuit without pins, by the hash of what is drawn and of this package."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from functools import cache
from pathlib import Path

from pneusim.show.schematic.sheet import Sheet
from pneusim.show.schematic.zones import Cell


def cells_of(sheet: Sheet) -> dict[str, Cell] | None:
    """Cells found earlier, None if there are none or they cannot be read."""
    try:
        found = json.loads(_file(sheet).read_text(encoding="utf-8"))
        cells = {str(name): (float(station), float(row)) for name, (station, row) in found.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return None
    return cells if cells.keys() == sheet.nodes.keys() else None


def keep(sheet: Sheet, cells: dict[str, Cell]) -> None:
    """Remember cells; a folder that cannot be written to is no fault."""
    path = _file(sheet)
    try:
        with tempfile.NamedTemporaryFile("w", dir=path.parent, delete=False, encoding="utf-8") as file:
            json.dump(cells, file)
        os.replace(file.name, path)
    except OSError:
        return


def _file(sheet: Sheet) -> Path:
    from pneusim.engine.kernel import cache_folder

    graph = [
        [(unit.name, unit.kind, len(unit.axles)) for unit in sheet.units],
        [(n.name, n.type, n.unit, n.label, n.ports, n.axle, n.side) for n in sheet.nodes.values()],
        [(n.end, n.role, n.pin) for n in sheet.nodes.values()],
        [(net.id, net.ends, net.coupling) for net in sheet.nets],
        [(end, plug.name) for end, plug in sheet.caps.items()],
    ]
    text = json.dumps([program(), graph])
    return cache_folder() / f"places_{hashlib.sha256(text.encode()).hexdigest()[:32]}.json"


@cache
def program() -> str:
    """Hash of this package: another program may find other cells."""
    files = sorted(Path(__file__).parent.rglob("*.py"))
    return hashlib.sha256(b"".join(file.read_bytes() for file in files)).hexdigest()
