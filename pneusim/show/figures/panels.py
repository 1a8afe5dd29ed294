"""Draws panels of curves with numbered events: the layout of every figure."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from io import BytesIO
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.transforms import offset_copy
from PIL import Image

from pneusim.errors import UsageError
from pneusim.quantities import DIMENSIONS, Unit, unit_of
from pneusim.show import palette
from pneusim.show.figures.curves import Curve
from pneusim.show.figures.limits import Limit
from pneusim.show.figures.marks import Mark
from pneusim.show.figures.rows import Row
from pneusim.show.figures.rows import draw as draw_rows
from pneusim.show.figures.rows import height as rows_height
from pneusim.show.written import written

SIZE = (8.0, 5.0)
"""Width and height of a figure without its lists of curves and events [in]."""

OVERVIEW = (14.0, 8.4)
"""The same for the overview [in]."""

TEXT = 11.0
"""Size of the text [pt]."""

HEADING = TEXT + 2
"""Size of the heading [pt]; with some room, for its letters are wider than those of a text of many lines."""

NUMBERS = 0.4
"""Width of the numbers at an axis [in]."""

LETTER, LINE = 0.5 * TEXT / 72, 1.55 * TEXT / 72
"""Mean width of a letter, and height of a line of curves' names [in]."""

FILLED = 0.88
"""Share of a heading's line that is filled with letters of mean width: those of a title are often wider."""

TEXT_LINE = 1.36 * TEXT / 72
"""Height of a line of the text below the panels [in]."""

HANDLE = 0.78
"""Width of the sample of a curve before its name [in]."""

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

FORMATS: dict[str, dict[str, Any]] = {
    "png": {"metadata": {"Software": None}},
    "svg": {"metadata": {"Date": None, "Creator": None}},
    "pdf": {"metadata": {"CreationDate": None, "Creator": None, "Producer": None}},
}
"""How each format is written: without dates and versions, so that the same run gives the same bytes."""

DPI = 110
"""Fineness of a PNG [dots/in]."""

NOTEBOOK, COLOURS = 90, 96
"""Fineness [dots/in] and number of colours of a figure in a notebook."""

_WORDS = {"fraction": "share", "length": "travel", "mass_flow": "flow"}


def dimension_words(dimension: str) -> str:
    """What a dimension is called on an axis."""
    return _WORDS.get(dimension, dimension.replace("_", " "))


def axis_words(dimension: str, units: str, words: str = "") -> str:
    """What stands at an axis: its quantity and unit."""
    symbol, words = unit_of(dimension, units).symbol, words or dimension_words(dimension)
    return f"{words} [{symbol}]" if symbol else words


class RunFigure(Figure):
    """A figure that shows itself in a notebook without any setting."""

    def _repr_png_(self) -> bytes:
        return self.small_png(NOTEBOOK)

    def small_png(self, dpi: float) -> bytes:
        """The figure as a PNG of few colours: a third of the bytes, and no difference to be seen."""
        fine, small = BytesIO(), BytesIO()
        self.savefig(fine, format="png", dpi=dpi)
        with Image.open(fine) as image:
            image.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(small, format="png", optimize=True)
        return small.getvalue()

    def save(self, path: str | Path) -> Path:
        """Write the figure; the ending of ``path`` chooses the format.  The same run gives the same bytes.

        Raises
        ------
        UsageError
            If the ending is another, or the file cannot be written.
        """
        path = Path(path)
        check_ending(path)
        return written(path, self.as_bytes(path.suffix[1:]))

    def as_bytes(self, kind: str, dpi: float = DPI) -> bytes:
        """The figure in one of `FORMATS`; ``dpi`` is the fineness of a PNG [dots/in]."""
        drawn, options = BytesIO(), FORMATS[kind] | ({"dpi": dpi} if kind == "png" else {})
        with matplotlib.rc_context(STYLE):
            self.savefig(drawn, format=kind, **options)
        return drawn.getvalue()


