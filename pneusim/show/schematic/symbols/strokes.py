"""The strokes that symbols consist of."""

from __future__ import annotations

import math
from collections.abc import Mapping


def _how(motion: Mapping[str, str]) -> str:
    """How a stroke moves when what it shows goes from 0 to 1.

    ``move`` is "x0 y0 x1 y1", ``turn`` "degrees0 degrees1 x y", ``grow`` "dx dwidth", ``stretch`` "x factor".
    """
    return "".join(f' data-{key}="{value}"' for key, value in motion.items())


def num(value: float) -> str:
    """A coordinate, short."""
    return f"{value:.1f}".removesuffix(".0")


def path(d: str, kind: str = "") -> str:
    """A stroke; ``kind`` is "" (open), or begins with "o" (paper inside) or "f" (ink inside)."""
    return f'<path class="{kind}" d="{d}"/>' if kind else f'<path d="{d}"/>'


def rect(x: float, y: float, w: float, h: float, rounded: float = 0.0, kind: str = "o", **motion: str) -> str:
    """A rectangle."""
    corner = f' rx="{num(rounded)}"' if rounded else ""
    return f'<rect class="{kind}" x="{num(x)}" y="{num(y)}" width="{num(w)}" height="{num(h)}"{corner}{_how(motion)}/>'


def circle(x: float, y: float, r: float, kind: str = "o", **motion: str) -> str:
    """A circle."""
    return f'<circle class="{kind}" cx="{num(x)}" cy="{num(y)}" r="{num(r)}"{_how(motion)}/>'


def line(*points: tuple[float, float]) -> str:
    """Straight strokes through points."""
    return path("M" + " L".join(f"{num(x)},{num(y)}" for x, y in points))


def signal(d: str) -> str:
    """The thin stroke of a signal; it says itself how it looks, whatever the page's style."""
    return f'<path class="told" fill="none" stroke="#46505c" stroke-width="2" stroke-dasharray="4 4" d="{d}"/>'


def group(name: str, body: str, **motion: str) -> str:
    """Strokes that show something together; what they do when it changes: see `pneusim.show.replay.scene`."""
    return f'<g class="{name}"{_how(motion)}>{body}</g>'


def arrow(x1: float, y1: float, x2: float, y2: float, size: float = 6.0) -> str:
    """A stroke with a filled head at its end."""
    angle = math.atan2(y2 - y1, x2 - x1)
    wings = [(x2 + size * math.cos(angle + turn), y2 + size * math.sin(angle + turn)) for turn in (2.7, -2.7)]
    head = " L".join(f"{num(x)},{num(y)}" for x, y in [(x2, y2), *wings])
    return line((x1, y1), (x2, y2)) + path(f"M{head}Z", "f")


def spring(x1: float, y1: float, x2: float, y2: float, wide: float = 4.0, turns: int = 3) -> str:
    """A zigzag from one point to another."""
    length = math.hypot(x2 - x1, y2 - y1)
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    points = [(x1, y1)]
    for n in range(2 * turns):
        along, off = length * (n + 0.5) / (2 * turns), wide if n % 2 else -wide
        points.append((x1 + ux * along - uy * off, y1 + uy * along + ux * off))
    return line(*points, (x2, y2))


def exhaust(x: float, y: float, size: float = 5.0, section: str = "") -> str:
    """The open triangle of an exhaust, hanging at (x, y)."""
    return path(f"M{num(x - size)},{num(y)} h{num(2 * size)} l{num(-size)},{num(size * 1.5)}Z", f"o venting{section}")


def squares(x: float, y: float, w: float, h: float, section: str = "") -> str:
    """Two positions of a 3/2 valve: passing, and shut with the delivery vented; ``section`` tells two valves apart."""
    half = w / 2
    middle = x + 1.5 * half
    shut = line((middle - 6, y + h - 6), (middle + 6, y + h - 6)) + line((middle, y + h - 6), (middle, y + h))
    through = arrow(x + half / 2, y + h - 4, x + half / 2, y + 4)
    out = shut + arrow(middle, y + 4, middle, y + h - 11, 5)
    return (
        rect(x, y, w, h) + line((x + half, y), (x + half, y + h))
        + group(f"position passing{section}", rect(x, y, half, h, 0, "square") + through)
        + group(f"position venting{section}", rect(x + half, y, half, h, 0, "square") + out)
    )  # fmt: skip


def check(x: float, y: float, size: float) -> str:
    """A ball on its seat, passing to the right."""
    seat = line((x + size * 0.1, y - size), (x - size, y), (x + size * 0.1, y + size))
    return circle(x, y, size * 0.55, "o ball", move=f"0 0 {num(size * 0.7)} 0") + seat


def reading(x: float, y: float) -> str:
    """Room for the number of a pressure."""
    return f'<text class="value" x="{num(x)}" y="{num(y + 7)}"/>'


def letter(x: float, y: float, text: str, size: float = 15) -> str:
    """A letter as part of a symbol."""
    return f'<text class="mark" x="{num(x)}" y="{num(y + size * 0.36)}" font-size="{num(size)}">{text}</text>'
