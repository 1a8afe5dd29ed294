"""Brake chambers and foundation brakes."""

from __future__ import annotations

from pneusim.show.schematic.symbols.registry import symbol
from pneusim.show.schematic.symbols.strokes import circle, line, num, path, rect, spring


def _thick(x1: float, y1: float, x2: float, y2: float, width: float) -> str:
    return f'<path stroke-width="{num(width)}" d="M{num(x1)},{num(y1)} L{num(x2)},{num(y2)}"/>'


@symbol("chamber", 6, 4)
def chamber(w: float, h: float) -> str:
    """Service room, diaphragm with its plate, pushrod."""
    plate = w * 0.34
    rod = _thick(plate, 3, plate, h - 3, 4) + _thick(plate, h / 2, w + 10, h / 2, 3.5)
    return rect(0, 0, w, h) + rect(3, 3, plate - 6, h - 6, 0, "fill") + rod


@symbol("spring_chamber", 8, 4)
def spring_chamber(w: float, h: float) -> str:
    """The spring's room behind the service room."""
    piston, wall, plate = w * 0.3, w * 0.51, w * 0.72
    parts = rect(0, 0, w, h) + rect(piston + 3, 3, wall - piston - 5, h - 6, 0, "fill") + line((wall, 0), (wall, h))
    parts += spring(3, h / 2, piston - 2, h / 2, 13, 2) + _thick(piston, 3, piston, h - 3, 4)
    parts += rect(wall + 2, 3, plate - wall - 5, h - 6, 0, "fill")
    return parts + _thick(plate, 3, plate, h - 3, 4) + _thick(plate, h / 2, w + 10, h / 2, 3.5)


@symbol("drum", 4, 2)
def drum(w: float, h: float) -> str:
    """A cam between two shoes in a drum, seen along the axle."""
    shoes = path(f"M{num(w / 2 - 6)},5 a8,7 0 0 0 0,14") + path(f"M{num(w / 2 + 6)},5 a8,7 0 0 1 0,14")
    return circle(w / 2, h / 2, h / 2) + shoes + circle(w / 2, h / 2, 2.5, "f")


@symbol("disc", 4, 2)
def disc(w: float, h: float) -> str:
    """A disc between its pads."""
    return rect(w / 2 - 2, 0, 4, h, 0, "f") + rect(w / 2 - 11, 5, 7, h - 10) + rect(w / 2 + 4, 5, 7, h - 10)