def check_ending(path: Path) -> None:
    """Raise a UsageError if a file's ending is none of a figure."""
    endings = [f".{kind}" for kind in FORMATS]
    if path.suffix not in endings:
        raise UsageError(f"{path}: a figure is written as {', '.join(endings)}; give the file one of these endings")


@dataclass(frozen=True)
class Panel:
    """A panel: its title, curves of one dimension, and limits, each with the letter that stands beside its line.

    ``rows`` stand below the curves; ``ends`` are those of the axis [SI], None where the curves tell them;
    ``words`` are its own in place of those of the dimension.
    """

    title: str
    curves: Sequence[Curve]
    limits: Sequence[tuple[str, Limit]] = ()
    rows: Sequence[Row] = ()
    ends: tuple[float, float] | None = None
    words: str = ""


def figure(
    heading: str, panels: Sequence[Panel], span: tuple[float, float], found: Sequence[Mark], below: str, units: str
) -> RunFigure:
    """One panel alone, or several in two columns over the time ``span`` [s]; ``below`` them stands a text."""
    more = max(rows_height(panel.rows) for panel in panels)
    whole, axes_of, width = sheet(heading, [panel.curves for panel in panels], below, more)
    for axes, panel in zip(axes_of, panels):
        lines = _draw(axes, panel.curves, span, units)
        axes.set_ylabel(axis_words(panel.curves[0].dimension, units, panel.words))
        _end(axes, panel, units)
        _limit(axes, panel, units)
        draw_rows(axes, panel.rows, span)
        _mark(axes, found, span, panel.title)
        name(axes, whole, lines, panel.curves, width, _beside(panel.rows))
    return whole


def _beside(rows: Sequence[Row]) -> float:
    """Width that the names of rows take at the left of the axes, beyond that of numbers [in]."""
    return max(max((len(row.label) for row in rows), default=0) * LETTER - NUMBERS, 0.0)


