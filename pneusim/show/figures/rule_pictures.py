"""Pictures of timed tests: the curves, the limit drawn in, and the verdict in words."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.transforms import offset_copy

from pneusim.quantities import unit_of
from pneusim.results.measures.crossing import window
from pneusim.results.restate import restate
from pneusim.results.run import Channel
from pneusim.results.words import listed
from pneusim.rules.files import picture_file
from pneusim.rules.finding import CAUTIONS, MISSED, NOT_JUDGED, Finding, Mark, Picture, Report
from pneusim.show import palette
from pneusim.show.figures.curves import NEGLIGIBLE, SAME
from pneusim.show.figures.panels import LETTER, LINE, SIZE, STYLE, TEXT, RunFigure, dimension_words
from pneusim.show.tables.rules import margin_in_words, value_in_words

DPI = 110

ALONG = {
    "time": ("time from the start of the test", "time"),
    "distance": ("way from the start of the test", "distance"),
    "braking rate": ("braking rate: deceleration over that of gravity", "number"),
}
"""What a picture's curves are drawn over, in words, and its dimension."""

MOST_NAMED = 2
"""So many parts with one curve are all named."""


def save(report: Report, folder: Path, units: str = "si") -> list[Path]:
    """Write a PNG of every picture of a report into a folder: ``tractor_actuation.png``."""
    written = []
    for unit, picture in report.pictures:
        written.append(folder / picture_file(unit, picture.name))
        with matplotlib.rc_context(STYLE):
            drawn = figure(report, unit, picture, units)
            drawn.savefig(written[-1], dpi=DPI, metadata={"Software": None})
    return written


def figure(report: Report, unit: str, picture: Picture, units: str = "si") -> RunFigure:
    """One picture: title, curves with the limits, verdict and caution below."""
    curves = _merged(picture)
    below = _below(report.of(picture.name, unit), int(SIZE[0] / LETTER), units)
    names = LINE * sum(1 + curve.label.count("\n") for curve in curves)
    height = SIZE[1] + names + LINE * (below.count("\n") + 1) + 0.25
    whole = RunFigure(figsize=(SIZE[0], height), layout="constrained", facecolor="white")
    parts: Any = whole.subfigures(2, 1, height_ratios=(SIZE[1] + names, height - SIZE[1] - names))
    axes = parts[0].subplots()
    _draw(axes, picture, curves, units)
    _name(axes, parts[0])
    for mark in picture.marks:
        _mark(axes, mark, picture, units)
    axes.set_title(": ".join(filter(None, (unit.replace("_", " "), picture.title))))
    parts[0].suptitle(f"{report.circuit}: {report.title}", fontsize=TEXT, x=0.01, ha="left")
    parts[1].text(0.01, 0.98, below, va="top", ha="left", fontsize=TEXT, linespacing=1.3)
    return whole


def verdict(findings: Sequence[Finding], units: str = "si") -> str:
    """What came out, in a sentence: the misses, or what came nearest to its limit."""
    judged = [finding for finding in findings if finding.verdict != NOT_JUDGED]
    missed = [finding for finding in judged if finding.verdict == MISSED]
    if missed:
        told = [f"{f.what}: {value_in_words(f, units)}, {f.limit.told(units) if f.limit else ''}" for f in missed]
        return restate(f"Missed: {'; '.join(told)}.", units)
    if not judged:
        return "Nothing was judged."
    limited = [finding for finding in judged if finding.limit is not None and finding.margin is not None]
    if not limited:
        return "Met."
    nearest = min(limited, key=_share)
    words = f"{nearest.what}, {value_in_words(nearest, units)}, {margin_in_words(nearest, units)} inside the limit"
    return restate(f"Met; nearest to its limit: {words}.", units)


def _share(finding: Finding) -> float:
    """Margin over limit [-]; a limit of zero leaves the margin as it is."""
    assert finding.limit is not None
    assert finding.margin is not None
    return finding.margin / (abs(finding.limit.value) or 1.0)


