"""Everything that a replay page says, as one document that JSON can hold: SI, pressures gauge.

What a person reads as a sentence is in the units asked for; numbers are turned into them by the page.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from pneusim.errors import UsageError
from pneusim.quantities import express
from pneusim.results.clauses import moments_of
from pneusim.results.comparison.aligned import offset
from pneusim.results.mechanics import mechanics
from pneusim.results.narrative import is_listed, sentences
from pneusim.results.restate import restate
from pneusim.results.run import CAUTION, Run
from pneusim.results.stored import as_stored
from pneusim.results.units import check_units
from pneusim.results.validity import in_short
from pneusim.results.words import amount, listed, moment
from pneusim.show import palette
from pneusim.show.figures import beside
from pneusim.show.figures.groups import GROUPS, Group, telling
from pneusim.show.figures.limits import limits
from pneusim.show.replay import scene
from pneusim.show.replay.measures import measures
from pneusim.show.replay.pack import RESOLUTION, on_tick, packed, tick
from pneusim.show.replay.quantities import pressure_top, quantities
from pneusim.show.replay.questions import questions
from pneusim.show.replay.rolling import rolling
from pneusim.show.replay.rows import rows
from pneusim.show.replay.samples import Samples, thin
from pneusim.show.schematic.cache import laid_out
from pneusim.show.schematic.sheet import sheet
from pneusim.show.tables.run import closure_line


def document(run: Run, other: Run | None = None, units: str = "si") -> tuple[dict[str, Any], list[str]]:
    """The document of a page on one run or on two, and the drawings that it refers to.

    Parameters
    ----------
    run, other : Run
        The second is moved so that the first step of both coincides.
    units : {"si", "us"}

    Returns
    -------
    dict, list of str
        The document, and the SVG of every drawing; equal drawings are one.

    Raises
    ------
    UsageError
        If the unit system is unknown, a run has nothing to show, or its circuit cannot be drawn.
    """
    check_units(units)
    run, other = as_stored(run), other and as_stored(other)
    shown = [run] if other is None else [run, other]
    drawings: list[str] = []
    told = [_run(one, name, units, drawings) for one, name in zip(shown, "AB")]
    together = ""
    if other is not None:
        by = offset(run, other)
        told[1]["shift"] = on_tick(by or 0.0, told[1]["samples"]["tick"])
        together = "A: {}. B: {}; {}.".format(*beside.names(run, other), beside.aligned(by))
        for one in told:
            _tell_apart(one)
    dimensions = (dimension for one in told for dimension in one["samples"]["dimensions"])
    content = {
        "title": beside.heading(run) + (f" / {beside.names(run, other)[1]}" if other is not None else ""),
        "caution": CAUTION,
        "limits_of_model": in_short(run.scenario.road is not None),
        "units": units,
        "beside": together,
        "palette": {"curves": list(palette.LINES)},
        "quantities": quantities(dimensions, units),
        "pressure_top": pressure_top((one[name] for one in shown for name in _finite(one)), units),
        "runs": told,
    }
    return content, drawings


def _run(run: Run, name: str, units: str, drawings: list[str]) -> dict[str, Any]:
    if not run.channels or not run.span[0] < run.span[1]:
        raise UsageError(f"there is nothing to replay: {run.message or 'the run has no channels'}")
    samples = thin(run, _finite(run))
    step = tick(samples.times)
    layout = laid_out(sheet(run.circuit))
    svg = scene.drawing(layout)
    if svg not in drawings:
        drawings.append(svg)
    return {
        "name": name,
        "title": run.title,
        "status": run.status,
        "message": _message(run),
        "span": [on_tick(time, step) for time in run.span],
        "shift": 0.0,
        "drawing": drawings.index(svg),
        "samples": packed(samples, run.channels) | {"told": _told(samples, units)},
        "actors": scene.actors(run.circuit, layout, run.channels),
        "marks": [
            _on_ticks({**mark, "text": restate(mark.get("text", ""), units)}, step) for mark in scene.marks(run, layout)
        ],
        "events": [_on_ticks(event, step) for event in _events(run, units)],
        "narrative": [
            _on_ticks({"time": sentence.since, "until": sentence.until, "text": sentence.text}, step)
            | {"so_far": [[on_tick(time, step), text] for time, text in sentence.so_far]}
            for sentence in sentences(run, units)
        ],
        "plots": _plots(run, units),
        "table": rows(run, samples.values),
        "measures": measures(run, units),
        "questions": questions(run, units, step),
        **rolling(run, layout),
        "sources": list(run.sources),
        "extrapolated": [restate(sentence, units) for sentence in run.extrapolated],
        "closure": str(closure_line(run)),
    }  # fmt: skip


def _events(run: Run, units: str) -> list[dict[str, Any]]:
    """Events in order of time; what several brakes did together is one."""
    found = [
        {
            "time": event.time, "category": event.category, "kind": event.kind, "component": event.component,
            "text": restate(event.text, units), "told": is_listed(run, event),
        }
        for event in run.events if event.category != "mechanics"
    ]  # fmt: skip
    found += [
        {
            "time": one.start, "category": "mechanics", "kind": "brakes", "component": "", "text": one.text,
            "told": True,
        }
        for one in moments_of(run, mechanics(run, run.measures), units)
    ]  # fmt: skip
    return sorted(found, key=lambda event: float(event["time"]))


def _finite(run: Run) -> list[str]:
    """The channels that can be drawn: a run that failed may have ended in numbers without end."""
    return [name for name, channel in run.channels.items() if np.isfinite(channel.values).all()]


def _message(run: Run) -> str:
    if run.status == "ok":
        return run.message
    end = f"The run failed and stops at {moment(run.span[1])} of {moment(run.scenario.lasts)}"
    return f"{end}: {run.message}" if run.message else f"{end}."


def _on_ticks(told: Mapping[str, Any], step: float) -> dict[str, Any]:
    """What is told, its times those of samples."""
    times = {key: told[key] for key in ("time", "until") if key in told}
    return {**told, **{key: None if time is None else on_tick(time, step) for key, time in times.items()}}


def _told(samples: Samples, units: str) -> str:
    """Where the samples come from, and how exact they are."""
    count, found = len(samples.times), samples.found
    whole = f"Drawn from the {found} samples of the run"
    if count < found:
        width = amount(samples.width, "time", units)
        whole = (
            f"Drawn from {count} of the {found} samples of the run: where more than two fall within {width}, the "
            "lowest and the highest of every channel are kept"
        )
    steps = listed([express(RESOLUTION[dimension], dimension, units) for dimension in ("pressure", "force", "length")])
    return f"{whole}; rounded to steps of {steps}. Measures come from the run itself, not from these samples."


def _plots(run: Run, units: str) -> list[dict[str, Any]]:
    return [_plot(run, GROUPS[name], units) for name in telling(run)]


def _plot(run: Run, group: Group, units: str) -> dict[str, Any]:
    found = group.curves(run, *run.span)
    levels, _ = limits(run, found, units)
    return {
        "title": group.title,
        "dimension": found[0].dimension,
        "curves": [
            {"channel": c.channels[0], "label": c.label, "colour": c.colour, "dash": c.dash, "hollow": c.hollow}
            | ({"while_above": c.while_above} if c.while_above else {})
            for c in found
        ],
        "limits": [{"value": limit.value, "label": limit.words} for limit in levels],
        **({"ends": group.ends} if group.ends else {}),
    }


def _tell_apart(told: dict[str, Any]) -> None:
    """Dash the curves of one of two runs so that they are not taken for those of the other."""
    for plot in told["plots"]:
        for curve in plot["curves"]:
            curve["dash"] = beside.dash(curve["dash"], told["name"])
