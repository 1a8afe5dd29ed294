"""Where the stroke of a signal may leave a symbol: by the sides that lines leave free."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from pneusim.show.schematic.place import Frame
from pneusim.show.schematic.ports import End, Pin
from pneusim.show.schematic.sheet import Net, Sheet
from pneusim.show.schematic.symbols.registry import DRAWINGS


def exits(net: Net, sheet: Sheet, frame: Frame, pins: Mapping[End, Pin]) -> dict[End, Sequence[Pin]]:
    """Pins by which a signal may leave each symbol, the nearest to the next symbol first."""
    made: dict[End, Sequence[Pin]] = {}
    for name, port in net.ends:
        node, box = sheet.nodes[name], frame.boxes[name]
        taken = {pin.side for (other, _), pin in pins.items() if other == name}
        middle = (box.x + box.w // 2, box.y + box.h // 2)
        sides = {
            "N": Pin(middle[0], box.y, "N"), "S": Pin(middle[0], box.y + box.h, "S"),
            "W": Pin(box.x, middle[1], "W"), "E": Pin(box.x + box.w, middle[1], "E"),
        }  # fmt: skip
        others = [frame.boxes[other].centre for other, _ in net.ends if other != name]
        free = [pin for side, pin in sides.items() if side not in taken and side not in DRAWINGS[node.symbol].closed]
        made[name, port] = sorted(free, key=lambda pin: min(abs(x - pin.x) + abs(y - pin.y) for x, y in others))
    return made
