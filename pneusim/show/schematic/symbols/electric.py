"""What is wired and not piped."""

from __future__ import annotations

from pneusim.show.schematic.symbols.registry import symbol
from pneusim.show.schematic.symbols.strokes import circle, letter, line, num, rect


@symbol("wheel_sensor", 2, 2, round_=True)
def wheel_sensor(w: float, h: float) -> str:
    """A transducer for a speed of rotation, with a stroke through it that only a lost one shows."""
    lost = f'<path class="bars" display="none" d="M2,{num(h - 2)} L{num(w - 2)},2"/>'
    return circle(w / 2, h / 2, w / 2 - 1) + letter(w / 2, h / 2 - 1, "n", 17) + lost


@symbol("electronic_control", 6, 4)
def electronic_control(w: float, h: float) -> str:
    """A box with the pins of its plug, and a dot that is filled while it controls."""
    plug = "".join(line((x, h), (x, h - 8)) for x in (w / 2 - 14, w / 2, w / 2 + 14))
    return rect(0, 0, w, h) + plug + letter(w / 2 - 6, h / 2 - 3, "ABS", 18) + circle(w - 11, 11, 5, "o ball")
