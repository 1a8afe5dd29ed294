"""The curve that tells what a part does: two channels of the part's own example against each other."""

from __future__ import annotations

from textwrap import fill
from typing import NamedTuple

import matplotlib
import numpy as np
import numpy.typing as npt

from pneusim import simulate
from pneusim.errors import UsageError
from pneusim.parts.base import Part
from pneusim.quantities import DIMENSIONS, unit_of
from pneusim.reading import load_text
from pneusim.results.run import Run
from pneusim.show import palette
from pneusim.show.figures.against import arrows
from pneusim.show.figures.panels import STYLE, RunFigure

SIZE = (6.4, 4.0)
"""Width and height of the figure [in]."""

WIDEST = 42
"""Letters in a line of an axis' words."""

TIME = "time"


class Axis(NamedTuple):
    """What one axis shows: its words with the unit, and the values in that unit."""

    label: str
    values: npt.NDArray[np.float64]


class Characteristic(NamedTuple):
    """A drawn characteristic, and the same in words for people who do not see it."""

    figure: RunFigure
    words: str


def characteristic(part: type[Part], units: str = "si") -> Characteristic:
    """Run the first scenario of a part's example and draw the part's `characteristic`.

    Parameters
    ----------
    part : type of Part
    units : {"si", "us"}

    Returns
    -------
    Characteristic

    Raises
    ------
    UsageError
        If the part names no characteristic.

    Examples
    --------
    >>> from pneusim.parts.registry import part
    >>> print(characteristic(part("relay_valve")).words)
    relay: delivered pressure [kPa], from 0 to 586, against signal: pressure of the source [kPa], from 0 to 600
    """
    if part.characteristic is None:
        raise UsageError(f"{part.type} has no characteristic: it does nothing that a curve could tell")
    circuit = load_text(part.example)
    run = simulate.run(circuit, next(iter(circuit.scenarios)))
    x, y = (_axis(run, name, units) for name in part.characteristic)
    with matplotlib.rc_context(STYLE):
        figure = RunFigure(figsize=SIZE, layout="constrained", facecolor="white")
        axes = figure.subplots()
        axes.plot(x.values, y.values, color=palette.LINES[0], solid_joinstyle="round")
        if part.characteristic[0] != TIME:
            arrows(axes, x.values, y.values, palette.LINES[0])
        axes.set_xlabel(fill(x.label, WIDEST))
        axes.set_ylabel(fill(y.label, WIDEST))
        axes.set_title(part.title)
    return Characteristic(figure, _words(x, y))


def _axis(run: Run, name: str, units: str) -> Axis:
    if name == TIME:
        times = next(iter(run.channels.values())).times
        return Axis("time [s]", times)
    channel = run[name]
    unit = unit_of(channel.dimension if channel.dimension in DIMENSIONS else "number", units)
    values = (channel.values - unit.offset) / unit.factor
    return Axis(f"{channel.label} [{unit.symbol}]" if unit.symbol else channel.label, values)


def _span(values: npt.NDArray[np.float64]) -> str:
    """Smallest and largest value; what is nothing beside the other is 0."""
    largest = float(np.abs(values).max())
    low, high = (0.0 if abs(value) < 1e-3 * largest else value for value in (values.min(), values.max()))
    return f"from {low:.3g} to {high:.3g}"


def _words(x: Axis, y: Axis) -> str:
    return f"{y.label}, {_span(y.values)}, against {x.label}, {_span(x.values)}"