def _below(findings: Sequence[Finding], columns: int, units: str) -> str:
    lines = textwrap.wrap(verdict(findings, units), columns)
    return "\n".join([*lines, "", *(line for caution in CAUTIONS for line in textwrap.wrap(caution, columns))])


def _merged(picture: Picture) -> list[Channel]:
    """The curves in the span shown, time from time zero; those that do the same are one."""
    start, end = (picture.zero + offset for offset in picture.span)
    groups: list[tuple[Channel, list[str]]] = []
    for curve in picture.curves:
        times, values = window(curve, max(start, float(curve.times[0])), min(end, float(curve.times[-1])))
        cut = replace(curve, times=times - picture.zero, values=values)
        for first, labels in groups:
            apart = float(np.abs(np.interp(cut.times, first.times, first.values) - cut.values).max())
            if apart <= max(SAME * float(np.abs(first.values).max()), NEGLIGIBLE.get(curve.dimension, 0.0)):
                labels.append(curve.label)
                break
        else:
            groups.append((cut, [curve.label]))
    return [replace(first, label=_together(labels)) for first, labels in groups]


def _together(labels: Sequence[str]) -> str:
    """The name of a curve that stands for several, wrapped to the width of the picture."""
    others = f"{labels[0]}, and {len(labels) - 1} others that do the same"
    words = listed(labels) if len(labels) <= MOST_NAMED else others
    return textwrap.fill(words, int(SIZE[0] / LETTER) - 10)


def _draw(axes: Axes, picture: Picture, curves: Sequence[Channel], units: str) -> None:
    dimension = curves[0].dimension
    unit, across = unit_of(dimension, units), unit_of(ALONG[picture.along][1], units)
    for k, curve in enumerate(curves):
        axes.plot(
            curve.times / across.factor, (curve.values - unit.offset) / unit.factor, label=curve.label,
            **palette.style(k), markevery=((0.04 + 0.18 * k / len(curves)) % 0.2, 0.2),
        )  # fmt: skip
    axes.set_xlim(*(offset / across.factor for offset in picture.span))
    axes.set_ylim(bottom=min(0.0, axes.get_ylim()[0]))
    words = ALONG[picture.along][0]
    axes.set_xlabel(f"{words} [{across.symbol}]" if across.symbol else words)
    upward = picture.upward or dimension_words(dimension)
    axes.set_ylabel(f"{upward} [{unit.symbol}]" if unit.symbol else upward)


def _name(axes: Axes, part: Any) -> None:
    """The names of the curves below the axes."""
    axes.legend(
        loc="upper left",
        bbox_to_anchor=(0.0, 0.0),
        bbox_transform=offset_copy(axes.transAxes, part.figure, x=-0.5, y=-3.6 * TEXT / 72),
        borderpad=0.0,
        handlelength=2.6,
    )


def _mark(axes: Axes, mark: Mark, picture: Picture, units: str) -> None:
    """A limit: its lines, a ring where they meet, and its words beside them."""
    unit = unit_of(picture.curves[0].dimension, units)
    level = None if mark.level is None else (mark.level - unit.offset) / unit.factor
    across = unit_of(ALONG[picture.along][1], units)
    at_x = None if mark.time is None else mark.time / across.factor
    style: Any = {"color": palette.INK, "linewidth": 1.4, "linestyle": (0, (6, 2)), "zorder": 1}
    if at_x is not None:
        axes.axvline(at_x, **style)
    if level is not None:
        axes.axhline(level, **style)
    if at_x is not None and level is not None:
        axes.plot([at_x], [level], "o", color=palette.INK, markerfacecolor="white", markersize=9, zorder=4)
    at = (0.99 if at_x is None else at_x, 0.5 if level is None else level)
    coordinates = ("axes fraction" if at_x is None else "data", "axes fraction" if level is None else "data")
    offset, side = ((0, 6), "right") if at_x is None else ((8, 6), "left")
    axes.annotate(restate(mark.words, units), at, xycoords=coordinates, xytext=offset, textcoords="offset points",
                  ha=side, color=palette.INK, bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0})  # fmt: skip
