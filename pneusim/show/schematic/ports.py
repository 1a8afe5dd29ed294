"""Where lines leave their boxes: by the side that faces their partner, ordered by the partner's place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pneusim.show.schematic.fixed import Aims, lane_of, sides_of
from pneusim.show.schematic.place import Box, Frame
from pneusim.show.schematic.sheet import Net, Node, Sheet
from pneusim.show.schematic.symbols import is_fixed, is_round, rooms, span

STEP = {"E": (1, 0), "W": (-1, 0), "N": (0, -1), "S": (0, 1)}


@dataclass(frozen=True)
class Pin:
    """A point on a box's outline, and the side that it is on."""

    x: int
    y: int
    side: str

    @property
    def stub(self) -> tuple[int, int]:
        """The grid point before it."""
        dx, dy = STEP[self.side]
        return self.x + dx, self.y + dy


End = tuple[str, str]


def pins(sheet: Sheet, frame: Frame) -> dict[End, Pin]:
    """Pin of every (node, port) in use."""
    partners: dict[str, dict[str, tuple[float, float]]] = {name: {} for name in sheet.nodes}
    for net in sheet.nets:
        for name, port in net.ends:
            partners[name][port] = _aim(net, name, frame)
    for name, port in sheet.caps:
        partners[name][port] = frame.boxes[name].centre
    made: dict[End, Pin] = {}
    for name, aims in partners.items():
        for port, pin in _on_box(sheet.nodes[name], frame.boxes[name], aims).items():
            made[name, port] = pin
    for net in sheet.nets:
        if len(net.ends) == 2:
            _straighten(net.ends[0], net.ends[1], made, sheet, frame)
    return made


def _straighten(one: End, other: End, made: dict[End, Pin], sheet: Sheet, frame: Frame) -> None:
    """Move a pin that is alone on its side, so that the line to the pin that it faces has no corner."""
    if {made[one].side, made[other].side} not in ({"E", "W"}, {"N", "S"}):
        return
    for still, moved in ((one, other), (other, one)):
        pin, node, box = made[moved], sheet.nodes[moved[0]], frame.boxes[moved[0]]
        alone = sum(made[node.name, port].side == pin.side for port in node.ports) == 1
        first, last = span(node, pin.side, box.w, box.h)
        x, y = (pin.x, made[still].y) if pin.side in "EW" else (made[still].x, pin.y)
        along = y - box.y if pin.side in "EW" else x - box.x
        if alone and first < along < last and not is_round(node) and not is_fixed(node):
            made[moved] = Pin(x, y, pin.side)
            return


def _aim(net: Net, name: str, frame: Frame) -> tuple[float, float]:
    """Where a net wants to go from a node: to the nearest other end."""
    x, y = frame.boxes[name].centre
    others = [frame.boxes[other].centre for other, _ in net.ends if other != name] or [(x + 1, y)]
    return min(others, key=lambda c: (abs(c[0] - x) + abs(c[1] - y), c))


def _on_box(node: Node, box: Box, aims: Aims) -> dict[str, Pin]:
    sides = _filled(node, box, aims)
    made: dict[str, Pin] = {}
    for side, ports in sides.items():
        upright = side in "WE"
        ports.sort(key=lambda port: (_order(node, port), aims[port][1 if upright else 0], port))
        first, last = span(node, side, box.w, box.h)
        for port, offset in zip(ports, (first + n for n in _offsets(len(ports), last - first))):
            x = {"W": box.x, "E": box.x + box.w}.get(side, box.x + offset)
            lane = lane_of(node, port)
            y = {"N": box.y, "S": box.y + box.h}.get(side, box.y + (offset if lane is None else lane))
            made[port] = Pin(x, y, side)
    return made


def _filled(node: Node, box: Box, aims: Aims) -> dict[str, list[str]]:
    """Ports by side: each where it wants to be, or where there still is room."""
    sides: dict[str, list[str]] = {"W": [], "N": [], "E": [], "S": []}
    room = rooms(node, box.w, box.h)
    wishes = {port: [wish for wish in _wishes(node, port, box, aims) if room[wish[0]]] for port in aims}
    for port in sorted(aims, key=lambda port: (-_eagerness(wishes[port]), port)):
        side = next(side for side, _ in wishes[port] if len(sides[side]) < room[side])
        sides[side].append(port)
    return sides


def _eagerness(wishes: Sequence[tuple[str, float]]) -> float:
    """How much better the first wish is than the second."""
    return wishes[0][1] - wishes[1][1] if len(wishes) > 1 else 0.0


def _order(node: Node, port: str) -> int:
    """The rooms of a spring-brake actuator lie in a fixed order: spring, then service; so do passages side by side."""
    return {"12": 0, "11": 1}.get(port, 2) if node.symbol == "spring_chamber" else lane_of(node, port) or 0


def _wishes(node: Node, port: str, box: Box, aims: Aims) -> list[tuple[str, float]]:
    """Sides from the one that faces the aim to the one that does not, with how much they do."""
    (x, y), aim = box.centre, aims[port]
    dx, dy = (aim[0] - x) / box.w, 0.8 * (aim[1] - y) / box.h
    facing = {"E": dx, "W": -dx, "S": dy, "N": -dy}
    if node.is_brake:
        facing["S" if node.side == "right" else "N"] = 1e3
    for side in sides_of(node, port, aims):
        facing[side] += 1e3
    if node.symbol == "coupling":
        facing["E" if (node.end == "front") == (port == "1") else "W"] += 1e3
    return sorted(facing.items(), key=lambda item: (-item[1], item[0]))


def _offsets(count: int, length: int) -> list[int]:
    """Evenly spread grid points of a side, two apart where there is room."""
    if not count:
        return []
    if count == 1:
        return [length // 2]
    step = max(min(2, (length - 2) // (count - 1)), 1)
    first = (length - step * (count - 1)) // 2
    return [first + step * n for n in range(count)]
