"""Where air comes from, is kept and goes; what measures and joins."""

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
    reading,
    rect,
    spring,
)


def _diamond(w: float, h: float) -> str:
    return path(f"M{num(w / 2)},0 L{num(w)},{num(h / 2)} L{num(w / 2)},{num(h)} L0,{num(h / 2)}Z", "o")


@symbol("reservoir", 8, 4)
def reservoir(w: float, h: float) -> str:
    """A capsule."""
    return rect(0, 0, w, h, h / 2) + rect(4, 4, w - 8, h - 8, h / 2 - 4, "fill") + reading(w / 2, h / 2)


@symbol("volume", 4, 4)
def volume(w: float, h: float) -> str:
    """A small rigid vessel."""
    return rect(0, 0, w, h, 12) + rect(4, 4, w - 8, h - 8, 9, "fill") + reading(w / 2, h / 2)


@symbol("compressor", 4, 4, round_=True, closed="W")
def compressor(w: float, h: float) -> str:
    """A circle with an open triangle in the direction of delivery, and its shaft."""
    r = h / 2
    shaft = line((0, r), (-10, r)) + line((-10, r - 8), (-10, r + 8))
    return shaft + circle(w / 2, r, r) + path(f"M{num(w / 2 - 13)},{num(r - 8)} h26 l-13,-15Z", "o running loaded")


@symbol("dryer", 4, 4, round_=True, closed="S")
def dryer(w: float, h: float) -> str:
    """A conditioning diamond with a chevron and a drain."""
    return _diamond(w, h) + line((w / 4, h * 3 / 4), (w / 2, h / 2), (w * 3 / 4, h * 3 / 4)) + exhaust(w / 2, h, 5)


@symbol("filter", 4, 4, round_=True)
def line_filter(w: float, h: float) -> str:
    """A conditioning diamond with a screen."""
    return _diamond(w, h) + f'<path stroke-dasharray="4 3" d="M{num(w / 2)},2 V{num(h - 2)}"/>'


@symbol("silencer", 4, 2)
def silencer(w: float, h: float) -> str:
    """A box that lets air out in many ways."""
    return rect(0, 0, w, h) + line((8, h / 2 - 5), (8, h / 2 + 5)) + arrow(14, h / 2, w - 6, h / 2)


@symbol("governor", 6, 4)
def governor(w: float, h: float) -> str:
    """A box with an adjustable spring that is switched by its pressure."""
    return rect(0, 0, w, h) + spring(w / 2 + 4, h / 2, w - 5, h / 2, 7, 3) + group(
        "position passing", rect(0, 0, w / 2 + 2, h, 0, "square") + arrow(8, h / 2, w / 2, h / 2)
    )


@symbol("relief", 4, 4, closed="N", over=3)
def relief(w: float, h: float) -> str:
    """One square, spring-loaded, relieving to the atmosphere."""
    blown = rect(0, 12, w, h - 12, 0, "square") + arrow(w / 2 - 8, h - 5, w / 2 - 8, 17)
    return rect(0, 12, w, h - 12) + spring(w / 2, 12, w / 2, -2, 6, 2) + group("position venting", blown)


@symbol("check", 4, 2, directed=True)
def check_valve(w: float, h: float) -> str:
    """A ball on a seat."""
    return rect(0, 0, w, h) + line((0, h / 2), (w / 2 - 9, h / 2)) + check(w / 2, h / 2, 9) + line(
        (w / 2 + 5, h / 2), (w, h / 2)
    )


@symbol("shuttle", 4, 2, fixed=True)
def shuttle(w: float, h: float) -> str:
    """A ball between the seats of two inlets, the outlet between them."""
    m, tip = h / 2, 7
    left, right = (
        line((edge, m), (seat, m)) + line((arm, 2), (seat, m), (arm, h - 2))
        for edge, seat, arm in ((0, tip, tip + 9), (w, w - tip, w - tip - 9))
    )
    ball = circle(tip + 7.5, m, 5, "o ball shuttle", move=f"0 0 {num(w - 2 * tip - 15)} 0")
    return rect(0, 0, w, h) + left + right + line((w / 2, m + 3), (w / 2, h)) + ball


