"""Everything that a replay page says, as one document that JSON can hold: SI, pressures gauge.

What a person reads as a sentence is in the units asked for; numbers are turned into them by the page.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any

import numpy as np

from pneusim.errors import UsageError
from pneusim.quantities import DIMENSIONS, express, unit_of
from pneusim.results.narrative import is_listed, sentences
from pneusim.results.restate import restate
from pneusim.results.run import CAUTION, MeasureResult, Run
from pneusim.results.stored import as_stored
from pneusim.results.words import amount, listed, moment
from pneusim.show import palette
from pneusim.show.figures import beside, curves
from pneusim.show.figures.curves import Curve
from pneusim.show.figures.limits import limits
from pneusim.show.replay import scene
from pneusim.show.replay.colours import FAULT, PRESSURES
from pneusim.show.replay.pack import RESOLUTION, on_tick, packed, tick
from pneusim.show.replay.rows import rows
from pneusim.show.replay.samples import Samples, thin
from pneusim.show.schematic.cache import laid_out
from pneusim.show.schematic.sheet import sheet
from pneusim.show.tables.run import NONE, closure_line

LIMITS_OF_MODEL = (
    "Dry air; walls at the temperature of the surroundings; spools and diaphragms without inertia; typical figures of "
    "valves and springs, not those of a product; no road and no warm brakes. No complete vehicle has been compared "
    "with a measurement."
)

PLOTS: dict[str, Callable[[Run], list[Curve]]] = {
    "Reservoirs": curves.of_reservoirs,
    "Controls and couplings": curves.of_controls,
    "Brake chambers": curves.of_chambers,
    "Pushrod forces": curves.of_forces,
}
"""Where the curves of every plot come from."""

FULL_SCALE = {"si": 100e3, "us": 20.0 * DIMENSIONS["pressure"].units["psi"]}
"""The highest pressure of the colours is a whole number of these [Pa]."""


def document(run: Run, other: Run | None = None, units: str = "si") -> tuple[dict[str, Any], list[str]]:
    """The document of a page on one run or on two, and the drawings that it refers to.

    Parameters
    ----------
    run, other : Run
        The second begins where its first step coincides with that of the first.
    units : {"si", "us"}

    Returns
    -------
    dict, list of str
        The document, and the SVG of every drawing; equal drawings are one.

    Raises
    ------
    UsageError
        If a run has nothing to show, or its circuit cannot be drawn.
    """
    run, other = as_stored(run), other and as_stored(other)
    shown = [run] if other is None else [run, other]
    drawings: list[str] = []
    told = [_run(one, name, units, drawings) for one, name in zip(shown, "AB")]
    if other is not None:
        told[1]["shift"] = _shift(run, other)
        for one in told:
            _tell_apart(one)
    dimensions = (dimension for one in told for dimension in one["samples"]["dimensions"])
    content = {
        "title": _title(run, other),
        "caution": CAUTION,
        "limits_of_model": LIMITS_OF_MODEL,
        "units": units,
        "beside": "" if other is None else _beside(run, other, told[1]["shift"]),
        "palette": {"pressure": list(PRESSURES), "curves": list(palette.LINES), "fault": FAULT},
        "quantities": _quantities(dimensions, units),
        "pressure_top": _pressure_top(shown, units),
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
        "title": run.scenario.title or run.scenario.name,
        "scenario": run.scenario.name,
        "variant": run.variant,
        "status": run.status,
        "message": _message(run),
        "circuit": run.circuit.title,
        "span": [on_tick(time, step) for time in run.span],
        "shift": 0.0,
        "drawing": drawings.index(svg),
        "samples": packed(samples, run.channels) | {"told": _told(samples, units)},
        "actors": scene.actors(run.circuit, layout, run.channels),
        "marks": [
            _on_ticks({**mark, "text": restate(mark.get("text", ""), units)}, step) for mark in scene.marks(run, layout)
        ],
        "events": [
            {
                "time": on_tick(event.time, step), "category": event.category, "kind": event.kind,
                "component": event.component, "text": restate(event.text, units), "told": is_listed(run, event),
            }
            for event in run.events
        ],
        "narrative": [
            _on_ticks({"time": sentence.since, "until": sentence.until, "text": sentence.text}, step)
            for sentence in sentences(run, units)
        ],
        "plots": [_plot(run, title, found, units) for title, find in PLOTS.items() if (found := find(run))],
        "table": rows(run, samples.values),
        "measures": _measures(run, units),
        "questions": _questions(run, units, step),
        "sources": list(run.sources),
        "extrapolated": [restate(sentence, units) for sentence in run.extrapolated],
        "closure": str(closure_line(run)),
    }  # fmt: skip


def _finite(run: Run) -> list[str]:
    """The channels that can be drawn: a run that failed may have ended in numbers without end."""
    return [name for name, channel in run.channels.items() if np.isfinite(channel.values).all()]


def _title(run: Run, other: Run | None) -> str:
    if other is None:
        return beside.heading(run)
    name = _short if run.circuit.title == other.circuit.title else beside.heading
    return f"{beside.heading(run)} / {name(other)}"


def _short(run: Run) -> str:
    """Scenario and variant of a run."""
    return beside.heading(run).removeprefix(f"{run.circuit.title}: ")


def _message(run: Run) -> str:
    if run.status == "ok":
        return run.message
    end = f"The run failed and stops at {moment(run.span[1])} of {moment(run.scenario.lasts)}"
    return f"{end}: {run.message}" if run.message else f"{end}."


def _shift(run: Run, other: Run) -> float:
    """What is added to the times of the second run [s]."""
    first, second = beside.first_step(run), beside.first_step(other)
    if first is None or second is None:
        return 0.0
    return on_tick(first, _tick(run)) - on_tick(second, _tick(other))


def _beside(run: Run, other: Run, by: float) -> str:
    """Which run is which, and how they are aligned."""
    if beside.first_step(run) is None or beside.first_step(other) is None:
        way = "times of both count from their own start"
    else:
        moved = f"times of B are moved by {by:+.2f} s, so that " if abs(by) >= 5e-3 else ""
        way = f"{moved}the first steps of both coincide"
    name = _short if run.circuit.title == other.circuit.title else beside.heading
    return f"A: {name(run)}. B: {name(other)}; {way}."


def _tick(run: Run) -> float:
    return tick(next(iter(run.channels.values())).times)


def _on_ticks(told: Mapping[str, Any], step: float) -> dict[str, Any]:
    """What is told, its times those of samples."""
    times = {key: told.get(key) for key in ("time", "until")}
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


def _quantities(dimensions: Iterable[str], units: str) -> dict[str, dict[str, Any]]:
    """How the page writes numbers of every dimension in use."""
    return {dimension: _quantity(dimension, units) for dimension in sorted({*dimensions, "time"})}


def _quantity(dimension: str, units: str) -> dict[str, Any]:
    unit = unit_of(dimension if dimension in DIMENSIONS else "number", units)
    step = 3.0 * RESOLUTION[dimension] / unit.factor if dimension in RESOLUTION else 0.01
    digits = max(math.floor(-math.log10(step)), 0)
    return {"symbol": unit.symbol, "factor": unit.factor, "offset": unit.offset, "digits": digits}


def _pressure_top(runs: Iterable[Run], units: str) -> float:
    """Full scale of the colours, the same for all runs [Pa]."""
    found = (run[name] for run in runs for name in _finite(run))
    highest = max((float(channel.values.max()) for channel in found if channel.dimension == "pressure"), default=0.0)
    return FULL_SCALE[units] * max(math.ceil(highest / FULL_SCALE[units] - 1e-3), 1)


def _tell_apart(told: dict[str, Any]) -> None:
    """Dash the curves of one of two runs so that they are not taken for those of the other."""
    dashes = beside.DASHES[told["name"]]
    for plot in told["plots"]:
        for curve in plot["curves"]:
            curve["dash"] = dashes.get(curve["dash"], curve["dash"])


def _plot(run: Run, title: str, found: list[Curve], units: str) -> dict[str, Any]:
    levels, _ = limits(run, found, units)
    return {
        "title": title,
        "dimension": found[0].dimension,
        "curves": [
            {"channel": c.channels[0], "label": c.label, "colour": c.colour, "dash": c.dash, "hollow": c.hollow}
            for c in found
        ],
        "limits": [{"value": limit.value, "label": limit.words} for limit in levels],
    }


def _measures(run: Run, units: str) -> list[dict[str, Any]]:
    """Measures with a limit first, then those that the file asks for, then the others."""
    own = {measure.name for measure in run.scenario.measures}
    ranked = sorted(run.measures, key=lambda m: (not m.limit, m.name not in own))
    return [
        {
            "name": m.name, "value": _value(m, units), "limit": restate(m.limit, units), "met": m.met,
            "reason": restate(m.reason, units), "asked": bool(m.limit) or m.name in own,
        }
        for m in ranked
    ]  # fmt: skip


def _value(measure: MeasureResult, units: str) -> str:
    if measure.value is None:
        return NONE
    error = f" ± {express(measure.error, measure.dimension, units)}" if measure.error is not None else ""
    return f"{amount(measure.value, measure.dimension, units)}{error}"


def _questions(run: Run, units: str, step: float) -> list[dict[str, Any]]:
    """The questions that were asked, with what the scenario's steps say on each."""
    waiting = [one for one in run.scenario.steps if one.action == "ask"]
    found = []
    for event in run.events:
        if event.kind == "ask":
            alike = [one for one in waiting if one.text == event.text]
            asked = min(alike, key=lambda one: one.at != event.time)
            waiting.remove(asked)
            found.append(
                {
                    "time": on_tick(event.time, step), "text": restate(asked.text, units),
                    "choices": [restate(choice, units) for choice in asked.choices], "answer": asked.answer,
                    "explanation": restate(asked.explanation, units),
                }
            )  # fmt: skip
    return found
