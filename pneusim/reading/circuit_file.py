"""A circuit file, with all files that it names, to a `Circuit` or to all its faults."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, cast

from pneusim.circuit.circuit import Circuit, Heat
from pneusim.errors import Fault
from pneusim.reading.components import read_components
from pneusim.reading.connections import check_connections
from pneusim.reading.context import Context, UnitFile
from pneusim.reading.documents import Document, Library
from pneusim.reading.faults import Faults
from pneusim.reading.lines import read_joints, read_lines
from pneusim.reading.partners import check_partners
from pneusim.reading.scenarios import read_scenarios, read_variants
from pneusim.reading.shipped import shipped_file
from pneusim.reading.surroundings import read_ambient, read_heat
from pneusim.reading.tree import plain
from pneusim.reading.units import gather
from pneusim.reading.vehicles import read_vehicle


def load(path: str | Path) -> Circuit:
    """Read a circuit file, or a shipped circuit by its name.

    Raises
    ------
    InvalidFile
        With all faults of the file and of those that it names.

    Examples
    --------
    >>> load("tank-and-orifice").title
    'A reservoir empties through an orifice'
    """
    return _or_raise(*_read_file(path))


def load_text(text: str, name: str = "circuit") -> Circuit:
    """Read a circuit from text; ``name`` stands for the file in messages.

    Raises
    ------
    InvalidFile
    """
    faults = Faults()
    document = Library(faults).text(text, name)
    return _or_raise(_circuit(document, Library(faults), faults), faults)


def read(path: str | Path) -> tuple[Circuit | None, list[Fault]]:
    """Circuit of a file or of a shipped name, None if it has errors, and all its faults by place."""
    circuit, faults = _read_file(path)
    return circuit, faults.all()


def _read_file(path: str | Path) -> tuple[Circuit | None, Faults]:
    faults = Faults()
    library = Library(faults)
    file = Path(path)
    if not file.exists():
        file = shipped_file(str(path)) or file
    return _circuit(library.open(file), library, faults), faults


def _or_raise(circuit: Circuit | None, faults: Faults) -> Circuit:
    faults.raise_errors()
    assert circuit is not None
    return circuit


def _circuit(document: Document | None, library: Library, faults: Faults) -> Circuit | None:
    if document is None:
        return None
    context = Context(faults)
    outermost, *inner = gather(document, library, context)
    context.ambient = read_ambient(outermost.fields, faults)
    units = [outermost, *inner]
    for unit in units:
        vehicle = read_vehicle(unit, context)
        if vehicle:
            context.draft.vehicles.append(vehicle)
        read_components(unit, len(vehicle.axles) if vehicle else 0, context)
    for unit in units:
        read_lines(unit, context)
        read_joints(unit, context)
    check_partners(context)
    circuit = _assembled(outermost, context)
    check_connections(circuit, context)
    circuit = replace(
        circuit, scenarios=read_scenarios(outermost, library, context), variants=read_variants(outermost, context)
    )
    return None if faults.errors else circuit


def _assembled(unit: UnitFile, context: Context) -> Circuit:
    draft, fields, document = context.draft, unit.fields, unit.document
    name = Path(document.file).stem
    layout = fields.mapping("layout")
    return Circuit(
        title=fields.text("title") or name.replace("-", " ").replace("_", " "),
        components=draft.components,
        lines=draft.lines,
        joints=tuple(draft.joints),
        vehicles=tuple(draft.vehicles),
        ambient=context.ambient,
        heat=read_heat(fields) or Heat(),
        about=fields.text("about") or "",
        source=document.file,
        name=name,
        layout=cast("dict[str, Any]", plain(layout)) if layout else {},
    )
