"""The matrix picture of a study of failures: groups of failures by consequences, the worst on top."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from pathlib import Path

import matplotlib
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from pneusim.results.run import CAUTION
from pneusim.results.store import write_files
from pneusim.show import palette
from pneusim.show.figures.panels import STYLE, RunFigure
from pneusim.show.tables.failure_cells import (
    LATER,
    MORE,
    MUCH_LATER,
    MUCH_MORE,
    SIGNS,
    VERY_LOPSIDED,
    Cell,
    Column,
    Line,
    headings,
    matrix,
    names,
)
from pneusim.show.tables.failures import counted
from pneusim.studies.failures.classes import class_named
from pneusim.studies.failures.judge import LIMITS
from pneusim.studies.failures.study import Study

MOST = 80
"""Groups in one picture; more go on to further ones."""

ROW, HEAD, FOOT = 0.215, 2.45, 1.03
"""Heights [in]: of a row, of the headings, of the key below."""

LABEL, COLUMN = 6.3, 0.56
"""Widths [in]: of the names of failures, of a column."""

LETTERS = 88
"""Letters of a failure's words that are shown."""

SMALL = 8.0
DPI = 130

FILLS = ("#ffffff", "#e7edfb", "#a9bdf0", "#2f4a9e")
"""Backgrounds by how grave a cell is, from white to dark of one hue; the sign and the number say the same."""

INKS = (palette.QUIET, palette.INK, palette.INK, "#ffffff")
EMPTY = "#f3f4f6"
"""Where there is nothing to say."""

BAND = "#d3d8e0"
"""Behind the name of a class."""

NAME = 24
"""Letters of a line of a column's name, of which there are two at most."""


def save(study: Study, folder: Path) -> list[Path]:
    """Write ``matrix.png`` and ``matrix.svg`` into a folder; what does not fit goes to ``matrix_2.png`` and so on."""
    drawn: dict[str, bytes] = {}
    for number, figure in enumerate(figures(study), 1):
        stem = "matrix" if number == 1 else f"matrix_{number}"
        drawn |= {f"{stem}.{ending}": figure.as_bytes(ending, DPI) for ending in ("png", "svg")}
    write_files(folder, drawn)
    return [folder / name for name in drawn]


