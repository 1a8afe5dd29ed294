"""Pictures of a sweep: response curves, scatter against limits, tornado of sensitivities, histogram with limits."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from pneusim.circuit.scenario import Expectation
from pneusim.errors import UsageError
from pneusim.quantities import DIMENSIONS, Unit, unit_of
from pneusim.reading.faults import meant
from pneusim.results.measures.expectations import limit_in_words
from pneusim.results.store import write_files
from pneusim.show import palette
from pneusim.show.figures.panels import SIZE, STYLE, TEXT, RunFigure
from pneusim.show.tables.sweep import in_words
from pneusim.studies.sweep.plans import GRID, LIST
from pneusim.studies.sweep.result import Sweep, kept
from pneusim.studies.sweep.statistics import Correlation

RESPONSE, SCATTER, TORNADO, HISTOGRAM = "response", "scatter", "tornado", "histogram"
KINDS = (RESPONSE, SCATTER, TORNADO, HISTOGRAM)

MOST_PANELS = 6
MOST_BARS = 15
MOST_CURVES = len(palette.LINES)
PANELS_A_ROW = 3
_MISSED = "#a4161a"
_LIMIT: Any = {"color": palette.INK, "linewidth": 1.4, "linestyle": (0, (6, 2)), "zorder": 3}


def save(sweep: Sweep, folder: Path, units: str = "si") -> list[Path]:
    """Write a PNG for every measure that varies and every kind of picture that the plan allows."""
    drawn = {}
    for measure in sweep.study.measures:
        for kind in kinds_of(sweep, measure):
            name = f"{re.sub(r'[^a-zA-Z0-9_]+', '_', measure)}_{kind}.png"
            drawn[name] = figure(sweep, measure, kind, units).as_bytes("png")
    write_files(folder, drawn)
    return [folder / name for name in drawn]


def kinds_of(sweep: Sweep, measure: str) -> list[str]:
    """Kinds of pictures that show something of a measure."""
    values = [value for value in sweep.values(measure) if value is not None]
    if len(values) < 2 or max(values) == min(values):
        return []
    if sweep.study.plan.kind in (GRID, LIST):
        return [RESPONSE]
    sensitive = [TORNADO] if sweep.correlations.get(measure) or sweep.indices.get(measure) else []
    return [HISTOGRAM, SCATTER, *sensitive]


def figure(sweep: Sweep, measure: str = "", kind: str = "", units: str = "si") -> RunFigure:
    """Draw one measure of a sweep.

    Parameters
    ----------
    measure : str
        Name; the first measure by default.
    kind : {"response", "scatter", "tornado", "histogram"}
        The first that the plan allows by default.

    Raises
    ------
    UsageError
        For a name that is not known, or a kind that the plan does not allow.
    """
    measure = measure or sweep.study.measures[0]
    if measure not in sweep.study.measures:
        raise UsageError(f"there is no measure {measure!r}; {meant(measure, sweep.study.measures)}")
    allowed = kinds_of(sweep, measure)
    if not allowed:
        raise UsageError(f"{measure} does not vary over the cases: there is nothing to draw")
    kind = kind or allowed[0]
    if kind not in allowed:
        raise UsageError(f"a picture {kind!r} of this sweep cannot be drawn; there are: {', '.join(allowed)}")
    with matplotlib.rc_context(STYLE):
        return _DRAWINGS[kind](sweep, measure, units)


def _figure(sweep: Sweep, measure: str, height: float, rows: int = 1, columns: int = 1) -> tuple[RunFigure, list[Axes]]:
    width = SIZE[0] * (1.6 if columns > 1 else 1.0)
    whole = RunFigure(figsize=(width, height), layout="constrained", facecolor="white")
    whole.suptitle(f"{sweep.study.title}\n{measure}", fontsize=TEXT + 1, fontweight="bold", x=0.01, ha="left")
    axes = np.atleast_1d(whole.subplots(rows, columns, squeeze=False, sharey=columns > 1).ravel())
    return whole, list(axes)


# ---- axes and units


def _unit(sweep: Sweep, column: str, units: str) -> Unit:
    dimension = sweep.dimension(column)
    return unit_of(dimension, units) if dimension in DIMENSIONS else Unit(1.0, 0.0, "")


def _shown(values: Sequence[float], unit: Unit) -> Any:
    return (np.asarray(values, float) - unit.offset) / unit.factor


def _label(name: str, unit: Unit) -> str:
    return textwrap.fill(f"{name} [{unit.symbol}]" if unit.symbol else name, 44, break_long_words=True)


def _x(sweep: Sweep, axis: str, axes: Axes, units: str) -> Any:
    """Values of an axis as shown; words become places with their names."""
    parameter = next(p for p in sweep.study.parameters if axis in p.axes)
    unit = _unit(sweep, axis, units)
    axes.set_xlabel(_label(axis, unit))
    if parameter.numeric:
        return _shown(sweep.columns[axis], unit)
    names = list(parameter.values)
    axes.set_xticks(range(len(names)), [str(name) for name in names])
    return np.array([names.index(value) for value in sweep.columns[axis]], float)


def _limits_of(sweep: Sweep, measure: str) -> list[Expectation]:
    return [limit for limit in sweep.study.limits if limit.measure == measure]


def _draw_limits(sweep: Sweep, measure: str, axes: Axes, units: str, *, upright: bool = False) -> None:
    unit = _unit(sweep, measure, units)
    for limit in _limits_of(sweep, measure):
        for end in (limit.low, limit.high):
            if end is not None:
                level = float(_shown([end], unit)[0])
                (axes.axvline if upright else axes.axhline)(level, **_LIMIT)


def _limit_words(sweep: Sweep, measure: str, units: str) -> str:
    told = [limit_in_words(limit, sweep.dimension(measure), units) for limit in _limits_of(sweep, measure)]
    return f"limit (dashed): {'; '.join(told)}" if told else ""


# ---- pictures


def _response(sweep: Sweep, measure: str, units: str) -> RunFigure:
    """The measure over the first axis of numbers; a curve for each value of the second axis, others drawn as points."""
    whole, (axes,) = _figure(sweep, measure, SIZE[1])
    varied = [axis for axis in sweep.axes if len(set(sweep.columns[axis])) > 1]
    first = next((axis for axis in varied if len(set(sweep.columns[axis])) > 2), varied[0])
    others = [axis for axis in varied if axis != first] if sweep.study.plan.kind == GRID else []
    x, unit = _x(sweep, first, axes, units), _unit(sweep, measure, units)
    y = np.array([np.nan if v is None else float(_shown([v], unit)[0]) for v in sweep.values(measure)])
    keys = [tuple(sweep.columns[axis][k] for axis in others) for k in range(len(y))]
    groups = list(dict.fromkeys(keys))
    for n, group in enumerate(groups):
        chosen = np.array([key == group for key in keys])
        order = np.argsort(x[chosen], kind="stable")
        style = palette.style(n) if n < MOST_CURVES else {"color": palette.QUIET, "linewidth": 0.8}
        words = ", ".join(f"{a} {in_words(v, sweep.dimension(a), units)}" for a, v in zip(others, group))
        named = words and n < MOST_CURVES
        axes.plot(x[chosen][order], y[chosen][order], label=words if named else None, **style)
    axes.set_ylabel(_label(measure, unit))
    _draw_limits(sweep, measure, axes, units)
    if len(groups) > MOST_CURVES:
        axes.plot([], [], color=palette.QUIET, linewidth=0.8, label=f"{len(groups) - MOST_CURVES} more")
    if groups != [()]:
        whole.legend(loc="outside lower left", ncols=1 if max(map(len, others), default=0) > 30 else 2)
    if words := _limit_words(sweep, measure, units):
        axes.set_title(words, fontsize=TEXT, fontweight="normal")
    return whole


def _scatter(sweep: Sweep, measure: str, units: str) -> RunFigure:
    """The measure over each axis, the most telling first; cases beyond a limit are red crosses."""
    found = sweep.correlations.get(measure, {})
    shown = sorted(sweep.axes, key=lambda axis: -abs(found[axis].value) if axis in found else 0.0)[:MOST_PANELS]
    columns = min(PANELS_A_ROW, len(shown))
    rows = -(-len(shown) // columns)
    whole, panels = _figure(sweep, measure, 1.2 + 3.4 * rows, rows, columns)
    unit = _unit(sweep, measure, units)
    values = sweep.values(measure)
    there = np.array([value is not None for value in values])
    y = _shown([value for value in values if value is not None], unit)
    good = np.array([all(kept(limit, o) for limit in _limits_of(sweep, measure)) for o in sweep.outcomes])[there]
    size = 26.0 if len(y) < 300 else 10.0
    for axes, axis in zip(panels, shown):
        x = _x(sweep, axis, axes, units)[there]
        axes.scatter(x[good], y[good], s=size, color=palette.LINES[0], marker="o", alpha=0.6, linewidths=0)
        axes.scatter(x[~good], y[~good], s=1.6 * size, color=_MISSED, marker="x")
        _draw_limits(sweep, measure, axes, units)
        rho = found.get(axis)
        words = "" if rho is None else f"partial rank correlation {rho.value:+.2f}" if rho.told else "not told from 0"
        axes.set_title(words, fontsize=TEXT, fontweight="normal")
        axes.xaxis.set_major_locator(MaxNLocator(5))
    for axes in panels[len(shown) :]:
        axes.set_visible(False)
    for axes in panels[::columns]:
        axes.set_ylabel(_label(measure, unit))
    told = [_limit_words(sweep, measure, units), "crosses: limit missed" if not good.all() else ""]
    if len(sweep.axes) > MOST_PANELS:
        told.append(f"{len(sweep.axes) - MOST_PANELS} axes of less correlation are not shown")
    whole.supxlabel("; ".join(filter(None, told)), fontsize=TEXT, x=0.01, ha="left")
    return whole


def _tornado(sweep: Sweep, measure: str, units: str) -> RunFigure:
    """Bars of what the measure depends on, the longest at the top."""
    indices, share = sweep.indices.get(measure, {}), f"{100.0 * sweep.study.confidence:g} %"
    bars: dict[str, Correlation] = dict(sweep.correlations.get(measure, {}))
    words = f"partial rank correlation [-] with its {share} interval; hatched: more gives less; grey: not told from 0"
    if indices:
        bars = {axis: Correlation(i.total, *i.interval) for axis, i in indices.items()}
        words = f"Sobol's total index with its {share} interval: share of the variance, alone and with others [-]"
    shown = sorted(bars, key=lambda axis: -abs(bars[axis].value))[:MOST_BARS]
    whole, (axes,) = _figure(sweep, measure, 1.7 + 0.36 * len(shown))
    for k, axis in enumerate(shown):
        value, low, high = bars[axis].value, bars[axis].low, bars[axis].high
        colour, hatch = (palette.LINES[0], "") if value >= 0.0 else (palette.LINES[1], "////")
        axes.barh(k, value, color=colour if bars[axis].told else palette.QUIET, hatch=hatch, edgecolor="white",
                  xerr=[[value - low], [high - value]], ecolor=palette.INK)  # fmt: skip
        side = 1 if value >= 0.0 else -1
        axes.annotate(f"{value:+.2f}" if not indices else f"{value:.2f}", (high if side > 0 else low, k),
                      xytext=(5 * side, 0), textcoords="offset points", va="center",
                      ha="left" if side > 0 else "right")  # fmt: skip
    axes.axvline(0.0, color=palette.INK, linewidth=0.9)
    axes.set_yticks(range(len(shown)), shown)
    axes.invert_yaxis()
    axes.grid(axis="y", visible=False)
    axes.set_xlim(-1.15 if any(bar.low < 0.0 for bar in bars.values()) and not indices else -0.1, 1.15)
    axes.set_xlabel(textwrap.fill(words, 72))
    return whole


def _histogram(sweep: Sweep, measure: str, units: str) -> RunFigure:
    """How often which values come, with the limits and the value without any change."""
    whole, (axes,) = _figure(sweep, measure, SIZE[1])
    unit = _unit(sweep, measure, units)
    values = _shown([value for value in sweep.values(measure) if value is not None], unit)
    edges = np.histogram_bin_edges(values, bins=min(max(int(np.sqrt(len(values))), 5), 40))
    axes.hist(values, edges.tolist(), color=palette.LINES[0], edgecolor="white", linewidth=0.6, zorder=2)
    nominal = sweep.nominal.measures.get(measure)
    if nominal is not None:
        axes.axvline(float(_shown([nominal], unit)[0]), color=palette.LINES[1], linewidth=1.6, zorder=3,
                     linestyle=(0, (1.2, 1.6)))  # fmt: skip
    _draw_limits(sweep, measure, axes, units, upright=True)
    axes.set_xlabel(_label(measure, unit))
    axes.set_ylabel("cases")
    axes.yaxis.set_major_locator(MaxNLocator(integer=True))
    axes.set_title(_histogram_words(sweep, measure, units), fontsize=TEXT, fontweight="normal")
    return whole


def _histogram_words(sweep: Sweep, measure: str, units: str) -> str:
    limits = _limits_of(sweep, measure)
    told = [_limit_words(sweep, measure, units)] if limits else []
    told.append("nominal (dotted)")
    if limits:
        number = sum(all(kept(limit, outcome) for limit in limits) for outcome in sweep.outcomes)
        told.append(f"kept by {number} of {len(sweep.outcomes)} cases")
    if missing := sweep.summaries[measure].missing:
        told.append(f"{missing} cases have no value")
    return "; ".join(told)


_DRAWINGS = {RESPONSE: _response, SCATTER: _scatter, TORNADO: _tornado, HISTOGRAM: _histogram}