def sheet(
    heading: str, panels: Sequence[Sequence[Curve]], below: str, more: float = 0.0
) -> tuple[RunFigure, list[Axes], float]:
    """An empty figure with axes for panels of curves and its text; also the width of a panel [in].

    Rows of panels are higher by ``more`` [in].
    """
    many = len(panels) > 1
    columns = 2 if many else 1
    width, height = OVERVIEW if many else SIZE
    height = _height(panels, columns, width / columns, height / columns + more)
    text = "\n".join(_wrapped(below, width))
    foot = (text.count("\n") + 1) * TEXT_LINE + 0.25
    whole = RunFigure(figsize=(width, height + foot), layout="constrained", facecolor="white")
    parts: Any = whole.subfigures(2, 1, height_ratios=(height, foot))
    top, bottom = parts
    grid = top.subplots(-(-len(panels) // columns), columns, squeeze=False)
    for axes in grid.flat[len(panels) :]:
        axes.set_visible(False)
    letters = int(FILLED * width / LETTER * TEXT / HEADING)
    top.suptitle(textwrap.fill(heading, letters), fontsize=HEADING, x=0.01, ha="left")
    bottom.text(0.01, 0.98, text, va="top", ha="left", fontsize=TEXT, linespacing=1.3)
    return whole, list(grid.flat[: len(panels)]), width / columns


def _wrapped(text: str, width: float) -> list[str]:
    """Lines of a text that fit into a width [in]; what is wrapped stands further in."""
    return [
        line
        for entry in text.splitlines()
        for line in textwrap.wrap(entry, int(width / LETTER), subsequent_indent="    ")
    ]


def _height(panels: Sequence[Sequence[Curve]], columns: int, width: float, each: float) -> float:
    """Height of all rows of panels with the names of their curves [in]."""
    rows = [panels[k : k + columns] for k in range(0, len(panels), columns)]
    return sum(each + LINE * max(_name_lines(shown, width) for shown in row) for row in rows)


def _name_lines(shown: Sequence[Curve], width: float) -> int:
    """Lines that the names of curves take below a panel."""
    side_by_side = columns_of_names(shown, width)
    if side_by_side > 1:
        return -(-len(shown) // side_by_side)
    return sum(1 + _fitted(curve.label, width).count("\n") for curve in shown)


def _fitted(label: str, width: float) -> str:
    """A curve's name, wrapped to a width [in]."""
    return textwrap.fill(label, int((width - HANDLE - 0.6) / LETTER))


def columns_of_names(shown: Sequence[Curve], width: float) -> int:
    """How many columns of curves' names fit into a width [in]."""
    column = max(len(curve.label) for curve in shown) * LETTER + HANDLE
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
    _from_zero(axes, shown, unit)
    axes.set_xlabel("time [s]")
    if shown[0].dimension == "mass_flow" and units == "si":
        _in_litres(axes)
    return lines


def _from_zero(axes: Axes, shown: Sequence[Curve], unit: Unit) -> None:
    """Let the axis begin at zero and leave room above; where all curves are nothing there is an axis all the same."""
    values = [(float(curve.values.min()), float(curve.values.max())) for curve in shown if curve.values.size]
    low, high = min(value for value, _ in values), max(value for _, value in values)
    if low == high == 0.0:
        axes.set_ylim(-0.05, 1.0)
    elif low >= 0.0 and shown[0].dimension != "temperature" and axes.get_ylim()[0] > 0.0:
        axes.set_ylim(0.0, 1.05 * high / unit.factor)


def _end(axes: Axes, panel: Panel, units: str) -> None:
    """Ends of the axis that its quantity has."""
    if panel.ends:
        unit = unit_of(panel.curves[0].dimension, units)
        axes.set_ylim(*((end - unit.offset) / unit.factor for end in panel.ends))


def _in_litres(axes: Axes) -> None:
    """A second scale of a flow, at the right: the volume at the reference atmosphere."""
    each = DIMENSIONS["mass_flow"].unit("L/min (ANR)").factor / unit_of("mass_flow").factor
    scale = axes.secondary_yaxis("right", functions=(partial(np.multiply, 1.0 / each), partial(np.multiply, each)))
    scale.set_ylabel("flow [L/min (ANR)]")


def name(
    axes: Axes, whole: Figure, lines: Sequence[Artist], shown: Sequence[Curve], width: float, beside: float = 0.0
) -> None:
    """The names of the curves below the axes of a panel of a width [in]; ``beside`` the axes stand wide names [in]."""
    axes.legend(
        handles=lines,
        labels=[_fitted(curve.label, width) for curve in shown],
        loc="upper left",
        bbox_to_anchor=(0.0, 0.0),
        bbox_transform=offset_copy(axes.transAxes, whole, x=-0.5 - beside, y=-3.6 * TEXT / 72),
        ncols=columns_of_names(shown, width),
        borderpad=0.0,
        handlelength=3.6,
        columnspacing=1.5,
    )


def _limit(axes: Axes, panel: Panel, units: str) -> None:
    """A thin line for each limit, with its letter beside the axes; near ones step outwards by turns."""
    if not panel.limits:
        return
    unit = unit_of(panel.curves[0].dimension, units)
    levels = {letter: (limit.value - unit.offset) / unit.factor for letter, limit in panel.limits}
    for level in levels.values():
        axes.axhline(level, color=palette.INK, linewidth=0.9, linestyle=(0, (9, 3)), zorder=1)
    low, high = axes.get_ylim()
    high = max(high, *(level + 0.03 * (high - low) for level in levels.values()))
    axes.set_ylim(low, high)
    inside = panel.curves[0].dimension == "mass_flow" and units == "si"  # at the right stands a scale of its own
    last, turn = float("inf"), 0
    for letter, level in sorted(levels.items(), key=lambda pair: -pair[1]):
        turn = (turn + 1) % 3 if last - level < 0.055 * (high - low) else 0
        last = level
        axes.annotate(
            letter, (1.0, level), xycoords=("axes fraction", "data"),
            xytext=(-4 - turn * TEXT, 2) if inside else (4 + turn * TEXT, 0), textcoords="offset points",
            ha="right" if inside else "left", va="bottom" if inside else "center", color=palette.INK,
            annotation_clip=False,
        )  # fmt: skip


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
