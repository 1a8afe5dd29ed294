"""Braking ratio of every unit against the pressure at the coupling head, with the band that the user gives."""

from __future__ import annotations

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from pneusim.quantities import Unit, express, unit_of
from pneusim.results.road.compatibility import Compatibility, UnitCurve, compatibility
from pneusim.results.road.corridor import Corner, corridor, leaving
from pneusim.results.words import unit_title
from pneusim.show import palette
from pneusim.show.figures.beside import heading
from pneusim.show.figures.panels import RunFigure, axis_words, name, sheet
from pneusim.show.figures.pictures import Asked
from pneusim.show.figures.road.moment import named

TITLE = "Braking ratio against the pressure at the coupling head"


def figure(asked: Asked) -> RunFigure:
    """Draw it."""
    found = compatibility(asked.run)
    corners = corridor(asked.band) if asked.band else ()
    labels = [_told(curve, corners, asked.units) for curve in found.curves]
    labels += ["the band given"] if corners else []
    whole, (axes,), width = sheet(heading(asked.run), [named(labels)], _below(found, asked.units))
    unit = unit_of("pressure", asked.units)
    lines: list[Artist] = [_curve(axes, curve, k, unit) for k, curve in enumerate(found.curves)]
    lines += [_band(axes, corners, unit)] if corners else []
    axes.set_xlim(left=0.0)
    axes.set_ylim(bottom=0.0)
    head = asked.run.circuit.title_of(asked.run.circuit.components[found.head])
    axes.set_xlabel(axis_words("pressure", asked.units, f"pressure at the {head}"))
    axes.set_ylabel("braking ratio z [%]")
    axes.set_title(TITLE)
    name(axes, whole, lines, named(labels), width)
    return whole


def _told(curve: UnitCurve, corners: tuple[Corner, ...], units: str) -> str:
    title = unit_title(curve.unit.rpartition(".")[0]) or "vehicle"
    begins = f"brakes from {express(curve.onset, 'pressure', units)}" if curve.onset is not None else "does not brake"
    if not corners:
        return f"{title}: {begins}"
    left = leaving(curve, corners)
    if left is None:
        return f"{title}: {begins}, inside the band"
    side = "above" if left.by > 0.0 else "below"
    at = express(left.at, "pressure", units)
    return f"{title}: {begins}, {100 * abs(left.by):.0f} % {side} the band at {at}"


def _below(found: Compatibility, units: str) -> str:
    told = "Braking force over load of the unit's own axles. "
    if found.largest_difference is not None and found.at is not None:
        at = express(found.at, "pressure", units)
        told += f"The units are farthest apart at {at}, by {100 * found.largest_difference:.0f} %. "
    return told + "Only a slow application, ten seconds or more, tells: in a fast one brakes follow the head late."


def _curve(axes: Axes, curve: UnitCurve, k: int, unit: Unit) -> Line2D:
    (line,) = axes.plot(
        curve.pressure / unit.factor, 100.0 * curve.ratio, **palette.style(k), markevery=((0.05 + 0.07 * k) % 0.2, 0.2)
    )
    return line


def _band(axes: Axes, corners: tuple[Corner, ...], unit: Unit) -> Patch:
    at, low, high = np.array([(corner.pressure, corner.lowest, corner.highest) for corner in corners]).T
    axes.fill_between(at / unit.factor, 100.0 * low, 100.0 * high, color=palette.GRID, zorder=0)
    for edge in (low, high):
        axes.plot(at / unit.factor, 100.0 * edge, color=palette.QUIET, linewidth=1.0, zorder=1)
    return Patch(facecolor=palette.GRID, edgecolor=palette.QUIET)
