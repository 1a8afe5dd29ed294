"""Friction used against slip over the curve of the surface at the tyre: the points of a moment, or the whole path."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from pneusim.quantities import express
from pneusim.results.road.rolling import FAST
from pneusim.show import palette
from pneusim.show.figures.beside import heading
from pneusim.show.figures.curves import SAME, alike
from pneusim.show.figures.panels import RunFigure, name, sheet
from pneusim.show.figures.pictures import Asked
from pneusim.show.figures.road.curves import colour_of, wheel_words
from pneusim.show.figures.road.moment import Point, Trace, carried, named, points, traces
from pneusim.simulate.footing import SEARCHED, Footing

TITLE = "Friction used against slip"

ROOM = 1.12
"""Top of the axis over the highest peak."""

SOME = 200
"""At so many moments it is asked what a wheel rolls on."""

DASHES = ("solid", "dashed", "dotted", "dashdot")
"""Of surfaces, in the order in which they come."""


def figure(asked: Asked) -> RunFigure:
    """Draw it."""
    return _path(asked) if asked.at is None else _moment(asked, asked.at)


# ---- a moment


def _moment(asked: Asked, at: float) -> RunFigure:
    found = points(asked.run, at)
    labels = [_told(point, asked.units) for point in found]
    below = (
        f"At {at:.2f} s, at {_speeds(found, asked.units)}. Each curve is that of the surface at the tyre, for the "
        "speed and the load of the wheel. A point beside its curve is on its way: a tyre takes some centimetres."
    )
    whole, (axes,), width = sheet(heading(asked.run), [named(labels)], below)
    lines = [_point(axes, point, label) for point, label in zip(found, labels)]
    _frame(axes, max(point.footing.peak(point.speed, point.load)[1] for point in found), f"{TITLE}, at {at:.2f} s")
    name(axes, whole, lines, named(labels), width)
    return whole


def _told(point: Point, units: str) -> str:
    load = carried(point, units)
    return f"{point.label}, {point.footing.surface}, {load}: {100 * point.friction:.0f} % at {100 * point.slip:.0f} %"


def _speeds(found: Sequence[Point], units: str) -> str:
    told = sorted({express(point.speed, "speed", units) for point in found})
    return " and ".join(told)


def _point(axes: Axes, point: Point, label: str) -> Line2D:
    style = palette.style(point.colour, point.hollow)
    curve = 100.0 * point.footing.friction(SEARCHED, point.speed, point.load)
    axes.plot(100.0 * SEARCHED, curve, color=style["color"], linewidth=1.3, alpha=0.8)
    (line,) = axes.plot(
        [100.0 * point.slip], [100.0 * point.friction], **style, linestyle="none", markersize=11.0,
        markeredgecolor=style["color"], markeredgewidth=2.0, label=label, zorder=4,
    )  # fmt: skip
    return line


# ---- the whole path


def _path(asked: Asked) -> RunFigure:
    found = traces(asked.run, asked.start, asked.end)
    drawn = _groups([trace for trace in found if len(trace.times)])
    surfaces = _surfaces(found)
    labels = [wheel_words(asked.run, [trace.wheel.site.name for trace in group]) for group in drawn]
    fast, slow = (express(v, "speed", asked.units) for v in _ends(found))
    names = [f"{surface} at {fast}; the band: down to {slow}" for surface in surfaces]
    below = (
        "Curves of surfaces are for tyres at their rated load; a tyre that carries less of it has more friction. "
        "Points are 0.1 s apart; what goes on below walking pace is left out."
    )
    shown = named([*names, *labels])
    whole, (axes,), width = sheet(heading(asked.run), [shown], below)
    lines = [
        _surface(axes, one, DASHES[k % len(DASHES)], _ends(found)) for k, one in enumerate(surfaces.values())
    ]
    lines += [_trace(axes, asked, group[0], {t.wheel.site.side for t in group} == {"right"}) for group in drawn]
    top = max(float(trace.friction.max()) for trace in found if len(trace.times))
    peaks = [footing.peak(v, _rated(footing))[1] for footing in surfaces.values() for v in _ends(found)]
    _frame(axes, max(top, *peaks), TITLE)
    name(axes, whole, lines, shown, width)
    return whole


def _groups(found: Sequence[Trace]) -> list[list[Trace]]:
    """Wheels of a unit that slip alike as long as it moves."""
    slips = [(trace, replace(trace.wheel.slip, values=trace.slip)) for trace in found]
    return [[trace for trace, _ in group] for group in alike(slips, lambda trace: trace.unit.name, SAME)]


def _surfaces(found: Sequence[Trace]) -> dict[str, Footing]:
    """Surfaces that wheels come over, by their words; where tyres differ on one, by their axles too."""
    met: dict[Footing, list[str]] = {}
    for trace in found:
        times = trace.times[:: max(len(trace.times) // SOME, 1)]
        for footing in dict.fromkeys(trace.footing(float(time)) for time in times):
            key = next((one for one in met if one.surface == footing.surface and one.law == footing.law), footing)
            met.setdefault(key, []).append(trace.wheel.site.title)
    many = len({footing.surface for footing in met}) < len(met)
    return {f"{one.surface}{f', tyre of {titles[0]}' if many else ''}": one for one, titles in met.items()}


def _ends(found: Sequence[Trace]) -> tuple[float, float]:
    """The highest speed of the path, and the speed below which a locked wheel is no fault [m/s]."""
    highest = max(float(np.abs(trace.speed).max()) for trace in found if len(trace.times))
    return highest, min(FAST, highest)


def _rated(footing: Footing) -> float:
    rated = footing.tyre.rated_load
    assert rated is not None
    return rated


def _surface(axes: Axes, footing: Footing, dash: str, speeds: tuple[float, float]) -> Line2D:
    fast, slow = (100.0 * footing.friction(SEARCHED, v, _rated(footing)) for v in speeds)
    axes.fill_between(100.0 * SEARCHED, fast, slow, color=palette.GRID, zorder=1)
    (line,) = axes.plot(100.0 * SEARCHED, fast, color=palette.INK, linestyle=palette.DASHES[dash], linewidth=1.5)
    return line


def _trace(axes: Axes, asked: Asked, trace: Trace, hollow: bool) -> Line2D:
    style = palette.style(colour_of(asked.run, trace.wheel.site), hollow)
    slip, friction = 100.0 * trace.slip, 100.0 * trace.friction
    axes.plot(slip, friction, color=style["color"], linewidth=0.7, alpha=0.55, zorder=2)
    grid = np.arange(trace.times[0], trace.times[-1], 0.1)
    (line,) = axes.plot(
        np.interp(grid, trace.times, slip), np.interp(grid, trace.times, friction), **style, linestyle="none", zorder=3
    )
    return line


# ---- both


def _frame(axes: Axes, top: float, title: str) -> None:
    axes.set_xlim(-1.0, 102.0)
    axes.set_ylim(0.0, 100.0 * ROOM * top)
    axes.set_xlabel("slip [%]: 0 % rolls, 100 % is locked")
    axes.set_ylabel("force of the road over load [%]")
    axes.set_title(title)