def figures(study: Study) -> list[RunFigure]:
    """The pictures, `MOST` groups in each."""
    columns, lines = matrix(study)
    count = max(-(-len(lines) // MOST), 1)
    most = max(-(-len(lines) // count), 1)
    pages = [lines[k : k + most] for k in range(0, len(lines), most)] or [[]]
    with matplotlib.rc_context(STYLE):
        return [_page(study, columns, pages, k) for k in range(len(pages))]


def _page(study: Study, columns: Sequence[Column], pages: Sequence[Sequence[Line]], page: int) -> RunFigure:
    lines, which = pages[page], f" ({page + 1} of {len(pages)})" if len(pages) > 1 else ""
    begun = {line.group.worst for before in pages[:page] for line in before}
    classes = list(dict.fromkeys(line.group.worst for line in lines))
    rows = len(lines) + len(classes)
    width, height = LABEL + COLUMN * len(columns) + 0.3, HEAD + ROW * rows + FOOT
    figure = RunFigure(figsize=(width, height), facecolor="white")
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set(xlim=(-LABEL, width - LABEL), ylim=(rows * ROW + FOOT, -HEAD))
    axes.axis("off")
    cycle = study.cycle.scenario.words
    title = f"{study.title}: {counted(len(study.rows), 'failure')}. {cycle}{which}"
    axes.text(0.12 - LABEL, 0.3 - HEAD, title, fontsize=12, fontweight="bold", color=palette.INK)
    axes.text(0.12 - LABEL, -0.08, "worst first; a row is the worst of a group of failures with the same consequence, "
              "(+n) more of them", fontsize=SMALL, color=palette.QUIET)  # fmt: skip
    _heads(axes, columns)
    y = 0.0
    for name in classes:
        here = [line for line in lines if line.group.worst == name]
        failures = sum(row.worst == name for row in study.rows)
        continued = " (continued)" if name in begun else ""
        _band(axes, y, f"{class_named(name).words}: {counted(failures, 'failure')}{continued}", width)
        for line in here:
            y += ROW
            _line(axes, y, line)
        y += ROW
    _key(axes, y + 0.1)
    return figure


def _heads(axes: Axes, columns: Sequence[Column]) -> None:
    for k, name in enumerate(names(columns)):
        words = textwrap.fill(textwrap.shorten(name, 2 * NAME, placeholder=" ..."), NAME)
        axes.text((k + 0.5) * COLUMN, -0.08, words, rotation=90, fontsize=SMALL, color=palette.INK, ha="center",
                  va="bottom", linespacing=1.0)  # fmt: skip
    for heading, first, last in headings(columns):
        left, right, y = (first + 0.1) * COLUMN, (last + 0.9) * COLUMN, 0.55 - HEAD
        axes.plot([left, right], [y, y], color=palette.QUIET, linewidth=0.8)
        axes.text((left + right) / 2, y - 0.06, heading, fontsize=SMALL, ha="center", color=palette.INK,
                  fontweight="bold")  # fmt: skip


def _band(axes: Axes, y: float, words: str, width: float) -> None:
    axes.add_patch(Rectangle((0.06 - LABEL, y), width - 0.12, ROW, facecolor=BAND, edgecolor="none"))
    axes.text(0.14 - LABEL, y + ROW / 2, words, fontsize=SMALL, fontweight="bold", color=palette.INK, va="center")


def _line(axes: Axes, y: float, line: Line) -> None:
    words = textwrap.shorten(line.label, LETTERS, placeholder=" ...") if len(line.label) > LETTERS else line.label
    axes.text(0.42 - LABEL, y + ROW / 2, str(line.group.number), fontsize=SMALL, color=palette.QUIET, va="center",
              ha="right")  # fmt: skip
    axes.text(0.5 - LABEL, y + ROW / 2, words, fontsize=SMALL, color=palette.INK, va="center")
    for k, cell in enumerate(line.cells):
        _cell(axes, k * COLUMN, y, cell)


def _cell(axes: Axes, x: float, y: float, cell: Cell, width: float = COLUMN) -> None:
    fill = EMPTY if cell.level is None else FILLS[cell.level]
    axes.add_patch(Rectangle((x, y), width, ROW, facecolor=fill, edgecolor=palette.GRID, linewidth=0.5))
    if cell.text:
        ink = INKS[cell.level or 0]
        weight = "bold" if cell.level == 3 else "normal"
        axes.text(x + width / 2, y + ROW / 2, cell.text, fontsize=SMALL, color=ink, va="center", ha="center",
                  fontweight=weight)  # fmt: skip


def _key(axes: Axes, y: float) -> None:
    """What signs and colours mean, and the caution."""
    words = ("as intact", "slight", "marked", "grave")
    x = 0.14 - LABEL
    for level, word in enumerate(words):
        _cell(axes, x, y, Cell(SIGNS[level], level))
        axes.text(x + COLUMN + 0.08, y + ROW / 2, word, fontsize=SMALL, va="center", color=palette.INK)
        x += COLUMN + 0.85
    axes.text(x, y + ROW / 2, f"{MORE} more than intact; grey: nothing to compare", fontsize=SMALL, va="center",
              color=palette.INK)  # fmt: skip
    rest = "Shares are of the intact vehicle in the same cycle; what each word means: docs/failures.md."
    for line, small in enumerate((_limits(), rest, CAUTION)):
        axes.text(0.14 - LABEL, y + 0.4 + 0.18 * line, small, fontsize=SMALL - 1, color=palette.QUIET, va="center")


def _limits() -> str:
    """From where a cell is slight, marked or grave."""
    weak, half, lost, more, much = (
        f"{100.0 * s:.0f} %" for s in (LIMITS.weak, LIMITS.half, LIMITS.lost, LIMITS.strong, MUCH_MORE)
    )
    apart, far = (f"{100.0 * share:.0f} %" for share in (LIMITS.lopsided, VERY_LOPSIDED))
    _, slight, marked, grave = SIGNS
    return (
        f"Force and air: {slight} under {weak}, {marked} under {half}, {grave} under {lost}; of a whole vehicle "
        f"{grave} under {half}; {MORE} over {more}, darker over {much}.  Sides differ: {marked} over {apart}, "
        f"{grave} over {far}.  Later: {slight} over {LATER:g} s, {marked} over {MUCH_LATER:g} s."
    )
