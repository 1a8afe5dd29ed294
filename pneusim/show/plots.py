"""Figures of a run: reservoirs, controls, chambers, forces, and all four on one page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

import matplotlib
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.transforms import offset_copy

from pneusim.errors import UsageError
from pneusim.quantities import unit_of
from pneusim.results.measures.applications import applications
from pneusim.results.run import Run
from pneusim.show import curves, palette
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

STYLE = {
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


@dataclass(frozen=True)
class Group:
    """A kind of figure: its title, and where its curves come from."""

    title: str
    curves: Callable[[Run], list[Curve]]


GROUPS = {
    "reservoirs": Group("Reservoirs", curves.of_reservoirs),
    "controls": Group("Controls and couplings", curves.of_controls),
    "chambers": Group("Brake chambers", curves.of_chambers),
    "forces": Group("Pushrod forces", curves.of_forces),
    "strokes": Group("Strokes", curves.of_strokes),
}

SAVED = ("reservoirs", "controls", "chambers", "forces")
"""The groups that are written to a result's folder, and that the overview shows."""


class RunFigure(Figure):
    """A figure that shows itself in a notebook without any setting."""

    def _repr_png_(self) -> bytes:
        buffer = BytesIO()
        self.savefig(buffer, format="png")
        return buffer.getvalue()


def plot(run: Run, *what: str, units: str = "si", start: float | None = None, end: float | None = None) -> RunFigure:
    """Draw a run.

    Parameters
    ----------
    run : Run
    what : str
        Nothing for the overview; the name of a group (``reservoirs``, ``controls``, ``chambers``, ``forces``,
        ``strokes``); or names of channels, one panel for each dimension.
    units : {"si", "us"}
    start, end : float, optional
        Part of the run that is shown [s]; the whole run by default.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    UsageError
        If there is nothing to draw, or ``start`` is not before ``end``.
    """
    if units not in ("si", "us"):
        raise UsageError(f"unit system {units!r} is unknown (allowed: si, us)")
    first, last = _span(run)
    first, last = first if start is None else start, last if end is None else end
    if not first < last:
        raise UsageError(f"nothing to draw: the part from {first:g} s to {last:g} s is empty")
    panels = {title: curves.sampled(found, first, last) for title, found in _panels(run, what).items()}
    with matplotlib.rc_context(STYLE):
        return _figure(run, panels, (first, last), units)


def save(run: Run, folder: Path, units: str = "si") -> list[Path]:
    """Write the overview, every group with curves and the first application, as PNG and SVG, into a
    folder."""
    figures = {"overview": plot(run, units=units)} if any(GROUPS[name].curves(run) for name in SAVED) else {}
    figures |= {name: plot(run, name, units=units) for name in SAVED if GROUPS[name].curves(run)}
    if rise := _first_rise(run):
        figures["application_1"] = plot(run, "chambers", units=units, start=rise[0], end=rise[1])
    written = []
    for name, figure in figures.items():
        for kind, extra in _FORMATS.items():
            written.append(folder / f"{name}.{kind}")
            with matplotlib.rc_context(STYLE):
                figure.savefig(written[-1], format=kind, **extra)
    return written


def _first_rise(run: Run) -> tuple[float, float] | None:
    """The part of the run in which the first application builds up: 2.5 times the slowest rise time to 75
    %."""
    found = applications(run)
    rises = [m.value for m in run.measures if m.name.endswith(".application_1.time_to_75") and m.value is not None]
    if not found or not rises:
        return None
    start, end = _span(run)
    return max(start, found[0].start - 0.05), min(end, found[0].start + max(0.3, 2.5 * max(rises)))


_FORMATS: dict[str, dict[str, Any]] = {
    "png": {"dpi": 110, "metadata": {"Software": None}},
    "svg": {"metadata": {"Date": None, "Creator": None}},
}
"""How each format is written: without dates and versions, so that the same run gives the same bytes."""


def _span(run: Run) -> tuple[float, float]:
    if not run.channels:
        raise UsageError("nothing to draw: the run has no channels")
    return run.span


