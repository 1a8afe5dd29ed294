"""A run in a report: what was done, what happened, the measures against their limits, figures, the solver's facts."""

from __future__ import annotations

from collections.abc import Iterator
from math import isnan

from rich.console import Group
from rich.table import Table

from pneusim.circuit.scenario import Step
from pneusim.parts.base import InputSpec, Part
from pneusim.parts.registry import part
from pneusim.quantities import DIMENSIONS, express
from pneusim.results.narrative import is_listed, tell
from pneusim.results.restate import restate
from pneusim.results.run import Run
from pneusim.show.figures.plots import OVERVIEW, plot, title_of, views
from pneusim.show.markup import Html, Section, facts, figure, html, listing, of_terminal, table, tag, text
from pneusim.show.paper.inline import plotted
from pneusim.show.paper.report.margins import judged
from pneusim.show.paper.report.road_part import road
from pneusim.show.tables.run import tables

CLOSES = "A run whose balance of mass or energy does not close counts as failed."
TOLD_ELSEWHERE = ("Limits", "Events")
"""Tables of the terminal that the report has in a form of its own."""


def run_section(run: Run, title: str, number: int, numbers: Iterator[int], system: str) -> Section:
    """A run; ``number`` counts the runs of the report, ``numbers`` its figures."""
    name = f"scenario {run.scenario.name}" + (f", variant {run.variant}" if run.variant else "")
    head = text(f"{name[0].upper()}{name[1:]}, {run.scenario.lasts:g} s.")
    missed = tag("p", tag("b", "The run failed."), class_="missed")
    failed = "" if run.status == "ok" else html(missed, text(run.message))
    story = listing(tell(run, system)) if run.channels else text("Nothing: the run failed at once.")
    parts = [
        Section("What was done", _done(run, system)),
        Section("The road and its friction", road(run, system)),
        Section("What happened", story),
        Section("Measures against limits", _limits(run, system)),
        Section("What was measured", _measured(run, system)),
        Section("Events", _events(run, system)),
        Section("Figures", _figures(run, number, numbers, system)),
        Section("How it was computed", _solver(run)),
    ]
    return Section(title, html(head, failed), tuple(part for part in parts if part.body), kind="page")


def _done(run: Run, system: str) -> Html:
    begin = [_begin(run, name, value, system) for name, value in run.scenario.begin.items()]
    steps = [
        (f"{event.time:.2f}", restate(event.text, system))
        for event in run.events
        if event.category == "step" and is_listed(run, event)
    ]
    waiting = [_waiting(run, step, system) for step in run.scenario.steps if step.when is not None]
    return html(
        *((text("At the start:"), listing(begin)) if begin else ()),
        table((("time [s]", "number"), "step"), [((time, "number"), words) for time, words in steps], kind="steps"),
        *((text("Steps that wait for something:"), listing(waiting)) if waiting else ()),
    )


def _waiting(run: Run, step: Step, system: str) -> str:
    trigger = step.when
    assert trigger is not None
    channel = run.channels.get(trigger.channel)
    level = express(trigger.level, channel.dimension, system) if channel else f"{trigger.level:g}"
    way = "rises above" if trigger.direction > 0 else "falls below"
    target = step.target or ", ".join(step.targets)
    return f"when {trigger.channel} {way} {level}: {step.action} {target}".rstrip()


def _begin(run: Run, name: str, value: object, system: str) -> str:
    """``tractor.park lever: released``."""
    owner, _, word = name.rpartition(".")
    component = run.circuit.components.get(owner)
    if component is None:
        return f"{name}: {value}"
    kind = part(component.type)
    spec = next((spec for spec in kind.inputs if spec.name == word), None)
    position = _position(spec, _dimension(kind, word), value, system)
    return f"{run.circuit.title_of(component)}, {word.replace('_', ' ')}: {position}"


def _dimension(kind: type[Part], word: str) -> str:
    info = kind.model_fields.get(word)
    extra = info.json_schema_extra if info is not None else None
    return str(extra["dimension"]) if isinstance(extra, dict) else word


def _position(spec: InputSpec | None, dimension: str, value: object, system: str) -> str:
    words = {number: word for word, number in ((spec and spec.choices) or {}).items()}
    if not isinstance(value, int | float) or isinstance(value, bool):
        return str(value)
    dimension = spec.dimension if spec else dimension
    return words.get(value) or (express(value, dimension, system) if dimension in DIMENSIONS else f"{value:g}")


def _limits(run: Run, system: str) -> Html:
    verdicts = {True: ("met", "met"), False: ("NOT MET", "missed")}
    rows = [
        (one.words, one.value, one.limit, (one.margin, "number"), verdicts[one.met])
        for one in judged(run, system)
    ]
    if not rows:
        return text("The scenario sets no limits.")
    return table(("measure", "value", "limit", ("margin", "number"), "verdict"), rows, kind="limits")


def _measured(run: Run, system: str) -> Html:
    printed = tables(run, system)
    assert isinstance(printed, Group)
    found = [one for one in printed.renderables if isinstance(one, Table)]
    return html(*(of_terminal(one) for one in found if str(one.title) not in TOLD_ELSEWHERE))


def _events(run: Run, system: str) -> Html:
    rows = [
        ((f"{event.time:.3f}", "number"), event.category, restate(event.text, system))
        for event in run.events
        if is_listed(run, event)
    ]
    return table((("time [s]", "number"), "kind", "what"), rows, kind="events")


def _figures(run: Run, number: int, numbers: Iterator[int], system: str) -> Html:
    made = []
    for name, view in views(run).items():
        for group in view.groups if name != OVERVIEW else ():
            words = f"{title_of(group)}{view.words}: {run.scenario.words}"
            picture = plot(run, group, units=system, start=view.start, end=view.end)
            told = f"Figure {next(numbers)}. {words}."
            made.append(figure(plotted(picture, f"run{number}-{name}-{group}", words), told))
    return html(*made)


def _solver(run: Run) -> Html:
    return html(facts(_facts(run)), text(CLOSES))


def _facts(run: Run) -> Iterator[tuple[str, str]]:
    solver = run.solver
    yield "mass closes to", f"{run.closure.mass:.1e} of the air in the circuit"
    yield "energy closes to", f"{run.closure.energy:.1e} of what it holds"
    yield "method", f"{solver.engine}, {solver.states} states, {solver.segments} segments between events"
    yield "steps", f"{solver.steps} taken, {solver.rejected} rejected"
    yield "relative tolerance", "" if isnan(solver.rtol) else f"{solver.rtol:g}"
    yield "smallest time constant", f"{solver.smallest_time_constant:.2g} s"
    asked = any(result.error is not None for result in run.measures)
    yield "numerical error of measures", "beside each value" if asked else "not asked for (--error-bar gives it)"
    yield "laws used beyond their range", "; ".join(run.extrapolated) or "none"
