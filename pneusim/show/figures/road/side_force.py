"""Side force that is left while a wheel slips, of that which it has when it rolls."""

from __future__ import annotations

import math

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from pneusim.quantities import express
from pneusim.show import palette
from pneusim.show.figures.beside import heading
from pneusim.show.figures.panels import RunFigure, name, sheet
from pneusim.show.figures.pictures import Asked
from pneusim.show.figures.road.ellipse import middle
from pneusim.show.figures.road.moment import Point, named, points
from pneusim.simulate.footing import SEARCHED, Footing

TITLE = "Side force left while braking"

ANGLES = {2.0: "solid", 5.0: "dashed", 10.0: "dotted"}
"""Slip angles of the curves [deg], and their dashes."""

SHOWN = 5.0
"""The slip angle at which wheels are marked [deg]."""


def figure(asked: Asked) -> RunFigure:
    """Draw it; by default in the middle of the stop."""
    at = middle(asked) if asked.at is None else asked.at
    found = points(asked.run, at)
    lowest = min(found, key=lambda point: point.footing.peak(point.speed, point.load)[1])
    angles = [f"slip angle {angle:g}°, on {lowest.footing.surface}" for angle in ANGLES]
    labels = [*angles, *(_told(point) for point in found)]
    speed, load = express(lowest.speed, "speed", asked.units), express(lowest.load, "force", asked.units)
    below = (
        f"At {at:.2f} s. The curves are for the wheel of the least friction, at {speed} and {load}; each wheel is "
        f"marked at its own slip, as if it ran at a slip angle of {SHOWN:g}°: a run knows no side force."
    )
    whole, (axes,), width = sheet(heading(asked.run), [named(labels)], below)
    lines = [_curve(axes, lowest, angle, dash) for angle, dash in ANGLES.items()]
    lines += [_point(axes, point) for point in found]
    axes.set_xlim(-1.0, 102.0)
    axes.set_ylim(0.0, 105.0)
    axes.set_xlabel("slip [%]: 0 % rolls, 100 % is locked")
    axes.set_ylabel("side force over that of a rolling wheel [%]")
    axes.set_title(f"{TITLE}, at {at:.2f} s")
    name(axes, whole, lines, named(labels), width)
    return whole


def left(footing: Footing, slips: np.ndarray, angle: float, speed: float, load: float) -> np.ndarray:
    """Side force over that of the rolling wheel at the same slip angle [deg], each at a slip [-]."""
    _, across = footing.combined(slips, math.radians(angle), speed, load)
    _, rolling = footing.combined([0.0], math.radians(angle), speed, load)
    share: np.ndarray = across / rolling[0]
    return share


def _at(point: Point) -> float:
    slip = min(max(point.slip, 0.0), 1.0)
    return float(left(point.footing, np.array([slip]), SHOWN, point.speed, point.load)[0])


def _told(point: Point) -> str:
    return f"{point.label}, on {point.footing.surface}: {100 * _at(point):.0f} % left"


def _curve(axes: Axes, point: Point, angle: float, dash: str) -> Line2D:
    share = left(point.footing, SEARCHED, angle, point.speed, point.load)
    (line,) = axes.plot(
        100.0 * SEARCHED, 100.0 * share, color=palette.INK, linestyle=palette.DASHES[dash], linewidth=1.6
    )
    return line


def _point(axes: Axes, point: Point) -> Line2D:
    style = palette.style(point.colour, point.hollow)
    (line,) = axes.plot(
        [100.0 * point.slip], [100.0 * _at(point)], **style, linestyle="none", markersize=11.0, zorder=4,
        markeredgecolor=style["color"], markeredgewidth=2.0,
    )  # fmt: skip
    return line