def _panels(run: Run, what: Sequence[str]) -> dict[str, list[Curve]]:
    names = what or SAVED
    if all(name in GROUPS for name in names):
        panels = {GROUPS[name].title: found for name in names if (found := GROUPS[name].curves(run))}
        if not panels:
            raise UsageError(f"nothing to draw: this run has no {' and no '.join(names)}")
        return panels
    try:
        found = curves.of_channels(run, what)
    except KeyError as error:
        raise UsageError(f"{error.args[0]}; or name a group: {', '.join(GROUPS)}") from None
    return {
        (unit_of(dimension).symbol and _WORDS.get(dimension, dimension.replace("_", " "))) or dimension: [
            curve for curve in found if curve.dimension == dimension
        ]
        for dimension in dict.fromkeys(curve.dimension for curve in found)
    }


_WORDS = {"fraction": "share", "length": "travel", "mass_flow": "flow"}
"""What a dimension is called on an axis, where its own name would mislead."""


def _figure(run: Run, panels: dict[str, list[Curve]], span: tuple[float, float], units: str) -> RunFigure:
    found, left_out = marks(run, *span, units)
    many = len(panels) > 1
    width, height = OVERVIEW if many else SIZE
    text = legend(found, left_out, int(width / LETTER))
    below = (text.count("\n") + 1) * LINE + 0.25 if text else 0.0
    columns = 2 if many else 1
    rows = [list(panels.values())[k : k + columns] for k in range(0, len(panels), columns)]
    height = height * len(rows) / (2 if many else 1) + sum(
        max(_rows_of_names(shown, width / columns) for shown in row) * LINE for row in rows
    )
    figure = RunFigure(figsize=(width, height + below), layout="constrained", facecolor="white")
    top, bottom = figure.subfigures(2, 1, height_ratios=(height, below)) if text else (figure, None)
    grid = top.subplots(len(rows), columns, squeeze=False)
    for axes, (title, shown) in zip(grid.flat, panels.items()):
        _draw(axes, shown, span, units)
        _mark(axes, found, span, title)
        _name_curves(axes, figure, _columns(shown, width / columns))
    for axes in grid.flat[len(panels) :]:
        axes.set_visible(False)
    title = f"{run.circuit.title}: {run.scenario.title or run.scenario.name}"
    top.suptitle(title + (f" ({run.variant})" if run.variant else ""), fontsize=TEXT + 2, x=0.01, ha="left")
    if bottom is not None:
        bottom.text(0.01, 0.98, text, va="top", ha="left", fontsize=TEXT, linespacing=1.3)
    return figure


def _draw(axes: Axes, shown: Sequence[Curve], span: tuple[float, float], units: str) -> None:
    unit = unit_of(shown[0].dimension, units)
    for k, curve in enumerate(shown):
        values = (curve.values - unit.offset) / unit.factor
        offset = 0.04 + 0.9 * k / max(len(shown), 1) * 0.2
        axes.plot(
            curve.times,
            values,
            **palette.style(curve.colour, curve.hollow),
            linestyle=palette.DASHES[curve.dash],
            markevery=(offset % 0.2, 0.2),
            label=curve.label,
            solid_joinstyle="round",
        )
    axes.set_xlim(*span)
    if shown[0].dimension != "temperature" and axes.get_ylim()[0] > 0.0:
        axes.set_ylim(bottom=0.0)
    words = _WORDS.get(shown[0].dimension, shown[0].dimension.replace("_", " "))
    axes.set_ylabel(f"{words} [{unit.symbol}]" if unit.symbol else words)
    axes.set_xlabel("time [s]")


def _columns(shown: Sequence[Curve], width: float) -> int:
    """How many columns of curves' names fit into a width [in]."""
    column = max(len(curve.label) for curve in shown) * LETTER + 0.62
    return max(1, min(int((width - 0.4) / column), len(shown)))


def _rows_of_names(shown: Sequence[Curve], width: float) -> int:
    return -(-len(shown) // _columns(shown, width))


def _name_curves(axes: Axes, figure: Figure, columns: int) -> None:
    """The names of the curves below the axes."""
    names = [line for line in axes.get_lines() if not line.get_label().startswith("_")]
    axes.legend(
        handles=names,
        loc="upper left",
        bbox_to_anchor=(0.0, 0.0),
        bbox_transform=offset_copy(axes.transAxes, figure, x=-0.5, y=-3.6 * TEXT / 72),
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