@symbol("restriction", 4, 2)
def restriction(w: float, h: float) -> str:
    """Two arcs that leave a throat."""
    m = w / 2
    arcs = path(f"M{num(m - 14)},2 Q{num(m)},{num(h / 2 - 1)} {num(m + 14)},2") + path(
        f"M{num(m - 14)},{num(h - 2)} Q{num(m)},{num(h / 2 + 1)} {num(m + 14)},{num(h - 2)}"
    )
    return rect(0, 0, w, h) + line((0, h / 2), (w, h / 2)) + arcs


@symbol("shutoff", 4, 2, closed="NS", over=6)
def shutoff(w: float, h: float) -> str:
    """Two triangles tip to tip, with a handle."""
    body = path(f"M0,2 L{num(w)},{num(h - 2)} V2 L0,{num(h - 2)}Z", "o shut")
    handle = line((w / 2, h / 2), (w / 2, -4)) + line((w / 2 - 8, -4), (w / 2 + 8, -4))
    return body + group("handle", handle, turn=f"0 90 {num(w / 2)} {num(h / 2)}")


@symbol("drain", 2, 2, round_=True, closed="S")
def drain(w: float, h: float) -> str:
    """A cock that lets water out."""
    return path(f"M2,2 L{num(w - 2)},{num(h - 8)} V2 L2,{num(h - 8)}Z", "o") + exhaust(w / 2, h - 6, 5)


@symbol("junction", 2, 2, round_=True)
def junction(w: float, h: float) -> str:
    """The dot of a tee."""
    return circle(w / 2, h / 2, 5.5, "f")


@symbol("plug", 2, 2, round_=True)
def plug(w: float, h: float) -> str:
    """A closed end."""
    return rect(3, 3, w - 6, h - 6) + line((3, 3), (w - 3, h - 3)) + line((3, h - 3), (w - 3, 3))


@symbol("stub", 2, 2, round_=True)
def stub(w: float, h: float) -> str:
    """Where a hose leaves the picture."""
    return path(f"M4,2 L{num(w - 4)},{num(h / 2)} L4,{num(h - 2)}Z", "o")


@symbol("exhaust", 2, 2, round_=True, closed="S")
def atmosphere(w: float, h: float) -> str:
    """The open triangle of the atmosphere."""
    return path(f"M1,2 H{num(w - 1)} L{num(w / 2)},{num(h - 2)}Z", "o")


@symbol("source", 4, 4, round_=True)
def source(w: float, h: float) -> str:
    """A circle with an open triangle: pressure from outside."""
    return circle(w / 2, h / 2, w / 2) + path(f"M{num(w / 2 - 11)},{num(h / 2 + 8)} h22 l-11,-19Z", "o")


@symbol("consumer", 4, 4)
def consumer(w: float, h: float) -> str:
    """A box that takes air."""
    return rect(0, 0, w, h) + circle(w / 2, h / 2, 15, "o drawing") + letter(w / 2, h / 2, "M", 18)


@symbol("gauge", 4, 4, round_=True)
def gauge(w: float, h: float) -> str:
    """A dial."""
    return circle(w / 2, h / 2, w / 2 - 2) + group(
        "needle", arrow(w / 2 - 9, h / 2 + 10, w / 2 + 10, h / 2 - 11), turn=f"-90 180 {num(w / 2)} {num(h / 2)}"
    )


@symbol("switch", 4, 2)
def switch(w: float, h: float) -> str:
    """A contact that pressure moves."""
    blade = group("contact", line((17, h - 7), (33, 6)), turn=f"0 38 17 {num(h - 7)}")
    return rect(0, 0, w, h) + line((8, h - 7), (17, h - 7)) + blade + line((w - 16, h - 7), (w - 7, h - 7))


@symbol("test_point", 2, 2, round_=True)
def test_point(w: float, h: float) -> str:
    """A closed coupling for a gauge."""
    return circle(w / 2, h / 2, 9) + line((w / 2 - 6, h / 2 - 6), (w / 2 + 6, h / 2 + 6)) + line(
        (w / 2 - 6, h / 2 + 6), (w / 2 + 6, h / 2 - 6)
    )


@symbol("coupling", 4, 4)
def coupling(w: float, h: float) -> str:
    """Half a coupling in its mount."""
    r = h / 2 - 7
    half = path(f"M{num(w / 2 - 4)},7 a{num(r)},{num(r)} 0 0 1 0,{num(2 * r)}Z", "f open")
    return rect(4, 0, w - 8, h) + half
