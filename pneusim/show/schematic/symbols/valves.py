"""Valves: two position squares and what moves them."""

from __future__ import annotations

from pneusim.show.schematic.symbols.registry import symbol
from pneusim.show.schematic.symbols.strokes import (
    arrow,
    check,
    circle,
    exhaust,
    group,
    letter,
    line,
    num,
    path,
    rect,
    spring,
    squares,
)

_SIDE = 14
"""Room beside the squares for a spring or a control [units]."""


def _relay(w: float, h: float, mark: str = "") -> str:
    """Squares against a return spring, exhaust below; a letter tells what the valve adds."""
    frame = rect(0, 0, w, h) + spring(0, h / 2, _SIDE, h / 2, 8, 2)
    body = frame + squares(_SIDE, 0, w - _SIDE, h) + exhaust(w - 12, h, 5)
    return body + (_mark(w / 2 + _SIDE / 2, h / 2, mark) if mark else "")


def _mark(x: float, y: float, text: str) -> str:
    return circle(x, y, 9) + letter(x, y, text, 13)


def _knob(h: float) -> str:
    return group("knob", line((_SIDE, h / 2), (5, h / 2)) + circle(4, h / 2, 5, "f"), move="3 0 -10 0")


def _lever(h: float) -> str:
    stick = line((6, h / 2), (-4, 3)) + circle(-4, 3, 4, "f")
    return line((_SIDE, h / 2), (6, h / 2)) + group("lever", stick, turn=f"0 -60 6 {num(h / 2)}")


def _manual(w: float, h: float, control: str, mark: str = "") -> str:
    body = squares(_SIDE, 0, w - _SIDE, h) + control + exhaust(w - 12, h, 5)
    return body + (_mark(_SIDE + (w - _SIDE) / 2, h / 2, mark) if mark else "")


@symbol("treadle", 6, 10, closed="N", exhaust=2, shoulder=2)
def treadle(w: float, h: float) -> str:
    """Two sections, one above the other, under a treadle."""
    top, each = 24, (h - 24) / 2
    plate = f'<path stroke-width="4" d="M{num(w / 2 - 26)},5 L{num(w / 2 + 22)},15"/>'
    pedal = group("pedal", plate, turn=f"0 -16 {num(w / 2 + 22)} 15") + line((w / 2, 10), (w / 2, top))
    sections = squares(0, top, w, each) + squares(0, top + each, w, each, "2")
    return pedal + sections + exhaust(w - 12, h, 5, "2")


@symbol("hand", 6, 4, closed="W", exhaust=2)
def hand(w: float, h: float) -> str:
    """Squares moved by a lever."""
    return _manual(w, h, _lever(h))


@symbol("push_pull", 6, 4, closed="W", exhaust=2)
def push_pull(w: float, h: float) -> str:
    """Squares moved by a knob."""
    return _manual(w, h, _knob(h))


@symbol("graduated_park", 6, 4, closed="W", exhaust=2)
def graduated_park(w: float, h: float) -> str:
    """A lever that grades the pressure."""
    return _manual(w, h, _lever(h), "P")


@symbol("park_release", 6, 4, closed="W", exhaust=2)
def park_release(w: float, h: float) -> str:
    """A knob at the trailer's side."""
    return _manual(w, h, _knob(h), "R")


@symbol("auxiliary_release", 6, 4, closed="W", exhaust=2)
def auxiliary_release(w: float, h: float) -> str:
    """A knob that lets the springs off once more."""
    return _manual(w, h, _knob(h), "A")


@symbol("relay", 6, 4, exhaust=2)
def relay(w: float, h: float) -> str:
    """Squares moved by control air against a spring."""
    return _relay(w, h)


@symbol("two_port_relay", 6, 4, exhaust=2)
def two_port_relay(w: float, h: float) -> str:
    """A relay valve with two controls."""
    return _relay(w, h, "2")


@symbol("ratio_relay", 6, 4, exhaust=2)
def ratio_relay(w: float, h: float) -> str:
    """A relay valve that gives a ratio."""
    return _relay(w, h, "%")


@symbol("relay_emergency", 6, 4, exhaust=2)
def relay_emergency(w: float, h: float) -> str:
    """A relay valve that applies when the supply line is lost."""
    return _relay(w, h, "E")


@symbol("trailer_control", 6, 4, exhaust=2)
def trailer_control(w: float, h: float) -> str:
    """Makes the trailer's control pressure."""
    return _relay(w, h, "T")


