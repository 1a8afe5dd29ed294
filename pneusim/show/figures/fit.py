"""A measured column beside the fitted channel, and below it what is left between them."""

from __future__ import annotations

import re
from pathlib import Path

import matplotlib
import numpy as np
from matplotlib.axes import Axes

from pneusim.errors import UsageError
from pneusim.quantities import Unit, express_in, unit_of
from pneusim.reading.faults import meant
from pneusim.results.store import write_files
from pneusim.show import palette
from pneusim.show.figures.panels import SIZE, STYLE, TEXT, RunFigure, dimension_words
from pneusim.studies.fit.result import Comparison, Fitted

HEIGHTS = (3, 1.4)
MOST_DOTS = 2000
"""Of more measured values every so-manieth is drawn."""


def save(fitted: Fitted, folder: Path, units: str = "si") -> list[Path]:
    """Write a PNG for every measured column."""
    drawn = {}
    for found in fitted.comparisons:
        name = re.sub(r"[^a-zA-Z0-9_]+", "_", found.trace.column).strip("_") or "column"
        drawn[f"fit_{name}.png"] = figure(fitted, found.trace.column, units).as_bytes("png")
    write_files(folder, drawn)
    return [folder / name for name in drawn]


def figure(fitted: Fitted, column: str = "", units: str = "si") -> RunFigure:
    """Draw a measured column, the first by default, with the fitted channel and the residuals.

    Raises
    ------
    UsageError
        For a column that the fit has not.
    """
    known = {found.trace.column: found for found in fitted.comparisons}
    column = column or next(iter(known))
    if column not in known:
        raise UsageError(f"the fit has no column {column!r}; {meant(column, list(known))}")
    with matplotlib.rc_context(STYLE):
        return _drawn(fitted, known[column], units)


def _drawn(fitted: Fitted, found: Comparison, units: str) -> RunFigure:
    trace, unit = found.trace, unit_of(found.trace.dimension, units)
    times = trace.times - fitted.fit.offset_at(fitted.shares)
    whole = RunFigure(figsize=(SIZE[0], SIZE[1] + 1.0), layout="constrained", facecolor="white")
    whole.suptitle(f"{fitted.fit.title}\n{trace.column} against {trace.channel}", fontsize=TEXT + 1,
                   fontweight="bold", x=0.01, ha="left")  # fmt: skip
    above, below = whole.subplots(2, 1, sharex=True, height_ratios=HEIGHTS)
    _curves(above, found, times, unit)
    _residuals(below, found, times, unit)
    return whole


def _curves(axes: Axes, found: Comparison, times: np.ndarray, unit: Unit) -> None:
    every = slice(None, None, -(-len(times) // MOST_DOTS))

    def shown(values: np.ndarray) -> np.ndarray:
        return (values - unit.offset) / unit.factor

    axes.plot(times[every], shown(found.trace.values[every]), ".", color=palette.QUIET, markersize=4.0,
              label="measured", zorder=1)  # fmt: skip
    if found.guessed is not None:
        axes.plot(times, shown(found.guessed), color=palette.LINES[1], linestyle=palette.DASHES["dotted"],
                  label="with the start values", zorder=2)  # fmt: skip
    axes.plot(times, shown(found.fitted), color=palette.LINES[0], label="fitted", zorder=3)
    axes.set_ylabel(_label(dimension_words(found.trace.dimension), unit))
    axes.legend(loc="best")


def _residuals(axes: Axes, found: Comparison, times: np.ndarray, unit: Unit) -> None:
    spread = found.spread / unit.factor
    every = slice(None, None, -(-len(times) // MOST_DOTS))
    axes.axhspan(-2.0 * spread, 2.0 * spread, color=palette.GRID, alpha=0.6, linewidth=0.0, zorder=0)
    axes.axhline(0.0, color=palette.INK, linewidth=0.9, zorder=1)
    axes.plot(times[every], found.residuals[every] / unit.factor, ".", color=palette.LINES[0], markersize=4.0, zorder=2)
    axes.set_xlabel("time of the run [s]")
    axes.set_ylabel(_label("measured - fitted", unit))
    told = express_in(found.spread, unit._replace(offset=0.0))
    axes.set_title(f"residuals: root mean square {told} (band: twice that), Durbin-Watson {found.durbin_watson:.2f}",
                   fontsize=TEXT, fontweight="normal")  # fmt: skip


def _label(words: str, unit: Unit) -> str:
    return f"{words}\n[{unit.symbol}]" if unit.symbol else words
