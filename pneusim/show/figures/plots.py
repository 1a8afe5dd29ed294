"""Figures of a run: groups of curves, an overview, channels over time or against each other; two runs in one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path
from string import ascii_lowercase

import matplotlib

from pneusim.errors import UsageError
from pneusim.quantities import unit_of
from pneusim.results.comparison.aligned import moved, offset
from pneusim.results.measures.applications import applications
from pneusim.results.run import Run
from pneusim.results.units import check_units
from pneusim.show.figures import curves
from pneusim.show.figures.against import characteristics
from pneusim.show.figures.beside import heading, named, told
from pneusim.show.figures.curves import Curve
from pneusim.show.figures.groups import ALONE, GROUPS, SAVED, telling
from pneusim.show.figures.limits import limits
from pneusim.show.figures.marks import legend, marks, merged
from pneusim.show.figures.panels import STYLE, Panel, RunFigure, dimension_words, figure
from pneusim.show.figures.pictures import BANDED, PICTURES, Asked, picture, pictures_of
from pneusim.show.figures.rows import Row

SAVED_AS = ("png", "svg")
OVERVIEW = "overview"

NEAR = 0.75
"""A name this near to that of a group means the group."""


@dataclass(frozen=True)
class View:
    """A figure that tells a run: its groups, the part of the run that it shows [s], and that part in words."""

    groups: tuple[str, ...]
    start: float | None = None
    end: float | None = None
    words: str = ""


@dataclass(frozen=True)
class _Curves:
    """What is to be drawn: a run or two, groups or channels, the time shown [s], and what is said below."""

    run: Run
    other: Run | None
    what: Sequence[str]
    span: tuple[float, float]
    units: str
    note: Sequence[str]


def plot(
    run: Run,
    *what: str,
    against: str | None = None,
    beside: Run | Sequence[Run] | None = None,
    units: str = "si",
    start: float | None = None,
    end: float | None = None,
    at: float | None = None,
    band: Sequence[tuple[float, float, float]] = (),
) -> RunFigure:
    """Draw a run.

    Parameters
    ----------
    run : Run
    what : str
        Nothing for the overview; the name of a group (``reservoirs``, ``controls``, ``chambers``, ``forces``,
        ``strokes``, ``flows``; of a run on a road also ``speeds``, ``slips``, ``loads``, ``hitches``, ``heat``); the
        name of a picture that is not over time (``friction``, ``ellipse``, ``side_force``, ``distance``,
        ``utilisation``, ``braking_ratio``); or names of channels, one panel for each dimension.
    against : str, optional
        Draw the channels named against this channel in place of time: characteristics with their hysteresis.
    beside : Run, optional
        A second run in the same figure, dashed, moved so that the first step of both coincides; ``distance`` takes
        several.
    units : {"si", "us"}
    start, end : float, optional
        Part of the run that is shown [s]; the whole run by default.
    at : float, optional
        The moment that a picture shows, ``friction`` for one [s].
    band : sequence of (pressure [Pa gauge], lowest, highest braking ratio [-])
        A band behind ``braking_ratio``, straight between its points.

    Returns
    -------
    matplotlib.figure.Figure

    Raises
    ------
    UsageError
        If there is nothing to draw, ``start`` is not before ``end``, or ``against`` goes with no channels.
    """
    check_units(units)
    others = [beside] if isinstance(beside, Run) else list(beside or ())
    if len(what) == 1 and what[0] in PICTURES:
        with matplotlib.rc_context(STYLE):
            return picture(what[0], Asked(run, others, units, start, end, at, band))
    _check(what, others, at, band)
    second = others[0] if others else None
    by = None if second is None else offset(run, second)
    other = None if second is None else moved(second, by or 0.0)
    spans = [_span(one) for one in (run, other) if one is not None]
    first = min(span[0] for span in spans) if start is None else start
    last = max(span[1] for span in spans) if end is None else end
    if start is not None and end is None and start >= last:
        raise UsageError(f"nothing to draw from {start:g} s on: the run ends at {last:g} s; begin before that")
    if not first < last:
        raise UsageError(f"nothing to draw: the part from {first:g} s to {last:g} s is empty")
    note = told(run, second, by) if second is not None else ()
    asked = _Curves(run, other, what, (first, last), units, note)
    with matplotlib.rc_context(STYLE):
        return _over_time(asked) if against is None else _against(asked, against)


def _over_time(asked: _Curves) -> RunFigure:
    run, other, span, units = asked.run, asked.other, asked.span, asked.units
    shown = _panels(run, asked.what, span)
    found, left_out = marks(run, *span, units)
    if other is not None:
        shown = _both(shown, _panels(other, asked.what, span))
        theirs, more = marks(other, *span, units)
        found, left_out = merged(found, theirs), left_out + more
    panels, limited, skipped = _with_limits(run, shown, units)
    panels = [_with_rows(panel, run, other) for panel in panels]
    below = [*asked.note, *legend(found, left_out), *limited]
    below += [f"and {skipped} more limits, see the measures"] if skipped else []
    cut = [replace(panel, curves=curves.sampled(panel.curves, *span)) for panel in panels]
    return figure(heading(run, other), cut, span, found, "\n".join(below), units)


def _both(ours: dict[str, list[Curve]], theirs: dict[str, list[Curve]]) -> dict[str, list[Curve]]:
    """The panels of two runs; a panel that only one of them has is shown too."""
    titles = dict.fromkeys([*ours, *theirs])
    return {t: [*named(ours.get(t, []), "A"), *named(theirs.get(t, []), "B")] for t in titles}


def _with_limits(run: Run, shown: dict[str, list[Curve]], units: str) -> tuple[list[Panel], list[str], int]:
    """Panels with lettered limits, the limits in words, and how many were left out."""
    letters = iter(ascii_lowercase)
    panels, words, skipped = [], [], 0
    for title, found in shown.items():
        own, more = limits(run, found, units)
        lettered = [(letter, limit) for limit, letter in zip(own, letters)]  # in this order no letter is lost
        panels.append(Panel(title, found, lettered))
        words += [f"{letter}  {limit.words}" for letter, limit in lettered]
        skipped += more + len(own) - len(lettered)
    return panels, words, skipped


def _with_rows(panel: Panel, run: Run, other: Run | None) -> Panel:
    """A panel of a group with what the group has besides its curves."""
    group = next((group for group in GROUPS.values() if group.title == panel.title), None)
    if group is None:
        return panel
    rows: list[Row] = []
    for key, one in {"A": run, "B": other}.items():
        if one is not None:
            rows += [row if other is None else replace(row, label=f"{key}: {row.label}") for row in group.rows(one)]
    return replace(panel, rows=rows, ends=group.ends, words=group.words)


def _check(what: Sequence[str], others: Sequence[Run], at: float | None, band: Sequence[object]) -> None:
    """Raise a UsageError for what only pictures have."""
    for name in what:
        if name in PICTURES:
            raise UsageError(f"{name} is a picture by itself: name it alone")
    if at is not None:
        moments = ", ".join(name for name, one in PICTURES.items() if one.moment)
        raise UsageError(f"a moment is shown by pictures alone: {moments}")
    if band:
        raise UsageError(f"a band is drawn by {BANDED} alone")
    if len(others) > 1:
        several = ", ".join(name for name, one in PICTURES.items() if one.several)
        raise UsageError(f"over time two runs at most are drawn beside each other; more of them: {several}")


def _against(asked: _Curves, against: str) -> RunFigure:
    if not asked.what or any(name in GROUPS for name in asked.what):
        raise UsageError("what is drawn against a channel must be channels: name one or several")
    pairs = []
    for key, one in {"A": asked.run, "B": asked.other}.items():
        if one is not None:
            base, *found = curves.sampled(_of_channels(one, [against, *asked.what]), *asked.span)
            own = curves.coloured(found)
            pairs += [(base, curve) for curve in (own if asked.other is None else named(own, key))]
    return characteristics(heading(asked.run, asked.other), pairs, asked.note, asked.units)


def title_of(name: str) -> str:
    """The title of a group or a picture."""
    return GROUPS[name].title if name in GROUPS else PICTURES[name].title


def views(run: Run) -> dict[str, View]:
    """The figures that tell a run, by name: the overview, every group with curves, and the first application of the
    pedal and of the springs.  A run that failed at once has nothing to draw."""
    if not run.channels or not _span(run)[0] < _span(run)[1]:
        return {}
    shown = telling(run)
    found = {OVERVIEW: View(tuple(shown))} if shown else {}
    found |= {name: View((name,)) for name in (*shown, *(one for one in ALONE if GROUPS[one].curves(run, *run.span)))}
    found |= {name: View((name,)) for name in pictures_of(run)}
    if rise := _first_rise(run):
        found["application_1"] = View(("chambers",), *rise, ", the first application")
    if springs := _first_springs(run):
        found["spring_application_1"] = View(("chambers", "forces"), *springs, ", the springs' first application")
    return found


def save(run: Run, folder: Path, units: str = "si") -> list[Path]:
    """Write the figures that tell a run as PNG and SVG into a folder."""
    written = []
    for name, view in views(run).items():
        drawn = plot(run, *view.groups, units=units, start=view.start, end=view.end)
        for kind in SAVED_AS:
            written.append(folder / f"{name}.{kind}")
            drawn.save(written[-1])
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


def _span(run: Run) -> tuple[float, float]:
    if not run.channels:
        raise UsageError("nothing to draw: the run has no channels")
    return run.span


def _panels(run: Run, what: Sequence[str], span: tuple[float, float]) -> dict[str, list[Curve]]:
    names = what or SAVED
    if all(name in GROUPS for name in names):
        panels = {GROUPS[name].title: found for name in names if (found := GROUPS[name].curves(run, *span))}
        if not panels:
            raise UsageError(f"nothing to draw: this run has no {' and no '.join(names)}")
        return panels
    found = _of_channels(run, what)
    return {
        (unit_of(dimension).symbol and dimension_words(dimension)) or dimension: [
            curve for curve in found if curve.dimension == dimension
        ]
        for dimension in dict.fromkeys(curve.dimension for curve in found)
    }


def _of_channels(run: Run, names: Sequence[str]) -> list[Curve]:
    try:
        return curves.of_channels(run, names)
    except KeyError as error:
        wrong = next(name for name in names if name not in run.channels)
        if wrong in GROUPS:
            raise UsageError(f"{wrong} is a group: name groups alone, or channels alone") from None
        near = get_close_matches(wrong, [*GROUPS, *PICTURES], n=1, cutoff=NEAR)
        if near:
            kind = "group" if near[0] in GROUPS else "picture"
            raise UsageError(f"no group or channel {wrong!r} in this run; nearest: the {kind} {near[0]}") from None
        others = f"a group: {', '.join(GROUPS)}; or a picture: {', '.join(PICTURES)}"
        raise UsageError(f"{error.args[0]}; or name {others}") from None
