"""Gives every part its cell: a pin first, then axle and side, then the zone of its kind, then what annealing finds."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

from pneusim.circuit.circuit import Vehicle
from pneusim.show.schematic.anneal import Annealer
from pneusim.show.schematic.sheet import Node, Sheet
from pneusim.show.schematic.zones import OUTER, Cell, axles_of, beyond, fixed_cell, in_cab, rows_for, stations

SEEDS = 20
TRIED = 8
"""Of the arrangements that the seeds find, so many are routed; the best drawing is kept."""

Judge = Callable[[Mapping[str, Cell]], float]


def arrange(sheet: Sheet, judge: Judge) -> dict[str, Cell]:
    """Cells of all nodes, unit by unit; ``judge`` routes the cells of one unit and tells how bad the picture is."""
    cells: dict[str, Cell] = {}
    for unit in sheet.units:
        cells |= _unit(unit, sheet.placed(unit.name), sheet, judge)
    return cells


def known_cells(nodes: Sequence[Node], axles: int) -> dict[str, Cell]:
    """Cells by pin, then by fact.  Of two parts with one cell the first keeps a pin; by fact the next steps aside."""
    cells: dict[str, Cell] = {}
    taken: set[Cell] = set()
    for node in nodes:
        if node.pin is not None and node.pin not in taken:
            cells[node.name] = node.pin
            taken.add(node.pin)
    for node in nodes:
        cell = fixed_cell(node, axles)
        if node.name in cells or cell is None:
            continue
        while cell in taken:
            cell = (round(cell[0] + 0.3, 2), cell[1]) if node.is_brake else (cell[0], cell[1] - 2.0)
        cells[node.name] = cell
        taken.add(cell)
    return cells


def _unit(unit: Vehicle, nodes: Sequence[Node], sheet: Sheet, judge: Judge) -> dict[str, Cell]:
    axles = axles_of(unit, nodes)
    known = known_cells(nodes, axles)
    free = [node for node in nodes if node.name not in known]
    if not free:
        return known
    pinned = [node for node in nodes if node.pin is not None and not node.is_brake]
    around = [node for node in nodes if not node.beyond]
    columns = _columns_between(known, free) if pinned else stations(unit, around, axles)
    rows = sorted({*rows_for(len(free)), *(cell[1] for cell in known.values() if pinned)})
    rows = [row for row in rows if abs(row) < OUTER]
    allowed = _allowed(unit, free, [(s, r) for s in columns for r in rows if (s, r) not in known.values()])
    for end in ("front", "rear"):
        strange = [node.name for node in free if node.beyond == end]
        outer = beyond(end, len(strange), axles)
        cells = [(s, r) for s in outer for r in rows if (s, r) not in known.values()]
        allowed |= {name: cells for name in strange}
        columns = [*columns, *(outer if strange else [])]
    names = {node.name for node in nodes}
    nets = [[name for name, _ in net.ends if name in names] for net in sheet.nets]
    every = sorted({*columns, *(cell[0] for cell in known.values())})
    annealer = Annealer(allowed, known, nets, {station: n for n, station in enumerate(every)})
    found = _distinct(sorted((annealer.run(seed) for seed in range(SEEDS)), key=lambda result: result[0]))
    return min(found[:TRIED], key=judge) if len(found) > 1 else found[0]


def _distinct(results: Sequence[tuple[float, dict[str, Cell]]]) -> list[dict[str, Cell]]:
    return list({tuple(sorted(cells.items())): cells for _, cells in results}.values())


def _columns_between(known: Mapping[str, Cell], free: Sequence[Node]) -> list[float]:
    """Where pins are, new parts go to their stations, and between them if those have no room."""
    columns = sorted({cell[0] for cell in known.values()})
    room = len(columns) * len(rows_for(len(known))) - len(known)
    if room < 2 * len(free):
        columns += [round((a + b) / 2, 2) for a, b in pairwise(columns)]
        columns += [columns[-1] + n for n in range(1, len(free) + 1)] if len(columns) < 3 else []
    return sorted(columns)


def _allowed(unit: Vehicle, free: Sequence[Node], cells: Sequence[Cell]) -> dict[str, Sequence[Cell]]:
    cab = [cell for cell in cells if cell[0] < 1.0]
    inside = [node.name for node in free if in_cab(unit, node)]
    roomy = len(cab) >= len(inside)
    return {node.name: (cab if node.name in inside and roomy and cab else cells) for node in free}


def is_settled(sheet: Sheet) -> bool:
    """Whether pins and facts place every node, so that nothing is searched for."""
    for unit in sheet.units:
        nodes = sheet.placed(unit.name)
        if len(known_cells(nodes, axles_of(unit, nodes))) < len(nodes):
            return False
    return True
