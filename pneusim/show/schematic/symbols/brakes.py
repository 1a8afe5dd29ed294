"""Brake chambers and foundation brakes."""

from __future__ import annotations

from pneusim.show.schematic.symbols.registry import symbol
from pneusim.show.schematic.symbols.strokes import circle, group, line, num, path, rect, spring

_ROD = 10
"""How far the pushrod stands out of the chamber [units]."""


def _thick(x1: float, y1: float, x2: float, y2: float, width: float) -> str:
    return f'<path stroke-width="{num(width)}" d="M{num(x1)},{num(y1)} L{num(x2)},{num(y2)}"/>'


def _service(wall: float, plate: float, w: float, h: float) -> str:
    """Room between a wall and the plate on the pushrod; the plate travels to the far end of the chamber."""
    travel = num(w - 4 - plate)
    room = rect(wall, 3, plate - wall - 3, h - 6, 0, "fill service stroke", grow=f"0 {travel}")
    rod = _thick(plate, 3, plate, h - 3, 4) + _thick(plate, h / 2, w + _ROD, h / 2, 3.5)
    return room + group("rod stroke", rod, move=f"0 0 {travel} 0")


@symbol("chamber", 6, 4)
def chamber(w: float, h: float) -> str:
    """Service room, diaphragm with its plate, pushrod."""
    return rect(0, 0, w, h) + _service(3, w * 0.34, w, h)


@symbol("spring_chamber", 8, 4)
def spring_chamber(w: float, h: float) -> str:
    """The spring's room behind the service room."""
    piston, wall, plate = w * 0.3, w * 0.51, w * 0.72
    travel = wall - piston - 6
    longer = (piston - 5 + travel) / (piston - 5)
    parts = rect(0, 0, w, h) + line((wall, 0), (wall, h))
    parts += rect(
        piston + 3, 3, wall - piston - 5, h - 6, 0, "fill holdoff spring", grow=f"{num(travel)} {num(-travel)}"
    )
    parts += group("zigzag spring", spring(3, h / 2, piston - 2, h / 2, 13, 2), stretch=f"3 {longer:.2f}")
    parts += group("springpiston spring", _thick(piston, 3, piston, h - 3, 4), move=f"0 0 {num(travel)} 0")
    return parts + _service(wall + 2, plate, w, h)


@symbol("drum", 4, 2)
def drum(w: float, h: float) -> str:
    """A cam between two shoes in a drum, seen along the axle."""
    shoes = path(f"M{num(w / 2 - 6)},5 a8,7 0 0 0 0,14") + path(f"M{num(w / 2 + 6)},5 a8,7 0 0 1 0,14")
    return circle(w / 2, h / 2, h / 2) + shoes + circle(w / 2, h / 2, 2.5, "f")


@symbol("disc", 4, 2)
def disc(w: float, h: float) -> str:
    """A disc between its pads."""
    return rect(w / 2 - 2, 0, 4, h, 0, "f") + rect(w / 2 - 11, 5, 7, h - 10) + rect(w / 2 + 4, 5, 7, h - 10)
