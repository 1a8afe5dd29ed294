"""Channels against a channel in place of time: characteristics, with hysteresis and the direction of time."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import fill

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from pneusim.quantities import Unit, unit_of
from pneusim.show import palette
from pneusim.show.figures.curves import Curve
from pneusim.show.figures.panels import RunFigure, dimension_words, name, sheet

WIDEST = 60
"""Letters in a line of an axis' words."""

ARROWS = 6
"""Arrows that tell in which direction a curve is run through."""

Values = npt.NDArray[np.float64]


def characteristics(heading: str, pairs: Sequence[tuple[Curve, Curve]], note: Sequence[str], units: str) -> RunFigure:
    """Pairs of curves, the second against the first: one panel for each dimension.

    Where both axes have the same dimension, a thin line shows where they are equal.
    """
    dimensions = list(dict.fromkeys(curve.dimension for _, curve in pairs))
    panels = [[pair for pair in pairs if pair[1].dimension == dimension] for dimension in dimensions]
    told = "Arrows show the direction of time."
    same = any(base.dimension == curve.dimension for base, curve in pairs)
    equal = " On the thin line both are equal." if same else ""
    below = "\n".join([*note, told + equal])
    whole, axes_of, width = sheet(heading, [[curve for _, curve in panel] for panel in panels], below)
    for axes, panel in zip(axes_of, panels):
        lines = [_draw(axes, base, curve, units) for base, curve in panel]
        _name_axes(axes, *panel[0], units)
        name(axes, whole, lines, [curve for _, curve in panel], width)
    return whole


def arrows(axes: Axes, x: Values, y: Values, colour: str) -> None:
    """Arrows at equal distances along a curve."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(_share(x)), np.diff(_share(y))))])
    if along[-1] <= 0.0:
        return
    for share in (np.arange(ARROWS) + 0.5) / ARROWS:
        k = min(max(int(np.searchsorted(along, share * along[-1])), 1), len(x) - 1)
        axes.annotate(
            "", (x[k], y[k]), xytext=(x[k - 1], y[k - 1]),
            arrowprops={"arrowstyle": "-|>", "color": colour, "mutation_scale": 16, "shrinkA": 0, "shrinkB": 0},
        )  # fmt: skip


def _draw(axes: Axes, base: Curve, curve: Curve, units: str) -> Line2D:
    x, y = _shown(base, units), _shown(curve, units)
    colour = palette.LINES[curve.colour % len(palette.LINES)]
    (line,) = axes.plot(
        x, y, color=colour, linestyle=palette.DASHES[curve.dash], label=curve.label, solid_joinstyle="round"
    )
    arrows(axes, x, y, colour)
    return line


def _name_axes(axes: Axes, base: Curve, curve: Curve, units: str) -> None:
    if base.dimension == curve.dimension:
        low, high = (pick(*axes.get_xlim(), *axes.get_ylim()) for pick in (min, max))
        axes.plot([low, high], [low, high], color=palette.QUIET, linewidth=0.9, linestyle=(0, (9, 3)), zorder=1)
        axes.set_xlim(low, high)
        axes.set_ylim(low, high)
    symbol = unit_of(base.dimension, units).symbol
    axes.set_xlabel(fill(f"{base.label} [{symbol}]" if symbol else base.label, WIDEST))
    symbol = unit_of(curve.dimension, units).symbol
    axes.set_ylabel(f"{dimension_words(curve.dimension)} [{symbol}]" if symbol else dimension_words(curve.dimension))


def _shown(curve: Curve, units: str) -> Values:
    unit: Unit = unit_of(curve.dimension, units)
    shown: Values = (curve.values - unit.offset) / unit.factor
    return shown


def _share(values: Values) -> Values:
    """Values from 0 to 1."""
    span = float(np.ptp(values))
    return (values - values.min()) / span if span > 0.0 else np.zeros_like(values)
