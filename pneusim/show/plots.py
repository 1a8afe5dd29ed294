"""Figures of a run: reservoirs, controls, chambers, forces, and all four on one page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import matplotlib

from pneusim.errors import UsageError
from pneusim.quantities import unit_of
from pneusim.results.measures.applications import applications
from pneusim.results.run import Run
from pneusim.show import curves, drawing
from pneusim.show.curves import Curve
from pneusim.show.drawing import RunFigure, dimension_words


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
    with matplotlib.rc_context(drawing.STYLE):
        return drawing.figure(run, panels, (first, last), units)


def save(run: Run, folder: Path, units: str = "si") -> list[Path]:
    """Write the overview, every group with curves, and the first application of the pedal and of the springs, as PNG
    and SVG, into a folder; a run that failed at once has nothing to draw."""
    if not run.channels or not _span(run)[0] < _span(run)[1]:
        return []
    figures = {"overview": plot(run, units=units)} if any(GROUPS[name].curves(run) for name in SAVED) else {}
    figures |= {name: plot(run, name, units=units) for name in SAVED if GROUPS[name].curves(run)}
    if rise := _first_rise(run):
        figures["application_1"] = plot(run, "chambers", units=units, start=rise[0], end=rise[1])
    if springs := _first_springs(run):
        figures["spring_application_1"] = plot(run, "chambers", "forces", units=units, start=springs[0], end=springs[1])
    written = []
    for name, figure in figures.items():
        for kind, extra in _FORMATS.items():
            written.append(folder / f"{name}.{kind}")
            with matplotlib.rc_context(drawing.STYLE):
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


def _first_springs(run: Run) -> tuple[float, float] | None:
    """The part of the run in which springs first apply: from their cause until the slowest has its force, and a third.

    None where that is most of the run.
    """
    values = {m.name: m.value for m in run.measures if m.value is not None}
    begins = [value for name, value in values.items() if name.endswith(".spring_application_1.begins")]
    full = [value for name, value in values.items() if name.endswith(".spring_application_1.force_90")]
    if not begins or not full:
        return None
    start, end = run.span
    causes = [event.time for event in run.events if event.category == "step" and event.time <= min(begins)]
    since = max(causes, default=start)
    until = max(full) + (max(full) - since) / 3.0
    return (max(start, since - 0.1), min(end, until)) if until - since < 0.5 * (end - start) else None


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
        (unit_of(dimension).symbol and dimension_words(dimension)) or dimension: [
            curve for curve in found if curve.dimension == dimension
        ]
        for dimension in dict.fromkeys(curve.dimension for curve in found)
    }
