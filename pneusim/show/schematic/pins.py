"""Writes cells into a circuit file as pins; every other byte of the file stays as it is.

A file of one unit gets ``pos: [station, row]`` in the entries of its components, a combination a ``layout:`` block with
one line per component.  Only what the drawing searched for is written: pins that are there stay, and brakes and
coupling heads need none.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml

from pneusim.circuit.circuit import Circuit
from pneusim.errors import UsageError
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.zones import Cell, axles_of, fixed_cell


@dataclass(frozen=True)
class _Edit:
    """Text that takes the place of ``start`` to ``end``."""

    start: int
    end: int
    text: str


def write_pins(circuit: Circuit, layout: Layout) -> int:
    """Store the places of a drawing in the circuit's file; return how many were new.

    Raises
    ------
    UsageError
        If the file cannot be written.
    """
    path = Path(circuit.source)
    found = new_pins(layout)
    if not found:
        return 0
    before = path.read_bytes()
    after = with_pins(before.decode("utf-8"), found, combination=_is_combination(circuit))
    try:
        path.write_bytes(after.encode("utf-8"))
    except OSError as error:
        raise UsageError(f"{path}: the pins cannot be written ({error.strerror}); copy the file first") from None
    return len(found)


def _is_combination(circuit: Circuit) -> bool:
    return any(vehicle.name for vehicle in circuit.vehicles)


def new_pins(layout: Layout) -> dict[str, Cell]:
    """Cells that neither a pin nor axle, side or end give."""
    new: dict[str, Cell] = {}
    for unit in layout.sheet.units:
        nodes = layout.sheet.placed(unit.name)
        axles = axles_of(unit, nodes)
        for node in nodes:
            cell = layout.cells[node.name]
            if cell != node.pin and (node.pin is not None or fixed_cell(node, axles) != cell):
                new[node.name] = cell
    return new


def with_pins(text: str, cells: Mapping[str, Cell], combination: bool = False) -> str:
    """Text of a circuit file with pins added."""
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    text = text.removeprefix(mark)
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    newline = "\r\n" if "\r\n" in text else "\n"
    top = _entries(root)
    if combination:
        edits = _in_layout(text, top.get("layout"), cells, newline)
    else:
        inside = _entries(top["components"][1])
        edits = [_in_entry(inside[name][1], cell, newline) for name, cell in cells.items()]
    for edit in sorted(edits, key=lambda edit: edit.start, reverse=True):
        text = text[: edit.start] + edit.text + text[edit.end :]
    return mark + text


def _entries(node: yaml.Node | None) -> dict[str, tuple[yaml.Node, yaml.Node]]:
    assert node is not None
    return {key.value: (key, value) for key, value in node.value}


def _list(cell: Cell) -> str:
    return f"[{cell[0]:g}, {cell[1]:g}]"


def _in_entry(entry: yaml.Node, cell: Cell, newline: str) -> _Edit:
    """The pin of one component: behind its last key in braces, else in a line of its own before its first key."""
    held = _entries(entry).get("pos")
    if held:
        value = held[1]
        return _Edit(value.start_mark.index, value.end_mark.index, _list(cell))
    pin = f"pos: {_list(cell)}"
    if isinstance(entry, yaml.MappingNode) and entry.flow_style:
        behind = entry.value[-1][1].end_mark.index
        return _Edit(behind, behind, f", {pin}")
    first = entry.value[0][0].start_mark
    return _Edit(first.index, first.index, f"{pin}{newline}{' ' * first.column}")


def _in_layout(
    text: str, held: tuple[yaml.Node, yaml.Node] | None, cells: Mapping[str, Cell], newline: str
) -> list[_Edit]:
    """The block of a combination; what it held stays, and the block stands at the end of the file if it is new."""
    lines = "".join(f"{newline}  {name}: {_list(cell)}" for name, cell in cells.items())
    if held is None:
        gap = "" if text.endswith("\n") else newline
        return [_Edit(len(text), len(text), f"{gap}{newline}layout:{lines}{newline}")]
    key, value = held
    if not isinstance(value, yaml.MappingNode) or not value.value:
        return [_Edit(key.start_mark.index, value.end_mark.index, f"layout:{lines}")]
    inside = _entries(value)
    edits = [
        _Edit(inside[name][1].start_mark.index, inside[name][1].end_mark.index, _list(cell))
        for name, cell in cells.items() if name in inside
    ]  # fmt: skip
    behind = value.value[-1][1].end_mark.index
    if not value.flow_style:  # behind a comment in the last line
        found = re.compile(r"\r?\n|$").search(text, behind)
        behind = found.start() if found else behind
    before = ", " if value.flow_style else newline + " " * value.value[0][0].start_mark.column
    new = "".join(f"{before}{name}: {_list(cell)}" for name, cell in cells.items() if name not in inside)
    return [*edits, _Edit(behind, behind, new)]