@symbol("trailer_spring", 6, 4, exhaust=2)
def trailer_spring(w: float, h: float) -> str:
    """Holds the trailer's springs off with the supply line."""
    return _relay(w, h, "S")


@symbol("spring_modulating", 6, 4, exhaust=2)
def spring_modulating(w: float, h: float) -> str:
    """Grades the springs when a service circuit is lost."""
    return _relay(w, h, "M")


@symbol("bobtail", 6, 4, exhaust=2)
def bobtail(w: float, h: float) -> str:
    """Lowers the pressure of a tractor without its trailer."""
    return _relay(w, h, "B")


def _reducing(w: float, h: float, mark: str) -> str:
    """One square with a path, a spring, and its own delivery as control."""
    through = arrow(_SIDE + 6, h / 2 + 6, w - 6, h / 2 + 6)
    return (
        rect(0, 0, w, h) + line((_SIDE, 0), (_SIDE, h)) + spring(0, h / 2, _SIDE, h / 2, 8, 2)
        + group("position passing", rect(_SIDE, 0, w - _SIDE, h, 0, "square") + through)
        + letter((w + _SIDE) / 2, h / 2 - 9, mark, 15)
        + exhaust(w - 12, h, 5)
    )  # fmt: skip


@symbol("limiting", 6, 4, exhaust=2)
def limiting(w: float, h: float) -> str:
    """Limits its delivery."""
    return _reducing(w, h, "max")


@symbol("front_ratio", 6, 4, exhaust=2)
def front_ratio(w: float, h: float) -> str:
    """Delivers a share."""
    return _reducing(w, h, "%")


@symbol("load_sensing", 6, 4, exhaust=2)
def load_sensing(w: float, h: float) -> str:
    """Delivers a share that the load sets through a rod."""
    return _reducing(w, h, "load")


@symbol("quick_release", 6, 4, exhaust=2)
def quick_release(w: float, h: float) -> str:
    """A diaphragm between supply and exhaust."""
    m = h / 2
    left, right = (line((x, m - 11), (w / 2 + gap, m), (x, m + 11)) for x, gap in ((14, -7), (w - 14, 7)))
    seats = group("seats passing", left + right)
    return rect(0, 0, w, h) + seats + circle(w / 2, m, 5, "f ball", move="0 -9 0 9") + exhaust(w - 12, h, 5)


@symbol("modulator", 4, 4)
def modulator(w: float, h: float) -> str:
    """Two coils on a valve."""
    holds = rect(0, 0, 12, h, 0, "o shut") + line((0, h), (12, 0))
    vents = rect(w - 12, 0, 12, h, 0, "o venting") + line((w - 12, h), (w, 0))
    through = rect(12, 0, w - 24, h, 0, "square") + arrow(w / 2, h - 6, w / 2, 6)
    return rect(0, 0, w, h) + holds + vents + group("position passing", through)


@symbol("protection", 6, 4, directed=True)
def protection(w: float, h: float) -> str:
    """Opens to the next circuit above a pressure."""
    seat = line((0, h / 2), (12, h / 2)) + check(22, h / 2, 11)
    return rect(0, 0, w, h) + seat + spring(31, h / 2, w - 6, h / 2, 8, 3)


@symbol("four_circuit", 8, 4)
def four_circuit(w: float, h: float) -> str:
    """Four protection valves in one body."""
    each = "".join(
        circle(w * n / 8, h * 0.32, 5, f"o ball{circuit}", move="0 0 0 -6")
        + line((w * n / 8 - 8, h * 0.25), (w * n / 8, h * 0.48), (w * n / 8 + 8, h * 0.25))
        + spring(w * n / 8, h * 0.52, w * n / 8, h - 4, 5, 2)
        for n, circuit in ((1, 21), (3, 22), (5, 23), (7, 24))
    )  # fmt: skip
    return rect(0, 0, w, h) + each


@symbol("tractor_protection", 6, 4, directed=True, fixed=True)
def tractor_protection(w: float, h: float) -> str:
    """The supply passes straight above; below it is the passage of the control line, which can shut."""
    supply, control = (
        rect(0, top, w, h / 2, 0, "square") + arrow(8, top + h / 4, w - 8, top + h / 4) for top in (0, h / 2)
    )
    return (
        rect(0, 0, w, h) + line((0, h / 2), (w, h / 2))
        + group("position on", supply) + group("position passing", control)
        + path(f"M{num(w / 2)},{num(h / 2 + 4)} v{num(h / 2 - 8)}", "bars")
    )  # fmt: skip
