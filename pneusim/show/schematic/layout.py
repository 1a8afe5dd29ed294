"""From a sheet to boxes, pins, routes and labels; gaps widen until every line finds its way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from pneusim.errors import UsageError
from pneusim.show.schematic.arrange import arrange
from pneusim.show.schematic.exits import exits
from pneusim.show.schematic.place import Frame, frame
from pneusim.show.schematic.ports import End, Pin, pins
from pneusim.show.schematic.quality import measure
from pneusim.show.schematic.route import PASSES, Routes, route
from pneusim.show.schematic.sheet import Net, Sheet, part_of
from pneusim.show.schematic.spots import Area, Label, put_labels, wanted
from pneusim.show.schematic.zones import Cell

GAPS = (3, 5, 7, 9)
"""Free widths between columns and lanes, tried in turn."""

_BESIDE = 6.0
_OUTSIDE = 2.5
_WHEELS = 15
"""Cells from the chassis to the far side of the wheels."""

_WIDE = 0.7
"""How many bends a cell of width is worth."""


@dataclass(frozen=True)
class Layout:
    """All places of a drawing."""

    sheet: Sheet
    cells: Mapping[str, Cell]
    frame: Frame
    pins: Mapping[End, Pin]
    routes: Routes
    labels: Mapping[str, Label]


def lay_out(sheet: Sheet) -> Layout:
    """Place and route a sheet.

    Raises
    ------
    UsageError
        If a line finds no way at the widest gaps.
    """
    cells = arrange(sheet, lambda tried: _judged(sheet, tried))
    for gap in GAPS:
        made = _routed(sheet, cells, gap)
        if not made.routes.failed:
            return made
    raise UsageError(_why(made.routes.failed[0]))


def _routed(sheet: Sheet, cells: Mapping[str, Cell], gap: int) -> Layout:
    room = frame(sheet, cells, gap)
    at = pins(sheet, room)
    found = _routes(sheet, room, at, PASSES)
    return Layout(sheet, cells, room, at, found, put_labels(sheet, room, found, at))


def _routes(sheet: Sheet, room: Frame, at: Mapping[End, Pin], passes: int) -> Routes:
    dear = [(spot, _BESIDE) for spot in wanted(sheet, room, at)]
    inside: list[tuple[Area, float]] = [((box.x, box.y, box.w, box.h), _OUTSIDE) for box in room.chassis.values()]
    wheels = [(area, _OUTSIDE) for area in _beside_chassis(room, _WHEELS)]
    outside = [(area, _OUTSIDE) for area in _beside_chassis(room, room.height)]
    signals = [(net, exits(net, sheet, room, at)) for net in sheet.signals]
    return route(sheet.nets, at, room, dear + outside, dear + wheels + inside, passes, signals)


def _beside_chassis(room: Frame, depth: int) -> list[Area]:
    """Above and below the chassis, as far as the next deck: lines come here only to reach the brakes."""
    bands = [(room.chassis[deck[0]].y, room.chassis[deck[0]].y + room.chassis[deck[0]].h) for deck in room.decks]
    ends = [0, *((below + above) // 2 for (_, below), (above, _) in pairwise(bands)), room.height]
    areas: list[Area] = []
    for (top, bottom), above, below in zip(bands, ends, ends[1:]):
        high, low = min(depth, top - above - 1), min(depth, below - bottom - 1)
        areas += [(0, top - high, room.width, max(high - 1, 0)), (0, bottom + 1, room.width, max(low - 1, 0))]
    return areas


def _judged(sheet: Sheet, cells: Mapping[str, Cell]) -> float:
    """Badness of the cells of one unit, routed alone."""
    alone = part_of(sheet, cells)
    room = frame(alone, cells, GAPS[0])
    return measure(_routes(alone, room, pins(alone, room), passes=0)).badness + _WIDE * room.width


def _why(net: Net) -> str:
    ends = " and ".join(f"{name}.{port}" for name, port in net.ends)
    kind = "line" if net.id.startswith("l-") else "joint"
    where = f"{net.place}: " if net.place.line else ""
    return (
        f"{where}{kind} {net.id[2:]!r} cannot be drawn: no way is left between {ends}, even with gaps of {GAPS[-1]} "
        "cells. Fix: move the 'pos' of parts at its ends apart, or leave 'pos' out there"
    )
