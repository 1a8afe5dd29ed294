"""Friction ellipse: what side force a tyre has left while it brakes, and where the wheels are in a moment."""

from __future__ import annotations

import math

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from pneusim.errors import UsageError
from pneusim.quantities import express
from pneusim.results.road.rolling import units
from pneusim.show import palette
from pneusim.show.figures.beside import heading
from pneusim.show.figures.panels import RunFigure, name, sheet
from pneusim.show.figures.pictures import Asked
from pneusim.show.figures.road.moment import Point, carried, named, points, stop_of
from pneusim.simulate.footing import SEARCHED, Footing

TITLE = "Friction for braking and for steering"

ANGLES = (1.0, 2.0, 5.0, 10.0)
"""Slip angles of the curves [deg]."""


def figure(asked: Asked) -> RunFigure:
    """Draw it; by default in the middle of the stop."""
    at = middle(asked) if asked.at is None else asked.at
    found = points(asked.run, at)
    footings = list(dict.fromkeys(point.footing for point in found))
    if len({footing.surface for footing in footings}) < len(footings):
        footings = [next(f for f in footings if f.surface == one) for one in dict.fromkeys(f.surface for f in footings)]
    titles = [f"on {footing.surface}, at {at:.2f} s" for footing in footings]
    panels = [[point for point in found if point.footing.surface == footing.surface] for footing in footings]
    labels = [[_told(point, asked.units) for point in panel] for panel in panels]
    whole, drawn, width = sheet(heading(asked.run), [named(panel) for panel in labels], _below(footings))
    for axes, footing, panel, words, title in zip(drawn, footings, panels, labels, titles):
        _curves(axes, footing, panel[0])
        lines = [_points(axes, point) for point in panel]
        axes.set_title(f"{TITLE}, {title}")
        name(axes, whole, lines, named(words), width)
    return whole


def middle(asked: Asked) -> float:
    """The middle of the stop of the first unit that moves [s]."""
    for unit in units(asked.run):
        start, end = stop_of(asked.run, unit)
        if start < end:
            return 0.5 * (start + end)
    raise UsageError("nothing to draw: the run has no stop; name a moment")


def _told(point: Point, units: str) -> str:
    speed = express(point.speed, "speed", units)
    return f"{point.label}: slip {100 * point.slip:.0f} % at {speed}, {carried(point, units)}"


def _below(footings: list[Footing]) -> str:
    return (
        "A run knows no side force: the points of a wheel say what it would have, at its slip, at each slip angle. "
        "The grey line is the envelope, (braking force/(peak friction × load))2 + (side force/(peak friction × load))2 "
        "= 1; the curves are of a tyre whose slips along and across add up: a locked wheel pushes against its motion "
        "and steers no more."
    ).replace(")2", ")²")


def _curves(axes: Axes, footing: Footing, point: Point) -> None:
    round_ = np.linspace(0.0, 0.5 * math.pi, 91)
    axes.fill_between(100.0 * np.cos(round_), 100.0 * np.sin(round_), color=palette.GRID, alpha=0.35, zorder=0)
    axes.plot(100.0 * np.cos(round_), 100.0 * np.sin(round_), color=palette.QUIET, linewidth=1.0)
    for angle in ANGLES:
        along, across = shares(footing, point, SEARCHED, angle)
        axes.plot(100.0 * along, 100.0 * across, color=palette.INK, linewidth=1.1, zorder=2)
        axes.annotate(f"{angle:g}°", (100.0 * along[0], 100.0 * across[0]), xytext=(-5, 0), textcoords="offset points",
                      ha="right", va="center", color=palette.INK)  # fmt: skip
    axes.set_xlim(-9.0, 106.0)
    axes.set_ylim(0.0, 106.0)
    axes.set_xlabel("braking force over peak friction × load [%]")
    axes.set_ylabel("side force over peak friction × load [%]")


def shares(footing: Footing, point: Point, slips: np.ndarray, angle: float) -> tuple[np.ndarray, np.ndarray]:
    """Braking and side force over the peak of friction times load [-], at a slip angle [deg]."""
    _, peak = footing.peak(point.speed, point.load)
    along, across = footing.combined(slips, math.radians(angle), point.speed, point.load)
    return along / peak, across / peak


def _points(axes: Axes, point: Point) -> Line2D:
    style = palette.style(point.colour, point.hollow)
    slip = np.array([min(max(point.slip, 0.0), 1.0)])
    found = [shares(point.footing, point, slip, angle) for angle in ANGLES]
    x, y = (100.0 * np.array([pair[k][0] for pair in found]) for k in (0, 1))
    (line,) = axes.plot(
        x, y, **style, linestyle=palette.DASHES["dotted"], linewidth=1.4, markersize=8.0, zorder=4,
        markeredgecolor=style["color"], markeredgewidth=1.6,
    )  # fmt: skip
    return line
