"""Draws panels of curves with numbered events: the layout of every figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from io import BytesIO
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.transforms import offset_copy

from pneusim.quantities import unit_of
from pneusim.results.run import Run
from pneusim.show import palette
from pneusim.show.curves import Curve
from pneusim.show.marks import Mark, legend, marks

SIZE = (8.0, 5.0)
"""Width and height of a figure without its lists of curves and events [in]."""

OVERVIEW = (14.0, 8.4)
"""The same for the overview [in]."""

TEXT = 11.0
"""Size of the text [pt]."""

LETTER, LINE = 0.5 * TEXT / 72, 1.55 * TEXT / 72
"""Mean width of a letter, and height of a line of a list [in]."""

STYLE: Any = {
    "font.family": "DejaVu Sans",
    "font.size": TEXT,
    "axes.titlesize": TEXT + 1,
    "axes.titlelocation": "left",
    "axes.titleweight": "bold",
    "axes.labelcolor": palette.INK,
    "axes.edgecolor": palette.INK,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "grid.color": palette.GRID,
    "text.color": palette.INK,
    "xtick.color": palette.INK,
    "ytick.color": palette.INK,
    "legend.frameon": False,
    "lines.linewidth": 2.0,
    "lines.markersize": 6.0,
    "svg.fonttype": "none",
    "svg.hashsalt": "pneusim",
    "path.simplify_threshold": 0.2,
}

_WORDS = {"fraction": "share", "length": "travel", "mass_flow": "flow"}


def dimension_words(dimension: str) -> str:
    """What a dimension is called on an axis."""
    return _WORDS.get(dimension, dimension.replace("_", " "))


class RunFigure(Figure):
    """A figure that shows itself in a notebook without any setting."""

    def _repr_png_(self) -> bytes:
        buffer = BytesIO()
        self.savefig(buffer, format="png")
        return buffer.getvalue()


def figure(run: Run, panels: Mapping[str, Sequence[Curve]], span: tuple[float, float], units: str) -> RunFigure:
    """One panel alone, or several in two columns; below them what the numbers of the events mean.

    Each of ``panels`` is a title with its curves, all of one dimension; ``span`` is the time shown [s].
    """
    found, left_out = marks(run, *span, units)
    many = len(panels) > 1
    columns = 2 if many else 1
    width, height = OVERVIEW if many else SIZE
    text = legend(found, left_out, int(width / LETTER))
    height = _height(list(panels.values()), columns, width / columns, height / columns)
    below = (text.count("\n") + 1) * LINE + 0.25
    whole = RunFigure(figsize=(width, height + below), layout="constrained", facecolor="white")
    parts: Any = whole.subfigures(2, 1, height_ratios=(height, below))
    top, bottom = parts
    grid = top.subplots(-(-len(panels) // columns), columns, squeeze=False)
    for axes, (title, shown) in zip(grid.flat, panels.items()):
        lines = _draw(axes, shown, span, units)
        _mark(axes, found, span, title)
        _name(axes, whole, lines, _columns(shown, width / columns))
    for axes in grid.flat[len(panels) :]:
        axes.set_visible(False)
    variant = f" ({run.variant})" if run.variant else ""
    heading = f"{run.circuit.title}: {run.scenario.title or run.scenario.name}{variant}"
    top.suptitle(heading, fontsize=TEXT + 2, x=0.01, ha="left")
    bottom.text(0.01, 0.98, text, va="top", ha="left", fontsize=TEXT, linespacing=1.3)
    return whole


def _height(panels: Sequence[Sequence[Curve]], columns: int, width: float, each: float) -> float:
    """Height of all rows of panels with the names of their curves [in]."""
    rows = [panels[k : k + columns] for k in range(0, len(panels), columns)]
    return sum(each + LINE * max(-(-len(shown) // _columns(shown, width)) for shown in row) for row in rows)


def _columns(shown: Sequence[Curve], width: float) -> int:
    """How many columns of curves' names fit into a width [in]."""
    column = max(len(curve.label) for curve in shown) * LETTER + 0.62
    return max(1, min(int((width - 0.4) / column), len(shown)))


def _draw(axes: Axes, shown: Sequence[Curve], span: tuple[float, float], units: str) -> list[Line2D]:
    """The curves, each with its marker at places of its own so that curves on top of each other are seen."""
    unit = unit_of(shown[0].dimension, units)
    lines = []
    for k, curve in enumerate(shown):
        lines += axes.plot(
            curve.times,
            (curve.values - unit.offset) / unit.factor,
            **palette.style(curve.colour, curve.hollow),
            linestyle=palette.DASHES[curve.dash],
            markevery=((0.04 + 0.18 * k / len(shown)) % 0.2, 0.2),
            label=curve.label,
            solid_joinstyle="round",
        )
    axes.set_xlim(*span)
    if shown[0].dimension != "temperature" and axes.get_ylim()[0] > 0.0:
        axes.set_ylim(bottom=0.0)
    words = dimension_words(shown[0].dimension)
    axes.set_ylabel(f"{words} [{unit.symbol}]" if unit.symbol else words)
    axes.set_xlabel("time [s]")
    return lines


def _name(axes: Axes, whole: Figure, lines: Sequence[Line2D], columns: int) -> None:
    """The names of the curves below the axes."""
    axes.legend(
        handles=lines,
        labels=[str(line.get_label()) for line in lines],
        loc="upper left",
        bbox_to_anchor=(0.0, 0.0),
        bbox_transform=offset_copy(axes.transAxes, whole, x=-0.5, y=-3.6 * TEXT / 72),
        ncols=columns,
        borderpad=0.0,
        handlelength=2.6,
        columnspacing=1.5,
    )


def _mark(axes: Axes, found: Sequence[Mark], span: tuple[float, float], title: str) -> None:
    """A thin line for each mark, with its number above the axes; near ones step up by turns."""
    width = span[1] - span[0]
    last, level, top = float("-inf"), 0, 0
    for mark in found:
        axes.axvline(mark.time, color=palette.QUIET, linewidth=0.8, linestyle=(0, (3, 3)), zorder=1)
        level = (level + 1) % 3 if mark.time - last < 0.03 * width else 0
        last, top = mark.time, max(top, level)
        axes.annotate(
            str(mark.number),
            (mark.time, 1.0),
            xycoords=("data", "axes fraction"),
            xytext=(0, 2 + level * (TEXT + 2)),
            textcoords="offset points",
            ha="center",
            va="bottom",
            color=palette.QUIET,
        )
    axes.set_title(title, pad=6 + (top + 1) * (TEXT + 2 if found else 0))
